"""Relative lines of a setup: `"rear.upper_link.axle_end_mm" = { up = 12 }`, put into numbers of the file."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from .checks import Finding, nearest
from .keys import KEYS

POINT_WORDS = {
    "forward": (0, 1.0),
    "back": (0, -1.0),
    "outward": (1, 1.0),
    "inward": (1, -1.0),
    "up": (2, 1.0),
    "down": (2, -1.0),
}
"""Word -> axis of a point (x, y, z) and its sign; a left end's y grows outward."""
NUMBER_WORDS = ("more", "less", "percent")
"""More or less by so many units, or by so many percent (negative: less)."""


def absolute_value(document: Mapping[str, Any], dotted: str, line: Mapping[str, Any], faults: list[Finding]) -> object:
    """What a relative line makes of the value that the file gives.

    Parameters
    ----------
    document : mapping
        The file as written.
    dotted : str
        A key of the file.
    line : mapping
        Such as ``{"up": 12}`` or ``{"percent": -15}``.
    faults : list of Finding
        Added to where the line cannot be followed.

    Returns
    -------
    object
        A value as the file would give it, or None with a fault added.
    """
    key = KEYS[dotted]
    words = {"point": tuple(POINT_WORDS), "number": NUMBER_WORDS}.get(key.kind)
    if words is None:
        faults.append(Finding(dotted, f"is a {key.kind}, which knows no more and less; give the value itself"))
        return None
    example = "{ up = 12 }" if key.kind == "point" else "{ more = 2 }"
    if not line:
        faults.append(Finding(dotted, f"says nothing; give a value, or a change such as {example}"))
        return None
    found = len(faults)
    for word, amount in line.items():
        if word not in words:
            guess = nearest(str(word), words)
            hint = f"did you mean {guess}?" if guess else f"it takes {', '.join(words)}"
            faults.append(Finding(f"{dotted}.{word}", f"is no way to change it; {hint}"))
        elif isinstance(amount, bool) or not isinstance(amount, int | float) or not abs(amount) < 1e9:
            faults.append(Finding(f"{dotted}.{word}", f"must be a number, such as {example}"))
    if len(faults) > found:
        return None
    value = _given(document, dotted)
    if not _is_value(value, key.kind):
        why = "is changed against the file, which does not give it; give the value itself"
        faults.append(Finding(dotted, why))
        return None
    return _moved(dotted, value, line, faults) if key.kind == "point" else _changed(value, line)


def _given(document, dotted):
    value: Any = document
    for part in dotted.split("."):
        value = value.get(part) if isinstance(value, Mapping) else None
    return value


def _is_value(value, kind):
    numbers = value if kind == "point" else [value]
    return (
        isinstance(numbers, list)
        and len(numbers) in (1, 2, 3)
        and all(isinstance(number, int | float) and not isinstance(number, bool) for number in numbers)
    )


def _moved(dotted, value, line, faults):
    point = [value[0], value[1] if len(value) == 3 else None, value[-1]]
    for word, amount in line.items():
        axis, sign = POINT_WORDS[word]
        if point[axis] is None:
            faults.append(Finding(f"{dotted}.{word}", "needs the point's y: give the point as [x, y, z] in the file"))
            return None
        point[axis] = _rounded(point[axis] + sign * amount)
    return [number for number in point if number is not None]


def _changed(value, line):
    value = value * (1.0 + line.get("percent", 0.0) / 100.0) + line.get("more", 0.0) - line.get("less", 0.0)
    return _rounded(value)


def _rounded(number):
    """Decimal numbers as people write them: 0.1 + 0.2 is 0.3."""
    return float(f"{number:.12g}")
