"""The sheet of the cards says what the record holds of them."""

from fencerow.plan.view import sheets


def test_the_sheet_counts_what_stands_in_the_record(demo_plan):
    tract, body = demo_plan.given.tract, demo_plan.sections["cards"].body
    (camera,) = body.cameras.values()
    (card,) = tract.cards.values()
    visits = [v.body for v in tract.visits.values()]
    assert camera.visits.number() == len(visits)
    assert camera.untagged.number() == sum(not v.tagged for v in visits) == 6
    assert camera.photos.number() == sum(v.photos for v in visits) == card.body.kept
    span = (card.body.last_at - card.body.first_at).total_seconds() / 86400
    assert camera.days.number() == span
    assert camera.a_day.number() == card.body.kept / span
    assert 0 < camera.night.number() < 100
    assert card.body.clock_shift_min == 61


def test_the_sheet_is_there_where_a_card_was_read(demo_plan):
    (sheet,) = [s for s in sheets(demo_plan) if s.id == "cards"]
    assert [r[0] for r in sheet.tables[0].rows] == ["Neck Camera"]
    said = {s.message.id for s in sheet.said}
    assert {"cards-untagged", "cards-clock", "cards-span"} <= said
