"""Spanish beside English: nothing is missing, nothing is softened, and one plan is read in both."""

import io
import json
import pickle
import re
from datetime import date
from string import Formatter

import pytest
from pypdf import PdfReader
from typer.testing import CliRunner

from fencerow.cli import app
from fencerow.manner import Amount
from fencerow.packet import packet_pdf
from fencerow.packet.field import field_pack
from fencerow.plan.show import brief, text
from fencerow.plan.view import sheets
from fencerow.words import (
    PARTS,
    BadInput,
    Language,
    Message,
    catalogue,
    compact_day,
    day_text,
    language_of,
    listed,
    name_of,
    say,
    spoken_in,
    value_of,
)
from fencerow.words.days import MONTHS, WEEKDAYS, month_text, week_day

ENGLISH, SPANISH = (catalogue(language) for language in Language)
LEFT = re.compile(
    r"(?<![\w'./-])(the|and|of|with|for|not|is|are|this|that|from|which|when|where|sheet|days?)"
    r"(?![\w'./-])",
    re.IGNORECASE,
)
QUOTED = re.compile(r"'[^']*'|\{[^}]*\}|`[^`]*`")
SOFT = re.compile(
    r"(?<!\w)(legal(es|mente)?|segur[oa]s?|aprobad[oa]s?|autorizad[oa]s?|inofensiv[oa]s?)(?!\w)",
    re.IGNORECASE,
)
FAMILIAR = re.compile(r"(?<!\w)(tú|tus?|vos|tienes|puedes|debes|haz)(?!\w)", re.IGNORECASE)
# what an English sentence says of danger, duty and doubt, its Spanish says as well
KEPT = (
    (r"\bnever\b", r"\bnunca\b"),
    (r"\b(local )?laws?\b", r"\bley(es)?\b"),
    (r"\bthe label\b", r"\betiqueta"),
    (r"\blicen[cs]e", r"\blicencia"),
    (r"\bmust\b", r"\b(debe|tienen? que|hay que)"),
    (r"\b911\b", r"\b911\b"),
    (r"\bnot known\b", r"\bno se (sabe|conoce)|\bno sabe|\bconocid|\bsin saber"),
    (r"\bfrom memory\b", r"\bmemoria\b"),
    (r"\bcommon practice\b", r"\bpráctica común\b"),
)


def blanks(template):
    """What a sentence is filled with, and how each blank is written out."""
    return sorted((n, s, t) for _, n, s, t in Formatter().parse(template) if n is not None)


def test_every_sentence_and_every_name_is_there_in_spanish():
    lacking = {
        part: sorted(ENGLISH[part].keys() - SPANISH[part].keys()) for part in ("messages", "names")
    }
    assert lacking == {"messages": [], "names": []}, "write these into words/es/"


def test_every_sentence_has_the_same_blanks():
    others = {
        i: (blanks(SPANISH["messages"][i]), blanks(template))
        for i, template in ENGLISH["messages"].items()
        if blanks(SPANISH["messages"].get(i, template)) != blanks(template)
    }
    assert others == {}


def test_no_sentence_stands_in_spanish_alone():
    assert SPANISH["messages"].keys() - ENGLISH["messages"].keys() == set()
    assert ENGLISH["values"] == {}


def test_no_english_word_is_left():
    left = {
        i: said
        for part in PARTS
        for i, said in SPANISH[part].items()
        if LEFT.search(QUOTED.sub("", said))
    }
    assert left == {}


def test_nothing_is_called_legal_safe_or_approved_and_nobody_is_told_tu():
    for part in PARTS:
        for i, said in SPANISH[part].items():
            assert not SOFT.search(said), (i, said)
            assert not FAMILIAR.search(QUOTED.sub("", said)), (i, said)


@pytest.mark.parametrize(("english", "spanish"), KEPT)
def test_danger_duty_and_doubt_are_kept(english, spanish):
    lost = {
        i: SPANISH["messages"][i]
        for i, said in ENGLISH["messages"].items()
        if re.search(english, QUOTED.sub("", said), re.IGNORECASE)
        and not re.search(spanish, SPANISH["messages"].get(i, ""), re.IGNORECASE)
    }
    assert lost == {}


def test_days_are_said_by_the_language_and_not_by_the_machine():
    day = date(2027, 9, 4)
    assert (day_text(day), compact_day(day), month_text(day), week_day(day)) == (
        "Sep 4, 2027", "Sep 4", "Sep 2027", "Sat 4"
    )  # fmt: skip
    with spoken_in(Language.SPANISH):
        assert (day_text(day), compact_day(day), month_text(day), week_day(day)) == (
            "4 sep 2027", "4 sep", "sep 2027", "sáb 4"
        )  # fmt: skip
    for language in Language:
        assert len({m[:3] for m in MONTHS[language]}) == 12
        assert len({d[:3] for d in WEEKDAYS[language]}) == 7


def test_numbers_keep_point_and_comma_and_units_their_symbols():
    with spoken_in(Language.SPANISH):
        assert str(Amount(1250.5, "lb")) == "1,250 lb"
        assert str(Amount(2.5, "lb", to=3.5)) == "2.5 a 3.5 lb"
        assert str(Amount(3, "bags")) == "3 bolsas"
        assert str(Amount(2.6, "ton")) == "2.60 ton cortas"  # 2,000 lb, not the metric ton


def test_what_was_said_is_said_anew_in_another_language():
    words, names = say("span", low="a", high="b"), listed([name_of("late"), name_of("done")])
    message = Message.of("not-known", reason=Message.of("not-entered", name=words))
    assert (str(words), f"{names:>12}") == ("a to b", "  Late, Done")
    with spoken_in(Language.SPANISH):
        assert (str(words), str(names)) == ("a a b", "Atrasado, Hecho")
        assert str(message) == "no se sabe: no se ha anotado: a a b"
        assert value_of("silt loam†") == "franco limoso†"
        assert str(pickle.loads(pickle.dumps(words))) == "a a b"
    assert str(message) == "not known: a to b has not been entered"
    assert value_of("silt loam") == "silt loam"


def test_where_spanish_lacks_a_sentence_the_english_one_is_said(monkeypatch):
    monkeypatch.delitem(SPANISH["messages"], "span")
    monkeypatch.setattr("fencerow.words._spoken", lambda of: {
        part: ENGLISH[part] | catalogue(of)[part] for part in PARTS
    })  # fmt: skip
    with spoken_in(Language.SPANISH):
        assert say("span", low=1, high=2) == "1 to 2"


def test_an_error_speaks_as_it_was_raised():
    with spoken_in(Language.SPANISH):
        error = BadInput("input-not-known", name="pH")
    assert str(error) == "no se sabe: pH"


def test_the_first_known_language_is_taken():
    assert language_of("fr-FR, es-MX;q=0.8, en") is Language.SPANISH
    assert language_of("en-US,en;q=0.9,es;q=0.8") is Language.ENGLISH
    for none_of_ours in ("", "*", "fr", ",;q=,-", "español"):
        assert language_of(none_of_ours) is Language.ENGLISH


def cells(plan):
    return [str(c) for s in sheets(plan) for t in s.tables for row in t.rows for c in row]


def test_one_plan_is_read_in_both_and_its_figures_are_the_same(demo_plan):
    english = cells(demo_plan)
    with spoken_in(Language.SPANISH):
        spanish = cells(demo_plan)
        said = [str(s.message) for s in demo_plan.said()]
    assert cells(demo_plan) == english
    assert len(english) == len(spanish)
    for one, other in zip(english, spanish, strict=True):
        if re.fullmatch(r"[-+$]?[\d,.]+[\w %/²°$]*", one):  # a number with its unit
            assert re.findall(r"[\d,.]+", other)[:1] == re.findall(r"[\d,.]+", one)[:1]
    assert "lluvia" in " ".join(said)
    kinds = {"treestand", "plot", "spread lime", "silt loam", "red clover", "Sat"}
    assert kinds & set(spanish) == set()


def test_figures_of_days_that_a_planner_spelled_are_said_anew(demo_plan):
    day = demo_plan.sections["year"].body.starts
    told = (text(day), brief(day))
    assert [str(t) for t in told] == ["Jan 2, 2027"] * 2
    with spoken_in(Language.SPANISH):
        assert [f"{t}" for t in told] == ["2 ene 2027"] * 2


def test_a_crews_field_pack_is_in_spanish_throughout(demo_plan):
    from datetime import UTC, datetime

    made_at = datetime(2027, 1, 12, 15, tzinfo=UTC)
    with spoken_in(Language.SPANISH):
        page = field_pack(demo_plan, "t", "p", made_at, "", 7, False)
    assert '<html lang="es"' in page
    for words in ("Trabajo", "Voy a entrar", "Guardar lo que anoté", "la etiqueta"):
        assert words in page, words
    assert not re.search(r">(Work|Closed ground|Write down|Where|Rain)<", page)


def test_the_terminal_speaks_it_before_a_command_behind_one_and_by_environment(tmp_path):
    run, gone = CliRunner(), str(tmp_path / "none.tract")
    answers = [
        run.invoke(app, ["--language", "es", "check", gone]),
        run.invoke(app, ["check", gone, "--language", "es"]),
        run.invoke(app, ["check", gone], env={"FENCEROW_LANGUAGE": "es"}),
    ]
    assert ["no guarda el registro" in str(a.exception) for a in answers] == [True] * 3
    assert "holds no record" in str(run.invoke(app, ["check", gone]).exception)


def test_a_helpers_card_is_a_spanish_document(demo_plan):
    with spoken_in(Language.SPANISH):
        pdf = PdfReader(io.BytesIO(packet_pdf(demo_plan, person="Juniper")))
    words = " ".join(page.extract_text() for page in pdf.pages)
    assert pdf.trailer["/Root"]["/Lang"] == "es"
    assert "Tarjeta de Juniper" in words
    assert "ene 2027" in words


def test_plan_json_is_the_same_in_any_language(demo_plan):
    english = json.dumps(demo_plan.as_json(), sort_keys=True)
    with spoken_in(Language.SPANISH):
        assert json.dumps(demo_plan.as_json(), sort_keys=True) == english
