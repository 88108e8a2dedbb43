"""The schema of the API: it is the one in the documents, every route keeps to it, and each has a
rule of who may ask.
"""

import json
import shutil
from pathlib import Path

import jsonschema
import pytest
import schemathesis
from asking import OURS, client_of
from fastapi.routing import APIRoute
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from schemathesis import GenerationMode
from schemathesis.checks import not_a_server_error
from schemathesis.specs.openapi.checks import (
    content_type_conformance,
    response_schema_conformance,
    status_code_conformance,
)

from fencerow.exchange.demo import AS_OF
from fencerow.web import make_app, roles
from fencerow.web.roles import Act, Role
from fencerow.web.who import Needs, Person, may, sees

ROOT = Path(__file__).parents[2]
SCHEMA = make_app(None).openapi()
CHECKS = [
    not_a_server_error,
    status_code_conformance,
    content_type_conformance,
    response_schema_conformance,
]
SET_APART = ["/api/tracts/invented"]  # it would make the invented tract once for each example
EXAMPLES, IN_A_PROCESS = 3, 1


def closed(part):
    """The schema, so that what it does not name is not let through."""
    if isinstance(part, dict):
        made = {k: closed(v) for k, v in part.items()}
        return made | ({"additionalProperties": False} if "properties" in made else {})
    return [closed(p) for p in part] if isinstance(part, list) else part


def held_to(name, value):
    components = {"schemas": closed(SCHEMA["components"]["schemas"])}
    schema = {"$ref": f"#/components/schemas/{name}", "components": components}
    jsonschema.validate(value, schema)


def test_the_documents_hold_the_schema_as_it_is():
    kept = (ROOT / "docs/openapi.json").read_text(encoding="utf-8")
    now = json.dumps(SCHEMA, indent=1, ensure_ascii=False) + "\n"
    assert kept == now, "write it anew: make schemas"


@pytest.mark.parametrize(
    ("path", "name", "asked"),
    [("state", "State", {}), ("forms", "Forms", {}), ("relief.json", "Relief", {}),
     ("why", "Why", {"path": "order.harrow-field.lime"}), ("tracts", "House", {}),
     ("place", "PlaceRecord", {"place": "FIRST"})],
)  # fmt: skip
def test_an_answer_holds_what_the_schema_names_and_nothing_else(seen, path, name, asked):
    places = seen.get("/api/state").json()["places"]
    asked = {k: places[0]["id"] if v == "FIRST" else v for k, v in asked.items()}
    held_to(name, seen.get(f"/api/{path}", params=asked).json())


def test_a_trial_and_a_receipt_are_in_their_form(page, entry, post):
    held_to("Planned", post(page, "/api/try", entries=[entry()]).json())
    held_to("Receipt", post(page, "/api/entries", entries=[entry(), {"id": "x"}]).json())


def test_the_pages_know_the_form_of_the_state(seen):
    pages = (ROOT / "ui/src/lib/form.ts").read_text(encoding="utf-8")
    assert f"FORM = {seen.get('/api/state').json()['form']};" in pages


def test_every_route_has_a_rule():
    routes = [r for r in make_app(None).routes if isinstance(r, APIRoute)]
    ours = [r for r in routes if r.path.startswith("/api/")]
    assert len(ours) > 15
    for route in ours:
        rules = [d.call for d in route.dependant.dependencies if isinstance(d.call, Needs)]
        assert len(rules) == 1, route.path
    assert {r.path for r in routes} - {r.path for r in ours} == {"/{path:path}"}


def test_the_owner_may_all_and_a_stranger_nothing():
    owner, stranger = Person("Ash", "owner"), Person("Birch", "stranger")
    assert all(may(owner, act) for act in Act)
    assert {act for act in Act if may(stranger, act)} == {Act.ENTER}
    assert sees(owner, "manager")
    assert sees(stranger, "all")
    assert not sees(stranger, "manager")


def test_who_may_not_is_told_so(seen, monkeypatch):
    only = Role(frozenset({Act.SEE}), frozenset(), frozenset({"all"}))
    monkeypatch.setitem(roles.ROLES, "owner", only)
    assert seen.get("/api/state").status_code == 200
    refused = seen.post("/api/entries", json={"entries": []}, headers=OURS)
    assert refused.status_code == 403
    assert "Ash" in refused.json()["text"]


def asked_of(app):
    return schemathesis.openapi.from_asgi("/api/openapi.json", app, headers={"host": "localhost"})


@pytest.fixture(scope="module")
def fuzzed(demo_folder, tmp_path_factory):
    """Servers to which anything may be done: on the invented tract, and on an empty folder."""
    folder = tmp_path_factory.mktemp("fuzzed")
    shutil.copytree(demo_folder / "plover-bench.tract", folder / "plover-bench.tract")
    tract = asked_of(client_of(folder / "plover-bench.tract", as_of=AS_OF).app)
    house = asked_of(client_of(None, shelf=tmp_path_factory.mktemp("house")).app)
    return lambda path: (house if path.startswith("/api/tracts") else tract)[path]


ROUTES = [
    (verb, path) for path, verbs in SCHEMA["paths"].items() for verb in verbs
    if path not in SET_APART
]  # fmt: skip


@pytest.mark.parametrize(("verb", "path"), ROUTES)
def test_whatever_is_asked_is_answered_in_form(fuzzed, verb, path):
    """Requests made up from the schema, sound and unsound: never a fault, always as documented."""
    most = IN_A_PROCESS if path == "/api/import" else EXAMPLES
    both = [GenerationMode.POSITIVE, GenerationMode.NEGATIVE]
    made_up = st.one_of(fuzzed(path)[verb].as_strategy(generation_mode=mode) for mode in both)

    @settings(max_examples=most, suppress_health_check=list(HealthCheck), deadline=None)
    @given(case=made_up)
    def ask(case):
        answer = case.call(headers=OURS | {"host": "localhost"}, timeout=120)
        case.validate_response(answer, checks=CHECKS)

    ask()
