"""The cheapest way to all cells beside scikit-image and SciPy; run `python bench/travel.py`."""

from __future__ import annotations

import numpy as np
from beside import fractal, report, sizes

from fencerow.science.ground.compiled import warm
from fencerow.science.ground.travel import cheapest, cheapest_plain

CELL_M = 3.0


def by_skimage(cost: np.ndarray, at: int):
    """scikit-image's search, or None where it is not installed."""
    try:
        from skimage.graph import MCP_Geometric
    except ImportError:
        return None
    return lambda: MCP_Geometric(cost, sampling=(CELL_M, CELL_M)).find_costs([(at, at)])[0]


def main() -> None:
    asked = sizes(__doc__, [1000, 3000])
    warm()
    for size in asked.sizes:
        cost = (1 + 9 * np.random.default_rng(3).random((size, size))).astype(np.float32)
        z, at = fractal(size), size // 2
        start = np.array([at * size + at])
        ways = {
            "SciPy": lambda c=cost, s=start: cheapest_plain(c, CELL_M, s, None),
            "compiled": lambda c=cost, a=at: cheapest(c, CELL_M, a, a),
            "compiled, even ground": lambda n=size, a=at: cheapest(np.ones((n, n)), CELL_M, a, a),
        }
        assert np.allclose(ways["compiled"](), ways["SciPy"](), rtol=1e-5)
        theirs = by_skimage(cost, at)
        if theirs is not None:
            assert np.allclose(theirs(), ways["compiled"](), rtol=1e-5)
            ways = {"scikit-image": theirs, **ways}
        ways["compiled, on foot"] = lambda c=cost, a=at, g=z: cheapest(c, CELL_M, a, a, g)
        runs = asked.runs if size <= 1000 else max(1, asked.runs // 3)
        report(f"cheapest way to all, {size} x {size} cells", ways, runs, next(iter(ways)))


if __name__ == "__main__":
    main()
