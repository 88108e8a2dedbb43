"""Conversions between the trade's units and SI.

Each quantity has the units that the trade prints; the suffix of a name is the contract, so that
`rate_lb_ac` is pounds an acre wherever it stands. Factors are exact by definition (NIST SP 811,
Appendix B; the foot is the international one) and are checked against pint.
"""

from __future__ import annotations

from dataclasses import dataclass

_LB = 0.45359237
_FT = 0.3048
_AC = 43_560 * _FT**2
_GAL = 3.785411784e-3


@dataclass(frozen=True)
class Unit:
    """One unit: what it measures, how it is printed, and `SI = value * factor + offset`."""

    suffix: str
    symbol: str
    quantity: str
    factor: float
    places: int
    offset: float = 0.0


def _table(*rows: tuple[str, str, str, float, int]) -> dict[str, Unit]:
    return {r[0]: Unit(*r) for r in rows}


UNITS: dict[str, Unit] = _table(
    ("lb", "lb", "mass", _LB, 1),
    ("ton", "tons", "mass", 2000 * _LB, 2),
    ("oz", "oz", "mass", _LB / 16, 1),
    ("kg", "kg", "mass", 1.0, 1),
    ("g", "g", "mass", 1e-3, 1),
    ("ac", "ac", "area", _AC, 2),
    ("ft2", "sq ft", "area", _FT**2, 0),
    ("yd2", "sq yd", "area", 9 * _FT**2, 0),
    ("m2", "m²", "area", 1.0, 0),
    ("ha", "ha", "area", 1e4, 2),
    ("in", "in", "length", _FT / 12, 2),
    ("ft", "ft", "length", _FT, 0),
    ("yd", "yd", "length", 3 * _FT, 0),
    ("mi", "mi", "length", 5280 * _FT, 2),
    ("mm", "mm", "length", 1e-3, 1),
    ("m", "m", "length", 1.0, 1),
    ("km", "km", "length", 1e3, 2),
    ("lb_ac", "lb/ac", "mass per area", _LB / _AC, 1),
    ("ton_ac", "tons/ac", "mass per area", 2000 * _LB / _AC, 2),
    ("kg_ha", "kg/ha", "mass per area", 1e-4, 1),
    ("g_m2", "g/m²", "mass per area", 1e-3, 1),
    ("lb_ft2", "lb/sq ft", "mass per area", _LB / _FT**2, 4),
    ("lb_1000ft2", "lb/1,000 sq ft", "mass per area", _LB / (1000 * _FT**2), 2),
    ("lb_ft3", "lb/cu ft", "mass per volume", _LB / _FT**3, 1),
    ("kg_m3", "kg/m³", "mass per volume", 1.0, 0),
    ("ft3", "cu ft", "volume", _FT**3, 1),
    ("gal", "gal", "volume", _GAL, 1),
    ("qt", "qt", "volume", _GAL / 4, 2),
    ("fl_oz", "fl oz", "volume", _GAL / 128, 1),
    ("l", "L", "volume", 1e-3, 1),
    ("gal_ac", "gal/ac", "volume per area", _GAL / _AC, 1),
    ("fl_oz_ac", "fl oz/ac", "volume per area", _GAL / 128 / _AC, 1),
    ("gal_min", "gal/min", "volume per time", _GAL / 60, 3),
    ("fl_oz_min", "fl oz/min", "volume per time", _GAL / 128 / 60, 1),
    ("lb_min", "lb/min", "mass per time", _LB / 60, 1),
    ("lb_day", "lb/day", "mass per time", _LB / 86400, 2),
    ("g_day", "g/day", "mass per time", 1e-3 / 86400, 0),
    ("lb_ac_day", "lb/ac/day", "mass per area per time", _LB / _AC / 86400, 1),
    ("kcal_day", "kcal/day", "energy per time", 4184 / 86400, 0),
    ("kcal_kg75_day", "kcal/kg^0.75/day", "energy per time, by metabolic mass", 1.0, 0),
    ("mph", "mph", "speed", 5280 * _FT / 3600, 1),
    ("m_s", "m/s", "speed", 1.0, 1),
    ("km_h", "km/h", "speed", 1 / 3.6, 1),
    ("kt", "kt", "speed", 1852 / 3600, 0),
    ("s", "s", "time", 1.0, 0),
    ("min", "min", "time", 60.0, 0),
    ("h", "h", "time", 3600.0, 1),
    ("days", "days", "time", 86400.0, 0),
    ("months", "months", "calendar months", 1.0, 0),
    ("years", "years", "calendar years", 1.0, 0),
    ("deg", "°", "angle", 1.0, 0),
    ("arcmin", "′", "angle", 1 / 60, 0),
    ("pct", "%", "share", 0.01, 0),
    ("share", "", "share", 1.0, 3),
    ("ppm", "ppm", "concentration", 1.0, 0),
    ("ph", "", "acidity", 1.0, 1),
    ("meq_100g", "meq/100 g", "exchange capacity", 1.0, 1),
    ("meq_100cm3", "meq/100 cm³", "exchange acidity", 1.0, 2),
    ("enp_lb_ac", "lb ENP/ac", "neutralizing power per area", 1.0, 0),
    ("enp_lb_ton", "lb ENP/ton", "neutralizing power per mass", 1.0, 0),
    ("enm_lb_ac", "lb ENM/ac", "neutralizing material per area", 1.0, 0),
    ("enm_lb_ton", "lb ENM/ton", "neutralizing material per mass", 1.0, 0),
    ("cce_lb_ac", "lb CCE/ac", "carbonate equivalent per area", 1.0, 0),
    ("seeds_lb", "seeds/lb", "count per mass", 1 / _LB, 0),
    ("seeds_ft2", "seeds/sq ft", "count per area", 1 / _FT**2, 1),
    ("bu_ac", "bu/ac", "bushels per area", 1.0, 0),
    ("plants_m2", "plants/m²", "count per area", 1.0, 1),
    ("plants_ft2", "plants/sq ft", "count per area", 1 / _FT**2, 1),
    ("stems_ft2", "stems/sq ft", "count per area", 1 / _FT**2, 0),
    ("seeds_row_ft", "seeds/row ft", "count per length", 1 / _FT, 2),
    ("usd", "$", "money", 1.0, 2),
    ("usd_lb", "$/lb", "money per mass", 1 / _LB, 2),
    ("usd_ton", "$/ton", "money per mass", 1 / (2000 * _LB), 2),
    ("usd_ac", "$/ac", "money per area", 1 / _AC, 2),
    ("bags", "bags", "count", 1.0, 0),
    ("loads", "loads", "count", 1.0, 0),
    ("passes", "passes", "count", 1.0, 0),
    ("count", "", "count", 1.0, 0),
    ("rad", "rad", "angle", 180 / 3.141592653589793, 3),
    ("kpa", "kPa", "pressure", 1e3, 2),
    ("kpa_c", "kPa/°C", "pressure per temperature", 1e3, 4),
    ("w_m2", "W/m²", "power per area", 1.0, 0),
    ("mj_m2_day", "MJ/m²/day", "power per area", 1e6 / 86400, 1),
    ("mm_day", "mm/day", "depth per time", 1e-3 / 86400, 1),
    ("mm_h", "mm/h", "depth per time", 1e-3 / 3600, 1),
    ("c_days", "°C-days", "warmth over time", 86400.0, 0),
    ("f_days", "°F-days", "warmth over time", 86400 * 5 / 9, 0),
    ("date", "", "date", 1.0, 0),
    ("clock", "", "time of day", 1.0, 0),
    ("text", "", "text", 1.0, 0),
    ("shape", "", "shape", 1.0, 0),
    ("", "", "", 1.0, 2),
)
UNITS |= {
    "f": Unit("f", "°F", "temperature", 5 / 9, 0, 273.15 - 32 * 5 / 9),
    "c": Unit("c", "°C", "temperature", 1.0, 1, 273.15),
    "k": Unit("k", "K", "temperature", 1.0, 1),
}


def convert(value: float, from_: str, to: str) -> float:
    """The same quantity in another unit.

    Args:
        value: a number in `from_` [from_].
        from_, to: unit suffixes of one quantity.

    Raises:
        KeyError: a suffix is not in the table.
        ValueError: the two measure different things.
    """
    if from_ == to:
        return value
    a, b = UNITS[from_], UNITS[to]
    if a.quantity != b.quantity:
        raise ValueError(f"{from_} is {a.quantity}, {to} is {b.quantity}")
    return (value * a.factor + a.offset - b.offset) / b.factor


def unit_of(name: str) -> str:
    """The unit suffix that a name ends in, the longest that fits; '' where there is none.

    >>> unit_of("rate_lb_ac"), unit_of("buffer_ph"), unit_of("factor")
    ('lb_ac', 'ph', '')
    """
    parts = name.split("_")
    for i in range(len(parts)):
        suffix = "_".join(parts[i:])
        if suffix in UNITS and suffix:
            return suffix
    return ""
