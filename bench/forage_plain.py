"""Growth and browsing in plain NumPy: whole arrays, a day at a time, every day kept.

The baseline that the program's own way is held against: the same sums, in the order in which one
would write them down.
"""

from __future__ import annotations

import numpy as np

FULL_BITE = 1.25


def plain(inputs: dict[str, np.ndarray], weeks: list[int]) -> dict[str, np.ndarray]:
    """Growth, eaten, lost and standing by week [crop, week, year, draw], an acre of its ground.

    Args:
        inputs: `growth` and `loss` [crop, year, day], `up` [crop, year], `start`, `dark` (leaf area
            times extinction, for each lb/ac), `crown`, `ceiling`, `acres` [crop], `attract`
            [crop, day], `yields` and `starts` [crop, year, draw], `use`, `losses` and `half_bite`
            [year, draw], `asked` [day, year, draw].
        weeks: days of each week.
    """
    crops, years, days = inputs["growth"].shape
    draws = inputs["use"].shape[1]
    shape = (days, crops, years, draws)
    grown, eaten, lost, standing = (np.zeros(shape) for _ in range(4))
    offered_ac = (inputs["acres"][:, None] * inputs["attract"]).sum(axis=0)
    dark, crown = inputs["dark"][:, None, None], inputs["crown"][:, None, None]
    ceiling = inputs["ceiling"][:, None, None]
    stock = np.zeros(shape[1:])
    for day in range(days):
        born = np.where(inputs["up"] == day, inputs["start"][:, None], 0.0)[..., None]
        born = born * inputs["starts"]
        stock = stock + born
        cover = 1 - np.exp(-dark * stock)
        grow = inputs["growth"][:, :, day, None] * inputs["yields"] * cover
        grow = grow * np.maximum(0.0, 1 - stock / ceiling)
        stock = stock + grow
        reach = np.maximum(stock - crown, 0.0)
        usable = inputs["use"] * reach
        weight = inputs["attract"][:, day, None, None]
        acres = inputs["acres"][:, None, None]
        offered = (acres * weight * usable).sum(axis=0)
        asked = inputs["asked"][day]
        most = FULL_BITE / np.maximum(inputs["half_bite"] * offered_ac[day] + offered, 1e-12)
        rate = asked * np.minimum(most, 1 / np.maximum(offered, 1e-12))
        share = np.minimum(weight * rate, 1.0)
        eats = share * usable
        left = stock - share * reach
        dies = np.minimum(inputs["loss"][:, :, day, None] * inputs["losses"], 1.0)
        left = left - dies * np.maximum(left - crown, 0.0)
        left = np.where(inputs["loss"][:, :, day, None] >= 1, 0.0, left)
        grown[day], eaten[day], standing[day] = born + grow, eats, left
        lost[day] = stock - eats - left
        stock = left
    starts = [0, *np.cumsum(weeks)[:-1]]
    ends = np.cumsum(weeks) - 1
    by_week = {
        name: np.add.reduceat(each, starts, axis=0).swapaxes(0, 1)
        for name, each in (("growth", grown), ("eaten", eaten), ("lost", lost))
    }
    return by_week | {"standing": standing[ends].swapaxes(0, 1)}
