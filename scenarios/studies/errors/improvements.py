"""What would help most to settle: the doubts by how far each alone moves a number and spreads it."""

from dataclasses import dataclass
from math import sqrt

import numpy as np

from .error_group import ErrorGroup, LeftOutSource, recipe_of


@dataclass(frozen=True)
class Improvement:
    """What settling one doubt would bring, and what halving its error would do.

    Attributes
    ----------
    source, limit, recipe : str
    share : float
        Of the sum of mean squares by which each doubt alone takes the truth off the number calculated (linear propagation):
        its variance and what it moves the number by, squared.
    bias : float
        What it moves the number by in the mean of its range, SI; 0 for errors of measurement.
    half_width_if_halved : float
    """

    source: str
    limit: str
    share: float
    bias: float
    half_width_if_halved: float
    recipe: str


def improvements(
    group: ErrorGroup, parts: np.ndarray, biases: np.ndarray, half: float, count: int = 5
) -> tuple[Improvement, ...]:
    """What would help most to settle, for an interval of half-width `half`: the numbers of one left-out entry count as one.

    A doubt of variance v that moves the number by b counts ``v + b^2``. What doubts do to each other's bias is left out: one
    that happens to make up for another is not better known for it.

    Parameters
    ----------
    group : ErrorGroup
    parts : ndarray
        Variances by all sources of the group.
    biases : ndarray
        Of the entries, in the order of `ErrorGroup.entries_alone`.
    half : float
    count : int
        At most.
    """
    variance = float(parts.sum())
    whole = variance + float((biases**2).sum())
    if whole <= 0.0:
        return ()
    joined: dict = {}
    for part, source in zip(parts, group.all_sources, strict=True):
        key = (source.entry.key, source.setup) if isinstance(source, LeftOutSource) else source
        joined[key] = (source, joined.get(key, (source, 0.0))[1] + float(part))
    moved = dict(zip(group.entry_keys, biases.tolist(), strict=True))
    gains = []
    for key, (source, part) in joined.items():
        b = moved.get(key[0], 0.0) if isinstance(source, LeftOutSource) and not source.setup else 0.0
        gains.append(((part + b**2) / whole, b, part, source))
    found = []
    for share, b, part, source in sorted(gains, key=lambda gain: -gain[0])[:count]:
        if share < 0.005:
            break
        halved = half * sqrt(1.0 - 0.75 * part / variance) if variance > 0.0 else half
        found.append(Improvement(source.name, source.limit_words, share, b, halved, recipe_of(source)))
    return tuple(found)
