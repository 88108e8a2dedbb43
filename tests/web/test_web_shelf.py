"""Many tracts behind one server: each is seen by its own people, and none stops the others."""

import shutil
import sqlite3
import threading
import time
from datetime import date, timedelta

import pytest
from asking import OURS, URL
from starlette.testclient import TestClient
from typer.testing import CliRunner

from fencerow.cli import app as terminal
from fencerow.plan import glance
from fencerow.store import Store, create
from fencerow.store import shelf as stored
from fencerow.tract.entry import Draft, new_id
from fencerow.tract.read import check
from fencerow.web import app_for
from fencerow.web import shelf as shelves
from fencerow.web.accounts import Accounts
from fencerow.web.ahead import Ahead, Bench
from fencerow.web.shelf_app import Many
from fencerow.words import BadInput

PASSWORD = "correct horse battery"
DAY = date(2027, 2, 10)
SECRET = "Zyzzyva"


@pytest.fixture(autouse=True)
def unplanned(monkeypatch):
    """A list whose plans are not worked."""
    monkeypatch.setattr(Bench, "work", lambda _, *inputs: planned(*inputs))


def planned(folder, day, levels):
    """A glance without a plan: one task for each plot that may be seen, late on the day."""
    store = Store.open(folder)
    count, digest = stored.mark_of(store, stored.id_of(store))
    tract = stored.seen(store.folded(), levels).tract
    dues = tuple(
        glance.Due(day - timedelta(1), f"sow {k.body.name}", "year.tasks.x.when")
        for k in tract.places.values()
    )
    told = glance.Glance((), dues, (), (), ())
    made = stored.Kept(
        stored.key_of(store, digest), day, count, dict.fromkeys(("us en", "metric en"), told)
    )
    stored.keep(folder, levels, made)
    return made


def add(folder, name, place="Mead", author="me"):
    store = create(folder, check("about", {"name": name, "state": "WI"}, "t"), author=author)
    store.write([Draft("place", new_id(), {"kind": "plot", "name": place, "stated_ac": 1.5})])
    return store


@pytest.fixture
def folder(tmp_path):
    (tmp_path / "many").mkdir()
    for name in ("ash", "birch", "cedar"):
        add(tmp_path / "many" / f"{name}.tract", name.title(), f"{name} plot")
    return tmp_path / "many"


@pytest.fixture
def serve(folder, static):
    made = []

    def started(**more):
        app = app_for(folder, author="Ash", as_of=DAY, static=static, **more)
        made.append(app)
        return TestClient(app, base_url=URL, raise_server_exceptions=False)

    yield started
    for app in made:
        app.shelf._looks.shutdown()


def listed(page, **asked):
    """The list, when every plan has come."""
    for _ in range(400):
        told = page.get("/api/shelf", params=asked).json()
        if told["left"] == 0:
            return told
        time.sleep(0.02)
    raise AssertionError("the plans did not come")


def addresses(told):
    return {li["name"]: li["address"] for li in told["lines"]}


def words(line):
    said = [piece["text"] for cell in line["cells"] for one in cell["said"] for piece in one]
    return " ".join(" ".join([line["name"], line["of"], *said]).split())


def sign_in(page, name, at="/", password=PASSWORD):
    given = {"name": name, "password": password}
    return page.post(f"{at}api/sign-in", json=given, headers=OURS)


def test_each_tract_is_reached_at_its_own_address(serve, folder, entry, post):
    page = serve()
    assert page.get("/", follow_redirects=False).headers["location"] == "/tracts"
    assert "shell" in page.get("/tracts").text
    at = addresses(listed(page))
    assert set(at) == {"Ash", "Birch", "Cedar"}
    for name, way in at.items():
        assert way.startswith(f"/t/{name.lower()}-")
        assert "shell" in page.get(way).text
        assert page.get(f"{way}assets/app-1a2b.js").text == "1"
        assert page.get(f"{way}api/state").json()["tract"]["name"] == name
        house = page.get(f"{way}api/tracts").json()
        assert [t["folder"] for t in house["tracts"]] == [f"{name.lower()}.tract"]
    said = entry()
    stored_ = post(page, f"{at['Birch']}api/entries", entries=[said]).json()["stored"]
    assert stored_ == [said["id"]]
    counts = {n: len(Store.open(folder / f"{n}.tract").entries()) for n in ("ash", "birch")}
    assert counts == {"ash": 2, "birch": 3}
    ids = {n: Store.open(folder / f"{n}.tract").entries()[0].id for n in ("ash", "birch")}
    wrong = post(page, f"{at['Ash']}api/entries", entries=[entry()], tract=ids["birch"])
    assert wrong.status_code == 409
    # what is larger than most requests gets as far as it would with one tract
    large = {"content": b"x" * 3_000_000, "headers": OURS}
    assert page.post(f"{at['Ash']}api/photos", **large).status_code == 400
    assert page.post(f"{at['Ash']}api/entries", **large).status_code == 413
    foreign = page.post(f"{at['Ash']}api/entries", json={"entries": []})
    assert foreign.status_code == 403
    for way in ("/t/none-00000000/api/state", "/api/none"):
        assert page.get(way).status_code == 404
    assert page.get("/api/state").status_code == 409
    assert page.post(f"{at['Ash']}api/tracts/open", json={"folder": "birch.tract"},
                     headers=OURS).status_code == 400  # fmt: skip


def test_a_person_sees_the_tracts_on_which_they_have_a_role_and_nothing_of_others(serve, folder):
    for name, role in (("Dogwood", "owner"), ("Elm", "hunter")):
        Accounts(folder / "ash.tract").add(name, role, PASSWORD)
    Accounts(folder / "birch.tract").add("Fir", "owner", PASSWORD)
    (folder / "wreck.tract").mkdir()
    owner = serve()
    told = listed(owner)
    # nobody is signed in: what has accounts is not told of, what has none is the machine's own
    assert set(addresses(told)) == {"Cedar", "wreck.tract"}
    page = serve()
    ids = {n: Store.open(folder / f"{n}.tract").entries()[0].id[:8] for n in ("ash", "birch")}
    ash, birch = (f"/t/{n}-{ids[n]}/" for n in ids)
    assert page.get(f"{ash}api/state").status_code == 401
    assert sign_in(page, "Elm", birch).status_code == 400
    assert sign_in(page, "Elm", ash).status_code == 200
    told = listed(page)
    assert [(li["name"], li["role"]) for li in told["lines"] if li["role"]] == [("Ash", "hunter")]
    assert ids["birch"] not in str(told)
    assert "irch" not in str(told)
    assert page.get(f"{ash}api/state").status_code == 200
    assert page.get(f"{birch}api/state").status_code == 401
    # another tract's session opens nothing here, whatever it is called
    stolen = page.cookies[f"fencerow-session-{ids['ash']}"]
    other = serve()
    for name in ("fencerow-session", f"fencerow-session-{ids['birch']}"):
        other.cookies.set(name, stolen)
        assert other.get(f"{birch}api/state").status_code == 401
    page.post(f"{ash}api/sign-out", json={}, headers=OURS)
    assert page.get(f"{ash}api/state").status_code == 401
    assert "Ash" not in addresses(listed(page))
    # as one who may sign in on a tract, so at the machine: its invitations lead to its address
    token = Accounts(folder / "ash.tract").invite("crew")
    given = {"invitation": token, "name": "Gum", "password": PASSWORD}
    assert page.post(f"{ash}api/invitation", json=given, headers=OURS).json()["role"] == "crew"
    assert [li["role"] for li in listed(page)["lines"] if li["name"] == "Ash"] == ["crew"]


def test_an_account_of_the_folder_opens_all_of_its_tracts(serve, folder):
    Accounts(folder).add("Ash", "owner", PASSWORD)
    Accounts(folder).add("Cherry", "crew", PASSWORD)
    Accounts(folder / "birch.tract").add("Fir", "owner", PASSWORD)
    (folder / "wreck.tract").mkdir()
    page = serve(host="consultant.example")
    assert listed(page)["lines"] == []
    assert page.get(f"/t/x-{Store.open(folder / 'ash.tract').entries()[0].id[:8]}/api/state"
                    ).status_code == 401  # fmt: skip
    assert sign_in(page, "Fir").status_code == 400
    assert sign_in(page, "Cherry").status_code == 200
    told = listed(page)
    assert {(li["name"], li["role"]) for li in told["lines"]} == {
        (n, "crew") for n in ("Ash", "Birch", "Cedar")
    }  # fmt: skip
    for way in addresses(told).values():
        assert page.get(f"{way}api/me").json()["name"] == "Cherry"
        assert page.get(f"{way}api/export/record.json").status_code == 200
        assert page.post(f"{way}api/import", headers=OURS).status_code == 403
    # a name that a tract knows, or knew, is the tract's own
    Accounts(folder / "birch.tract").add("Cherry", "guest", PASSWORD)
    Accounts(folder / "birch.tract").remove("Cherry")
    birch = addresses(told)["Birch"]
    assert page.get(f"{birch}api/state").status_code == 401
    assert "Birch" not in addresses(listed(page))
    sign_in(page, "Fir", birch)
    assert {li["name"]: li["role"] for li in listed(page)["lines"]} == {
        "Ash": "crew", "Birch": "owner", "Cedar": "crew",
    }  # fmt: skip
    # at a tract one may sign in by an account of the folder too; out is out of both
    other = serve(host="consultant.example")
    assert sign_in(other, "Ash", addresses(told)["Cedar"]).json()["role"] == "owner"
    assert set(addresses(listed(other))) == {"Cedar"}
    sign_in(other, "Ash")
    assert "wreck.tract" in addresses(listed(other))
    other.post("/api/sign-out", json={"everywhere": True}, headers=OURS)
    assert listed(other)["lines"] == []


def test_the_network_needs_an_owner_of_the_folder(folder, static):
    with pytest.raises(BadInput, match="people add FOLDER"):
        app_for(folder, host="consultant.example")
    Accounts(folder / "ash.tract").add("Fir", "owner", PASSWORD)
    with pytest.raises(BadInput, match="people add FOLDER"):
        app_for(folder, host="consultant.example")
    done = CliRunner().invoke(
        terminal,
        ["people", "add", str(folder), "Ash", "--role", "owner"],
        input=f"{PASSWORD}\n{PASSWORD}\n",
    )
    assert done.exit_code == 0, done.output
    app = app_for(folder, host="consultant.example", static=static)
    page = TestClient(app, base_url="http://other.example")
    for way in ("/tracts", "/api/shelf", "/t/x-00000000/api/state"):
        assert page.get(way).status_code == 400


def test_what_is_hidden_from_a_role_is_in_no_line_of_theirs(serve, folder):
    store = Store.open(folder / "ash.tract")
    stand = new_id()
    went = {"left_at": "2027-02-09T15:00:00+00:00", "what": "sit", "guest": "Elm", "place": stand}
    place = {"kind": "treestand", "name": SECRET, "form": "ladder"}
    store.write([Draft("place", stand, place, visibility="owner"), Draft("outing", new_id(), went)])
    for name, role in (("Dogwood", "owner"), ("Elm", "hunter")):
        Accounts(folder / "ash.tract").add(name, role, PASSWORD)
    ash = f"/t/x-{store.entries()[0].id[:8]}/"
    told = {}
    for name in ("Dogwood", "Elm", "Dogwood"):  # whatever was kept for another in between
        page = serve()
        assert sign_in(page, name, ash).status_code == 200
        (line,) = [li for li in listed(page)["lines"] if li["name"] == "Ash"]
        told[name] = words(line)
    assert told["Dogwood"].count(SECRET) == 2
    assert SECRET not in told["Elm"]
    assert "not back" not in told["Elm"]
    assert "sow ash plot" in told["Elm"]


def test_the_list_answers_before_a_plan_is_worked_and_says_of_when_it_is(
    serve, folder, monkeypatch
):
    go, asked = threading.Event(), []

    def waits(_, place, *more):
        asked.append(place.name)
        go.wait(30)
        return planned(place, *more)

    monkeypatch.setattr(Bench, "work", waits)
    page = serve()
    first = page.get("/api/shelf").json()
    assert first["left"] == 3
    assert {li["of"].partition(";")[0] for li in first["lines"]} <= {
        "The plan is being worked", "The plan waits for its turn",
    }  # fmt: skip
    assert all("me" in words(li) for li in first["lines"])  # who said the last word is known
    page.get("/api/shelf")
    go.set()
    told = listed(page)
    assert sorted(asked) == ["ash.tract", "birch.tract", "cedar.tract"]  # each once
    assert [li["of"] for li in told["lines"]] == ["", "", ""]
    assert {li["need"] for li in told["lines"]} == {"late"}
    # a word more: what is known stays, and says so, until the new plan is there
    go.clear()
    store = Store.open(folder / "birch.tract")
    store.write([Draft("place", new_id(), {"kind": "plot", "name": "New", "stated_ac": 2.0})])
    line = next(li for li in page.get("/api/shelf").json()["lines"] if li["name"] == "Birch")
    assert line["of"].startswith("Planned for Feb 10, 2027, before the last 1 ")
    assert "sow birch plot" in words(line)
    go.set()
    assert "sow New" in str([words(li) for li in listed(page)["lines"]])
    # and a server that is started again knows all of it at once
    asked.clear()
    again = serve().get("/api/shelf").json()
    assert (again["left"], asked) == (0, [])


def test_what_is_kept_beside_a_record_may_be_spoiled_or_forbidden(serve, folder, monkeypatch):
    listed(serve())
    (folder / "ash.tract" / stored.KEPT).write_text('{"everything": [')
    assert {li["need"] for li in listed(serve())["lines"]} == {"late"}
    monkeypatch.setattr(Bench, "work", lambda *_: "the table is wrong")
    (folder / "birch.tract" / stored.KEPT).unlink()
    told = listed(serve())
    assert told["lines"][0]["of"] == "the table is wrong"
    assert told["lines"][0]["address"] != ""


def test_a_tract_that_cannot_be_read_is_a_line_and_stops_no_other(serve, folder, monkeypatch):
    monkeypatch.setattr("fencerow.store.dialect.WAIT_S", 0.2)
    monkeypatch.setattr(shelves, "PATIENCE_S", 3.0)
    add(folder / "newer.tract", "Newer")
    with sqlite3.connect(folder / "newer.tract" / "record.db") as db:
        db.execute("UPDATE alembic_version SET version_num = '9999'")
    (folder / "empty.tract").mkdir()
    (folder / "wreck.tract").mkdir()
    (folder / "wreck.tract" / "record.db").write_bytes(b"no database" * 500)
    held = sqlite3.connect(folder / "cedar.tract" / "record.db", isolation_level=None)
    held.execute("PRAGMA locking_mode=EXCLUSIVE")
    held.execute("PRAGMA journal_mode=DELETE")
    held.execute("BEGIN EXCLUSIVE")
    page = serve()
    told = {li["folder"]: li for li in listed(page)["lines"]}
    assert "newer version" in told["newer.tract"]["of"]
    assert "no record" in told["empty.tract"]["of"]
    assert "damaged" in told["wreck.tract"]["of"]
    assert told["cedar.tract"]["trouble"]
    assert {f for f, li in told.items() if not li["trouble"]} == {"ash.tract", "birch.tract"}
    held.execute("COMMIT")
    held.close()
    shutil.rmtree(folder / "wreck.tract")
    told = {li["folder"]: li for li in listed(page)["lines"]}
    assert "wreck.tract" not in told
    assert not told["cedar.tract"]["trouble"]


def test_tracts_come_go_and_are_renamed_while_they_are_served(serve, folder):
    page = serve()
    before = addresses(listed(page))
    assert page.get(f"{before['Birch']}api/state").status_code == 200
    (folder / "birch.tract").rename(folder / "the-slough.tract")
    add(folder / "dogwood.tract", "Ash")
    told = listed(page)
    assert {li["folder"] for li in told["lines"]} == {
        "ash.tract", "cedar.tract", "dogwood.tract", "the-slough.tract",
    }  # fmt: skip
    # the address of before still leads to it, for what waits on a phone is kept under it
    assert addresses(told)["Birch"] == before["Birch"]
    assert page.get(f"{before['Birch']}api/state").json()["tract"]["name"] == "Birch"
    (folder / "the-slough.tract").rename(folder / "birch.tract")
    assert page.get(f"{before['Birch']}api/state").status_code == 200  # found without the list
    # two of one name are told apart
    assert {"Ash (ash.tract)", "Ash (dogwood.tract)"} <= set(addresses(told))
    # a copy of a tract is no other tract
    shutil.copytree(folder / "ash.tract", folder / "zz.tract")
    (copy,) = [li for li in listed(page)["lines"] if li["folder"] == "zz.tract"]
    assert "copy of the tract in ash.tract" in copy["of"]
    assert copy["address"] == ""
    shutil.rmtree(folder / "cedar.tract")
    assert "Cedar" not in addresses(listed(page))
    assert page.get(f"{before['Cedar']}api/state").status_code == 404
    # another record in the same folder is another tract
    add(folder / "cedar.tract", "Cedar")
    assert addresses(listed(page))["Cedar"] != before["Cedar"]


def test_few_tracts_are_held_in_memory_and_few_plans_are_worked_at_once(serve, folder, monkeypatch):
    for number in range(2):
        add(folder / f"n{number}.tract", f"N{number}")
    page, at_once, most = serve(), [0], [0]
    lock = threading.Lock()

    def counted(given, cache=None):
        with lock:
            at_once[0] += 1
            most[0] = max(most[0], at_once[0])
        both.wait(20) if at_once[0] < shelves.AT_ONCE else both.set()
        time.sleep(0.2)  # time for a third to come in
        with lock:
            at_once[0] -= 1
        raise BadInput("web-no-tract")

    both = threading.Event()
    monkeypatch.setattr("fencerow.web.desk.make_plan", counted)
    ways = list(addresses(listed(page)).values())
    asking = [threading.Thread(target=page.get, args=(f"{w}api/plan",)) for w in ways[:4]]
    for one in asking:
        one.start()
    for one in asking:
        one.join()
    assert most[0] == shelves.AT_ONCE == 2
    for way in ways[4:]:
        page.get(f"{way}api/me")
    assert len(page.app.shelf._apps) <= shelves.IN_MEMORY < len(ways)


def test_a_page_that_has_its_tract_planned_fills_its_line_too(serve, folder, monkeypatch):
    monkeypatch.setattr(Ahead, "want", lambda *_: None)
    page = serve()
    way = addresses(page.get("/api/shelf").json())["Ash"]
    assert page.get(f"{way}api/state", params={"as_of": "2027-06-01"}).status_code == 200
    (line,) = [li for li in page.get("/api/shelf").json()["lines"] if li["name"] == "Ash"]
    assert line["of"].startswith("The plan waits")  # that was another day's
    page.get(f"{way}api/state")
    (line,) = [li for li in page.get("/api/shelf").json()["lines"] if li["name"] == "Ash"]
    assert line["of"] == ""
    assert "ash plot 1.50 ac" in words(line)
    (why,) = [p["href"] for c in line["cells"] if c["id"] == "plots" for p in c["said"][0]
              if "href" in p]  # fmt: skip
    path = why.partition("?why=")[2]
    assert page.get(f"{way}api/why", params={"path": path}).json()["steps"][0]["value"] == "1.50 ac"


def test_one_tract_is_served_as_it_was(folder, static):
    app = app_for(folder / "ash.tract", static=static)
    assert not isinstance(app, Many)
    page = TestClient(app, base_url=URL)
    assert page.get("/api/state").json()["tract"]["name"] == "Ash"
    assert page.get("/api/shelf").status_code == 404
    assert "shell" in page.get("/").text
    with pytest.raises(BadInput, match="no record"):
        app_for(folder.parent)


def test_the_terminal_tells_all_tracts_on_one_sheet(folder, monkeypatch):
    (folder / "wreck.tract").mkdir()
    run = CliRunner()
    known = run.invoke(terminal, ["tracts", str(folder), "--known", "--as-of", "2027-02-10"])
    assert known.exit_code == 0, known.output
    assert "waits for its turn" in known.output
    monkeypatch.setattr("fencerow.cli.tracts.glanced", planned)
    told = run.invoke(terminal, ["tracts", str(folder), "--as-of", "2027-02-10"])
    assert "4 of 4 tracts ask for you today; first wreck.tract" in told.output
    assert "Feb 9 sow birch plot" in told.output
    assert "holds no tract" in str(run.invoke(terminal, ["tracts", str(folder.parent)]).exception)


def test_a_plan_is_worked_in_a_process_of_its_own(folder, monkeypatch):
    monkeypatch.undo()
    bench = Bench()
    try:
        made = bench.work(folder / "ash.tract", DAY, None)
        assert made == stored.kept(folder / "ash.tract")["everything"]
        assert [p.acres for p in made.told["us en"].plots] == [1.5]
        assert "no record" in bench.work(folder / "none.tract", DAY, None)
        bench._process.kill()
        assert "ended" in bench.work(folder / "ash.tract", DAY, None)
    finally:
        bench.close()
