"""What is known about one key of a vehicle file, and its units."""

from collections.abc import Callable, Mapping
from functools import partial
from math import inf, log, sqrt
from typing import Any, NamedTuple

from .defaults import Default, Sizes

FACTORS = {
    "": 1.0,
    "mm": 1e-3,
    "1/mm": 1e3,
    "g": 1e-3,
    "N": 1.0,
    "kg mm2": 1e-6,
    "N/mm": 1e3,
    "N s/m": 1.0,
    "mm/s": 1e-3,
    "N mm": 1e-3,
    "rad/s": 1.0,
}
"""File unit -> SI factor."""

MIX_UPS = {
    "mm": (("metres", 1000.0), ("inches", 25.4), ("centimetres", 10.0), ("micrometres", 0.001)),
    "g": (("kilograms", 1000.0), ("ounces", 28.35), ("pounds", 453.6), ("milligrams", 0.001), ("newtons", 101.97)),
    "kg mm2": (("g mm2", 0.001), ("kg m2", 1e6), ("kg cm2", 100.0), ("g cm2", 0.1)),
    "N": (("grams of force", 0.00981), ("mN", 0.001)),
    "1/mm": (("1/m", 0.001), ("1/cm", 0.1)),
    "N/mm": (
        ("g/mm off a kitchen scale", 0.00980665),
        ("N/m", 0.001),
        ("N/cm", 0.1),
        ("lb/in", 0.17513),
        ("kg/mm", 9.80665),
    ),
    "N s/m": (("N s/mm", 1000.0),),
    "mm/s": (("m/s", 1000.0), ("cm/s", 10.0)),
    "N mm": (("N m", 1000.0), ("N cm", 10.0), ("kg cm", 98.07), ("g cm", 0.0981)),
    "rad/s": (("revolutions per minute", 0.10472), ("revolutions per second", 6.2832)),
}
"""File unit -> units it is commonly mixed up with, and what one of those is worth in the file's unit."""
DIAMETER = ("the diameter", 0.5)
SLIPS = (10.0, 0.1, 100.0, 0.01, 1000.0, 0.001)
"""Where a decimal point slipped."""


class Key(NamedTuple):
    """One key of the vehicle file."""

    dotted: str
    kind: str
    """'number', 'point', 'text', 'choice' or 'switch' (true or false)."""
    unit: str
    level: str
    """Level that needs the key: 'A', 'B', 'C', or '' where it is optional or has a default."""
    recipe: str
    """How to measure it with household tools, one line."""
    least: float = -inf
    above: bool = False
    """True: the value must lie above `least`, not on it."""
    most: float = inf
    usual: tuple[float, float] = (-inf, inf)
    """Range of 1:10 vehicles; outside it the reader warns and asks about the unit."""
    default: Default | Callable[[Sizes], Default] | None = None
    choices: tuple[str, ...] = ()
    space: bool = False
    """Whether the number moves answers about single wheels alone: the side view does not see it."""

    @property
    def table(self) -> str:
        """Dotted name of the table the key stands in; '' at the top of the file."""
        return self.dotted.rpartition(".")[0]

    @property
    def name(self) -> str:
        """Last part of the dotted key."""
        return self.dotted.rpartition(".")[2]

    @property
    def field(self) -> str:
        """Name of the vehicle's field: the key's without its unit ('stop_damping' of 'stop_damping_n_s_per_m')."""
        unit = self.unit.lower().replace("1/", "per_").replace("/", "_per_").replace(" ", "_")
        return self.name.removesuffix(f"_{unit}") if unit else self.name

    @property
    def factor(self) -> float:
        """What one file unit is in SI."""
        return FACTORS[self.unit]


def _number(
    above: bool,
    dotted: str,
    unit: str,
    level: str,
    recipe: str,
    usual: tuple[float, float],
    default: Default | Callable | None = None,
) -> Key:
    """A number above zero, or of zero at least."""
    return Key(dotted, "number", unit, level, recipe, 0.0, above, inf, usual, default)


positive, not_negative = partial(_number, True), partial(_number, False)
"""Keys of a number above zero, and of one of zero at least."""


def in_space(
    dotted: str, unit: str, recipe: str, usual: tuple[float, float], default: Default | Callable | None = None
) -> Key:
    """A number above zero that only answers about single wheels take."""
    return positive(dotted, unit, "", recipe, usual, default)._replace(space=True)


def value_at(document: Mapping[str, Any], dotted: str) -> Any:
    """What a document has under a dotted key; None where there is nothing."""
    value: Any = document
    for part in dotted.split("."):
        value = value.get(part) if isinstance(value, Mapping) else None
    return value


def dotted_values(table: Mapping[str, Any], prefix: str = "") -> dict[str, Any]:
    """The values of a table and of those in it by their dotted keys."""
    flat: dict[str, Any] = {}
    for name, value in table.items():
        inner = isinstance(value, Mapping)
        flat |= dotted_values(value, f"{prefix}{name}.") if inner else {f"{prefix}{name}": value}
    return flat


def with_unit(value: object, unit: str) -> str:
    """A number and its unit as a message shows them."""
    text = f"{value:.6g}" if isinstance(value, float) else str(value)
    return f"{text} {unit}" if unit else text


def unit_hint(key: Key, value: float) -> str:
    """Question about a mixed-up unit, or '' where no common mix-up brings the value into its usual range.

    Of several that do, the one that comes nearest to the middle of the range, by ratio.
    """
    low, high = key.usual
    if not 0.0 < high < inf or value == 0.0:
        return ""
    middle = sqrt(max(low, 1e-3 * high) * high)

    def best(candidates: list[tuple[str, float]] | tuple[tuple[str, float], ...]) -> tuple[float, str, float] | None:
        fitting = [
            (abs(log(abs(value) * worth / middle)), name, worth)
            for name, worth in candidates
            if abs(value) * worth / middle > 0.0
        ]
        return min((item for item in fitting if low <= abs(value) * item[2] <= high), default=None)

    known = MIX_UPS.get(key.unit, ())
    found = best((DIAMETER, *known) if key.name.endswith("radius_mm") else known)
    if found is not None:
        _, name, worth = found
        right = f"{value * worth:.4g} {key.unit}"
        if name == DIAMETER[0]:
            return f"was {name} read? half of it is {right}"
        return f"was it read in {name}? {value:g} {name.partition(' off ')[0]} are {right}"
    slipped = best([("", worth) for worth in SLIPS])
    return (
        "" if slipped is None else f"did a decimal point slip? {with_unit(value * slipped[2], key.unit)} would be usual"
    )
