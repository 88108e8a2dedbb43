"""Sprayer: flow, volume, speed and pressure, catches, tanks.

Every figure runs both ways: what a sprayer puts out, and what gives the volume that is wanted. The
rate of a product is its label's.
"""

from __future__ import annotations

from collections.abc import Sequence

from fencerow.figure import formula

_MPH = (0.5, 20.0)
_GAL_AC = (1.0, 300.0)
_GAL_MIN = (0.01, 60.0)
_SPACING = (4.0, 1000.0)
_TANK = (0.25, 3000.0)


@formula(
    "volume_gal_ac * speed_mph * spacing_in / 5940",
    unit="gal_min",
    source="mu-g1270a",
    valid={"volume_gal_ac": _GAL_AC, "speed_mph": _MPH, "spacing_in": _SPACING},
)
def nozzle_flow(volume_gal_ac: float, speed_mph: float, spacing_in: float) -> float:
    """What each nozzle must put out [gal/min].

    Source: University of Missouri Extension G1270A, sprayer calibration.

    Args:
        volume_gal_ac: spray volume wanted [gal/ac].
        speed_mph: ground speed [mph].
        spacing_in: nozzle spacing; the band for banding; the whole pattern of a boomless nozzle
            [in].

    Raises:
        OutsideRange: a volume (1 to 300 gal/ac), speed (0.5 to 20 mph) or spacing out of range.
    """
    return volume_gal_ac * speed_mph * spacing_in / 5940


@formula(
    "5940 * flow_gal_min / (speed_mph * spacing_in)",
    unit="gal_ac",
    source="mu-g1270a",
    valid={"flow_gal_min": _GAL_MIN, "speed_mph": _MPH, "spacing_in": _SPACING},
)
def volume_from_flow(flow_gal_min: float, speed_mph: float, spacing_in: float) -> float:
    """Spray volume that a nozzle gives at a speed [gal/ac].

    Source: University of Missouri Extension G1270A, turned round.

    Args:
        flow_gal_min: what one nozzle puts out [gal/min].
        speed_mph: ground speed [mph].
        spacing_in: nozzle spacing or the whole width of a boomless pattern [in].

    Raises:
        OutsideRange: a flow (0.01 to 60 gal/min), speed (0.5 to 20 mph) or spacing out of range.
    """
    return 5940 * flow_gal_min / (speed_mph * spacing_in)


@formula(
    "4084 / spacing_in",
    unit="ft",
    source="lsu-ounces",
    valid={"spacing_in": (8, 60)},
)
def course_for_ounces(spacing_in: float) -> float:
    """Length of the course on which one nozzle's ounces are the gallons an acre [ft].

    Source: LSU AgCenter, ounces equal gallons: 1/128 of an acre for each nozzle.

    Args:
        spacing_in: nozzle spacing, or the width of row or band [in].

    Raises:
        OutsideRange: a spacing outside 8 to 60 in.
    """
    return 4084 / spacing_in


@formula(
    "caught_fl_oz / 128 * 43560 * 12 / (width_in * distance_ft)",
    unit="gal_ac",
    source="definition",
    basis="definition",
    valid={"caught_fl_oz": (0.1, 10_000), "width_in": _SPACING, "distance_ft": (10, 10_000)},
)
def volume_from_catch(caught_fl_oz: float, width_in: float, distance_ft: float) -> float:
    """Spray volume, from what is caught in the time of a measured course [gal/ac].

    By definition of gallon and acre.

    Args:
        caught_fl_oz: caught from one nozzle, or from the whole boom [fl oz].
        width_in: width that it covers [in].
        distance_ft: length of the course [ft].

    Raises:
        OutsideRange: a catch, a width (4 to 1,000 in) or a course (10 ft and more) out of range.
    """
    return caught_fl_oz / 128 * 43560 * 12 / (width_in * distance_ft)


@formula(
    "product_fl_oz_ac * tank_gal / volume_gal_ac",
    unit="fl_oz",
    source="definition",
    basis="definition",
    valid={"product_fl_oz_ac": (0, 2000), "tank_gal": _TANK, "volume_gal_ac": _GAL_AC},
)
def product_per_tank(product_fl_oz_ac: float, tank_gal: float, volume_gal_ac: float) -> float:
    """What of a product goes into a tank [fl oz]. The label decides the rate.

    By definition.

    Args:
        product_fl_oz_ac: rate on the label [fl oz/ac].
        tank_gal: what is filled in [gal].
        volume_gal_ac: calibrated spray volume [gal/ac].

    Raises:
        OutsideRange: a rate, a tank (0.25 to 3,000 gal) or a volume (1 to 300 gal/ac) out of range.
    """
    return product_fl_oz_ac * tank_gal / volume_gal_ac


@formula(
    "tank_gal / volume_gal_ac",
    unit="ac",
    source="definition",
    basis="definition",
    valid={"tank_gal": _TANK, "volume_gal_ac": _GAL_AC},
)
def area_per_tank(tank_gal: float, volume_gal_ac: float) -> float:
    """What a tank covers [ac].

    By definition.

    Args:
        tank_gal: what is filled in [gal].
        volume_gal_ac: calibrated spray volume [gal/ac].

    Raises:
        OutsideRange: a tank outside 0.25 to 3,000 gal, or a volume outside 1 to 300 gal/ac.
    """
    return tank_gal / volume_gal_ac


@formula(
    "60 * caught_fl_oz / (128 * time_s)",
    unit="gal_min",
    source="definition",
    basis="definition",
    valid={"caught_fl_oz": (0.1, 10_000), "time_s": (1, 3600)},
)
def flow_of_catch(caught_fl_oz: float, time_s: float) -> float:
    """Flow of a nozzle, from what it gives in a time [gal/min].

    By definition of the gallon.

    Args:
        caught_fl_oz: caught from one nozzle [fl oz].
        time_s: for how long [s].

    Raises:
        OutsideRange: a catch outside 0.1 to 10,000 fl oz, or a time outside 1 to 3,600 s.
    """
    return 60 * caught_fl_oz / (128 * time_s)


@formula(
    "128 * volume_gal_ac * width_in * distance_ft / (43560 * 12)",
    unit="fl_oz",
    source="definition",
    basis="definition",
    valid={"volume_gal_ac": _GAL_AC, "width_in": _SPACING, "distance_ft": (10, 10_000)},
)
def catch_for_volume(volume_gal_ac: float, width_in: float, distance_ft: float) -> float:
    """What should be caught in the time of a course [fl oz]; `volume_from_catch` turned round.

    By definition of gallon and acre.

    Args:
        volume_gal_ac: spray volume wanted [gal/ac].
        width_in: width that is covered [in].
        distance_ft: length of the course [ft].

    Raises:
        OutsideRange: a volume (1 to 300 gal/ac), a width (4 to 1,000 in) or a course out of range.
    """
    return 128 * volume_gal_ac * width_in * distance_ft / (43560 * 12)


@formula(
    "speed_mph * measured_gal_ac / volume_gal_ac",
    unit="mph",
    source="mu-g1270a",
    valid={"speed_mph": _MPH, "measured_gal_ac": _GAL_AC, "volume_gal_ac": _GAL_AC},
)
def speed_for_volume(speed_mph: float, measured_gal_ac: float, volume_gal_ac: float) -> float:
    """The speed that gives a spray volume at the same pressure [mph].

    Source: University of Missouri Extension G1270A: 10 % slower is about 10 % more.

    Args:
        speed_mph: ground speed at the catch [mph].
        measured_gal_ac: what it gave then [gal/ac].
        volume_gal_ac: what is wanted [gal/ac].

    Raises:
        OutsideRange: a speed outside 0.5 to 20 mph, or a volume outside 1 to 300 gal/ac.
    """
    return speed_mph * measured_gal_ac / volume_gal_ac


@formula(
    "pressure_psi * (volume_gal_ac / measured_gal_ac) ** 2",
    unit="psi",
    source="from-memory",
    basis="from memory",
    valid={"pressure_psi": (5, 300), "measured_gal_ac": _GAL_AC, "volume_gal_ac": _GAL_AC},
)
def pressure_for_volume(pressure_psi: float, measured_gal_ac: float, volume_gal_ac: float) -> float:
    """The pressure that gives a spray volume at the same speed [psi].

    From memory: flow goes as the root of the pressure. It is for small corrections, within what
    the nozzle is made for; drops and drift change with it.

    Args:
        pressure_psi: pressure at the catch [psi].
        measured_gal_ac: what it gave then [gal/ac].
        volume_gal_ac: what is wanted [gal/ac].

    Raises:
        OutsideRange: a pressure outside 5 to 300 psi, or a volume outside 1 to 300 gal/ac.
    """
    return pressure_psi * (volume_gal_ac / measured_gal_ac) ** 2


@formula(
    "product_lb_ac * tank_gal / volume_gal_ac",
    unit="lb",
    source="definition",
    basis="definition",
    valid={"product_lb_ac": (0, 1000), "tank_gal": _TANK, "volume_gal_ac": _GAL_AC},
)
def dry_product_per_tank(product_lb_ac: float, tank_gal: float, volume_gal_ac: float) -> float:
    """What of a dry product goes into a tank [lb]. The label decides the rate.

    By definition.

    Args:
        product_lb_ac: rate on the label [lb/ac].
        tank_gal: what is filled in [gal].
        volume_gal_ac: calibrated spray volume [gal/ac].

    Raises:
        OutsideRange: a rate, a tank (0.25 to 3,000 gal) or a volume (1 to 300 gal/ac) out of range.
    """
    return product_lb_ac * tank_gal / volume_gal_ac


@formula(
    "product_fl_oz_ac * area_ac",
    unit="fl_oz",
    source="definition",
    basis="definition",
    valid={"product_fl_oz_ac": (0, 2000), "area_ac": (0, 10_000)},
)
def product_on(product_fl_oz_ac: float, area_ac: float) -> float:
    """What of a liquid product went on an area [fl oz].

    By definition.

    Args:
        product_fl_oz_ac: the rate [fl oz/ac].
        area_ac: the area [ac].

    Raises:
        OutsideRange: a rate outside 0 to 2,000 fl oz/ac, or an area outside 0 to 10,000 ac.
    """
    return product_fl_oz_ac * area_ac


@formula("the sum of what was used", unit="fl_oz", source="definition", basis="definition",
         lookup=True)  # fmt: skip
def used_in_all(used_fl_oz: Sequence[float]) -> float:
    """What of a liquid product was used in all [fl oz]; 0 of none.

    By definition.

    Args:
        used_fl_oz: what each application used [fl oz].
    """
    return sum(used_fl_oz)
