"""Several answers about single wheels side by side."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from .answer import RANGED, WheelsAnswer


def together(answers: Sequence[WheelsAnswer]) -> list[dict[str, Any]]:
    """Several setups beside the first: lifts, twist and loads, and what each changes."""
    first = answers[0]
    rows = []
    for answer in answers:
        mine, base = answer.limits.first_wheel_lift_grade_deg, first.limits.first_wheel_lift_grade_deg
        rows.append(
            {
                "name": answer.vehicle.name,
                "setup": answer.setup,
                "first_wheel": answer.limits.first_wheel,
                "first_wheel_lift_grade_deg": mine,
                "first_wheel_lift_range_deg": list(answer.first_lift_range_deg),
                "first_wheel_lift_change_deg": None if mine is None or base is None else mine - base,
                "tip_over_grade_deg": answer.limits.tip_over_grade_deg,
                **{key: getattr(answer.row, key) for key in (*RANGED, "status")},
            }
        )
    return rows
