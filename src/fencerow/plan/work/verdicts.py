"""The person's verdicts in the field: what the model held of those days, and the limits since."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta

from fencerow.figure import Entered, Figure, Parts, Worked, assume, formula_of, work, work_parts
from fencerow.plan.graph import Given
from fencerow.plan.section import Said, Section, Weight
from fencerow.plan.work.fitness import Soil, soils_of
from fencerow.plan.work.limits import Limits, Scored, Verdicts
from fencerow.plan.work.sky import behind, readings, winter_on
from fencerow.plan.work.weeks import ground_of
from fencerow.science.weather import ahead, texture, verdicts, workability
from fencerow.science.weather.soil_water import LayerWater
from fencerow.tract.bodies import FieldVerdict
from fencerow.tract.model import Kept
from fencerow.words import OutsideRange

LIMIT_OF_JOB = {"till": "tillage", "seed": "tillage", "drive": "traffic"}
"""Which limit a verdict speaks of; on foot there is none."""

LOOK_BACK_DAYS = 365


def verdicts_section(given: Given, earlier: Mapping[str, Section]) -> Section:
    """The limits of the plots, after the verdicts up to the day of the plan."""
    soils = soils_of(given)
    told = sorted(
        (v for v in given.tract.verdicts.values() if v.body.on <= given.as_of),
        key=lambda v: (v.body.on, v.id),
    )
    water = _water(given, soils, told)
    limits: dict[str, Limits] = {}
    scored: dict[str, Scored] = {}
    for place in soils:
        own = [v for v in told if v.body.place == place]
        limits[place] = _of_plot(given, soils[place], place, own, water, scored)
    said = tuple(
        Said.of(Weight.DOUBT, "verdicts", "likely-verdict-unknown", id_, place=s.name, on=s.on)
        for id_, s in scored.items()
        if not s.water.known
    )
    return Section("verdicts", Verdicts(limits, scored), said)


@dataclass(frozen=True)
class _Past:
    """The water of every plot from a first day to the day of the last verdict."""

    first: date
    water: LayerWater
    plots: tuple[str, ...]


def _water(
    given: Given, soils: Mapping[str, Soil], told: Sequence[Kept[FieldVerdict]]
) -> _Past | None:
    days = [v.body.on for v in told if v.body.place in soils]
    if not days:
        return None
    first = min(days) - timedelta(days=LOOK_BACK_DAYS)
    # no day after the last verdict is asked for, however late the plan's own day is
    until = min(given.as_of, max(days) + timedelta(days=1))
    sky = behind(replace(given, as_of=until), first)
    layers = [s.layer for s in soils.values()]
    reaching = winter_on(sky, given.daily).reaching_mm
    return _Past(first, ahead.water_to_date(layers, reaching, sky.eto_mm_day), tuple(soils))


def record_of(given: Given) -> dict[str, Figure]:
    """The daily record as a figure; none where there is none."""
    if given.daily is None:
        return {}
    return {"record": Figure(given.daily, "", Entered("weather", "daily record", "imported"))}


def _of_plot(
    given: Given, soil: Soil, place: str, told: Sequence[Kept[FieldVerdict]],
    past: _Past | None, scored: dict[str, Scored],
) -> Limits:  # fmt: skip
    holds, depth, tillage = _published(given, soil, place)
    published = {"tillage": tillage, "traffic": assume(0.0, "mm", "likely-traffic-limit")}
    now = dict(published)
    heard: dict[str, list[tuple[Kept[FieldVerdict], Figure]]] = {"tillage": [], "traffic": []}

    def held(depletion: Figure) -> Figure:
        return work(verdicts.water_held, fc_share=holds, depth_mm=depth, depletion_mm=depletion)

    for verdict in told:
        limit = LIMIT_OF_JOB.get(verdict.body.job)
        depletion = _midday(given, place, verdict.body.on, past)
        before = after = agreed = None
        if limit is not None:
            before = now[limit]
            if depletion.known:
                heard[limit].append((verdict, depletion))
                now[limit] = _moved(given, published[limit], heard[limit])
                said = verdict.figure("fit", "entered", "")
                agreed = work(verdicts.agreed, depletion_mm=depletion, wanted_mm=before, fit=said)
            after = held(now[limit])
            before = held(before)
        scored[verdict.id] = Scored(
            given.tract.places[place].body.name, verdict.body.on, verdict.body.job,
            verdict.body.fit, held(depletion), before, after, agreed,
        )  # fmt: skip
    return Limits(now["tillage"], now["traffic"], held(now["tillage"]), holds, depth)


def _published(given: Given, soil: Soil, place: str) -> tuple[Figure, Figure, Figure]:
    """Water at field capacity, the depth of the layer, and the published limit of tillage."""
    row = given.tables["soil_textures"].row(soil.texture)
    test = given.tract.soil_test_of(place, given.as_of)
    clay, sand = row.figure("clay_pct"), row.figure("sand_pct")
    om = test.figure("om_pct", "measured") if test is not None else row.figure("om_pct")
    if not om.known:
        om = row.figure("om_pct")
    fc = work(texture.field_capacity, sand_pct=sand, clay_pct=clay, om_pct=om)
    full = work(texture.saturation, fc_share=fc, sand_pct=sand, clay_pct=clay, om_pct=om)
    bulk = work(texture.bulk_density, sat_share=full)
    wettest = work(workability.wettest_tillage, om_pct=om, clay_pct=clay)
    share = work(workability.by_volume, water_pct=wettest, bulk_kg_m3=bulk)
    limit = work(workability.tillage_limit, limit_share=share, fc_share=fc)
    depth = assume(soil.layer.depth_mm, "mm", "likely-layer-depth")
    none = assume(0.0, "mm", "likely-no-offset")
    wanted = work(
        workability.dryness_wanted, fc_share=fc, limit_share=limit, depth_mm=depth, offset_mm=none
    )
    return fc, depth, wanted


def _moved(
    given: Given, published: Figure, heard: Sequence[tuple[Kept[FieldVerdict], Figure]]
) -> Figure:
    rows = given.tables["likely_settings"]
    step = rows.row("verdict-step").figure("water_mm")
    band = rows.row("verdict-band").figure("water_mm")
    inputs = {"published limit": published, "step": step, "band": band}
    for at, (verdict, depletion) in enumerate(heard, 1):
        inputs[f"verdict {at}"] = verdict.figure("fit", "entered", "")
        inputs[f"lacking {at}"] = depletion
    parts = work_parts(
        verdicts.limit_after,
        inputs,
        wanted_mm=published.number(),
        fit_mm=[d.number() for v, d in heard if v.body.fit],
        too_wet_mm=[d.number() for v, d in heard if not v.body.fit],
        step_mm=step.number(),
        band_mm=band.number(),
    )
    return parts.figure(float, "mm")


def _midday(given: Given, place: str, on: date, past: _Past | None) -> Figure:
    """The modelled midday depletion of a day; not known of the day of the plan itself."""
    until = {n: f for n, f in readings(given).items() if n.split()[1] <= on.isoformat()}
    inputs = {**record_of(given), **until, **ground_of(given, place)}
    origin = Worked(formula_of(ahead.water_to_date), tuple(inputs.items()))
    at = -1 if past is None else (on - past.first).days
    try:
        if past is None or not 0 <= at < past.water.wettest.midday_mm.shape[2]:
            raise OutsideRange("likely-water-unknown")
        plot = past.plots.index(place)
        ends = [c.midday_mm[plot, 0, at] for c in (past.water.wettest, past.water.driest)]
        found = ahead.midday_known(*(float(e) for e in ends))
    except OutsideRange as error:
        return Figure(None, "mm", origin, error.message)
    return Parts(found, origin.formula, inputs).figure(float, "mm")


def today_said(given: Given, place: str, jobs: Sequence[str]) -> Kept[FieldVerdict] | None:
    """The person's last verdict of the day of the plan itself on one of some jobs."""
    own = [
        v
        for v in given.tract.verdicts.values()
        if v.body.on == given.as_of and v.body.place == place and v.body.job in jobs
    ]
    return max(own, key=lambda v: v.id, default=None)
