"""A punch in space in one sentence: which wheel is up, how long, and which is not."""

from typing import Any

from noseload.studies.wheels.words import wheel_words

WHEEL_ORDER = ("front_right", "front_left", "rear_right", "rear_left")


def for_ms(seconds: float) -> str:
    """'520 ms'."""
    return f"{1e3 * seconds:.0f} ms"


def wheels_sentence(result: Any) -> str:
    """'The front right wheel is in the air for 520 ms, the other front wheel never.'

    Parameters
    ----------
    result : WheelsPunch
    """
    summary = result.summary
    up = [wheel for wheel in WHEEL_ORDER if summary[f"{wheel}_airborne_s"] > 0.0]
    if not up:
        return "All four wheels stay on the ground."
    first = summary["first_wheel"]
    up.sort(key=lambda wheel: (wheel != first, -summary[f"{wheel}_airborne_s"]))
    parts = [f"{wheel_words(wheel)} is in the air for {for_ms(summary[f'{wheel}_airborne_s'])}" for wheel in up]
    end, side = first.split("_")
    other = f"{end}_{'left' if side == 'right' else 'right'}"
    if other not in up:
        parts.append(f"the {other.replace('_', ' ')} one never")
    else:
        together = summary[f"{end}_axle_airborne_s"]
        parts.append(f"both {end} wheels at once {'for ' + for_ms(together) if together else 'never'}")
    said = ", ".join(parts)
    return said[0].upper() + said[1:] + "."
