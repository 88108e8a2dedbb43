"""Ids and catalogue hold together: every id that code names has words, and every word is used."""

import ast
import re
from pathlib import Path

import fencerow
from fencerow.words import BadInput, messages, name_of, say

SOURCE = Path(fencerow.__file__).parent
SPEAKERS = {"say", "of", "BadInput", "OutsideRange", "assume", "not_known", "reason", "Message"}
ID = re.compile(r"[a-z]+(?:-[a-z0-9]+)+")


def _called(node):
    return node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")


def _literals():
    for path in SOURCE.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Constant) and isinstance(node.value, str):
                yield node.value


def test_every_id_that_is_spoken_has_words():
    missing = set()
    for path in SOURCE.rglob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and _called(node) in SPEAKERS:
                ids = [a.value for a in node.args if isinstance(a, ast.Constant)]
                missing |= {i for i in ids if isinstance(i, str) and ID.fullmatch(i)} - set(
                    messages()
                )
    assert missing == set()


def test_every_message_is_used():
    said = " ".join(_literals())
    templates = (SOURCE / "packet" / "packet.typ").read_text(encoding="utf-8")
    # ids that are put together from a stem: head-, packet-, system-, lime-by-
    stems = ("head-", "system-", "soil-column-", "work-lost-", "view-frost-", "begin-",
             "analysis-", "checked-", "view-counter-", "view-supplier-", "view-water-", "view-job-",
             "note-about-", "hours-", "draw-use-", "rest-after-", "rule-what-", "rule-is-",
             "scrape-decay-", "scrape-holds-", "herd-method-", "herd-assumes-", "herd-ratio-",
             "herd-design-", "herd-curve-", "herd-effect-", "herd-step-", "moves-at-", "taken-",
             "duty-", "bears-", "packet-guests-", "shelf-need-")  # fmt: skip
    unused = {
        i for i in messages() if i not in said and i not in templates and not i.startswith(stems)
    }
    assert unused == set()


def test_a_name_without_words_is_its_own_letters():
    assert name_of("no_such_name") == "no such name"
    assert say("yes") == "yes"


def test_what_cannot_be_printed_makes_no_error_long():
    """Each such letter would be spelled in four to ten."""
    assert len(str(BadInput("csv-broken", file="a.csv", row=1, why="\x7f" * 8000))) < 9000
    assert "\\x7f" not in str(BadInput("csv-broken", file="a.csv", row=1, why="\x7f" * 8000))
