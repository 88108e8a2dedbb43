"""Full loads and the last one, full tanks and the last one: together they are all that goes on."""

from __future__ import annotations

import math

from fencerow.figure import formula

_DUST = 1e-9  # of a load: what is left of a division that comes out even


@formula(
    "floor(total_lb / load_lb + 1e-9)",
    unit="loads",
    source="definition",
    basis="definition",
    valid={"total_lb": (0, 1e6), "load_lb": (1, 60_000)},
)
def full_loads(total_lb: float, load_lb: float) -> float:
    """How many loads are filled to the full.

    By definition.

    Args:
        total_lb: all that goes on [lb].
        load_lb: what one load holds [lb].

    Raises:
        OutsideRange: an amount above 1,000,000 lb, or a load outside 1 to 60,000 lb.
    """
    return float(math.floor(total_lb / load_lb + _DUST))


@formula(
    "max(0, total_lb - load_lb * floor(total_lb / load_lb + 1e-9))",
    unit="lb",
    source="definition",
    basis="definition",
    valid={"total_lb": (0, 1e6), "load_lb": (1, 60_000)},
)
def last_load(total_lb: float, load_lb: float) -> float:
    """What the last load holds, after the full ones [lb]; 0 where they come out even.

    By definition.

    Args:
        total_lb: all that goes on [lb].
        load_lb: what one load holds [lb].

    Raises:
        OutsideRange: an amount above 1,000,000 lb, or a load outside 1 to 60,000 lb.
    """
    return max(0.0, total_lb - load_lb * math.floor(total_lb / load_lb + _DUST))


@formula(
    "volume_gal_ac * area_ac",
    unit="gal",
    source="definition",
    basis="definition",
    valid={"volume_gal_ac": (1, 300), "area_ac": (0, 1000)},
)
def spray_total(volume_gal_ac: float, area_ac: float) -> float:
    """Spray for a whole plot [gal].

    By definition.

    Args:
        volume_gal_ac: calibrated spray volume [gal/ac].
        area_ac: what is sprayed [ac].

    Raises:
        OutsideRange: a volume outside 1 to 300 gal/ac, or an area outside 0 to 1,000 ac.
    """
    return volume_gal_ac * area_ac


@formula(
    "floor(total_gal / tank_gal + 1e-9)",
    unit="count",
    source="definition",
    basis="definition",
    valid={"total_gal": (0, 300_000), "tank_gal": (0.25, 3000)},
)
def full_tanks(total_gal: float, tank_gal: float) -> float:
    """How many tanks are filled to the full.

    By definition.

    Args:
        total_gal: spray for the whole plot [gal].
        tank_gal: what the tank holds [gal].

    Raises:
        OutsideRange: more than 300,000 gal, or a tank outside 0.25 to 3,000 gal.
    """
    return float(math.floor(total_gal / tank_gal + _DUST))


@formula(
    "max(0, total_gal - tank_gal * floor(total_gal / tank_gal + 1e-9))",
    unit="gal",
    source="definition",
    basis="definition",
    valid={"total_gal": (0, 300_000), "tank_gal": (0.25, 3000)},
)
def last_tank(total_gal: float, tank_gal: float) -> float:
    """What the last tank holds, after the full ones [gal]: mix no more than the plot takes.

    By definition.

    Args:
        total_gal: spray for the whole plot [gal].
        tank_gal: what the tank holds [gal].

    Raises:
        OutsideRange: more than 300,000 gal, or a tank outside 0.25 to 3,000 gal.
    """
    return max(0.0, total_gal - tank_gal * math.floor(total_gal / tank_gal + _DUST))
