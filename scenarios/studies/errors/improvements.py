"""What would help most to settle: the doubts by what would be gone with each, its spread and what it moves a number by."""

from dataclasses import dataclass
from math import sqrt

from .error_group import LeftOutSource, recipe_of


@dataclass(frozen=True)
class Improvement:
    """What settling one doubt would bring, and what halving its error would do.

    Attributes
    ----------
    source, limit, recipe : str
    share : float
        Of the mean square by which the truth lies off the number calculated, linear propagation: what would be gone with this
        doubt, its spread and what it moves the number by.
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


def improvements(group, parts, biases, half, count=5):
    """What would help most to settle, for an interval of half-width `half`: the numbers of one left-out entry count as one.

    The truth lies off the number calculated by ``sum(parts) + B^2`` in the mean square, B the sum of all biases. Without an
    entry that is ``part + b (2 B - b)`` less.

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
    variance, bias = float(parts.sum()), float(biases.sum())
    whole = variance + bias**2
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
        gains.append(((part + b * (2.0 * bias - b)) / whole, b, part, source))
    found = []
    for share, b, part, source in sorted(gains, key=lambda gain: -gain[0])[:count]:
        if share < 0.005:
            break
        halved = half * sqrt(1.0 - 0.75 * part / variance) if variance > 0.0 else half
        found.append(Improvement(source.name, source.limit_words, share, b, halved, recipe_of(source)))
    return tuple(found)
