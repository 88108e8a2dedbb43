"""The API in the language of whoever asks, by address or by what the browser reads."""

ES = {"language": "es"}


def test_the_state_is_told_in_the_language_that_is_asked_for_and_kept_apart(seen):
    english = seen.get("/api/state").json()
    spanish = seen.get("/api/state", params=ES).json()
    assert (english["language"], spanish["language"]) == ("en", "es")
    assert seen.get("/api/state").json() == english
    titles = {s["title"] for s in spanish["sheets"]}
    assert {"Trabajo", "Terreno cerrado", "Esperas"} <= titles
    assert {w["word"] for w in spanish["said"]} <= {
        "No se planea", "Pregunte antes", "Precaución", "En duda", "Nota"
    }  # fmt: skip
    # the same record, the same figures, the same ways to their working
    assert spanish["things"] == english["things"]
    assert [s["id"] for s in spanish["sheets"]] == [s["id"] for s in english["sheets"]]
    for one, other in zip(english["sheets"], spanish["sheets"], strict=True):
        assert [ways(t) for t in one["tables"]] == [ways(t) for t in other["tables"]]


def ways(table):
    return [c["path"] for row in table["rows"] for c in row if isinstance(c, dict)]


def test_a_browser_that_reads_spanish_is_answered_in_it_and_an_address_is_stronger(seen):
    read = {"accept-language": "es-MX,es;q=0.9,en;q=0.8"}
    answer = seen.get("/api/why", params={"path": "none.such"}, headers=read)
    assert answer.json()["text"].startswith("no hay cifra en 'none.such'")
    assert answer.headers["content-language"] == "es"
    asked = {"path": "none.such", "language": "en"}
    answer = seen.get("/api/why", params=asked, headers=read)
    assert answer.json()["text"].startswith("there is no figure at")
    assert answer.headers["content-language"] == "en"


def test_forms_and_workings_are_asked_in_spanish(seen):
    forms = seen.get("/api/forms", params=ES).json()
    labels = {f["name"]: f["label"] for f in forms["kinds"]["planting"]}
    assert labels["sow_on"] == "sembrado el"
    assert forms["places"]["treestand"]["name"] == "puesto en árbol"
    assert forms["species"]["clover_red"] == "trébol rojo"
    path = {"path": "order.harrow-field.lime", **ES}
    steps = seen.get("/api/why", params=path).json()["steps"]
    assert steps[0]["working"] == "dosis × superficie = 3.00 × 2.55"
    assert steps[0]["value"] == "7.65 ton cortas"
