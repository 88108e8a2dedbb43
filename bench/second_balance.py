"""The layer's water over ten real years, beside a balance of another kind.

Run `python bench/second_balance.py` with agrometeorologiapy installed, which is small and pure:
Thornthwaite and Mather's balance, in which storage falls exponentially, over the same water that
can evaporate. It is no other way to the same number, so the two are held apart and not equal;
Hargreaves' evapotranspiration is, and is asserted equal.
"""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np

from fencerow.data import Tables
from fencerow.exchange.weather import read_weather
from fencerow.science.weather.layer import layer_of
from fencerow.science.weather.radiation import radiation_above
from fencerow.science.weather.reference_et import hargreaves
from fencerow.science.weather.soil_water import layer_water

RECORD = Path(__file__).parents[1] / "tests/data/weather/ghcnd-USC00368449-2000-2009.dly"
LATITUDE_DEG, YEARS = 40.79, 10


def main() -> None:
    try:
        import pandas
        from agrometeorologiapy.en import evapotranspiration, water_balance
    except ImportError as missing:
        print(f"agrometeorologiapy is not here ({missing})")
        return
    daily = read_weather(RECORD).series
    day = (daily.times - daily.times.astype("datetime64[Y]")).astype(int) + 1
    above = np.asarray(radiation_above(LATITUDE_DEG, day.astype(float)))
    ours = np.asarray(hargreaves(daily.tmax_c, daily.tmin_c, above))
    mean = (daily.tmax_c + daily.tmin_c) / 2
    known = ~np.isnan(ours)
    theirs = evapotranspiration.pet_hargreaves_samani(above, daily.tmax_c, daily.tmin_c, mean)
    assert np.allclose(ours[known], np.asarray(theirs)[known], atol=1e-9)
    eto, rain = np.nan_to_num(ours, nan=2.0), np.nan_to_num(daily.rain_mm)
    for name in ("loam", "silt loam", "clay"):
        row = Tables.shipped()["soil_textures"].row(name)
        soil = layer_of(*(row.number(c) for c in ("sand_pct", "clay_pct", "om_pct")), 48.0)
        soil = replace(soil, drain_h=0.1, sat_share=0.79)  # drains at once, as theirs does
        water = layer_water([soil], rain[None], eto[None], 0.0).wettest
        frame = {"P": rain, "ETc": soil.kc_max * eto, "AWC": np.full(len(rain), soil.tew_mm)}
        other = water_balance.crop_water_balance(pandas.DataFrame(frame))
        apart = water.evening_mm[0, 0] - (soil.tew_mm - other["STO"].to_numpy())
        used = water.evaporation_mm.sum() / YEARS, other["ETa"].sum() / YEARS
        print(
            f"{name:<10} evaporation {used[0]:.0f} and {used[1]:.0f} mm a year; depletion apart"
            f" {np.abs(apart).mean():.1f} mm in the mean, {np.abs(apart).max():.1f} at most"
        )


if __name__ == "__main__":
    main()
