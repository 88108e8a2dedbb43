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
    ("t", "t", "mass", 1e3, 2),
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
    ("t_ha", "t/ha", "mass per area", 0.1, 2),
    ("oz_ac", "oz/ac", "mass per area", _LB / 16 / _AC, 1),
    ("kg_ha", "kg/ha", "mass per area", 1e-4, 1),
    ("g_ha", "g/ha", "mass per area", 1e-7, 0),
    ("g_m2", "g/m²", "mass per area", 1e-3, 1),
    ("lb_ft2", "lb/sq ft", "mass per area", _LB / _FT**2, 4),
    ("lb_1000ft2", "lb/1,000 sq ft", "mass per area", _LB / (1000 * _FT**2), 2),
    ("kg_100m2", "kg/100 m²", "mass per area", 1e-2, 2),
    ("lb_ft3", "lb/cu ft", "mass per volume", _LB / _FT**3, 1),
    ("kg_m3", "kg/m³", "mass per volume", 1.0, 0),
    ("ft3", "cu ft", "volume", _FT**3, 1),
    ("gal", "gal", "volume", _GAL, 1),
    ("qt", "qt", "volume", _GAL / 4, 2),
    ("pt", "pt", "volume", _GAL / 8, 2),
    ("fl_oz", "fl oz", "volume", _GAL / 128, 1),
    ("l", "L", "volume", 1e-3, 1),
    ("ml", "mL", "volume", 1e-6, 0),
    ("gal_ac", "gal/ac", "volume per area", _GAL / _AC, 1),
    ("qt_ac", "qt/ac", "volume per area", _GAL / 4 / _AC, 2),
    ("pt_ac", "pt/ac", "volume per area", _GAL / 8 / _AC, 2),
    ("fl_oz_ac", "fl oz/ac", "volume per area", _GAL / 128 / _AC, 1),
    ("l_ha", "L/ha", "volume per area", 1e-7, 1),
    ("ml_ha", "mL/ha", "volume per area", 1e-10, 0),
    ("gal_min", "gal/min", "volume per time", _GAL / 60, 3),
    ("fl_oz_min", "fl oz/min", "volume per time", _GAL / 128 / 60, 1),
    ("l_min", "L/min", "volume per time", 1e-3 / 60, 2),
    ("ml_min", "mL/min", "volume per time", 1e-6 / 60, 0),
    ("lb_min", "lb/min", "mass per time", _LB / 60, 1),
    ("kg_min", "kg/min", "mass per time", 1 / 60, 2),
    ("lb_day", "lb/day", "mass per time", _LB / 86400, 2),
    ("kg_day", "kg/day", "mass per time", 1 / 86400, 2),
    ("g_day", "g/day", "mass per time", 1e-3 / 86400, 0),
    ("lb_ac_day", "lb/ac/day", "mass per area per time", _LB / _AC / 86400, 1),
    ("kg_ha_day", "kg/ha/day", "mass per area per time", 1e-4 / 86400, 1),
    ("kcal_day", "kcal/day", "energy per time", 4184 / 86400, 0),
    ("kcal_kg75_day", "kcal/kg^0.75/day", "energy per time, by metabolic mass", 1.0, 0),
    ("kcal_lb", "kcal/lb", "energy per mass", 4184 / _LB, 0),
    ("kcal_kg", "kcal/kg", "energy per mass", 4184.0, 0),
    ("ac_h", "ac/h", "area per time", _AC / 3600, 2),
    ("ha_h", "ha/h", "area per time", 1e4 / 3600, 2),
    ("mph", "mph", "speed", 5280 * _FT / 3600, 1),
    ("m_s", "m/s", "speed", 1.0, 1),
    ("km_h", "km/h", "speed", 1 / 3.6, 1),
    ("kt", "kt", "speed", 1852 / 3600, 0),
    ("s", "s", "time", 1.0, 0),
    ("min", "min", "time", 60.0, 0),
    ("h", "h", "time", 3600.0, 1),
    ("days", "days", "time", 86400.0, 0),
    ("weeks", "weeks", "time", 7 * 86400.0, 0),
    ("months", "months", "calendar months", 1.0, 0),
    ("years", "years", "calendar years", 1.0, 0),
    ("deg", "°", "angle", 1.0, 0),
    ("arcmin", "′", "angle", 1 / 60, 0),
    ("pct", "%", "share", 0.01, 0),
    ("share", "", "share", 1.0, 3),
    ("ppm", "ppm", "concentration", 1.0, 0),
    ("index", "", "a laboratory's index", 1.0, 0),
    ("ph", "", "acidity", 1.0, 1),
    ("meq_100g", "meq/100 g", "exchange capacity", 1.0, 1),
    ("meq_100cm3", "meq/100 cm³", "exchange acidity", 1.0, 2),
    ("enp_lb_ac", "lb ENP/ac", "neutralizing power per area", 1.0, 0),
    ("enp_lb_ton", "lb ENP/ton", "neutralizing power per mass", 1.0, 0),
    ("enm_lb_ac", "lb ENM/ac", "neutralizing material per area", 1.0, 0),
    ("enm_lb_ton", "lb ENM/ton", "neutralizing material per mass", 1.0, 0),
    ("cce_lb_ac", "lb CCE/ac", "carbonate equivalent per area", 1.0, 0),
    ("seeds_lb", "seeds/lb", "count per mass", 1 / _LB, 0),
    ("seeds_kg", "seeds/kg", "count per mass", 1.0, 0),
    ("seeds_ft2", "seeds/sq ft", "count per area", 1 / _FT**2, 1),
    ("seeds_m2", "seeds/m²", "count per area", 1.0, 0),
    ("bu_ac", "bu/ac", "bushels per area", 1.0, 0),
    ("plants_m2", "plants/m²", "count per area", 1.0, 1),
    ("plants_ft2", "plants/sq ft", "count per area", 1 / _FT**2, 1),
    ("stems_ft2", "stems/sq ft", "count per area", 1 / _FT**2, 0),
    ("stems_m2", "stems/m²", "count per area", 1.0, 0),
    ("deer_mi2", "deer/sq mi", "count per area", 1 / (5280 * _FT) ** 2, 0),
    ("deer_km2", "deer/km²", "count per area", 1e-6, 1),
    ("seeds_row_ft", "seeds/row ft", "count per length", 1 / _FT, 2),
    ("seeds_row_m", "seeds/row m", "count per length", 1.0, 1),
    ("usd", "$", "money", 1.0, 2),
    ("usd_lb", "$/lb", "money per mass", 1 / _LB, 2),
    ("usd_kg", "$/kg", "money per mass", 1.0, 2),
    ("usd_ton", "$/ton", "money per mass", 1 / (2000 * _LB), 2),
    ("usd_t", "$/t", "money per mass", 1e-3, 2),
    ("usd_ac", "$/ac", "money per area", 1 / _AC, 2),
    ("usd_ha", "$/ha", "money per area", 1e-4, 2),
    ("bags", "bags", "count", 1.0, 0),
    ("loads", "loads", "count", 1.0, 0),
    ("passes", "passes", "count", 1.0, 0),
    ("count", "", "count", 1.0, 0),
    ("rad", "rad", "angle", 180 / 3.141592653589793, 3),
    ("kpa", "kPa", "pressure", 1e3, 2),
    ("psi", "psi", "pressure", _LB * 9.80665 / (_FT / 12) ** 2, 0),
    ("kpa_c", "kPa/°C", "pressure per temperature", 1e3, 4),
    ("w_m2", "W/m²", "power per area", 1.0, 0),
    ("mj_m2_day", "MJ/m²/day", "power per area", 1e6 / 86400, 1),
    ("mm_day", "mm/day", "depth per time", 1e-3 / 86400, 1),
    ("mm_h", "mm/h", "depth per time", 1e-3 / 3600, 1),
    ("f_apart", "°F", "temperatures apart", 5 / 9, 0),
    ("c_apart", "°C", "temperatures apart", 1.0, 1),
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

METRIC: dict[str, tuple[str, int]] = {
    "lb": ("kg", 1),
    "ton": ("t", 2),
    "oz": ("g", 0),
    "ac": ("ha", 2),
    "ft2": ("m2", 0),
    "yd2": ("m2", 0),
    "in": ("mm", 0),
    "ft": ("m", 1),
    "yd": ("m", 0),
    "mi": ("km", 1),
    "lb_ac": ("kg_ha", 1),
    "ton_ac": ("t_ha", 2),
    "oz_ac": ("g_ha", 0),
    "lb_ft2": ("g_m2", 0),
    "lb_1000ft2": ("kg_100m2", 2),
    "lb_ft3": ("kg_m3", 0),
    "ft3": ("l", 0),
    "gal": ("l", 1),
    "qt": ("l", 2),
    "pt": ("ml", 0),
    "fl_oz": ("ml", 0),
    "gal_ac": ("l_ha", 1),
    "qt_ac": ("l_ha", 2),
    "pt_ac": ("l_ha", 2),
    "fl_oz_ac": ("ml_ha", 0),
    "gal_min": ("l_min", 2),
    "fl_oz_min": ("ml_min", 0),
    "lb_min": ("kg_min", 2),
    "lb_day": ("kg_day", 2),
    "lb_ac_day": ("kg_ha_day", 1),
    "kcal_lb": ("kcal_kg", 0),
    "ac_h": ("ha_h", 2),
    "mph": ("km_h", 1),
    "psi": ("kpa", 0),
    "seeds_lb": ("seeds_kg", 0),
    "seeds_ft2": ("seeds_m2", 0),
    "plants_ft2": ("plants_m2", 0),
    "stems_ft2": ("stems_m2", 0),
    "deer_mi2": ("deer_km2", 1),
    "seeds_row_ft": ("seeds_row_m", 1),
    "usd_lb": ("usd_kg", 2),
    "usd_ton": ("usd_t", 2),
    "usd_ac": ("usd_ha", 2),
    "f": ("c", 1),
    "f_apart": ("c_apart", 1),
    "f_days": ("c_days", 0),
}
"""What each US unit is shown in where metric is wanted, and to how many places.

Units that a laboratory's or a state's scheme defines (ENP and ENM a ton, ppm, bu/ac, meq/100 g) are
not here: a figure is never carried over from one scheme to another.
"""


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
