"""What `compare --punch --wheels` prints: times in the air wheel by wheel, side view beside it, the verdict last."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from noseload.commands.assumed_lines import assumed_lines
from noseload.documents import grams, number, table, wheels_outcome_words
from noseload.model.names import row_name
from noseload.studies.errors.assumed_punch import LINE_WORDS
from noseload.studies.verdict.intervals import from_to
from noseload.studies.wheels.words import WHEEL_WORDS, wheel_words

if TYPE_CHECKING:
    from noseload.studies.compare.wheels_punch import WheelsComparison


def wheels_punch_text(result: WheelsComparison) -> str:
    """Tables of the setups and of what each changes, assumed values that matter, and the verdict."""
    document = result.to_dict()
    told, changes = [], []
    for row in document["rows"]:
        wheel = row["first_wheel"]
        told.append(
            (
                row_name(row["setup"]),
                WHEEL_WORDS[wheel] if wheel else "none",
                _ms(row["first_wheel_airborne_s"]),
                _ms(row["front_axle_airborne_s"]),
                _ms(row["side_view_front_airborne_s"]),
                "-" if row["front_axle_load_min_n"] is None else grams(row["front_axle_load_min_n"]),
                number(row["peak_chassis_roll_deg"], "+.1f"),
                wheels_outcome_words(row["outcome"]) if row["outcome"] else row["status"],
            )
        )
        changes.append(
            (
                row_name(row["setup"]),
                "-" if row["wheel_load_start_n"] is None else grams(row["wheel_load_start_n"]),
                _ms(row["wheel_airborne_s"]) + (" and on" if row["wheel_ends_airborne"] else ""),
                *(("", "", "", "") if row["film"] is None else _changed(row)),
            )
        )
    head = (
        *("setup", "first wheel", "in the air", "both front", "side view, axle", "minimum front axle load"),
        *("roll, deg (left up +)", "how it ends"),
    )
    lines = [f"punch in space at {result.grade_deg:g} deg", table(head, told), ""]
    if result.wheel is not None:
        names = ("setup", "in the crawl", "in the air", "change", "drawn: 95 %", "axles' share of pull", "film")
        lines += [wheel_words(result.wheel), table(names, changes, align="<>>>>><"), ""]
    if result.assumed:
        lines += [*assumed_lines(result.assumed, LINE_WORDS, least=1.0)[1:], ""]
    return "\n".join([*lines, result.verdict])


def _changed(row: dict[str, Any]) -> tuple[str, str, str, str]:
    """What a setup changes: as given, over random vehicles, over laws of division, and what a film makes of it."""
    drawn = row["change_drawn_low_s"], row["change_drawn_high_s"]
    return _change(row["change_s"]), _span(*drawn), _span(row["change_low_s"], row["change_high_s"]), row["film"]


def _change(seconds: float) -> str:
    return f"{1e3 * seconds:+z.0f} ms"


def _span(low: float | None, high: float | None) -> str:
    return "-" if low is None or high is None else f"{from_to(1e3 * low, 1e3 * high, 0, sign=True)} ms"


def _ms(seconds: float | None) -> str:
    return "-" if seconds is None else f"{1e3 * seconds:.0f} ms"
