"""Text lines about the assumed values that moved an answer."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from noseload.model.vehicle import Vehicle


MOTOR = (
    "drive.stall_torque_n_mm",
    "drive.no_load_speed_rad_per_s",
    "rear.shock.damping_n_s_per_m",
    "front.shock.damping_n_s_per_m",
)


def assumed_lines(effects: tuple, unit: str, scale: float = 1.0, least: float = 0.0) -> list:
    """Lines for people; none where nothing assumed mattered. Effects below `least` are counted only."""
    if not effects:
        return []
    lines = ["", "assumed values that move this answer (measure them to be surer):"]
    told = [e for e in effects if e.moves_by is None or scale * e.moves_by >= least]
    for e in told:
        moves = (
            "an end of the range has no answer"
            if e.moves_by is None
            else f"by up to {_size(scale * e.moves_by)} {unit}"
        )
        lines.append(f"  {e.key} {e.value:g} ({e.low:g} .. {e.high:g} {e.unit}): {moves}")
    if len(told) < len(effects):
        lines.append(f"  and {len(effects) - len(told)} more, each by less than can be measured")
    return lines


def assumed_motor_lines(vehicle: Vehicle) -> list[str]:
    """That a punch hangs on a motor and damping that nobody measured; none where the file gives them."""
    if not any(item.key in MOTOR for item in vehicle.assumed):
        return []
    return ["Motor and damping are assumed, not measured: `noseload punch --uncertainty` tells how far that goes."]


def _size(number: float) -> str:
    """Two digits, and whole numbers above ten."""
    return f"{number:.0f}" if number >= 10.0 else f"{number:.2g}"
