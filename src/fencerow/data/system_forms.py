"""The files of a system's folder: what each holds, column by column."""

from __future__ import annotations

RATES = {
    "group": "text | crop group of system.toml",
    "nutrient": "text | n, p2o5 or k2o",
    "given": "text? | what else the row asks for, such as the crop before",
    "test": "text? | extractant, where the classes differ by it",
    "low": "number? | lowest whole number of the class; blank where no test is asked for",
    "high": "number? | highest whole number of the class; blank for an open class",
    "yield_low": "number? | lowest whole yield; blank for any yield",
    "yield_high": "number? | highest whole yield; blank for an open class",
    "rate_lb_ac": "number | printed rate",
    "note": "text? | what the publication adds",
}
RATES_MAY = {
    "soil_group": "text? | group of soils of system.toml; blank for all",
    "class": "text? | a class of ratings.csv, in place of low and high",
}
"""Columns that rates.csv may have or leave out."""

RATINGS = {
    "nutrient": "text | p2o5 or k2o",
    "test": "text? | extractant, where the classes differ by it",
    "soil_group": "text? | group of soils of system.toml; blank for all",
    "class": "text | name of the class, as printed",
    "low": "number | lowest whole number of the class",
    "high": "number? | highest whole number of the class; blank for an open class",
}

EQUATIONS = {
    "group": "text | crop group of system.toml",
    "nutrient": "text | p2o5 or k2o",
    "test": "text? | extractant; blank for any that system.toml names",
    "soil_group": "text? | group of soils of system.toml; blank for all",
    "form": "text | linear, build-maintain, square-root or quadratic",
    "a": "number | first coefficient",
    "b": "number? | second coefficient",
    "c": "number? | third coefficient",
    "critical": "number? | critical level, or the level to build to, in the unit of the test",
    "limit": "number? | from this test on nothing is given, in the unit of the test",
    "years": "number? | years in which the level is built",
    "least": "number? | a rate below this is not worth spreading: none, in lb/ac",
    "most": "number? | the most at once, in lb/ac",
    "round_to": "number? | the rate is given to this, in lb/ac",
    "note": "text? | what the publication adds",
}
NEEDED = {
    "linear": ("a", "b"),
    "build-maintain": ("a", "critical", "limit"),
    "square-root": ("a", "critical", "years"),
    "quadratic": ("a", "b", "c"),
}
"""What an equation of each form needs."""

REMOVAL = {
    "group": "text | crop group of system.toml",
    "nutrient": "text | p2o5 or k2o",
    "removal": "number | lb in a unit of the group's yield",
    "note": "text? | what the publication adds",
}

NOTES = {
    "note": "text | name of the note",
    "group": "text | crop group of system.toml",
    "stage": "text? | establish or maintain; blank for both",
    "what": "text | n, p2o5, k2o, s, b or lime",
    "given": "text? | no-test: where there is no soil test; below: where the test is below `below`;"
    " where-cut: said, and not reckoned with, for a plot is not cut",
    "below": "number? | soil test, in lb/ac",
    "low_lb_ac": "number? | rate, the least",
    "high_lb_ac": "number? | rate, the most",
    "region": "text | whose advice it is",
    "text": "text | what it says, in our words; {rate} is the row's own rate",
}

CHECKS = {
    "check": "text | name of the check",
    "asks": "text | rate or lime",
    "group": "text? | crop group",
    "nutrient": "text? | n, p2o5 or k2o",
    "given": "text? | as in rates.csv",
    "test": "text? | extractant",
    "value": "number? | soil test",
    "yield": "number? | expected yield",
    "area": "text? | as in lime.csv",
    "soil_ph": "number? | soil pH",
    "buffer_ph": "number? | buffer index",
    "expect": "number? | what the publication prints; blank for not known",
}
CHECKS_MAY = {
    "cec": "number? | exchange capacity, where soils are grouped by it",
    "texture": "text? | texture, where soils are grouped by it",
    "region": "text? | region, where soils are grouped by it",
    "carried_pct": "number? | share of the yield that is carried off; blank for all",
    "within": "number? | how near is near enough, in lb/ac; blank for exactly",
    "page": "text? | page or table of the publication",
}
"""Columns that checks.csv may have or leave out."""
