"""Spreader: settings, ground catches, loads.

An acre is 43,560 sq ft; a swath is the effective one, which is less than the throw, and passes lie
one effective swath apart.
"""

from __future__ import annotations

import math

from fencerow.figure import formula

_MPH = (0.5, 20.0)
_SWATH = (1.0, 120.0)
_RATE = (0.1, 20_000)


@formula(
    "43560 * caught_lb / (swath_ft * distance_ft)",
    unit="lb_ac",
    source="usu-spreader",
    valid={"caught_lb": (0, 5000), "swath_ft": _SWATH, "distance_ft": (10, 50_000)},
)
def rate_from_catch(caught_lb: float, swath_ft: float, distance_ft: float) -> float:
    """What a spreader puts down, from the lb used over a measured course [lb/ac].

    Source: Utah State University Extension, spreader calibration worksheet; arithmetic on an acre.

    Args:
        caught_lb: what was used on the course [lb].
        swath_ft: effective swath [ft].
        distance_ft: length of the course [ft].

    Raises:
        OutsideRange: an amount, a swath (1 to 120 ft) or a course (10 ft and more) out of range.
    """
    return 43560 * caught_lb / (swath_ft * distance_ft)


@formula(
    "rate_lb_ac * swath_ft * distance_ft / 43560",
    unit="lb",
    source="usu-spreader",
    valid={"rate_lb_ac": (0, 20_000), "swath_ft": _SWATH, "distance_ft": (10, 50_000)},
)
def used_for_rate(rate_lb_ac: float, swath_ft: float, distance_ft: float) -> float:
    """What a spreader should use on a measured course [lb]; `rate_from_catch` turned round.

    Source: Utah State University Extension, spreader calibration worksheet; arithmetic on an acre.

    Args:
        rate_lb_ac: the rate wanted [lb/ac].
        swath_ft: effective swath [ft].
        distance_ft: length of the course [ft].

    Raises:
        OutsideRange: a rate, a swath (1 to 120 ft) or a course (10 ft and more) out of range.
    """
    return rate_lb_ac * swath_ft * distance_ft / 43560


@formula(
    "1000 * rate_lb_ac / 43560",
    unit="lb_1000ft2",
    source="definition",
    basis="definition",
)
def lb_per_1000_sq_ft(rate_lb_ac: float) -> float:
    """A rate for a bag-and-bucket patch [lb for 1,000 sq ft].

    By definition of the acre.

    Args:
        rate_lb_ac: the rate [lb/ac].
    """
    return 1000 * rate_lb_ac / 43560


@formula(
    "rate_lb_ac * speed_mph * swath_ft / 495",
    unit="lb_min",
    source="definition",
    basis="definition",
    valid={"rate_lb_ac": (0, 20_000), "speed_mph": _MPH, "swath_ft": _SWATH},
)
def flow_for_rate(rate_lb_ac: float, speed_mph: float, swath_ft: float) -> float:
    """What a spreader must pass each minute to hold a rate at a speed [lb/min].

    By definition: a mile an hour over a foot of swath covers an acre in 495 minutes.

    Args:
        rate_lb_ac: the rate [lb/ac].
        speed_mph: ground speed [mph].
        swath_ft: effective swath [ft].

    Raises:
        OutsideRange: a rate, a speed (0.5 to 20 mph) or a swath (1 to 120 ft) out of range.
    """
    return rate_lb_ac * speed_mph * swath_ft / 495


@formula(
    "rate_lb_ac / 2",
    unit="lb_ac",
    source="umass-spreader",
    valid={"rate_lb_ac": (0, 20_000)},
)
def rate_for_two_passes(rate_lb_ac: float) -> float:
    """The setting for going over the ground twice, at right angles [lb/ac].

    Source: University of Massachusetts Extension, rotary spreader calibration.

    Args:
        rate_lb_ac: the whole rate [lb/ac].

    Raises:
        OutsideRange: a rate outside 0 to 20,000 lb/ac.
    """
    return rate_lb_ac / 2


@formula(
    "100 * (caught_lb_ac - rate_lb_ac) / rate_lb_ac",
    unit="pct",
    source="umass-spreader",
    valid={"caught_lb_ac": (0, 20_000), "rate_lb_ac": (0.1, 20_000)},
)
def off_rate(caught_lb_ac: float, rate_lb_ac: float) -> float:
    """How far a spreader is from its rate [%, above 0 where it puts down too much].

    Source: University of Massachusetts Extension, rotary spreader calibration, which accepts 5 %
    either way.

    Args:
        caught_lb_ac: what it puts down [lb/ac].
        rate_lb_ac: what was wanted [lb/ac].

    Raises:
        OutsideRange: an amount outside 0 to 20,000 lb/ac, or a rate below 0.1.
    """
    return 100 * (caught_lb_ac - rate_lb_ac) / rate_lb_ac


@formula(
    "ceil(width_ft / swath_ft - 1e-9)",
    unit="passes",
    source="definition",
    basis="definition",
    valid={"width_ft": (0, 10_000), "swath_ft": _SWATH},
)
def passes_across(width_ft: float, swath_ft: float) -> float:
    """Passes over a plot that is driven along its long side.

    By definition.

    Args:
        width_ft: the plot's short side [ft].
        swath_ft: effective swath [ft].

    Raises:
        OutsideRange: a width outside 0 to 10,000 ft, or a swath outside 1 to 120 ft.
    """
    return float(math.ceil(width_ft / swath_ft - 1e-9))


@formula(
    "43560 * area_ac / swath_ft",
    unit="ft",
    source="definition",
    basis="definition",
    valid={"area_ac": (0, 1000), "swath_ft": _SWATH},
)
def travel_over(area_ac: float, swath_ft: float) -> float:
    """How far a swath must be driven to cover an area, turns left out [ft].

    By definition.

    Args:
        area_ac: the area [ac].
        swath_ft: effective swath [ft].

    Raises:
        OutsideRange: an area outside 0 to 1,000 ac, or a swath outside 1 to 120 ft.
    """
    return 43560 * area_ac / swath_ft


@formula(
    "min(hopper_ft3 * density_lb_ft3, limit_lb)",
    unit="lb",
    source="definition",
    basis="definition",
    valid={"hopper_ft3": (0.1, 2000), "density_lb_ft3": (5, 150), "limit_lb": (1, 60_000)},
)
def hopper_load(hopper_ft3: float, density_lb_ft3: float, limit_lb: float) -> float:
    """What one load holds: the hopper full, or its weight limit [lb].

    By definition.

    Args:
        hopper_ft3: volume of the hopper, struck level [cu ft].
        density_lb_ft3: bulk density of the material [lb/cu ft].
        limit_lb: what the spreader or its carrier may bear [lb].

    Raises:
        OutsideRange: a volume, a density (5 to 150 lb/cu ft) or a limit out of range.
    """
    return min(hopper_ft3 * density_lb_ft3, limit_lb)


@formula(
    "ceil(total_lb / load_lb - 1e-9)",
    unit="loads",
    source="definition",
    basis="definition",
    valid={"total_lb": (0, 1e6), "load_lb": (1, 60_000)},
)
def loads_for(total_lb: float, load_lb: float) -> float:
    """How often the hopper is filled.

    By definition.

    Args:
        total_lb: all that goes on the plot [lb].
        load_lb: `hopper_load` [lb].

    Raises:
        OutsideRange: an amount above 1,000,000 lb, or a load outside 1 to 60,000 lb.
    """
    return float(math.ceil(total_lb / load_lb - 1e-9))


@formula(
    "net_lb / (pail_gal * 231 / 1728)",
    unit="lb_ft3",
    source="definition",
    basis="definition",
    valid={"net_lb": (0.1, 500), "pail_gal": (0.25, 55)},
)
def density_from_pail(net_lb: float, pail_gal: float) -> float:
    """Bulk density of a material, from a pail of it weighed [lb/cu ft].

    By definition: a gallon is 231 cu in. Better than any table, for the bag that is at hand.

    Args:
        net_lb: weight of the pailful without the pail [lb].
        pail_gal: what the pail holds [gal].

    Raises:
        OutsideRange: a weight outside 0.1 to 500 lb, or a pail outside 0.25 to 55 gal.
    """
    return net_lb / (pail_gal * 231 / 1728)


@formula(
    "distance_ft * 60 / (88 * time_s)",
    unit="mph",
    source="definition",
    basis="definition",
    valid={"distance_ft": (10, 10_000), "time_s": (1, 3600)},
)
def ground_speed(distance_ft: float, time_s: float) -> float:
    """Ground speed over a measured course [mph].

    By definition: a mile an hour is 88 ft a minute.

    Args:
        distance_ft: length of the course [ft].
        time_s: time to drive it [s].

    Raises:
        OutsideRange: a course outside 10 to 10,000 ft, or a time outside 1 to 3,600 s.
    """
    return distance_ft * 60 / (88 * time_s)


@formula(
    "495 * flow_lb_min / (speed_mph * swath_ft)",
    unit="lb_ac",
    source="definition",
    basis="definition",
    valid={"flow_lb_min": (0, 5000), "speed_mph": _MPH, "swath_ft": _SWATH},
)
def rate_from_flow(flow_lb_min: float, speed_mph: float, swath_ft: float) -> float:
    """What a spreader puts down, from what it passes each minute [lb/ac]; `flow_for_rate` turned.

    By definition.

    Args:
        flow_lb_min: what runs out, caught for a minute or more [lb/min].
        speed_mph: ground speed [mph].
        swath_ft: effective swath [ft].

    Raises:
        OutsideRange: a flow, a speed (0.5 to 20 mph) or a swath (1 to 120 ft) out of range.
    """
    return 495 * flow_lb_min / (speed_mph * swath_ft)


@formula(
    "speed_mph * caught_lb_ac / rate_lb_ac",
    unit="mph",
    source="definition",
    basis="definition",
    valid={"speed_mph": _MPH, "caught_lb_ac": (0.1, 20_000), "rate_lb_ac": _RATE},
)
def speed_for_rate(speed_mph: float, caught_lb_ac: float, rate_lb_ac: float) -> float:
    """The speed that gives a rate with the gate left as it was [mph].

    By definition, where the flow does not hang on the speed: rate times speed stays the same. A
    spreader that its own wheels drive holds its rate at any speed, and needs another gate.

    Args:
        speed_mph: ground speed at the catch [mph].
        caught_lb_ac: what it put down then [lb/ac].
        rate_lb_ac: what is wanted [lb/ac].

    Raises:
        OutsideRange: a speed outside 0.5 to 20 mph, or a rate outside 0.1 to 20,000 lb/ac.
    """
    return speed_mph * caught_lb_ac / rate_lb_ac


@formula(
    "throw_ft * (1 - overlap_pct / 100)",
    unit="ft",
    source="usu-spreader",
    valid={"throw_ft": _SWATH, "overlap_pct": (0, 90)},
)
def swath_of_throw(throw_ft: float, overlap_pct: float) -> float:
    """Effective swath, and so the distance between passes, from the throw and its overlap [ft].

    Source: Utah State University Extension, spreader calibration worksheet, which overlaps by 10
    to 20 %. A catch in pans is better.

    Args:
        throw_ft: from edge to edge of where anything falls [ft].
        overlap_pct: how much of it the next pass goes over again [%].

    Raises:
        OutsideRange: a throw outside 1 to 120 ft, or an overlap outside 0 to 90 %.
    """
    return throw_ft * (1 - overlap_pct / 100)
