"""Serving on the local net: the chain as TLS libraries judge it, the door, the set-up page."""

import http.client
import re
import ssl
import stat
import sys
from datetime import UTC, datetime, timedelta
from ipaddress import ip_address
from urllib.parse import urlsplit

import pytest
from asking import needs_ipv6

x509 = pytest.importorskip("cryptography.x509", reason="cryptography is not installed")

from cryptography.x509.verification import PolicyBuilder, Store, VerificationError  # noqa: E402

from fencerow.web import make_app  # noqa: E402
from fencerow.web.lan import addresses  # noqa: E402
from fencerow.web.lan.authority import authority_in, leaf_for, utc_now  # noqa: E402
from fencerow.web.lan.door import Pin  # noqa: E402
from fencerow.web.lan.serve import hosts_here, listening, renew  # noqa: E402
from fencerow.web.listen import plain  # noqa: E402
from fencerow.words import BadInput  # noqa: E402

NOW = datetime(2027, 3, 1, 12, tzinfo=UTC)
HERE = ("127.0.0.1", "localhost")


def days(count):
    return NOW + timedelta(days=count)


def loaded(file):
    return x509.load_pem_x509_certificate(file.read_bytes())


def judged(authority, leaf, name, at):
    """The chain as the library's own verifier sees it, by the rules of the web."""
    try:
        subject = x509.IPAddress(ip_address(name))
    except ValueError:
        subject = x509.DNSName(name)
    builder = PolicyBuilder().store(Store([authority.certificate])).time(at)
    builder.build_server_verifier(subject).verify(leaf, [])


def shaken(authority, file, name):
    """A handshake in memory, between a server with this certificate and one who asks for a name."""
    serving = ssl.create_default_context(ssl.Purpose.CLIENT_AUTH)
    serving.load_cert_chain(file)
    asking = ssl.create_default_context(cadata=authority.pem.decode())
    there, back = ssl.MemoryBIO(), ssl.MemoryBIO()
    client = asking.wrap_bio(back, there, server_hostname=name)
    server = serving.wrap_bio(there, back, server_side=True)
    for _ in range(4):
        for side in (client, server):
            try:
                side.do_handshake()
            except ssl.SSLWantReadError:
                continue
    return client.getpeercert()


def test_the_chain_holds_for_private_addresses_and_local_names(tmp_path):
    names = ["192.168.4.20", "10.1.2.3", "172.20.0.9", "fd42::7", "barn.local"]
    now = utc_now()
    authority = authority_in(tmp_path / "lan", now)
    file = leaf_for(authority, names, now)
    for name in names:
        judged(authority, loaded(file), name, now)
        told = shaken(authority, file, name)["subjectAltName"]
        assert {plain(v) for _, v in told} == set(names)


@pytest.mark.parametrize(
    "name", ["example.com", "8.8.8.8", "172.32.0.1", "2001:db8::1", "local.example"]
)
def test_for_anything_else_the_authority_is_not_believed(tmp_path, name):
    now = utc_now()
    authority = authority_in(tmp_path / "lan", now)
    file = leaf_for(authority, [name], now)
    with pytest.raises(VerificationError):
        judged(authority, loaded(file), name, now)
    with pytest.raises(ssl.SSLCertVerificationError, match="permitted subtree"):
        shaken(authority, file, name)


def test_the_authority_is_made_once_and_signs_no_other_authority(tmp_path):
    first = authority_in(tmp_path / "lan", NOW)
    again = authority_in(tmp_path / "lan", days(729))
    assert again.certificate == first.certificate
    basic = first.certificate.extensions.get_extension_for_class(x509.BasicConstraints)
    assert (basic.critical, basic.value.ca, basic.value.path_length) == (True, True, 0)
    assert first.certificate.extensions.get_extension_for_class(x509.NameConstraints).critical
    assert first.ends == days(730)
    assert re.fullmatch(r"([0-9A-F]{2}:){31}[0-9A-F]{2}", first.fingerprint)


def test_a_machines_certificate_is_made_anew_in_time_and_where_it_no_longer_fits(tmp_path):
    authority = authority_in(tmp_path / "lan", NOW)

    def serial(day, names=HERE, of=authority):
        return loaded(leaf_for(of, names, days(day))).serial_number

    first = serial(0)
    assert loaded(leaf_for(authority, HERE, NOW)).not_valid_after_utc == days(90)
    assert serial(60) == first
    second = serial(61)
    assert second != first
    moved = serial(61, ("127.0.0.1", "10.0.0.7"))
    assert moved != second
    (tmp_path / "lan/machine.pem").write_bytes(b"torn")
    assert serial(61) not in (first, second, moved)
    late = leaf_for(authority, HERE, days(720))
    assert loaded(late).not_valid_after_utc == authority.ends
    kept = loaded(late).serial_number
    assert serial(725) == kept
    successor = authority_in(tmp_path / "lan", days(730))
    assert successor.fingerprint != authority.fingerprint
    assert serial(730, of=successor) != kept


@pytest.mark.skipif(sys.platform == "win32", reason="modes of files are POSIX's")
def test_keys_are_readable_by_their_owner_alone(tmp_path):
    authority = authority_in(tmp_path / "lan", NOW)
    leaf_for(authority, HERE, NOW)
    for name in ("authority.key", "machine.pem"):
        assert stat.S_IMODE((tmp_path / "lan" / name).stat().st_mode) == 0o600
    assert stat.S_IMODE((tmp_path / "lan").stat().st_mode) == 0o700
    assert b"PRIVATE" not in authority.pem


def test_what_lies_there_and_is_no_authority_is_said(tmp_path):
    authority_in(tmp_path, NOW)
    (tmp_path / "authority.crt").write_text("no certificate")
    with pytest.raises(BadInput, match=r"authority\.crt is damaged"):
        authority_in(tmp_path, NOW)
    fresh = authority_in(tmp_path / "b", NOW)
    (tmp_path / "b/authority.key").write_text("no key")
    with pytest.raises(BadInput, match=r"authority\.key is damaged"):
        leaf_for(fresh, HERE, NOW)
    with pytest.raises(BadInput, match="cannot be kept"):
        authority_in(tmp_path / "authority.crt" / "below", NOW)


class Phone:
    """What a phone does at the addresses of a machine: it keeps one cookie, and trusts what it was
    given."""

    def __init__(self, trusts=""):
        self.trusts = ssl.create_default_context(cadata=trusts) if trusts else None
        self.cookie = ""

    def ask(self, url, path, method="GET", body=None, **headers):
        at = urlsplit(url)
        if at.scheme == "https":
            context = self.trusts or ssl.create_default_context()
            line = http.client.HTTPSConnection(at.hostname, at.port, timeout=20, context=context)
        else:
            line = http.client.HTTPConnection(at.hostname, at.port, timeout=20)
        sent = {name.replace("_", "-"): value for name, value in headers.items()}
        if self.cookie:
            sent["cookie"] = self.cookie
        line.request(method, path, body, sent)
        answer = line.getresponse()
        text = answer.read().decode()
        line.close()
        if answer.headers["set-cookie"]:
            self.cookie = answer.headers["set-cookie"].partition(";")[0]
        return answer, text

    def enter(self, url, pin):
        origin = {"origin": url.rstrip("/")}
        return self.ask(url, "/api/door", "POST", f"pin={pin}", **origin)[0]


@pytest.fixture(scope="module")
def lan(tmp_path_factory, static):
    """A server on loopback by way of the local net's code; its pins as they are told."""
    folder = tmp_path_factory.mktemp("lan")
    pins = []
    pin = Pin(pins.append)
    app = make_app(None, shelf=folder, static=static, hosts=HERE, pin=pin)
    with listening(app, folder / "config", HERE[:1], 0, 0) as running:
        pin.draw()
        yield running, pins


def test_a_phone_comes_in_by_the_certificate_and_one_pin(lan):
    running, pins = lan
    (url,) = running.pages
    with pytest.raises(ssl.SSLCertVerificationError):
        Phone().ask(url, "/")
    phone = Phone(running.authority.pem.decode())
    outside, _ = phone.ask(url, "/")
    assert (outside.status, outside.headers["location"]) == (303, "/api/door")
    assert outside.headers["strict-transport-security"] is None
    shut, text = phone.ask(url, "/api/tracts", sec_fetch_mode="cors")
    assert shut.status == 423
    assert "not let in" in text
    used = pins[-1]
    assert phone.ask(url, "/api/door", "POST", f"pin={used}")[0].status == 403  # a foreign page
    assert phone.enter(url, used).status == 303
    assert phone.ask(url, "/api/tracts")[0].status == 200
    assert "shell" in phone.ask(url, "/")[1]
    assert phone.ask(url, "/api/tracts", host="evil.example")[0].status == 400
    assert len(pins) == 2
    other = Phone(running.authority.pem.decode())
    assert other.enter(url, used).status == 403
    assert other.ask(url, "/api/tracts", sec_fetch_mode="cors")[0].status == 423


def test_the_set_up_page_gives_out_the_certificate_and_nothing_else(lan):
    running, _ = lan
    (url,) = running.setup
    phone = Phone()
    page, text = phone.ask(url, "/")
    assert page.status == 200
    assert running.authority.fingerprint in text
    assert running.pages[0] in text
    assert re.findall(r'(?:href|src|action)="([^"]*)"', text) == ["/fencerow.crt"]
    file, pem = phone.ask(url, "/fencerow.crt")
    assert file.headers["content-type"] == "application/x-x509-ca-cert"
    assert pem.encode() == running.authority.pem
    assert "PRIVATE" not in pem
    for path in ("/authority.key", "/machine.pem", "/../authority.key", "/api/state", "/ground"):
        assert phone.ask(url, path)[0].status == 404
    assert phone.ask(url, "/", "POST", "x")[0].status == 400
    assert phone.ask(url, "/", host="evil.example:80")[0].status == 400


def test_an_authority_from_before_ipv6_does_not_speak_for_its_addresses(tmp_path, monkeypatch):
    old = tuple(net for net in addresses.PRIVATE if net.version == 4)
    monkeypatch.setattr("fencerow.web.lan.authority.PRIVATE", old)
    before = authority_in(tmp_path / "old", NOW)
    monkeypatch.undo()
    now = authority_in(tmp_path / "new", NOW)
    asked = ("10.0.0.4", "fd42::7", "barn.local")
    assert [before.speaks_for(host) for host in asked] == [True, False, True]
    assert [now.speaks_for(host) for host in asked] == [True, True, True]


@needs_ipv6
def test_a_phone_comes_by_an_ipv6_address(tmp_path, static):
    pin = Pin(lambda drawn: None)
    app = make_app(None, shelf=tmp_path, static=static, hosts=["::1"], pin=pin)
    with listening(app, tmp_path / "config", ["::1"], 0, 0) as running:
        assert re.fullmatch(r"https://\[::1\]:\d+/", running.pages[0])
        assert re.fullmatch(r"http://\[::1\]:\d+/", running.setup[0])
        phone = Phone(running.authority.pem.decode())
        page, text = phone.ask(running.setup[0], "/")
        assert (page.status, running.pages[0] in text) == (200, True)
        assert phone.ask(running.pages[0], "/api/tracts", sec_fetch_mode="cors")[0].status == 423
        pin.draw()
        assert phone.enter(running.pages[0], pin._pin).status == 303
        assert phone.ask(running.pages[0], "/api/tracts")[0].status == 200


def test_a_running_server_goes_on_with_the_new_certificate(lan):
    running, _ = lan
    at = urlsplit(running.pages[0])

    def shown():
        return ssl.get_server_certificate((at.hostname, at.port))

    first = shown()
    (running.authority.folder / "machine.pem").unlink()
    renew(running)
    assert shown() != first


def test_wrong_pins_make_the_wait_longer_and_none_opens_twice():
    now, pins = [0.0], []
    pin = Pin(pins.append, lambda: now[0])
    assert pin.open("") is None  # none is drawn yet
    pin.draw()
    right = pins[-1]
    wrong = "000000" if right != "000000" else "000001"
    tries, moment = 0, 0
    while moment < 3600:
        now[0] = moment
        before = pin._shut_until
        assert pin.open(wrong) is None
        tries += pin._shut_until != before
        moment += 1
    assert tries < 70  # of a million, in an hour
    assert pin.open(right) is None
    now[0] += 61
    token = pin.open(right)
    assert pin.knows(token)
    assert not pin.knows("")
    assert not pin.knows(token + "x")
    now[0] += 61
    assert pins[-1] != right
    assert pin.open(right) is None


def test_a_phone_is_let_in_again_by_a_server_that_was_started_anew(tmp_path):
    now, pins, kept = [1.8e9], [], tmp_path / "phones.json"

    def started():
        return Pin(pins.append, lambda: 0.0, kept, lambda: now[0])

    first = started()
    first.draw()
    token = first.open(pins[-1])
    assert token not in kept.read_text()
    assert kept.stat().st_mode & 0o077 == 0
    again = started()
    assert (again.knows(token), again.knows("x"), again.count) == (True, False, 1)
    now[0] += 30 * 86400 + 1
    assert (started().knows(token), started().count) == (False, 0)
    for spoiled in ("", "[]", '{"a": "b"}', "\0"):
        kept.write_text(spoiled)
        assert started().count == 0


def test_the_addresses_of_this_machine_are_private_ones(monkeypatch, tmp_path):
    towards = {
        "10.0.0.254": "10.0.0.4", "10.9.0.254": "10.0.0.4", "192.168.7.254": "192.168.7.2",
        "192.0.2.1": "203.0.113.8", "2001:db8::1": "2001:db8:7::9", "fdff:ffff:ffff:ffff::1": "",
    }  # fmt: skip
    monkeypatch.setattr(addresses, "_own_towards", lambda asked: towards.get(asked, ""))
    monkeypatch.setattr("socket.gethostname", lambda: "Barn-PC.home.example")
    # address, number of the interface, prefix, scope, flags, interface: loopback, link-local, one
    # that lasts, a passing one, one of the internet
    rows = {"fd4207": 0x80, "fd4208": 0x01, "200107": 0x80}
    zeros = "0" * 25
    listed = [f"{start}{zeros}5 02 40 00 {flags:02x} eth0" for start, flags in rows.items()]
    listed += [f"{1:032x} 01 80 10 80 lo", f"fe80{'0' * 27}7 02 40 20 80 eth0"]
    monkeypatch.setattr(addresses, "_KNOWN_TO_LINUX", tmp_path / "if_inet6")
    (tmp_path / "if_inet6").write_text("\n".join(listed))
    assert hosts_here() == ("10.0.0.4", "192.168.7.2", "fd42:700::5", "barn-pc.local")
    every = ["10.0.0.4", "192.168.7.2", "203.0.113.8", "2001:700::5", "fd42:700::5"]
    assert addresses.hosts_of("::") == [*every, "barn-pc.local", "localhost"]
    assert addresses.hosts_of("0.0.0.0") == [*every[:3], "barn-pc.local", "localhost"]
    (tmp_path / "if_inet6").unlink()  # a system without that list
    assert addresses.own_addresses() == [*every[:3], "2001:db8:7::9"]
    monkeypatch.setattr(addresses, "_own_towards", lambda asked: "")
    with pytest.raises(BadInput, match="no address on a private net"):
        hosts_here()
    assert hosts_here("10.42.0.1") == ("10.42.0.1", "barn-pc.local")
    assert hosts_here("[FD42:0:0::5]") == ("fd42::5", "barn-pc.local")
    for named in ("203.0.113.8", "barn", "10.0.0", "fe80::1", "2001:db8::1", "::ffff:10.0.0.4"):
        with pytest.raises(BadInput, match="no address of a private net"):
            hosts_here(named)
