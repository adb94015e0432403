"""Punches of random vehicles in blocks: as given, all errors, either part alone, each error alone to both sides; and intervals from them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

import numpy as np

from .punch_draws import nothing_left_out
from .uncertainty import LEAST_DRAWS, Interval, interval_of

if TYPE_CHECKING:
    from noseload.studies.errors.error_group import ErrorGroup, Member
    from noseload.studies.errors.punch_draws import DrawnPunches


PERCENTILES = (2.5, 97.5)
APART = 2
"""Either part alone is told from every second draw."""


def punch_blocks(
    group: ErrorGroup, errors: np.ndarray, sizes: np.ndarray, run: Callable[..., list[DrawnPunches]]
) -> list[PunchBlocks]:
    """Run every member's blocks side by side.

    Parameters
    ----------
    group : ErrorGroup
        Made for punches.
    errors : ndarray, shape (measured sources, draws)
    sizes : ndarray, shape (left-out sources, draws)
    run : callable
        `run(members, errors, sizes)` as `run_drawn`.
    """
    draws, sources, left = errors.shape[1], len(group.sources), len(group.left_out)
    plain = nothing_left_out(group, 1)
    none, nothing = np.zeros((sources, 1)), np.zeros((sources, draws))
    deviations = np.diag([source.deviation for source in group.sources])
    middles = np.array([source.part.mean for source in group.left_out]).reshape(left, 1)
    steps = np.diag([source.deviation for source in group.left_out]).reshape(left, left)
    measured = np.repeat(plain, draws, axis=1), np.repeat(plain, sources, axis=1)
    some = slice(None, None, APART)
    columns = [
        (none, plain),
        (errors, sizes),
        (errors[:, some], measured[0][:, some]),
        (nothing[:, some], sizes[:, some]),
        (deviations, measured[1]),
        (-deviations, measured[1]),
        (np.zeros((sources, left)), middles + steps),
        (np.zeros((sources, left)), middles - steps),
        (np.zeros((sources, len(group.entry_keys))), group.entries_alone()[:, 1:]),
    ]
    all_errors, all_sizes = (np.hstack(list(part)) for part in zip(*columns, strict=True))
    ends = np.cumsum([part.shape[1] for part, _ in columns])[:-1]
    found = run(group.members, all_errors, all_sizes)
    return [PunchBlocks(member, one, ends, draws) for member, one in zip(group.members, found, strict=True)]


class PunchBlocks:
    """Numbers of one member's punches in blocks, which end at `ends`.

    Parameters
    ----------
    member : Member
    found : DrawnPunches
    ends : ndarray of int
    draws : int
        Of the block with all errors.

    Attributes
    ----------
    numbers : dict of str to list of ndarray
        By block.
    lost : int
        Draws that do not run.
    """

    def __init__(self, member: Member, found: DrawnPunches, ends: np.ndarray, draws: int) -> None:
        self.member, self.times = member, np.asarray(found.time_s)
        self.numbers = {name: np.split(values, ends) for name, values in found.numbers.items()}
        self._traces = found.traces
        self._drawn = np.flatnonzero((found.ran > 0) & (found.ran <= draws))
        self.lost = draws - self._drawn.size

    def drawn(self, name: str) -> np.ndarray:
        """A number with all errors drawn, of the draws that run."""
        whole = self.numbers[name][1]
        return whole[np.isfinite(whole)]

    def lifting(self, name: str) -> tuple[float | None, tuple[float, float] | None]:
        """Share of the draws with any of a time in the air, and its 95 % limits among them; None where there are none."""
        times = self.drawn(name)
        lifted = times[times > 0.0]
        aloft = tuple(np.percentile(lifted, PERCENTILES).tolist()) if lifted.size else None
        return (lifted.size / times.size if times.size else None), aloft

    def band(self, name: str) -> np.ndarray:
        """95 % limits over time, shape (2, samples); not a number past the first flip, or with fewer than ten draws."""
        traces = self._traces[name][:, self._drawn]
        if traces.shape[1] < LEAST_DRAWS:
            return np.full((2, traces.shape[0]), np.nan)
        return np.percentile(traces, PERCENTILES, axis=1)

    def intervals(self, group: ErrorGroup, names: Sequence[str]) -> dict[str, Interval]:
        """Intervals of numbers."""
        return {name: _interval(group, self.numbers[name]) for name in names}

    def changes(self, group: ErrorGroup, names: Sequence[str], first: PunchBlocks) -> dict[str, Interval]:
        """Intervals of numbers less those of another member, draw by draw."""
        pairs = {name: zip(self.numbers[name], first.numbers[name], strict=True) for name in names}
        return {name: _interval(group, [a - b for a, b in pair]) for name, pair in pairs.items()}


def _interval(group: ErrorGroup, parts: list) -> Interval:
    """Interval of numbers in blocks."""
    own, whole, measured, left_out, up, down, left_up, left_down, alone = parts
    value = float(own[0]) if np.isfinite(own[0]) else None
    steps = 0.5 * np.concatenate([up - down, left_up - left_down])
    return interval_of(group, value, (measured, left_out, whole), steps, np.nan_to_num(alone - own[0]))
