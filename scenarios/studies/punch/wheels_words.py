"""A punch in space in one sentence: which wheel is up, how long, and which is not."""

from typing import Any

from noseload.studies.wheels.words import wheel_words

WHEEL_ORDER = ("front_right", "front_left", "rear_right", "rear_left")


def for_ms(seconds: float) -> str:
    """'520 ms'."""
    return f"{1e3 * seconds:.0f} ms"


def air_words(summary: dict[str, Any], name: str) -> str:
    """'520 ms' of a wheel or an axle, '846 ms and on' where the traces end before its time in the air does, 'never'."""
    time_s = summary[f"{name}_airborne_s"]
    if not time_s:
        return "never"
    return for_ms(time_s) + (" and on" if summary[f"{name}_ends_airborne"] else "")


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
    parts = [f"{wheel_words(wheel)} is in the air for {air_words(summary, wheel)}" for wheel in up]
    end, side = first.split("_")
    other = f"{end}_{'left' if side == 'right' else 'right'}"
    if other not in up:
        parts.append(f"the {other.replace('_', ' ')} one never")
    else:
        together = air_words(summary, f"{end}_axle")
        parts.append(f"both {end} wheels at once {together if together == 'never' else 'for ' + together}")
    said = ", ".join(parts)
    return said[0].upper() + said[1:] + "."
