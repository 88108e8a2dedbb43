"""The layer's water: ours, plain NumPy over plots and years, a plain loop, pyfao56, side by side.

Run `python bench/soil_water.py`. Each way must give the same depletion before its time counts; the
times are medians of five, per plot and year of bare silt loam: 50 plots in 30 years.
"""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable

import numpy as np

from fencerow.science.weather.layer import Layer
from fencerow.science.weather.soil_water import layer_water

PLOTS, YEARS, DAYS = 50, 30, 365
LAYER = Layer(0.11, 0.305, 0.79, 9.2, 0.1)  # drains at once, as FAO-56 has it


def weather() -> tuple[np.ndarray, np.ndarray]:
    dice = np.random.default_rng(7)
    wet = dice.random((YEARS, DAYS)) < 0.3
    rain = np.where(wet, dice.exponential(9, (YEARS, DAYS)), 0.0)
    return rain, np.clip(dice.normal(4, 1.5, (YEARS, DAYS)), 0.1, 9)


def plain(rain: list[float], eto: list[float]) -> list[float]:
    """The evening depletion of one season of bare ground, a number at a time."""
    tew, rew, kc = LAYER.tew_mm, LAYER.rew_mm, LAYER.kc_max
    depletion, out = tew, []
    for day_rain, day_eto in zip(rain, eto, strict=True):
        kr = min(1.0, (tew - depletion) / (tew - rew))
        depletion = min(tew, max(0.0, depletion - day_rain) + kr * kc * day_eto)
        out.append(depletion)
    return out


def plain_numpy(rain: np.ndarray, eto: np.ndarray) -> np.ndarray:
    """The evening depletion of every plot and year, a day at a time [plot, year, day]."""
    tew, rew, kc = LAYER.tew_mm, LAYER.rew_mm, LAYER.kc_max
    depletion = np.full((PLOTS, YEARS), tew)
    out = np.empty((PLOTS, YEARS, DAYS))
    for day in range(DAYS):
        kr = np.minimum(1.0, (tew - depletion) / (tew - rew))
        wetted = np.maximum(0.0, depletion - rain[:, day])
        depletion = np.minimum(tew, wetted + kr * kc * eto[:, day])
        out[:, :, day] = depletion
    return out


def library(rain: np.ndarray, eto: np.ndarray) -> np.ndarray:
    """The same season by pyfao56."""
    import pandas
    import pyfao56

    par = pyfao56.Parameters(
        Kcbini=0.0, Kcbmid=1.0, Kcbend=1.0, Lini=1000, hini=0.01, hmax=0.02,
        thetaFC=LAYER.fc_share, thetaWP=LAYER.wp_share, theta0=LAYER.fc_share,
        Zrini=0.15, Zrmax=0.15, Ze=0.15, REW=LAYER.rew_mm,
    )  # fmt: skip
    days = pandas.date_range("2001-03-01", periods=DAYS)
    sky = pyfao56.Weather()
    sky.wndht = 2.0
    sky.wdata = pandas.DataFrame(
        dict.fromkeys(sky.cnames, np.nan) | {"Rain": rain, "ETref": eto},
        index=days.strftime("%Y-%j"),
    ).assign(Wndsp=2.0, RHmin=45.0, MorP="M")
    model = pyfao56.Model(days[0].strftime("%Y-%j"), days[-1].strftime("%Y-%j"), par, sky)
    model.run()
    return model.odata["De"].to_numpy(float)


def median_s(run: Callable[[], object]) -> float:
    took = []
    for _ in range(5):
        begin = time.perf_counter()
        run()
        took.append(time.perf_counter() - begin)
    return statistics.median(took)


def main() -> None:
    rain, eto = weather()
    lists = [(r.tolist(), e.tolist()) for r, e in zip(rain, eto, strict=True)]
    layers = [LAYER] * PLOTS

    def ours() -> np.ndarray:
        return layer_water(layers, rain, eto, LAYER.tew_mm, rain_first=False).depletion_mm

    answer = ours()
    assert np.allclose(answer[0, 0], plain(*lists[0]), atol=1e-9)
    seasons = PLOTS * YEARS
    each = median_s(ours) / seasons
    print(f"all at once    {each * 1e6:10.1f} us per plot and year   (1)")
    assert np.allclose(answer, plain_numpy(rain, eto), atol=1e-9)
    bare = median_s(lambda: plain_numpy(rain, eto)) / seasons
    print(f"plain NumPy    {bare * 1e6:10.1f} us per plot and year   ({bare / each:.1f} x)")
    loop = median_s(lambda: [plain(*pair) for pair in lists]) / YEARS
    print(f"plain loop     {loop * 1e6:10.1f} us per plot and year   ({loop / each:.0f} x)")
    try:
        other = library(rain[0], eto[0])
    except ImportError as missing:
        print(f"pyfao56 is not here ({missing})")
        return
    assert np.allclose(answer[0, 0], other, atol=1e-3)
    slow = median_s(lambda: library(rain[0], eto[0]))
    print(f"pyfao56        {slow * 1e6:10.1f} us per plot and year   ({slow / each:.0f} x)")


if __name__ == "__main__":
    main()
