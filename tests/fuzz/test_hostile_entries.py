"""What a page sent and broke the server with once: now each row is answered for by itself."""

import json

import fuzz_requests
import fuzz_samples as sound
import pytest
from fuzz_guards import Kit


@pytest.fixture
def server(tmp_path):
    kit = Kit(tmp_path)
    yield kit.once(fuzz_requests.Server)
    kit.close()


def test_a_row_that_is_no_object_is_refused_and_the_others_stored(server):
    good = next(r for r in sound.entries() if r["kind"] == "note")
    odd = [None, [], "x", 5]
    body = json.dumps({"entries": [*odd, good]}).encode()
    status, answer = server.ask("POST", "/api/entries", body=body)
    receipt = json.loads(answer)
    assert (status, receipt["stored"]) == (200, [good["id"]])
    assert [r["id"] for r in receipt["refused"]] == [""] * len(odd)
    status, _ = server.ask("POST", "/api/try", body=body)
    assert status == 400


def test_an_id_of_half_a_letter_can_be_sent_back(server):
    row = {**sound.entries()[0], "id": "\ud800"}
    status, answer = server.ask(
        "POST", "/api/entries", body=json.dumps({"entries": [row]}).encode()
    )
    assert (status, json.loads(answer)["refused"][0]["id"]) == (200, "\\ud800")
