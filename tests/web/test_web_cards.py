"""A card sent by a page: photo by photo, gone on with, then read in as any other card."""

from datetime import datetime

from asking import OURS, ended
from card_maker import lay_card

from fencerow.store import Store

AT = datetime(2026, 12, 20, 7, 0)


def test_a_card_is_sent_gone_on_with_and_read(page, tract, tmp_path):
    store = Store.open(tract)
    camera = next(k for k in store.tract().places.values() if k.body.name == "Neck Camera")
    before = set(store.tract().visits)
    paths = lay_card(tmp_path / "card", AT, [0, 2, 90])
    rows = [[p.name, p.stat().st_size, 7] for p in paths] + [["../climbs.txt", 3, 7]]
    contents = [*(p.read_bytes() for p in paths), b"abc"]

    def post(path, body):
        return page.post(f"/api/cards/{path}", json=body, headers=OURS)

    def send(number):
        name, size, changed = rows[number]
        asked = {"card": camera.id, "name": name, "size": size, "changed": changed}
        return page.post("/api/cards/photo", params=asked, content=contents[number], headers=OURS)

    listed = {"card": camera.id, "files": rows}
    assert post("unsent", listed).json() == {"unsent": [0, 1, 2, 3]}
    assert [send(n).status_code for n in (0, 1)] == [200, 200]
    assert post("unsent", listed).json() == {"unsent": [2, 3]}
    assert [send(n).status_code for n in (2, 3)] == [200, 200]
    job = ended(page, post("read", listed | {"camera": camera.id, "baited": True}).json())
    assert job["state"] == "done", job
    assert "3 photos in 2 visits" in job["result"][0]
    now = Store.open(tract).tract()
    new = [v.body for i, v in now.visits.items() if i not in before]
    assert sorted(v.photos for v in new) == [1, 2]
    assert all(v.shots and not v.tagged for v in new)
    card = now.cards[new[0].card].body
    assert (card.kept, card.baited, card.camera) == (3, True, camera.id)
    assert Store.open(tract).verify() == ()
    assert not list((tract / "cards").glob("sent-*"))
    assert sorted(p.name for p in tmp_path.iterdir() if "climbs" in p.name) == []


def test_a_key_or_a_word_that_is_wrong_is_refused(page):
    bad = {"card": "../../x", "files": []}
    assert page.post("/api/cards/unsent", json=bad, headers=OURS).status_code == 400
    asked = {"card": "abcdefgh", "files": [], "camera": "no such", "saving": "sometimes"}
    refused = page.post("/api/cards/read", json=asked, headers=OURS)
    assert refused.status_code == 400
    assert "daylight" in refused.json()["text"]
