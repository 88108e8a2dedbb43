"""How many examples a costly property is given: few in each run, many by night."""

from hypothesis import settings


def often(few: int) -> int:
    """So many of `few` as the profile draws of its own 60."""
    return max(1, few * settings().max_examples // 60)
