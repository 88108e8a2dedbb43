"""What the ground page asks for: an area split, the history of a place, what is known of it."""

import pytest
from asking import client_of

from fencerow.science.ground.measure import area_ac
from fencerow.tract.places import PLACE_KINDS
from fencerow.tract.shape import Shape
from fencerow.tract.split import split_area
from fencerow.words import BadInput

SQUARE = [[-90.62, 47.31], [-90.618, 47.31], [-90.618, 47.312], [-90.62, 47.312], [-90.62, 47.31]]
HOLE = [[-90.6195, 47.3105], [-90.6185, 47.3105], [-90.6185, 47.3115], [-90.6195, 47.3115],
        [-90.6195, 47.3105]]  # fmt: skip
ACROSS = [[-90.6195, 47.309], [-90.6195, 47.313]]


def area(*rings):
    return Shape("Polygon", rings)


def line(*points):
    return Shape("LineString", points)


def of_name(page, name):
    return next(p for p in page.get("/api/state").json()["places"] if p["name"] == name)


def ways(page, place):
    return page.get("/api/history", params={"place": place}).json()


def test_the_parts_hold_what_the_whole_held_the_largest_first():
    parts = [area_ac(p) for p in split_area(area(SQUARE), line(*ACROSS))]
    assert parts == sorted(parts, reverse=True)
    assert parts[1] / parts[0] == pytest.approx(1 / 3, rel=1e-6)
    assert sum(parts) == pytest.approx(area_ac(area(SQUARE)), abs=1e-6)


def test_a_line_that_ends_on_the_edge_reaches_it():
    touching = line([-90.6195, 47.31], [-90.6195, 47.312])
    assert len(split_area(area(SQUARE), touching)) == 2
    corner_to_corner = line(SQUARE[0], SQUARE[2])
    assert len(split_area(area(SQUARE), corner_to_corner)) == 2


def test_a_bent_line_may_leave_more_than_two_parts():
    bent = line([-90.6195, 47.309], [-90.6195, 47.313], [-90.6185, 47.313], [-90.6185, 47.309])
    assert len(split_area(area(SQUARE), bent)) == 3


def test_a_hole_stays_a_hole():
    parts = split_area(area(SQUARE, HOLE), line([-90.6199, 47.309], [-90.6199, 47.313]))
    assert [len(p.coordinates) for p in parts] == [2, 1]
    assert sum(map(area_ac, parts)) == pytest.approx(area_ac(area(SQUARE, HOLE)), abs=1e-6)


def test_of_several_areas_the_one_that_is_missed_stays_with_the_largest():
    far = [[lon + 0.01, lat] for lon, lat in SQUARE]
    both = Shape("MultiPolygon", [[SQUARE], [far]])
    first, second = split_area(both, line(*ACROSS))
    assert (first.type, second.type) == ("MultiPolygon", "Polygon")
    assert area_ac(first) + area_ac(second) == pytest.approx(area_ac(both), abs=1e-6)


@pytest.mark.parametrize(
    ("shape", "along", "why"),
    [
        (area(SQUARE), line([-90.6195, 47.309], [-90.6195, 47.311]), "from edge to edge"),
        (area(SQUARE), line([-90.63, 47.309], [-90.63, 47.313]), "from edge to edge"),
        (area(SQUARE), line([-90.619, 47.311], [-90.6189, 47.3111]), "from edge to edge"),
        (area(SQUARE, HOLE), line([-90.619, 47.309], [-90.619, 47.311]), "from edge to edge"),
        (line(*ACROSS), line(*ACROSS), "this is a LineString"),
        (area(SQUARE), area(SQUARE), "this is a Polygon"),
        (area(SQUARE), line([-90.62, 47.3100001], [-90.6199999, 47.31]), "0.001 ac"),
    ],
)
def test_a_line_that_splits_nothing_says_what_would(shape, along, why):
    with pytest.raises(BadInput, match=why):
        split_area(shape, along)


def test_the_server_splits_an_outline_and_writes_nothing(seen, post):
    before = seen.get("/api/state").json()["log"]
    field = of_name(seen, "Harrow Field")
    lons, lats = zip(*field["shape"]["coordinates"][0], strict=True)
    middle = (min(lons) + max(lons)) / 2
    along = {"type": "LineString",
             "coordinates": [[middle, min(lats) - 0.001], [middle, max(lats) + 0.001]]}  # fmt: skip
    parts = post(seen, "/api/split", shape=field["shape"], line=along).json()["parts"]
    whole = area_ac(Shape(**field["shape"]))
    assert sum(p["acres"] for p in parts) == pytest.approx(whole, abs=0.001)
    assert [area_ac(Shape(**p["shape"])) for p in parts] == [p["acres"] for p in parts]
    assert seen.get("/api/state").json()["log"] == before
    along["coordinates"].pop()
    wrong = post(seen, "/api/split", shape=field["shape"], line=along)
    assert wrong.status_code == 400
    assert "line" in wrong.json()["text"]


def test_the_history_of_a_place_names_all_that_was_said_of_it(page, entry, post):
    field = of_name(page, "Harrow Field")
    about = {"place": field["id"]}
    moved = field["shape"]["coordinates"][0][1:-1]
    shape = {"type": "Polygon", "coordinates": [[*moved, moved[0]]]}
    said = [
        entry("place", field["id"], {**field["body"], "shape": shape, "drainage": "stays wet"},
              parents=[field["entry"]], happened_on="2027-01-13"),
        entry(body={"about": "count", "amount": 12, "text": "rows", **about},
              happened_on="2027-01-14"),
        entry("done", body={"task": f"cores.{field['id']}.2027", "note": "wet"},
              happened_on="2027-01-15"),
        entry(body={"about": "seen", "text": "elsewhere"}),
        entry("permission", body={"form": "erodible", "places": [field["id"]]}, author="Birch",
              happened_on=None, said_at="2027-01-17T03:00:00Z"),
    ]  # fmt: skip
    assert len(post(page, "/api/entries", entries=said).json()["stored"]) == 5
    rows = ways(page, field["id"])
    first = next(r for r in rows if r["kind"] == "place")
    assert first["text"] == "Harrow Field, drawn"
    assert {"soil-test", "planting"} <= {r["kind"] for r in rows}
    assert "pH" in next(r["text"] for r in rows if r["kind"] == "soil-test")
    last = rows[-4:]
    assert [(r["on"][-2:], r["text"]) for r in last] == [
        ("13", "outline drawn anew, changed: drainage"),
        ("14", "count, 12, rows"),
        ("15", "cores, done, wet"),
        ("16", "erodible"),  # still the 16th where the tract is
    ]
    assert [r["counts"] for r in last] == [False, True, False, False]
    assert last[3]["author"] == "Birch"
    assert not any(r["taken_back"] for r in rows)


def test_days_and_kinds_are_said_as_they_are_elsewhere(seen):
    rows = ways(seen, of_name(seen, "Bluestem Side")["id"])
    assert rows[0]["what"] == "native-grass field" or rows[1]["what"] == "native-grass field"
    permission = next(r["text"] for r in rows if r["kind"] == "permission")
    assert permission.startswith("cost-share, no mowing, spraying or burning")
    assert "season from May 15" in permission


def test_what_was_taken_back_stays_in_the_history_and_says_so(page, entry, post):
    field = of_name(page, "Harrow Field")
    note = entry(body={"about": "seen", "text": "a rub", "place": field["id"]})
    post(page, "/api/entries", entries=[note, entry("undo", body={"entries": [note["id"]]})])
    rows = ways(page, field["id"])[-2:]
    assert [(r["kind"], r["taken_back"]) for r in rows] == [("note", True), ("undo", False)]


def test_a_planting_that_is_removed_stays_in_the_history(page, entry, post):
    planting = page.get("/api/state").json()["things"]["planting"][0]
    gone = entry("remove", planting["id"], {"why": "too late"}, parents=[planting["entry"]])
    post(page, "/api/entries", entries=[gone])
    assert ways(page, planting["body"]["place"])[-1]["text"] == "removed, too late"


def test_a_place_that_is_not_there_has_no_history(seen):
    assert ways(seen, "nowhere") == []
    missing = seen.get("/api/place", params={"place": "nowhere"})
    assert missing.status_code == 404
    assert "nowhere" in missing.json()["text"]


def test_what_a_place_costs_opens_to_its_working(seen):
    known = seen.get("/api/place", params={"place": of_name(seen, "Harrow Field")["id"]}).json()
    why = seen.get("/api/why", params={"path": known["cost"]["path"]}).json()
    assert why["steps"][0]["value"] == known["cost"]["text"]
    assert known["cost"]["text"].startswith("$")
    road = seen.get("/api/place", params={"place": of_name(seen, "Ferry Road")["id"]}).json()
    assert "not known" in road["cost"]


def test_the_permissions_of_a_place_say_why_they_speak_of_it(bare, entry, post):
    page = client_of(bare)

    def place(kind, name, shape):
        body = {"kind": kind, "name": name, "shape": {"type": "Polygon", "coordinates": [shape]}}
        return entry("place", name.lower(), body)

    def permission(**body):
        return entry("permission", body={"form": "licence", **body})

    post(page, "/api/entries", entries=[
        place("plot", "Plot", SQUARE), place("right-of-way", "Row", HOLE),
        permission(terms="own", places=["plot"], ends="2026-12-31"),
        permission(terms="all"), permission(terms="row", places=["row"]),
        permission(terms="other", places=["other"]),
    ])  # fmt: skip
    found = page.get("/api/place", params={"place": "plot"}).json()["permissions"]
    told = {p["body"]["terms"]: (p["why"], p["in_force"]) for p in found}
    assert told == {
        "own": ("", False),
        "all": ("for the whole tract", True),
        "row": ("through Row", True),
    }


def test_the_forms_say_how_each_kind_of_place_is_drawn(seen):
    places = seen.get("/api/forms").json()["places"]
    assert set(places) == set(PLACE_KINDS)
    assert places["plot"] == {"name": "plot", "outlines": ["Polygon"], "visibility": "all"}
    assert places["water"]["outlines"] == ["Polygon", "LineString", "Point"]
    assert places["native-grass field"]["name"] == "native-grass field"
