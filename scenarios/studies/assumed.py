"""Which of the assumed values moved an answer enough to be worth measuring."""

from dataclasses import dataclass

from model.errors import ModelError
from model.vehicle_file import change_vehicle
from solvers.errors import SolverError

from .punch_many import punch_many
from .thresholds import Thresholds

SHARE_OF_THRESHOLD = 0.1
"""An assumed value is told when its range moves the answer by more than this share of the threshold."""
MOTION_ALONE = ("inertia_kg_mm2", "damping_n_s_per_m", "drag_brake_torque_n_mm", "no_load_speed_rad_per_s",
                "slip_speed_mm_per_s", "slip_ratio_scale")
"""Endings of keys that a steady climb of evenly geared axles does not use."""


LINE_WORDS = "times what can be measured"
"""Unit of `AssumedEffect.moves_by` in a punch: of front load, or of time in the air, whichever moves more."""


@dataclass(frozen=True)
class AssumedEffect:
    """An assumed value with what its range does to the answer (in the answer's unit)."""

    key: str
    value: float
    low: float
    high: float
    unit: str
    moves_by: float | None
    """Largest change of the answer within the range; None where an end of the range has no answer."""

    def to_dict(self, answer_unit):
        """Keys of the JSON document; the effect's key ends with the unit of the answer."""
        values = dict(self.__dict__)
        values[f"moves_by_{answer_unit}"] = values.pop("moves_by")
        return values


def assumed_that_matter(vehicles, answer, threshold):
    """Assumed values whose range moves an answer by more than a tenth of a threshold.

    Parameters
    ----------
    vehicles : sequence of Vehicle
        The value is varied in all of them at once; the first says what is assumed.
    answer : callable
        Function of such a sequence: a tuple of numbers, None for one that has no answer.
    threshold : float
        In the unit of the answer.

    Returns
    -------
    tuple of AssumedEffect
        Largest effect first; those that leave no answer before all others.
    """
    vehicle = vehicles[0]
    overdriven = vehicle.drive.driven_axles == "both" and vehicle.drive.front_overdrive != 1.0
    asked = [a for a in vehicle.assumed if overdriven or not a.key.endswith(MOTION_ALONE)]
    if not asked:
        return ()
    here = answer(vehicles)
    if None in here:
        return ()
    moved = {item.key: [_moved(vehicles, item.key, value, answer, here) for value in (item.low, item.high)]
             for item in asked}
    return _large_ones(asked, moved, threshold)


def _large_ones(asked, moved, threshold):
    found = []
    for item in asked:
        size = None if None in moved[item.key] else max(moved[item.key])
        if size is None or size > SHARE_OF_THRESHOLD * threshold:
            found.append(AssumedEffect(item.key, item.value, item.low, item.high, item.unit, size))
    return tuple(sorted(found, key=lambda e: float("-inf") if e.moves_by is None else -e.moves_by))


def assumed_in_punch(vehicles, *, grade_deg, thresholds=None, throttle=1.0, rise_s=0.05, start_s=0.1, duration_s=1.0,
                     creep_speed_mm_per_s=100.0, program=None, hold_s=0.1, grip_program=None, start="creep"):
    """Assumed values whose range moves a punch by more than a tenth of what can be measured.

    All in one batch. The answer is the smallest front load and the time in the air of the only vehicle, or what
    the others change in them against the first, each as a multiple of its line of measurement.

    Parameters
    ----------
    vehicles : sequence of Vehicle
        The value is varied in all of them at once; the first says what is assumed.
    grade_deg, throttle, rise_s, start_s, duration_s, creep_speed_mm_per_s : float
        Of the punch.
    program, hold_s, grip_program, start
        Of the punch, as `punch` takes them.
    thresholds : Thresholds, optional

    Returns
    -------
    tuple of AssumedEffect
        `moves_by` counts lines of measurement.
    """
    asked, lines = vehicles[0].assumed, thresholds or Thresholds()
    if not asked:
        return ()
    variants = [list(vehicles)]
    for item in asked:
        for value in (item.low, item.high):
            variants.append(_changed(vehicles, {item.key: value}))
    run = punch_many([v for variant in variants for v in variant or ()], grade_deg=grade_deg, throttle=throttle,
                     rise_s=rise_s, start_s=start_s, duration_s=duration_s, creep_speed_mm_per_s=creep_speed_mm_per_s,
                     program=program, hold_s=hold_s, grip_program=grip_program, start=start)
    loads, times = run.front_load_min_n / lines.measurable_load_n, run.front_airborne_s / lines.measurable_airborne_s
    found, place = [], 0
    for variant in variants:
        count = len(variant or ())
        cases = slice(place, place + count)
        place += count
        found.append(_in_lines(loads[cases], times[cases]) if count and run.success[cases].all() else None)
    here, rest = found[0], found[1:]
    if here is None:
        return ()
    sizes = [None if there is None else max(abs(t - h) for t, h in zip(there, here, strict=True)) for there in rest]
    return _large_ones(asked, {item.key: sizes[2 * k:2 * k + 2] for k, item in enumerate(asked)}, 1.0)


def _changed(vehicles, values):
    try:
        return [change_vehicle(vehicle, values) for vehicle in vehicles]
    except ModelError:
        return None


def _in_lines(loads, times):
    """The two answers of one vehicle, or the differences of the others to the first."""
    if len(loads) == 1:
        return float(loads[0]), float(times[0])
    return tuple(float(v) for values in (loads, times) for v in values[1:] - values[0])


def _moved(vehicles, key, value, answer, here):
    try:
        there = answer([change_vehicle(v, {key: value}) for v in vehicles])
    except (ModelError, SolverError):
        return None
    return None if None in there else max(abs(t - h) for t, h in zip(there, here, strict=True))
