"""Spanish chosen in a real browser, on a phone: words, work, a form, and nothing cut off."""

import re

import pytest

pytest.importorskip("playwright.sync_api", reason="playwright is not installed")
from doing import ready
from playwright.sync_api import expect

# what must be read whole: what is pressed, and what heads a page or a form; a button that only
# underlines a figure inside a table is as wide as its words
CUT_OFF = """() => [...document.querySelectorAll(
    'nav.bar > *, h1, h2, h3, dialog[open] label, dialog[open] button, main button:not(td *)'
  )].filter(e => e.clientWidth > 0 && getComputedStyle(e).display !== 'inline')
    .filter(e => e.scrollWidth > e.clientWidth + 8).map(e => e.textContent)"""
WIDE = "document.documentElement.scrollWidth - innerWidth"


@pytest.mark.parametrize("window", ["phone"], indirect=True)
def test_a_crew_reads_its_work_and_a_form_in_spanish(look, still):
    ready(look)
    look.get_by_role("button", name="More", exact=True).click()
    look.get_by_label("Language").locator("visible=true").select_option("es")
    look.locator("dialog[open] .head button").click()
    expect(look.locator("button.status")).to_have_text("todo enviado")
    expect(look.locator("html")).to_have_attribute("lang", "es")
    bar = look.locator("nav.bar")
    for word in ("Año", "Terreno", "Trabajo", "Esperas", "Nota", "Más"):
        expect(bar.get_by_text(word, exact=True)).to_be_visible()

    bar.get_by_text("Trabajo", exact=True).click()
    expect(look.locator("main h2").first).to_have_text("Hoy")
    expect(look.locator("main")).to_contain_text("martes, 12 ene")
    assert not re.search(
        r"\b(the|and|with|sow|plot)\b", look.locator("main h2").all_inner_texts()[0]
    )
    assert look.evaluate(WIDE) <= 0
    assert look.evaluate(CUT_OFF) == []

    look.locator("summary", has_text="En qué se apoya esto").first.click()
    look.locator("button", has_text="Agregar:").first.click()
    form = look.locator("dialog[open] form")
    expect(form.get_by_role("button", name="Anotarlo")).to_be_visible()
    assert look.evaluate(WIDE) <= 0
    assert look.evaluate(CUT_OFF) == []

    # the choice stays on the device
    look.goto(still.url)
    expect(look.locator("button.status")).to_have_text("todo enviado")
    assert look.errors == []
