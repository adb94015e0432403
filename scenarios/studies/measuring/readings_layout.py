"""What a file of readings on the board holds, its traps, and what each row must have."""

import numpy as np

from noseload.csv_input import Column, Layout, Readings, ReadingsFileError
from noseload.studies.bench.board import HELD_WHEELS

from .common_errors import END_FOR_END, GAUGE_ZERO, KNOWN_MASS, SCALE_GAIN
from .readings_wheels import FIRST_LIFT, HELD_BY, SINGLE_KINDS, single_faults

READINGS_LAYOUT = Layout(
    title="Readings on the board",
    settings=(
        Column("scale_error_g", "standard error of one scale reading", low=0, above=True, default=3.0, required=False),
        Column("grade_error_deg", "standard error of the board angle", low=0, default=0.2, required=False),
        Column("tip_error_deg", "standard error of one tip-over angle", low=0, above=True, default=0.3, required=False),
        GAUGE_ZERO,
        SCALE_GAIN,
        Column("tray_g", "tray or plate on the scale", low=0, default=0.0, required=False),
        Column("zeroed_at_each_grade", "whether the scale was zeroed, tray on, at each angle", "word",
               choices=("yes", "no"), default="yes", required=False),
        Column("held_wheels", "wheels that hold it on the board, the others on a plate on dowels or on rollers; empty: rear for axle "
               "loads, both for single wheels", "word", choices=(*HELD_WHEELS, ""), default="", required=False),
        Column("wheels_held_by", "single wheels: what keeps the wheels from turning", "word",
               choices=(*HELD_BY, ""), default="", required=False),
    ),
    columns=(
        Column("kind", "what was read", "word",
               choices=("front_load", "rear_load", "tip_over", "tip_over_downhill", *SINGLE_KINDS)),
        Column("grade_deg", "board angle, nose up positive", low=-85, high=85),
        Column("scale_g", "scale under that axle or wheel", low=0, required=False),
        Column("direction", "board going up or coming down", "word", choices=("up", "down", ""), default="",
               required=False),
        Column("repeat", "number of the repeat", low=0, default=1.0, required=False),
    ),
    identity=("kind", "grade_deg", "direction", "repeat"),
    least_rows=1,
)  # fmt: skip

ANGLES = ("tip_over", "tip_over_downhill", FIRST_LIFT)
"""Kinds of readings that are grades; all others are loads."""

TRAPS = (
    END_FOR_END,
    KNOWN_MASS,
    "zero the scale again at each angle, tray on it: a tray weighs less along the scale's axis on a slope",
    "put the front scale's plate on dowels: a plate that sticks carries load past the scale. The front axle then pulls nothing and the "
    "rear wheels hold the vehicle (held_wheels = rear); with the rear plate on dowels the front ones do (front), on no dowels both",
    "alternate: board up, then down; stiction shows as a gap between the two",
    "lock the wheels by the motor, or tie a spoke of each to its own axle; nothing tied or chocked to the board: a tie and a chock carry "
    "the slope's pull at the height of the axle, which adds weight x radius x sin(grade) / wheelbase in front",
)
"""Steps and classic traps of this test, printed by --recipe."""

CAUTIONS = (
    "A vehicle on a steep board falls backwards: slack catch line, soft mat, nobody below it.",
    "Wedge and clamp the board: a slipping board traps fingers.",
)


def check_rows(readings: Readings) -> None:
    """Every row must hold what its kind needs; all that lack something are named at once."""
    faults = single_faults(readings)
    for place, row in enumerate(readings.rows):
        word, kind = f"{readings.row_word} {row}", readings["kind"][place]
        if kind not in ANGLES and not np.isfinite(readings["scale_g"][place]):
            faults.append(f"{word}, column scale_g: empty; give the reading of the scale")
        if kind in ("tip_over", FIRST_LIFT) and readings["grade_deg"][place] <= 0.0:
            faults.append(
                f"{word}, column grade_deg: a {kind.replace('_', ' ').replace('tip over', 'tip-over')} with the nose up has a positive grade"
            )
        if kind == "tip_over_downhill" and readings["grade_deg"][place] >= 0.0:
            faults.append(f"{word}, column grade_deg: a tip-over with the nose down has a negative grade")
    if faults:
        raise ReadingsFileError(readings.file, faults)
