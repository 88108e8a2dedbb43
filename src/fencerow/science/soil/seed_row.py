"""Fertilizer in the row with the seed: how much the seedlings bear, by what was published.

Salt draws water from the seed and urea turns to ammonia beside it. The limits are for moist soil;
in dry soil they are too high. Urea and UAN are never put where the seed lies.
"""

from __future__ import annotations

from fencerow.figure import formula

_ROW = {"row_in": (2.0, 60.0)}


@formula(
    "min(100, product_lb_ac * slope * row_in * moisture / (30 * furrow_in))",
    unit="pct",
    source="seed-row-sheet",
    valid=_ROW | {"furrow_in": (0.1, 12), "slope": (0.1, 20), "moisture": (0.1, 10)},
)
def stand_lost(
    product_lb_ac: float, slope: float, row_in: float, furrow_in: float, moisture: float
) -> float:
    """The share of the stand that a product in the row may cost [%].

    Source: a spreadsheet on fertilizer with the seed, as copied, whose author is not shown:
    `product = 30 x furrow x loss / (slope x row x moisture)`, solved for the loss. How its factor
    for moisture and texture is chosen was not read; its own example takes 1.

    Args:
        product_lb_ac: product in the row [lb/ac].
        slope: loss of stand for a unit of product, of crop and material.
        row_in: distance between rows [in].
        furrow_in: width over which seed and fertilizer lie [in].
        moisture: factor for moisture and texture.

    Raises:
        OutsideRange: an input beyond what a drill or planter does.
    """
    return min(100.0, product_lb_ac * slope * row_in * moisture / (30 * furrow_in))


@formula(
    "100 * spread_in / row_in",
    unit="pct",
    source="manitoba-seed-safety",
    valid=_ROW | {"spread_in": (0, 60)},
)
def seedbed_use(spread_in: float, row_in: float) -> float:
    """The share of the ground over which seed and fertilizer lie [%].

    Source: Manitoba Agriculture, guidelines for safely applying fertilizer with seed.

    Args:
        spread_in: width of the band of seed and fertilizer [in].
        row_in: distance between rows [in].

    Raises:
        OutsideRange: rows closer than 2 in or wider than 60 in, or a band wider than 60 in.
    """
    return 100 * spread_in / row_in


@formula(
    "product_lb_ac * (n_pct + k2o_pct) / 100",
    unit="lb_ac",
    source="ipni-row-salt",
    valid={"n_pct": (0, 100), "k2o_pct": (0, 100)},
)
def row_salt(product_lb_ac: float, n_pct: float, k2o_pct: float) -> float:
    """Nitrogen and potash that a product puts into the row, which is what limits it [lb/ac].

    Source: International Plant Nutrition Institute, as a trade journal gives it.

    Args:
        product_lb_ac: product in the row [lb/ac].
        n_pct, k2o_pct: its grade [%].

    Raises:
        OutsideRange: a grade outside 0 to 100 %.
    """
    return product_lb_ac * (n_pct + k2o_pct) / 100


@formula(
    "product_lb_ac * n_pct / 100",
    unit="lb_ac",
    source="definition",
    basis="definition",
    valid={"n_pct": (0, 100)},
)
def row_nitrogen(product_lb_ac: float, n_pct: float) -> float:
    """Nitrogen that a product puts into the row [lb N/ac].

    Args:
        product_lb_ac: product in the row [lb/ac].
        n_pct: its grade [%].

    Raises:
        OutsideRange: a grade outside 0 to 100 %.
    """
    return product_lb_ac * n_pct / 100
