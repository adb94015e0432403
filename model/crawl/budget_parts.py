"""The parts of the front-load budget, once: what each is called, how it looks, when it is there.

Text, verdicts, pictures, pages and CSV read this table; a part that is added here is told everywhere.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass


@dataclass(frozen=True)
class Part:
    """One part of a budget.

    Attributes
    ----------
    key : str
        As in documents, N.
    words : str
        For tables.
    cause : str
        In a verdict: 'through ...'.
    short : str
        On pictures.
    group : str
        Parts of one group are one row where there is little room.
    colour, hatch : str
        On pictures.
    steady : bool
        There in a steady crawl too; the others only in motion.
    always : bool
        Told even where it is nothing.
    """

    key: str
    words: str
    cause: str
    short: str
    group: str
    colour: str
    hatch: str
    steady: bool = False
    always: bool = True


PARTS: tuple[Part, ...] = (
    Part("standing_n", "standing on the level", "the static load", "standing", "standing", "#c9d2d9", "", True),
    Part(
        "grade_n", "the grade, rigid vehicle", "the rigid vehicle on the grade", "grade", "grade", "#5d7486", "", True
    ),
    Part(
        "attitude_n",
        "attitude (squat, pitch)",
        "attitude (squat and pitch)",
        "attitude",
        "attitude",
        "#b5452c",
        "///",
        True,
    ),
    Part(
        "contact_offset_n",
        "contact ahead of the wheels (rolling resistance, tyre give)",
        "rolling resistance and the give of the tyres",
        "contact offset",
        "contact offset",
        "#8a5a83",
        "++",
        True,
        always=False,
    ),
    Part(
        "lengthwise_acceleration_n",
        "longitudinal acceleration",
        "longitudinal acceleration",
        "longitudinal acceleration",
        "gaining speed",
        "#e3b04b",
        "",
    ),
    Part(
        "normal_acceleration_n",
        "normal acceleration",
        "normal acceleration",
        "normal acceleration",
        "heaving",
        "#2f8f83",
        "...",
    ),
    Part(
        "rotation_chassis_n",
        "chassis angular acceleration",
        "chassis angular acceleration",
        "chassis rotation",
        "turning",
        "#6d5aa8",
        "\\\\\\",
    ),
    Part(
        "rotation_housings_n",
        "housing angular acceleration",
        "housing angular acceleration",
        "housing rotation",
        "turning",
        "#93c1b9",
        "",
    ),
    Part(
        "rotation_wheels_n",
        "wheel angular acceleration",
        "wheel angular acceleration",
        "wheel rotation",
        "turning",
        "#3b2f2f",
        "xx",
    ),
)
"""In the order in which they are told."""


BENCH_PARTS: tuple[Part, ...] = (
    Part("standing_n", "standing on the level", "the static load", "standing", "standing", "#c9d2d9", "", True),
    Part("motor_torque_n", "the torque, -T/L", "the motor torque", "torque", "torque", "#5d7486", "", True),
    Part("attitude_n", "attitude (pitch and travel)", "attitude", "attitude", "attitude", "#b5452c", "///", True),
    Part(
        "front_traction_n",
        "front traction (geared in)",
        "front traction",
        "front traction",
        "traction",
        "#e3b04b",
        "",
        True,
        always=False,
    ),
    Part(
        "contact_offset_n",
        "front contact ahead of the wheels (tyre give)",
        "the give of the front tyres",
        "contact offset",
        "contact offset",
        "#8a5a83",
        "++",
        True,
        always=False,
    ),
)
"""Parts of the front load on the held-wheel bench."""


def keys() -> tuple[str, ...]:
    """Keys of all parts."""
    return tuple(part.key for part in PARTS)


def steady_keys() -> tuple[str, ...]:
    """Keys of the parts that a steady crawl has too."""
    return tuple(part.key for part in PARTS if part.steady)


def motion_keys() -> tuple[str, ...]:
    """Keys of the parts that only motion has."""
    return tuple(part.key for part in PARTS if not part.steady)


def part_of(key: str) -> Part:
    """The part of a key.

    Raises
    ------
    KeyError
        There is none.
    """
    return next(part for part in PARTS if part.key == key) if key in keys() else _unknown(key)


def _unknown(key: str) -> Part:
    raise KeyError(f"no part of the budget is called {key!r}; there are {', '.join(keys())}")


def told(*budgets: Mapping[str, object], steady: bool = False) -> list[Part]:
    """Parts that a text or picture of these budgets names: those always told, and whatever is not nothing.

    Parameters
    ----------
    *budgets : mapping of str to float, None or array
        Empty ones do not count.
    steady : bool
        Only the parts of a steady crawl.
    """
    return [
        part
        for part in PARTS
        if (part.steady or not steady) and (part.always or any(_is_there(budget.get(part.key)) for budget in budgets))
    ]


def _is_there(value: object) -> bool:
    if value is None:
        return False
    if hasattr(value, "any"):
        return bool(value.any())
    return bool(value)


def grouped(budget: Mapping[str, float]) -> tuple[float, float]:
    """A budget in two sums: what a steady crawl has too, and what only motion has (acceleration and rotation), N."""
    return sum(budget[key] for key in steady_keys()), sum(budget[key] for key in motion_keys())


def groups(parts: Iterable[Part] | None = None) -> dict[str, tuple[Part, ...]]:
    """Parts by the group in which they are shown where there is little room, in order."""
    found: dict[str, tuple[Part, ...]] = {}
    for part in PARTS if parts is None else parts:
        found[part.group] = (*found.get(part.group, ()), part)
    return found
