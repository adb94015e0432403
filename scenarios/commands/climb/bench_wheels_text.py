"""What `noseload bench --wheels` prints: four scales over the torque, and when each front wheel leaves its own."""

from noseload.documents import grams, table
from noseload.model.names import row_name
from noseload.studies.space.bench import BenchWheels, bench_sentence
from noseload.studies.wheels.words import WHEEL_WORDS, side_word

STATUS_WORDS = {"ok": "", "wheel_up": "a wheel is up", "after_snap": "after the snap"}
NOTE = (
    "The rear wheels are held by the clamp, so the torque goes through the rear shaft and rolls the chassis; front wheels free to\n"
    "roll, each on its own scale. A raised wheel's springs jump when they let go: hands off while the motor pushes."
)


def bench_wheels_text(found: tuple[BenchWheels, ...]) -> str:
    """Sentences of all setups, the scales of the first."""
    first = found[0]
    parts = [f"single wheels, {row_name(each.setup)}: {bench_sentence(each)}" for each in found]
    if not first.rows:
        return "\n".join(parts)
    rows = [
        (
            f"{row['torque_n_mm']:.0f}",
            *(grams(row[f"{wheel}_load_n"]) for wheel in WHEEL_WORDS),
            side_word(row["chassis_roll_deg"]),
            f"{row['nose_up_pitch_deg']:z.2f}",
            STATUS_WORDS[row["status"]],
        )
        for row in first.rows
    ]
    head = ("torque, N mm", *WHEEL_WORDS.values(), "chassis leans", "nose up, deg", "")
    return "\n".join([*parts, "", f"{row_name(first.setup)}: four scales", table(head, rows, align=">>>>>>><"), NOTE])
