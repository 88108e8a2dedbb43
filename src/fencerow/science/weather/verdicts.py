"""The person's own 'fit' and 'still too wet', and where they move a plot's limit.

A rule of ours (docs/decisions/0026-verdicts-and-today.md). A verdict says on which side of the
limit the water of that day lay. As long as the limit agrees with every verdict it stays where it
is; else it moves just far enough: to the wettest 'fit', or a step past the driest 'too wet', or
halfway between the two where they stand closer than that, or contradict each other. It never moves
farther from the published limit than a band. More of 'fit' never asks for drier ground, and more of
'too wet' never for wetter.
"""

from __future__ import annotations

from collections.abc import Sequence

from fencerow.figure import formula

_MM = (-200.0, 200.0)


@formula(
    "the published limit, moved to agree with the verdicts, by no more than the band",
    unit="mm",
    source="judgement",
    basis="common practice",
    valid={"wanted_mm": (-60, 120), "step_mm": (0, 20), "band_mm": (0, 60)},
    lookup=True,
)
def limit_after(
    wanted_mm: float,
    fit_mm: Sequence[float],
    too_wet_mm: Sequence[float],
    step_mm: float,
    band_mm: float,
) -> float:
    """The depletion from which on a plot is fit, after the person's verdicts [mm].

    Args:
        wanted_mm: `dryness_wanted`, by the published limit [mm].
        fit_mm: modelled midday depletion of the days that were found fit [mm].
        too_wet_mm: of those that were found too wet [mm].
        step_mm: how much drier than the driest 'too wet' is taken to do [mm].
        band_mm: how far the limit may move [mm].

    Raises:
        OutsideRange: an input is outside its range.
    """
    least, most = wanted_mm - band_mm, wanted_mm + band_mm
    if fit_mm and too_wet_mm:
        wettest_fit, driest_wet = min(fit_mm), max(too_wet_mm)
        between = (wettest_fit + driest_wet) / 2
        low, high = min(driest_wet + step_mm, between), max(wettest_fit, between)
    else:
        low = max(too_wet_mm) + step_mm if too_wet_mm else least
        high = min(fit_mm) if fit_mm else most
    return min(max(min(max(wanted_mm, low), high), least), most)


@formula(
    "(fc_share * depth_mm - depletion_mm) / 25.4",
    unit="in",
    source="definition",
    basis="definition",
    valid={"fc_share": (0.001, 0.8), "depth_mm": (50, 300), "depletion_mm": _MM},
)
def water_held(fc_share: float, depth_mm: float, depletion_mm: float) -> float:
    """The water in the layer, from what it lacks to field capacity [in]. By definition.

    Args:
        fc_share: water at field capacity, by volume.
        depth_mm: depth of the layer [mm].
        depletion_mm: water lacking to field capacity, below 0 above it [mm].

    Raises:
        OutsideRange: an input is outside its range.
    """
    return (fc_share * depth_mm - depletion_mm) / 25.4


@formula(
    "whether the limit, as it stood before the verdict, said the same",
    unit="",
    source="definition",
    basis="definition",
    valid={"depletion_mm": _MM, "wanted_mm": (-60, 120)},
    lookup=True,
)
def agreed(depletion_mm: float, wanted_mm: float, fit: bool) -> bool:
    """Whether a verdict agrees with what the limit would have said that day. By definition.

    Args:
        depletion_mm: modelled midday depletion of the day [mm].
        wanted_mm: the limit before the verdict [mm].
        fit: what the person said.

    Raises:
        OutsideRange: an input is outside its range.
    """
    return (depletion_mm >= wanted_mm) == fit
