"""What comes off the wire, over real sockets: heads, bodies, hosts, and where one listens."""

import socket
import threading
import time
from contextlib import contextmanager

import pytest
import uvicorn
from asking import needs_ipv6

from fencerow.web import make_app, safety, serve, wire
from fencerow.web.accounts import Accounts
from fencerow.web.listen import bound, in_url, plain
from fencerow.words import BadInput

PASSWORD = "correct horse battery"


@contextmanager
def running(app, host="127.0.0.1"):
    """A server in a thread, at the address of one of its sockets."""
    sockets = bound(0, host)
    server = uvicorn.Server(wire.config_of(app))
    thread = threading.Thread(target=server.run, args=(sockets,), daemon=True)
    thread.start()
    while not server.started:
        time.sleep(0.01)
    try:
        yield sockets[0].getsockname()
    finally:
        server.should_exit = server.force_exit = True
        thread.join(20)
        for one in sockets:
            one.close()


@pytest.fixture(scope="module")
def at(tmp_path_factory, static):
    """A server with short patience, and no tract open."""
    patch = pytest.MonkeyPatch()
    patch.setattr(wire, "HEAD_S", 1.0)
    patch.setattr(safety, "PATIENCE_S", 1.0)
    app = make_app(None, shelf=tmp_path_factory.mktemp("wire"), static=static)
    with running(app) as address:
        yield address
    patch.undo()


def asked(address, sent, wait_s=20):
    """What comes back for bytes as they are, until the other side closes; b'' for silence."""
    family = socket.AF_INET6 if ":" in address[0] else socket.AF_INET
    with socket.socket(family) as line:
        line.settimeout(wait_s)
        line.connect(address)
        line.sendall(sent)
        return _rest(line)


def _rest(line):
    found = b""
    try:
        while part := line.recv(65536):
            found += part
    except ConnectionResetError:
        pass
    return found


def status(answer):
    return int(answer.split(b" ", 2)[1]) if answer else None


def get(path="/api/tracts", host="localhost", version="1.1", *more):
    head = [f"GET {path} HTTP/{version}", *([f"Host: {host}"] if host is not None else [])]
    return "\r\n".join([*head, "Connection: close", *more, "", ""]).encode("latin-1")


OURS = "Sec-Fetch-Site: same-origin\r\nContent-Type: application/json\r\n"
JOINED = "POST /api/tracts HTTP/1.1\r\nHost: localhost\r\n" + OURS
HIDDEN = "0\r\n\r\nGET /api/hidden HTTP/1.1\r\nHost: localhost\r\n\r\n"


def test_a_plain_question_is_answered_and_the_server_does_not_say_what_it_is(at):
    answer = asked(at, get())
    assert status(answer) == 200
    assert b"server:" not in answer.lower()
    assert b"uvicorn" not in answer.lower()


@pytest.mark.parametrize(
    "sent",
    [JOINED + "Content-Length: 4\r\nTransfer-Encoding: chunked\r\n\r\n" + HIDDEN,
     JOINED + "Content-Length: 4\r\nContent-Length: 60\r\n\r\n" + HIDDEN,
     JOINED + "Transfer-Encoding: chunked, identity\r\n\r\n" + HIDDEN,
     JOINED + "Transfer-Encoding: xchunked\r\n\r\n" + HIDDEN,
     JOINED + "Content-Length : 4\r\n\r\n" + HIDDEN,
     JOINED + "Content-Length: +4\r\n\r\n" + HIDDEN,
     JOINED + "Content-Length: -4\r\n\r\n" + HIDDEN,
     JOINED + "Transfer-Encoding: chunked\r\n\r\nzz\r\n" + HIDDEN,
     "POST /api/tracts HTTP/1.1\r\nHost: localhost\r\nHost: evil.example\r\n" + OURS + "\r\n",
     "GET /api/tracts HTTP/1.1\r\n\r\n",
     "GET /api/tra\x00cts HTTP/1.1\r\nHost: localhost\r\n\r\n",
     "GET /api/tracts HTTP/1.1\r\nHost: local\x00host\r\n\r\n",
     "nonsense\r\n\r\n"],
    ids=range(13),
)  # fmt: skip
def test_a_request_that_can_be_read_in_two_ways_is_refused_once_and_closed(at, sent):
    answer = asked(at, sent.encode("latin-1"))
    assert status(answer) in (400, 501)
    assert answer.count(b"HTTP/1.1 ") == 1
    assert b"hidden" not in answer


@pytest.mark.parametrize("size", [300_000, 2_000_000])
def test_a_head_that_is_too_large_is_refused(at, size):
    assert status(asked(at, get("/api/tracts", "localhost", "1.1", "X: " + "a" * size))) in (
        400, None,  # None: closed while it was still being sent
    )  # fmt: skip


def test_a_head_that_does_not_end_is_closed_upon(at):
    begun = time.monotonic()
    with socket.create_connection(at, 20) as silent, socket.create_connection(at, 20) as slow:
        for piece in ("GET /", "api/", "tracts", " HTTP/1.1\r\n", "X: y"):
            slow.sendall(piece.encode())
            time.sleep(0.2)
        assert _rest(silent) == _rest(slow) == b""
    assert time.monotonic() - begun < 15


def test_a_body_that_only_trickles_is_not_waited_for(at):
    with socket.create_connection(at, 20) as line:
        line.sendall((JOINED + "Content-Length: 1000\r\n\r\n").encode())
        for _ in range(3):
            line.sendall(b" ")
            time.sleep(0.2)
        assert status(_rest(line)) == 408


def test_the_next_request_of_a_connection_has_the_same_patience(at):
    with socket.create_connection(at, 20) as line:
        line.sendall(get().replace(b"Connection: close\r\n", b""))
        assert line.recv(65536).startswith(b"HTTP/1.1 200")
        line.sendall(b"GET /api")
        assert b"HTTP/1.1" not in _rest(line)


def test_a_body_of_no_stated_length_is_held_to_the_limit(at):
    chunks = b"FFFF\r\n" + b" " * 0xFFFF + b"\r\n"
    head = (JOINED + "Transfer-Encoding: chunked\r\nConnection: close\r\n\r\n").encode()
    assert status(asked(at, head + chunks * 34 + b"0\r\n\r\n")) == 413


@pytest.mark.parametrize(
    ("version", "host", "expected"),
    [("1.0", "localhost", 200), ("1.0", None, 400), ("1.1", None, 400), ("1.1", "LOCALHOST", 200),
     ("1.1", "localhost:1", 200), ("1.1", "127.0.0.1:8765", 200), ("1.1", "[::1]:8765", 200),
     ("1.1", "[::1]", 200), ("1.1", "::1", 400), ("1.1", "[::2]", 400), ("1.1", "", 400),
     ("1.1", "[::ffff:127.0.0.1]", 400), ("1.1", "localhost.evil.example", 400),
     ("1.1", "evil.example#localhost", 400), ("1.1", "evil.example/localhost", 400),
     ("1.1", "me@localhost", 400), ("1.1", "localhost, evil.example", 400),
     ("1.1", "localhost:x", 400), ("1.1", "2130706433", 400), ("1.1", "0x7f.1", 400)],
)  # fmt: skip
def test_the_host_is_this_server_whatever_the_protocol(at, version, host, expected):
    assert status(asked(at, get("/api/tracts", host, version))) == expected


def test_another_servers_address_as_the_target_is_nothing_here(at):
    for target in ("http://evil.example/api/tracts", "//evil.example/api/tracts", "*"):
        assert status(asked(at, get(target))) in (200, 404)
        assert b'"tracts"' not in asked(at, get(target))


def test_a_web_socket_is_not_opened(at):
    upgrade = ("Upgrade: websocket", "Sec-WebSocket-Version: 13", "Sec-WebSocket-Key: eA==")
    sent = get("/api/tracts", "localhost", "1.1", *upgrade).replace(b"close", b"Upgrade")
    with socket.create_connection(at, 20) as line:
        line.sendall(sent)
        assert b" 101 " not in line.recv(65536)


@needs_ipv6
def test_ipv6_is_served_by_each_way_to_name_it(bare, static, monkeypatch):
    Accounts(bare).add("Ash", "owner", PASSWORD)
    monkeypatch.setattr("fencerow.web.app.hosts_of", lambda host: ["fd42::7", "barn.local"])
    app = make_app(bare, static=static, host="::")
    with running(app, "::") as address:
        for near, host in (("::1", "[fd42::7]:8765"), ("127.0.0.1", "barn.local")):
            answer = asked((near, address[1]), get("/api/me", host))
            assert (status(answer), b'"name":""' in answer) == (200, True)
        assert status(asked(("::1", address[1]), get("/api/state", "[fd42::7]"))) == 401
        assert status(asked(("::1", address[1]), get("/api/me", "[fd42::8]"))) == 400
        named = (
            b"POST /api/sign-in HTTP/1.1\r\nHost: [fd42::7]:80\r\nOrigin: http://[fd42::7]:80\r\n"
        )
        rest = b"Content-Type: application/json\r\nConnection: close\r\nContent-Length: 2\r\n\r\n{}"
        assert status(asked(("::1", address[1]), named + rest)) == 400  # read, and found wanting


@needs_ipv6
@pytest.mark.parametrize(
    ("host", "shown"), [("::1", "[::1]"), ("[::1]", "[::1]"), ("localhost", "localhost")]
)
def test_the_address_is_shown_as_a_browser_takes_it(tmp_path, monkeypatch, host, shown):
    told = []
    monkeypatch.setattr("uvicorn.Server.run", lambda self, sockets: self._tell())
    serve.serve(make_app(None, shelf=tmp_path), 0, told.append, False, host)
    assert told[0].startswith(f"http://{shown}:")


def test_a_host_is_written_in_one_way():
    assert [plain(h) for h in ("[FD00:0:0::1]", "Barn.LOCAL", "10.0.0.4")] == [
        "fd00::1", "barn.local", "10.0.0.4"]  # fmt: skip
    assert [in_url(h) for h in ("fd00::1", "barn.local")] == ["[fd00::1]", "barn.local"]
    with pytest.raises(BadInput, match="zone"):
        plain("fe80::1%eth0")
    for host in ("*", "*.local", "a b", "http://barn.local", "barn.local:80", "-"):
        with pytest.raises(BadInput, match="no address and no name"):
            plain(host)
    for host in ("203.0.113.77", "nowhere.invalid"):
        with pytest.raises(BadInput, match="no address or name of this machine"):
            bound(0, host)
