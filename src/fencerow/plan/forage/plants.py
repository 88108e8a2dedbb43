"""The rows of the tables as the plants and settings that the growth model takes."""

from __future__ import annotations

from fencerow.data import Row, Tables
from fencerow.science.forage.plant import Plant, Settings
from fencerow.units import convert


def plant_of(tables: Tables, species: str, scale: float | None = None) -> Plant | None:
    """A plant's growth as calibrated; None where it is not known.

    Args:
        tables: the tables.
        species: key of the species.
        scale: factor on its growth; that of `forage_growth_scale` where none is given.
    """
    row = tables["forage_growth_plants"].rows.get(species)
    if row is None:
        return None
    scale = scale_of(tables, species) if scale is None else scale
    least = tables["species_min_temp"].rows.get(species)
    if scale is None:
        return None
    habit = tables["forage_growth_habits"].row(row.text("group"))
    warm = least.number("least_f") if least else None
    sprouts = _number(row, "base_c") if warm is None else convert(warm, "f", "c") - SPROUTS_BELOW_C
    hurt = _kill(tables, species, "high_f")
    tops = _number(habit, "tops_f") if hurt is None else hurt
    names = (
        "hot_c", "top_c", "leaf_ratio", "root_mm", "emerge_c_days", "short_h", "long_h",
        "short_share", "bloom_c_days", "ripe_c_days", "after_share", "crown_lb_ac", "ceiling_lb_ac",
    )  # fmt: skip
    return Plant(
        clock=habit.text("clock"),
        base_c=_number(row, "base_c"),
        best_c=_number(row, "best_c"),
        light_use=scale * _number(row, "light_use"),
        extinction=_number(row, "extinction"),
        seed_base_c=sprouts,
        soft_f=max(_number(habit, "soft_f"), tops),
        tops_f=tops,
        dies_f=_kill(tables, species, "low_f"),
        **{n: _number(habit, n) for n in names},
    )


SPROUTS_BELOW_C = 4.0
"""How far below the soil temperature that is advised for seeding seed begins to move; judged."""


def scale_of(tables: Tables, species: str) -> float | None:
    """The calibrated factor on a plant's growth."""
    row = tables["forage_growth_scale"].rows.get(species)
    return row.number("scale") if row else None


def _number(row: Row, name: str) -> float:
    found = row.number(name)
    assert found is not None, (row.key, name)
    return found


def _kill(tables: Tables, species: str, end: str) -> float | None:
    """The night that hurts an annual or biennial ('high_f') or ends it ('low_f')."""
    plant, row = tables["species"].rows.get(species), tables["kill_temperature"].rows.get(species)
    if plant is None or row is None or plant.text("life") not in ("annual", "biennial"):
        return None
    return row.number(end)


def settings_of(tables: Tables) -> Settings:
    """What holds for all plants, as likely."""

    def of(what: str) -> float:
        return _number(tables["forage_model"].row(what), "likely_share")

    killed = tables["forage_shares"].row("lost at the killing frost")
    loss = [tables["standing_loss"].row(str(m)) for m in range(1, 13)]
    return Settings(
        moist_share=of("moist"),
        ready_share=of("ready"),
        tops_lost_share=of("tops lost"),
        ripening_loss_share=of("ripening loss"),
        killed_share=_number(killed, "likely_share"),
        month_loss_share=[_number(r, "likely_share") for r in loss],
    )
