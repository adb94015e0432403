"""Parts of the front-load budget, said once: text, verdicts, pictures, page and CSV read this table."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

SHOWN_FROM_N = 1e-9
"""An optional part is told from here on: below it is rounding."""


@dataclass(frozen=True)
class BudgetPart:
    """One part of the budget.

    Attributes
    ----------
    name : str
        With `_n` its key in results, JSON and CSV.
    words : str
        In tables.
    label : str
        In pictures.
    group : str
        Where room is short, parts of one group are told as one.
    colour, hatch : str
        Of its areas and bars.
    cause : str
        In a verdict, after 'through'; '' takes `words`.
    steady : bool
        Whether a steady crawl has it.
    optional : bool
        Told only where it is not zero.
    """

    name: str
    words: str
    label: str
    group: str
    colour: str
    hatch: str = ""
    cause: str = ""
    steady: bool = False
    optional: bool = False

    @property
    def key(self) -> str:
        """Key in results, N."""
        return f"{self.name}_n"

    @property
    def cause_words(self) -> str:
        """Words of a verdict."""
        return self.cause or self.words


PARTS = (
    BudgetPart("standing", "standing on the level", "standing", "standing", "#c9d2d9", "", "the standing load", True),
    BudgetPart(
        "grade", "the grade, rigid vehicle", "grade", "grade", "#5d7486", "", "the rigid vehicle on the grade", True
    ),
    BudgetPart(
        "attitude",
        "attitude (squat, pitch)",
        "attitude",
        "attitude",
        "#b5452c",
        "///",
        "attitude (squat and pitch)",
        True,
    ),
    BudgetPart(
        "lengthwise_acceleration", "acceleration along the slope", "lengthwise acceleration", "gaining speed", "#e3b04b"
    ),
    BudgetPart(
        "normal_acceleration", "acceleration across the slope", "normal acceleration", "heaving", "#2f8f83", "..."
    ),
    BudgetPart("rotation_chassis", "chassis turning", "chassis rotation", "turning", "#6d5aa8", "\\\\\\"),
    BudgetPart("rotation_housings", "axle housings turning", "housing rotation", "turning", "#93c1b9"),
    BudgetPart("rotation_wheels", "wheels spinning up", "wheel rotation", "turning", "#3b2f2f", "xx"),
)
"""In the order in which they are told; a steady crawl has the first ones alone."""
BY_KEY = {part.key: part for part in PARTS}
KEYS = tuple(BY_KEY)
STEADY_KEYS = tuple(part.key for part in PARTS if part.steady)
MOTION_KEYS = tuple(part.key for part in PARTS if not part.steady)
"""Parts that a steady crawl has too, and those that only a punch has."""


def in_told_order(parts: Mapping[str, Any]) -> dict[str, Any]:
    """Parts by key in the order of the table; a part without a number is an error that names it (KeyError)."""
    return {key: parts[key] for key in KEYS}


def told_parts(*budgets: Mapping[str, Any], steady: bool = False) -> list[BudgetPart]:
    """Parts to be told of budgets (numbers or arrays, N): all but optional ones that are zero throughout.

    Parameters
    ----------
    *budgets : mapping of str to float, ndarray or None
        By key; empty ones and keys without a number say nothing.
    steady : bool
        Only those of a steady crawl.
    """
    return [
        part
        for part in PARTS
        if (part.steady or not steady) and (not part.optional or any(_is_there(b.get(part.key)) for b in budgets))
    ]


def _is_there(part: Any) -> bool:
    if part is None:
        return False
    size = abs(part) > SHOWN_FROM_N
    return size if isinstance(size, bool) else bool(size.any())


def told_groups(*budgets: Mapping[str, Any]) -> list[tuple[str, Sequence[BudgetPart]]]:
    """The told parts by group, in order."""
    groups: dict[str, list[BudgetPart]] = {}
    for part in told_parts(*budgets):
        groups.setdefault(part.group, []).append(part)
    return list(groups.items())
