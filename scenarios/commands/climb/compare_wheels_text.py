"""What `compare --punch --wheels` prints: times in the air wheel by wheel, side view beside it, the verdict last."""

from typing import Any

from noseload.documents import grams, number, outcome_words, table
from noseload.studies.wheels.words import WHEEL_WORDS


def wheels_punch_text(result: Any) -> str:
    """Table of the setups, and the verdict."""
    rows = []
    for row in result.to_dict()["rows"]:
        wheel = row["first_wheel"]
        rows.append(
            (
                row["setup"],
                WHEEL_WORDS[wheel] if wheel else "none",
                _ms(row["first_wheel_airborne_s"]),
                _ms(row["front_axle_airborne_s"]),
                _ms(row["side_view_front_airborne_s"]),
                "-" if row["front_axle_load_min_n"] is None else grams(row["front_axle_load_min_n"]),
                number(row["peak_chassis_roll_deg"], "+.1f"),
                outcome_words(row["outcome"]) if row["outcome"] else row["status"],
            )
        )
    head = (
        *("setup", "first wheel", "in the air", "both front", "side view, axle", "least front axle load"),
        *("roll, deg (left up +)", "how it ends"),
    )
    return "\n".join([f"punch in space at {result.grade_deg:g} deg", table(head, rows), "", result.verdict])


def _ms(seconds: float) -> str:
    return "-" if seconds is None else f"{1e3 * seconds:.0f} ms"
