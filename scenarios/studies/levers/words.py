"""Words for levers: which way to turn one, and what a number of the file is called."""

from __future__ import annotations

from typing import TYPE_CHECKING

from noseload.model.vehicle import ENDS

if TYPE_CHECKING:
    from noseload.model.variation import Quantity


ADVICE = (
    ("ride height", ("raise", "lower")),
    ("mass at", ("add", "take off")),
    ("wheelbase", ("longer", "shorter")),
    ("mass_g", ("more", "less")),
    ("spring_rate", ("stiffer", "softer")),
    ("stiffness", ("stiffer", "softer")),
    ("radius", ("larger", "smaller")),
    ("travel", ("more", "less")),
    ("length", ("longer", "shorter")),
    ("grip", ("more", "less")),
)
"""Words for more and less of a quantity, by what its name holds."""


def advice_for(name: str, effect: float) -> str:
    """Which way to turn a lever so that the outcome rises, given the effect of more of it."""
    if name.endswith("[z]"):
        words = ("raise", "lower")
    elif name.endswith("[x]"):
        words = ("move forward", "move back")
    else:
        words = next((pair for part, pair in ADVICE if part in name), ("more", "less"))
    return words[0] if effect > 0.0 else words[1]


def label_of(quantity: Quantity) -> str:
    """Words for a quantity: 'rear upper link, axle end, height'."""
    table, _, key = quantity.key.rpartition(".")
    for unit in ("_n_per_mm", "_n_s_per_m", "_kg_mm2", "_rad_per_s", "_mm_per_s", "_n_mm", "_mm", "_g"):
        key = key.removesuffix(unit)
    table = table.removeprefix("weighed")
    place = {"x": "position", "z": "height"}.get(quantity.axis, "")
    if table in ENDS:
        table, key = f"{table} {key}", ""
    parts = [table.replace(".", " "), key, place]
    return ", ".join(part for part in parts if part).replace("_", " ")


def is_reading(key: str) -> bool:
    """Whether a key holds what a scale shows of the whole vehicle: that is read, not changed."""
    return key.startswith("weighed.") and key.endswith("_g")
