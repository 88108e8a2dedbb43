"""How a sound file is spoiled, so that it still reaches deep: each way is one small function.

A way takes the bytes, other sound samples, and `choose(n)`, which gives a whole number below n. So
one set of ways serves hypothesis, which shrinks what it chose, and a seeded run of a million.
"""

import contextlib
import gzip
import io
import json
import random
import re
import stat
import warnings
import zipfile

MOST = 200_000
"""No spoiled file is larger: an input is to be hostile, not long."""

LENGTHS = (0, 1, 2, 7, 8, 127, 128, 255, 256, 32767, 65535, 2**31 - 1, 2**31, 2**32 - 1, 2**63)
TEXTS = (
    "", "0", "-1", "1e999", "-1e999", "NaN", "Infinity", "9" * 40, "9" * 5000, "0.1", "1_000",
    "0x10", "٣", "²", "½", "-0", "+5", " 5 ", "1e5", "=1+1", "'=1", "@x", '"', "'", "\t", "\0",
    "\r", "\x85", "\u2028", "\ufeff", "é", "\U00010400", "../../../etc/passwd", "/etc/passwd",
    "file:///etc/passwd", "C:\\x", "{}", "{0}", "%s", "&amp;", "&x;", "<a>", "]]>", "null", "true",
    "0000-00-00", "9999-12-31", "2027-02-30", "2027-13-01", "0001-01-01", "10000-01-01",
    "2027-01-01T00:00:00+23:59", "24:00", "x" * 300, "x" * 3000, ",", ";", "|", "a,b", "\n",
)  # fmt: skip
NODES = (
    None, True, False, 0, -1, 0.5, 1e308, -1e308, float("nan"), float("inf"), 2**31, 2**53, 2**63,
    2**64, 10**400, [], {}, [[]], [None], {"": None}, "\ud800", "\udfff\ud800", "\0",
    "9999-12-31T23:59:59Z", "0001-01-01T00:00:00+14:00", "0001-01-01T00:00:00-14:00", "9999-12-31",
)  # fmt: skip
LONG = (60, 110, 260, 1000, 1100, 3000, 20_100, 140_000)
"""How often something is repeated: beyond the depths and lengths at which readers stop."""
OPENERS = ("[", '{"a":', "<a>", "<Folder>", "(", '"')
CODINGS = ("utf-16", "utf-8-sig", "utf-16-le", "latin-1", "cp1252", "utf-32", "utf-7")
CLIMBING = ("../evil.txt", "/tmp/evil.txt", "..\\evil.txt", "C:/evil.txt", "a/../../evil", "", ".")


def spoiled(data, others, choose, ways=None):
    """Some bytes after one to four ways of spoiling them."""
    ways = ways or WAYS
    for _ in range(1 + choose(4)):
        way = ways[choose(len(ways))]
        # a way that needs another form than these bytes have leaves them alone
        with contextlib.suppress(ValueError, IndexError, KeyError, OverflowError, RecursionError):
            data = way(data, others, choose)[:MOST]
    return data


def by_seed(data, others, seed, ways=None):
    """The same for a number."""
    return spoiled(data, others, random.Random(seed).randrange, ways)


def flip(data, _, choose):
    at = choose(len(data))
    return data[:at] + bytes([data[at] ^ (1 << choose(8))]) + data[at + 1 :]


def put_byte(data, _, choose):
    at = choose(len(data) + 1)
    return data[:at] + bytes([choose(256)]) + data[at + choose(2) :]


def cut(data, _, choose):
    return data[: choose(len(data) + 1)]


def drop(data, _, choose):
    at = choose(len(data))
    return data[:at] + data[at + 1 + choose(min(64, len(data) - at)) :]


def repeat(data, _, choose):
    at = choose(len(data))
    end = at + 1 + choose(min(200, len(data) - at))
    return data[:at] + data[at:end] * (2 + choose(40)) + data[end:]


def splice(data, others, choose):
    other = others[choose(len(others))]
    return data[: choose(len(data) + 1)] + other[choose(len(other) + 1) :]


def length(data, _, choose):
    """A field of a fixed width overwritten by a number that is a length nowhere."""
    width = (1, 2, 4, 8)[choose(4)]
    value = LENGTHS[choose(len(LENGTHS))] % 256**width
    at = choose(max(1, len(data) - width))
    return data[:at] + value.to_bytes(width, ("big", "little")[choose(2)]) + data[at + width :]


def word(data, _, choose):
    """A word or number of the text in the place of which something else stands."""
    found = _some(rb"[^\s,;|<>\"{}\[\]:=]+", data, choose)
    return data[: found.start()] + _text(choose) + data[found.end() :]


def digits(data, _, choose):
    """A number with another in its place."""
    found = _some(rb"[-+]?\d+(\.\d+)?", data, choose)
    return data[: found.start()] + _text(choose) + data[found.end() :]


def same_width(data, _, choose):
    """The same of as many letters, so that columns of a fixed width stay where they are."""
    found = _some(rb"\S+", data, choose)
    width = found.end() - found.start()
    return data[: found.start()] + _text(choose)[:width].rjust(width) + data[found.end() :]


def _text(choose):
    return TEXTS[choose(len(TEXTS))].encode("utf-8", "surrogatepass")


def _some(pattern, data, choose):
    """A match near some place of the data."""
    at = choose(len(data))
    found = re.compile(pattern).search(data, at) or re.search(pattern, data)
    if found is None:
        raise ValueError
    return found


def lines(data, others, choose):
    """Rows doubled, left out, put elsewhere, or taken from another file."""
    rows = data.split(b"\n")
    one, other = choose(len(rows)), choose(len(rows))
    match choose(4):
        case 0:
            rows.insert(one, rows[other])
        case 1:
            del rows[one]
        case 2:
            rows[one], rows[other] = rows[other], rows[one]
        case _:
            theirs = others[choose(len(others))].split(b"\n")
            rows[one] = theirs[choose(len(theirs))]
    return b"\n".join(rows)


def long_line(data, _, choose):
    at = choose(len(data) + 1)
    return data[:at] + bytes([32 + choose(96)]) * LONG[choose(len(LONG))] + data[at:]


def deep(data, _, choose):
    at, opener = choose(len(data) + 1), OPENERS[choose(len(OPENERS))].encode()
    return data[:at] + opener * LONG[choose(len(LONG))] + data[at:]


def coding(data, _, choose):
    name = CODINGS[choose(len(CODINGS))]
    return data.decode("utf-8").encode(name, "replace")


def endings(data, _, choose):
    return data.replace(b"\n", (b"\r\n", b"\r", b"\n\n", b"\0")[choose(4)])


def packed(data, _, choose):
    """Gzip, once or more, whole or cut."""
    for _ in range(1 + choose(2)):
        data = gzip.compress(data, 1, mtime=0)
    return data[: len(data) - choose(2) * choose(len(data))]


def node(data, others, choose):
    """JSON with a hostile value in the place of one of its values, or under a new name."""
    found = json.loads(data)
    places = list(_places(found))
    if not places:
        raise ValueError
    held, key = places[choose(len(places))]
    match choose(5):
        case 0:
            held.pop(key)
        case 1 if isinstance(held, dict):
            held[TEXTS[choose(len(TEXTS))]] = held[key]
        case 2:
            other, name = places[choose(len(places))]
            held[key] = json.loads(json.dumps(other[name]))
        case _:
            held[key] = _value(choose)
    return json.dumps(found, ensure_ascii=bool(choose(2))).encode("utf-8", "surrogatepass")


def _value(choose):
    made = choose(len(NODES) + len(TEXTS) + 2)
    if made < len(NODES):
        return NODES[made]
    if made < len(NODES) + len(TEXTS):
        return TEXTS[made - len(NODES)]
    return [choose(1000) / 7 for _ in range(choose(500))]


def _places(found):
    if not isinstance(found, dict | list):
        return
    held = found.items() if isinstance(found, dict) else enumerate(found)
    for key, value in list(held):
        yield found, key
        if isinstance(value, dict | list):
            yield from _places(value)


def member(data, others, choose):
    """A zip whose members were spoiled, renamed to climb, linked, doubled or swollen."""
    rows = _members(data)
    one = choose(len(rows))
    info, content = rows[one]
    match choose(8):
        case 0:
            info.filename = CLIMBING[choose(len(CLIMBING))]
        case 1:
            info.external_attr = (stat.S_IFLNK | 0o777) << 16
            content = b"/etc/passwd"
        case 2:
            rows.append(rows[choose(len(rows))])
        case 3:
            content = bytes([choose(256)]) * (1 + choose(20_000_000))
        case 4:
            del rows[one]
            return _zipped(rows)
        case _:
            content = spoiled(content, [c for _, c in rows], choose, PLAIN)
    rows[one] = (info, content)
    return _zipped(rows)


def _members(data):
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            return [(i, archive.read(i)) for i in archive.infolist() if i.file_size < MOST]
    except Exception as error:  # whatever a zip that is spoiled already raises
        raise ValueError from error


def _zipped(rows):
    out = io.BytesIO()
    with warnings.catch_warnings(), zipfile.ZipFile(out, "w") as archive:
        warnings.simplefilter("ignore")  # of a name that stands twice, which is meant
        for info, content in rows:
            plain = zipfile.ZipInfo(info.filename or "x")
            plain.filename, plain.external_attr = info.filename, info.external_attr
            archive.writestr(plain, content, zipfile.ZIP_DEFLATED)
    return out.getvalue()


BYTES = (flip, put_byte, cut, drop, repeat, splice, length)
PLAIN = (*BYTES, word, digits, lines)
TEXT = (*PLAIN, word, digits, digits, same_width, lines, long_line, deep, coding, endings)
JSON = (*TEXT, node, node, node, node, node, node, node, node)
ZIPS = (*BYTES, member, member, member, member, member, member)
WAYS = TEXT
