"""What a file of weighings holds, how it is taken, and what each row must have."""

import numpy as np

from noseload.csv_input import Column, Layout, Readings, ReadingsFileError
from noseload.model.vehicle import ENDS, SIDES
from noseload.studies.measuring.common_errors import END_FOR_END, GAUGE_ZERO, KNOWN_MASS, SCALE_GAIN

from .corners import axle_readings, corner_faults

WEIGH_LAYOUT = Layout(
    title="Weighing: axle readings level and lifted, tip test",
    settings=(
        Column("wheelbase_mm", "between the wheel centres", low=0, above=True),
        Column("wheelbase_error_mm", "its standard error", low=0, default=0.5, required=False),
        Column("rear_radius_mm", "height of the rear wheel centre as the vehicle stands", low=0, above=True),
        Column("front_radius_mm", "height of the front wheel centre as the vehicle stands", low=0, above=True),
        Column("radius_error_mm", "standard error of each", low=0, default=0.3, required=False),
        Column(
            "track_width_mm",
            "between the middles of the tyre treads, for four wheels",
            low=0,
            above=True,
            required=False,
        ),
        Column("front_track_width_mm", "of the front axle where it differs", low=0, above=True, required=False),
        Column("track_error_mm", "standard error of the track width", low=0, default=1.0, required=False),
        Column("scale_error_g", "standard error of one scale reading", low=0, above=True, default=1.0, required=False),
        Column("angle_error_deg", "standard error of one lift angle", low=0, default=0.2, required=False),
        Column("lift_error_mm", "standard error of one lift height", low=0, default=0.5, required=False),
        Column(
            "tip_error_deg",
            "standard error of one tip angle, used for a single reading",
            low=0,
            above=True,
            default=0.3,
            required=False,
        ),
        GAUGE_ZERO,
        SCALE_GAIN,
        Column(
            "suspension",
            "blocked or free while an axle was lifted",
            "word",
            choices=("blocked", "free"),
            default="blocked",
            required=False,
        ),
        Column(
            "tyre_stiffness_n_per_mm",
            "both tyres of an axle; corrects lifts given as heights",
            low=0,
            above=True,
            required=False,
        ),
        Column(
            "wheel_rate_n_per_mm",
            "spring rate per axle at the wheels; sizes the error of a free suspension",
            low=0,
            above=True,
            required=False,
        ),
    ),
    columns=(
        Column(
            "kind",
            "what was done",
            "word",
            choices=("level", "front_lifted", "rear_lifted", "tip_front_up", "tip_rear_up"),
        ),
        Column(
            "angle_deg", "turn from level, or board angle of the tip test", low=0, high=85, above=True, required=False
        ),
        Column(
            "lift_mm",
            "height of the blocks under the lifted tyres, in place of the angle",
            low=0,
            above=True,
            required=False,
        ),
        Column("front_g", "scale under the front tyres", low=0, required=False),
        Column("rear_g", "scale under the rear tyres", low=0, required=False),
        *(
            Column(f"{axle}_{side}_g", f"scale under the {axle} {side} tyre alone, level", low=0, required=False)
            for axle in ENDS
            for side in SIDES
        ),
        Column("direction", "going up or coming down", "word", choices=("up", "down", ""), default="", required=False),
        Column("repeat", "number of the repeat, 1, 2, ...", low=0, default=1.0, required=False),
    ),
    identity=("kind", "angle_deg", "lift_mm", "direction", "repeat"),
    least_rows=1,
)

RECIPE = (
    KNOWN_MASS,
    END_FOR_END + " Lift angles too are read with the gauge the same way round at both ends.",
    "Level: zero the scale, one axle on it, the other on a block of the same height; read both axles, swap, repeat.",
    "Every wheel alone, level: the other three on blocks of the scale's height; all four readings in one row say "
    "which side is heavier.",
    "Block the suspension (wooden blocks or cable ties at ride height); transmission in neutral or shaft out.",
    "Lift one axle onto blocks, at least three heights between 15 and 40 deg, up and down again; read the "
    "scale under the"
    " other axle. Only the wheels on the scale are wedged: the lifted wheels must roll freely.",
    "Do the same with the other axle lifted: both must give one height.",
    "Tip test: tie the wheels so that they cannot turn, slack catch line on, paper strip under both front "
    "tyres; raise the"
    " board until the strip pulls free; five times.",
)

CAUTIONS = (
    "A vehicle on a steep board falls backwards: slack catch line, soft mat, nobody below it.",
    "Wedge and clamp the board: a slipping board traps fingers.",
    "Battery out or fixed, motor disconnected while hands are near the wheels.",
)


def check_rows(readings: Readings) -> None:
    """Every row must hold what its kind needs; all that lack something are named at once."""
    faults = []
    for place, row in enumerate(readings.rows):
        word, kind = f"{readings.row_word} {row}", readings["kind"][place]
        angle, lift = (np.isfinite(readings[name][place]) for name in ("angle_deg", "lift_mm"))
        front, rear = (np.isfinite(axle_readings(readings, axle)[place]) for axle in ("front", "rear"))
        if kind == "level" and (angle or lift):
            faults.append(f"{word}, column angle_deg or lift_mm: a level row has no lift; leave it empty")
        if kind != "level" and not angle and not lift:
            faults.append(f"{word}, column angle_deg: empty; give the angle" + ("" if "tip" in kind else " or lift_mm"))
        if angle and lift:
            faults.append(f"{word}: angle_deg and lift_mm are both given; keep the one you measured")
        if "tip" in kind and not angle and lift:
            faults.append(f"{word}, column angle_deg: the tip test needs the board's angle, not a height")
        if "tip" not in kind and not front and not rear:
            faults.append(f"{word}, columns front_g and rear_g: both empty; give at least one reading")
    level = readings["kind"] == "level"
    faults += corner_faults(readings)
    for axle in ("front", "rear"):
        name, read = f"{axle}_g", axle_readings(readings, axle)[level]
        if not np.any(np.isfinite(read)):
            faults.append(f"column {name}: no level reading; give at least one row of kind level with {name}")
        elif np.nanmean(read) <= 0.0:
            faults.append(f"column {name}: the level reading is 0; an axle that weighs nothing cannot be")
    if faults:
        raise ReadingsFileError(readings.file, faults)
