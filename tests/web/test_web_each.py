"""The whole API as each who may ask: requests made up from its schema, sound and unsound.

Nothing breaks, every answer is one that the schema names, what a role may not do is refused, and
no answer to a lesser role holds anything of a treestand that is hidden from it. A few requests for
each by day, many by night.
"""

import os
from functools import partial

import pytest
import schemathesis
from asking import OURS, client_of
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st
from schemathesis import GenerationMode
from test_web_api import CHECKS, SCHEMA
from test_web_roles import NAMES, PASSWORD, PHOTO, PLOT, STAND, TELLS, hidden_ground, told

from fencerow.store import Store, create
from fencerow.tract.read import check
from fencerow.web import make_app
from fencerow.web.accounts import Accounts
from fencerow.web.roles import NOBODY, ROLES, Act
from fencerow.web.route import OPEN
from fencerow.web.who import COOKIE, Needs

NIGHT = os.environ.get("HYPOTHESIS_PROFILE") == "nightly"
EXAMPLES = 200 if NIGHT else 2
ALONE, STRANGER = "alone", "signed out"
ASKERS = [*ROLES, STRANGER, ALONE]
LONG = {"/api/import", "/api/cards/read", "/api/tracts/invented"}
"""What begins long work for those who may: that is asked by test_web_api.py."""
SOUGHT = [PLOT, STAND, PHOTO, "Zyzzyva", "Mead", f"sits.{STAND}", f"places.{STAND}", "../x", ""]
"""What somebody who knows, or guesses, might ask for."""
ECHOED = (STAND, PHOTO, "Zyzzyva")


@pytest.fixture(scope="module")
def schema():
    """What there is to ask, read once for all who ask."""
    path, app = "/api/openapi.json", make_app(None)
    return schemathesis.openapi.from_asgi(path, app, headers={"host": "localhost"})


@pytest.fixture(scope="module")
def asked_as(tmp_path_factory, static):
    """For each who asks a server with a hidden treestand of its own, and what they carry."""
    made = {}

    def of(asker):
        if asker not in made:
            about = check("about", {"name": "Bare"}, "test")
            folder = create(tmp_path_factory.mktemp("each") / "bare.tract", about, author="Ash")
            folder = hidden_ground(folder.folder)
            for role, name in NAMES.items() if asker != ALONE else ():
                Accounts(folder).add(name, role, PASSWORD)
            made[asker] = folder, client_of(folder, static=static).app
        return made[asker]

    return of


def rules(app):
    """The act of each route, by method and path."""
    return {
        (method, route.path): route.dependant.dependencies[0].call.act
        for route in app.routes
        if route.path not in OPEN and isinstance(route.dependant.dependencies[0].call, Needs)
        for method in route.methods
    }


def carried(folder, asker):
    """The headers of who asks, with a session that is good now."""
    own = OURS | {"host": "localhost"}
    if asker not in ROLES:
        return own
    return own | {"cookie": f"{COOKIE}={Accounts(folder).sign_in(NAMES[asker], PASSWORD)}"}


@pytest.mark.parametrize("asker", ASKERS)
def test_the_whole_api_as(asked_as, schema, asker):
    folder, app = asked_as(asker)
    acts = ROLES[asker].acts if asker in ROLES else NOBODY.acts
    acts = frozenset(Act) if asker == ALONE else acts
    log = Store.open(folder).entries()
    hidden = {e.id.encode() for e in log if STAND in repr(e) and e.kind != "closing"}
    assert len(hidden) == 8
    routes = {r: a for r, a in rules(app).items() if NIGHT or not (r[1] in LONG and a in acts)}
    assert len(routes) > 25
    for (method, path), act in routes.items():
        operation, headers = schema[path][method.lower()], carried(folder, asker)
        asked = partial(schemathesis.Case.call, app=app, headers=headers, timeout=120)

        def judged(case, sought, answer, act=act, path=path):
            where = (asker, case.method, path, answer.status_code)
            said = SCHEMA["paths"][path][case.method.lower()]["responses"]
            assert str(answer.status_code) in said, where  # `default` is no way out
            if act not in acts:
                refused = {401} if asker == STRANGER else {403}
                assert answer.status_code in refused | {400}, where  # 400: no JSON at all
            if asker not in ("owner", ALONE):
                assert not_telling(answer, sought, hidden), where

        put_to(operation, asked, judged)


def put_to(operation, asked, judged):
    """Make up requests to an operation, ask each, and judge its answer."""
    both = (GenerationMode.POSITIVE, GenerationMode.NEGATIVE)
    made_up = st.one_of(operation.as_strategy(generation_mode=mode) for mode in both)

    @settings(max_examples=EXAMPLES, suppress_health_check=list(HealthCheck), deadline=None,
              database=None, phases=[Phase.generate])  # fmt: skip
    @given(case=made_up, sought=st.sampled_from(SOUGHT))
    def ask(case, sought):
        for name in {"place", "path"} & set(case.query if isinstance(case.query, dict) else ()):
            case.query[name] = sought
        answer = asked(case)
        case.validate_response(answer, checks=CHECKS)
        judged(case, sought, answer)

    ask()


def not_telling(answer, sought, hidden):
    """Whether nothing of what is hidden stands in an answer; what was asked for may come back."""
    text = told(answer) if NIGHT else answer.content + str(answer.headers).encode()
    if sought in ECHOED or STAND in sought:
        text = text.replace(sought.encode(), b"")
    return not TELLS.search(text) and not any(i in text for i in hidden)
