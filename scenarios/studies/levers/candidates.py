"""Levers before it is known whether they move anything, and which of them do."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from noseload.studies.climb.slopes import OUTCOMES

from .results import LEAST, Lever
from .words import advice_for

if TYPE_CHECKING:
    import numpy as np

    from noseload.studies.climb.slopes import Outcomes


FEW = 1e-9
"""Effects below this share of the largest count as none: rounding."""


@dataclass(frozen=True)
class Candidate:
    """A lever before it is known whether it moves anything; `make(sign)` is the vehicle one unit more or less."""

    name: str
    label: str
    step: str
    assumed: bool
    effects: dict
    make: Callable[[float], Any] | None = None
    ranges: dict = field(default_factory=dict)

    def pair(self) -> Any:
        """One practical unit more and one less."""
        if self.make is None:
            raise ValueError(f"{self.name}: made for derivatives alone")
        return self.make(1.0), self.make(-1.0)


def ordered(items: list, by: str) -> list:
    """By the size of the effect, largest first."""
    return sorted(items, key=lambda item: -abs(item.effects[by] or 0.0))


def effects_of(slopes: Outcomes, k: float | np.ndarray, amount: float | np.ndarray) -> dict:
    """Effects of one practical unit from slopes by SI unit."""
    found = {name: getattr(slopes, name) for name in OUTCOMES}
    return {name: None if slope is None else float(slope[k] * amount) for name, slope in found.items()}


def sort_out(candidates: list[Candidate], names: tuple[str, ...]) -> tuple:
    """Levers with advice, and the names of those that move nothing."""
    largest = {name: max((abs(item.effects[name] or 0.0) for item in candidates), default=0.0) for name in names}
    none = {name: max(FEW * largest[name], LEAST.get(name, 0.0)) for name in names}
    levers, idle = [], []
    for item in candidates:
        sizes = {name: [item.effects[name] or 0.0, *item.ranges.get(name, ())] for name in names}
        if all(abs(size) <= none[name] for name in names for size in sizes[name]):
            idle.append(item.name)
            continue
        advice = {n: advice_for(item.name, e) if e and abs(e) > none[n] else "" for n, e in item.effects.items()}
        effects = {n: 0.0 if e is not None and n in none and abs(e) <= none[n] else e for n, e in item.effects.items()}
        levers.append(Lever(item.name, item.label, item.step, effects, advice, {}, item.assumed, item.ranges))
    return levers, idle
