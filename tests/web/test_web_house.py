"""Tracts that are made and opened in the browser; long work, followed and stopped."""

import pytest
from asking import OURS, client_of, ended

from fencerow.exchange.demo import AS_OF
from fencerow.store import Store
from fencerow.store.going import Stopped, quietly
from fencerow.store.invented import build, day_of
from fencerow.web import jobs
from fencerow.web.house import House, make_invented
from fencerow.web.jobs import Jobs
from fencerow.words import BadInput


@pytest.fixture
def empty(tmp_path):
    return client_of(None, shelf=tmp_path, as_of=None)


def test_with_no_tract_open_each_question_says_so_and_the_list_is_there(empty, tmp_path):
    for path in ("state", "plan", "forms", "export/record.json"):
        answer = empty.get(f"/api/{path}")
        assert (answer.status_code, answer.json()["text"][:16]) == (409, "no tract is open"), path
    assert empty.get("/api/tracts").json() == {"shelf": str(tmp_path), "tracts": []}


def test_a_tract_is_made_and_opened(empty, tmp_path, post):
    made = post(empty, "/api/tracts", name="Otter Bend", state="WI", zone="America/Chicago")
    assert made.json() == {"folder": "otter-bend.tract"}
    assert empty.get("/api/state").json()["tract"]["name"] == "Otter Bend"
    assert Store.open(tmp_path / "otter-bend.tract").author == "Ash"
    (known,) = empty.get("/api/tracts").json()["tracts"]
    assert known == {"folder": "otter-bend.tract", "invented": False, "open": True}


@pytest.mark.parametrize(
    ("wrong", "said"),
    [({"name": ""}, "name"), ({"zone": "Mars/Base"}, "IANA"), ({"state": "Ohio"}, "state"),
     ({"year_starts": "13-01"}, "year_starts")],
)  # fmt: skip
def test_a_tract_that_cannot_be_is_refused_in_words(empty, tmp_path, post, wrong, said):
    refused = post(empty, "/api/tracts", **{"name": "Otter Bend", **wrong})
    assert refused.status_code == 400
    assert said in refused.json()["text"]
    assert list(tmp_path.iterdir()) == []


def test_a_tract_is_never_made_over_another(empty, post):
    assert post(empty, "/api/tracts", name="Otter Bend").status_code == 200
    again = post(empty, "/api/tracts", name="Otter Bend")
    assert again.status_code == 400
    assert "otter-bend.tract" in again.json()["text"]


@pytest.mark.parametrize("folder", ["", ".", "..", "../x.tract", "/etc", "nowhere.tract"])
def test_only_a_tract_of_the_folder_is_opened(empty, post, folder):
    assert post(empty, "/api/tracts/open", folder=folder).status_code == 400


def test_notes_of_another_tract_wait(empty, post, entry):
    one = post(empty, "/api/tracts", name="One").json()["folder"]
    id_ = empty.get("/api/state").json()["tract"]["id"]
    post(empty, "/api/tracts", name="Two")
    refused = post(empty, "/api/entries", entries=[entry()], tract=id_)
    assert refused.status_code == 409
    post(empty, "/api/tracts/open", folder=one)
    assert post(empty, "/api/entries", entries=[entry()], tract=id_).json()["stored"]


def test_the_invented_tract_is_one_press_away(empty, tmp_path):
    job = empty.post("/api/tracts/invented", headers=OURS).json()
    done = ended(empty, job)
    assert done["result"] == "demo/plover-bench.tract"
    assert (done["state"], done["done"]) == ("done", done["of"])
    empty.post("/api/tracts/open", json={"folder": done["result"]}, headers=OURS)
    state = empty.get("/api/state").json()
    assert state["as_of"] == AS_OF.isoformat()
    assert day_of(tmp_path / done["result"]) == AS_OF
    assert {
        k: v for k, v in empty.get("/api/tracts").json()["tracts"][0].items() if k != "folder"
    } == {"invented": True, "open": True}


def test_the_invented_tract_is_not_made_over_what_is_a_persons_own(tmp_path):
    (tmp_path / "demo").mkdir()
    (tmp_path / "demo/mine.txt").write_text("mine")
    with pytest.raises(BadInput, match="did not make"):
        make_invented(tmp_path, quietly)
    assert (tmp_path / "demo/mine.txt").read_text() == "mine"


def test_what_is_stopped_leaves_nothing(tmp_path):
    heard = []

    def going(done, of, what):
        heard.append((done, of, what))
        if done == 2:
            raise Stopped

    with pytest.raises(Stopped):
        build(tmp_path / "demo", going)
    assert [done for done, _, _ in heard] == [0, 1, 2]
    assert not (tmp_path / "demo").exists()


def test_a_house_is_opened_at_a_tract(tract):
    house = House(tract.parent, "Ash", tract, AS_OF)
    assert house.desk.plan().given.as_of == AS_OF
    assert [k.open for k in house.tracts()] == [True]


def idle(folder, going):
    """A job that goes on until it is told to stop."""
    at = 0
    while True:
        at += 1
        going(at, 1000, "idling")
        (folder / "here").write_text(str(at))


def fall(going):
    raise MemoryError


def counted(number, going):
    going(1, 2, "half way")
    return number * 2


def wait_for(job):
    from time import sleep

    for _ in range(1200):
        if not job.running:
            return job
        sleep(0.05)
    raise AssertionError(job)


def test_a_job_tells_how_it_goes_and_what_it_came_to(forked, monkeypatch):
    monkeypatch.setattr(jobs, "_SPAWN", forked)
    ended_ = []
    job = wait_for(Jobs().start("a", counted, 21, after=lambda: ended_.append(True)))
    assert (job.state, job.result, job.done, job.of) == ("done", 42, 2, 2)


def test_the_same_work_is_not_done_twice_at_once_and_is_stopped(tmp_path):
    work = Jobs()
    job = work.start("idle", idle, tmp_path)
    assert work.start("idle", idle, tmp_path) is job
    assert work.get(job.id) is job
    job.stop.set()
    assert wait_for(job).state == "stopped"
    assert "nothing was changed" in job.text


def test_more_work_than_there_is_room_for_waits_and_can_be_stopped(tmp_path):
    work = Jobs()
    first, second, third, last = (work.start(name, idle, tmp_path) for name in "abcd")
    last.stop.set()
    assert wait_for(last).state == "stopped"
    assert "waits" in third.text
    first.stop.set()
    second.stop.set()
    third.stop.set()
    assert [wait_for(j).state for j in (first, second, third)] == ["stopped"] * 3


@pytest.mark.filterwarnings("ignore")
def test_a_job_that_falls_is_said_to_have_broken_off(capfd):
    job = wait_for(Jobs().start("fall", fall))
    assert job.state == "refused"
    assert "broke off" in job.text


def test_a_job_that_is_not_there(seen):
    answer = seen.get("/api/jobs/nothing")
    assert answer.status_code == 404
    assert "nothing" in answer.json()["text"]
