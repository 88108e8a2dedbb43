"""A browser without pages, for the tests of the API."""

import socket
import time

import pytest
from starlette.testclient import TestClient

from fencerow.exchange.demo import AS_OF
from fencerow.web import make_app

OURS = {"sec-fetch-site": "same-origin"}
URL = "http://127.0.0.1:8765"


def _has_ipv6():
    try:
        with socket.socket(socket.AF_INET6) as one:
            one.bind(("::1", 0))
    except OSError:
        return False
    return True


needs_ipv6 = pytest.mark.skipif(not _has_ipv6(), reason="this machine has no IPv6")


def ended(page, job):
    """A job when it has ended."""
    for _ in range(1200):
        now = page.get(f"/api/jobs/{job['id']}").json()
        if now["state"] != "running":
            return now
        time.sleep(0.1)
    raise AssertionError("the job did not end")


def client_of(tract, **more):
    """A browser without pages: what the server breaks on is answered, as it would be outside."""
    app = make_app(tract, **{"author": "Ash", "as_of": AS_OF, **more})
    return TestClient(app, base_url=URL, raise_server_exceptions=False)
