"""An interval in words: both ends as fine as it takes to tell them apart, and a value that lies outside told so."""

FINEST = 2
"""Decimals that are added at most; ends that still agree are told as one number."""


def from_to(low: float, high: float, decimals: int, *, sign: bool = False) -> str:
    """'0.66 to 0.72' where one decimal would say '0.7 to 0.7'; '0.7' where there is nothing between the ends.

    Parameters
    ----------
    low, high : float
        In the unit told.
    decimals : int
        Where the ends differ in these already.
    sign : bool
        With a sign before each.
    """
    plus = "+" if sign else ""
    for more in range(FINEST + 1):
        first, last = (f"{end:{plus}z.{decimals + more}f}" for end in (low, high))
        if first != last:
            return f"{first} to {last}"
    return f"{low:{plus}z.{decimals}f}"


def between_words(low: float, high: float, decimals: int, unit: str) -> str:
    """', 11 to 27 g' of sizes, the smaller first; '' where there is nothing between them."""
    smaller, larger = sorted((abs(low), abs(high)))
    said = from_to(smaller, larger, decimals)
    return f", {said} {unit}" if " to " in said else ""


def with_interval(value: float, low: float | None, high: float | None, decimals: int, unit: str) -> str:
    """'58.9 deg (57.2 to 60.1 deg, 95 %)', or 'a calculated 60.0 deg (with what the model leaves out 57.4 to 59.9 deg, 95 %)'.

    The second where the number lies outside its own interval, which tells what was left out too.
    """
    if low is None or high is None:
        return f"{value:.{decimals}f} {unit}"
    between = f"{from_to(low, high, decimals)} {unit}, 95 %"
    if round(low, decimals) <= round(value, decimals) <= round(high, decimals):
        return f"{value:.{decimals}f} {unit} ({between})"
    return f"a calculated {value:.{decimals}f} {unit} (with what the model leaves out {between})"


def over_divisions(ends: tuple[float, float | None] | None) -> str:
    """' (52.7 to 55.9 deg over divisions of the pull)', of a grade; without a largest where some law never meets it; '' where nothing is open."""
    if ends is None:
        return ""
    low, high = ends
    span = f"{low:.1f} deg or not at all" if high is None else f"{from_to(low, high, 1)} deg"
    return f" ({span} over divisions of the pull)"
