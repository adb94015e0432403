"""Many punches in space at once: which wheel is up how long, for maps and limits."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from functools import partial
from math import radians
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import ArrayLike

from noseload.documents import plain
from noseload.model.space.batch_motion import BatchSpaceMotion, SpaceFleet
from noseload.model.space.parameters import WHEELS
from noseload.model.vehicle import Vehicle
from noseload.solvers.batch.transient import integrate_batch
from noseload.solvers.errors import SolverError
from noseload.studies.result import Result
from noseload.studies.space.climb import SpaceClimb, SpaceStanding, stand_in_space
from noseload.studies.space.start import SpaceStart, StartsOfClimb, space_start

from .dealing import share_out
from .inputs import FULL_GRIP, listed
from .many import CREEP_SPEED_MM_S, LARGEST_STEP_S, PunchesOptions, batch_options
from .recorder import Recorder
from .wheels import punch_wheels
from .windows import UNDECIDED, Windows

if TYPE_CHECKING:
    from noseload.studies.punch.wheels import WheelsPunch


BLOCK = 2000
"""Cases integrated together: two thousand run a twelfth faster than one thousand."""
BEND = 3e-4
"""Bend of a step that is allowed here, as a share of the speed scales: single wheels then stay within half a ms of their
times in the air and their least loads within 1e-3 of the largest load, at less than half the steps of the side view's 3e-5;
traces are off by up to 1e-2 of it where a touchdown shifts by a fifth of a ms."""
BATCH_FROM = 40
"""Punches from which one batch costs less than accurate single runs: a batch of 20 takes as long as one of 200."""
WATCHED = (*WHEELS, "rear_axle", "front_axle")
_NUMBERS = (
    *(f"{name}_{what}" for name in WATCHED for what in ("load_min_n", "load_min_time_s", "airborne_s", "lift_s")),
    *(f"{wheel}_shock_shortening_mm" for wheel in WHEELS),
    "peak_nose_up_pitch_deg",
    "peak_chassis_roll_deg",
    "outcome_time_s",
)
_STARTS = ("throttle_start", *(f"{wheel}_load_start_n" for wheel in WHEELS))
_WORDS = ("status", "outcome", "first_wheel")


@dataclass(frozen=True)
class Place:
    """How all punches of a batch lie on the slope, and how their drive is taken."""

    heading_deg: float = 0.0
    mismatch: float | None = None
    shafts: bool = True


@dataclass(frozen=True)
class WheelsMany(Result):
    """Summaries of many punches in space; every array has one entry a case.

    Attributes
    ----------
    options : PunchesOptions
    place : Place
    status, outcome : ndarray of str
        As of `PunchMany`.
    first_wheel : ndarray of str
        The first wheel to lift, '' where none does.
    steps : ndarray of int
    numbers : dict of str to ndarray
        `front_right_airborne_s`, `front_axle_airborne_s` (both wheels), `front_left_load_min_n`, ... ; not a number where
        a punch was not run, `..._lift_s` where the wheel never lifts.
    time_s, traces
        As of `PunchMany`: loads of the wheels and of the axles, pitch and roll.
    """

    picture = "punch.wheels.plot_many"
    options: PunchesOptions
    place: Place
    status: np.ndarray
    outcome: np.ndarray
    first_wheel: np.ndarray
    steps: np.ndarray
    numbers: dict = field(repr=False)
    time_s: np.ndarray | None = None
    traces: dict = field(default_factory=dict, repr=False)

    @property
    def success(self) -> np.ndarray:
        """True where a punch was run."""
        return self.status == "ok"

    @property
    def first_wheel_airborne_s(self) -> np.ndarray:
        """Time in the air of the first wheel to lift, 0 where none does, s."""
        times = np.where(self.success, 0.0, np.nan)
        for wheel in WHEELS:
            times = np.where(self.first_wheel == wheel, self.numbers[f"{wheel}_airborne_s"], times)
        return times

    @property
    def wheel_load_min_n(self) -> np.ndarray:
        """Least load of any wheel, N."""
        return np.min([self.numbers[f"{wheel}_load_min_n"] for wheel in WHEELS], axis=0)

    def array(self, name: str) -> np.ndarray:
        """An array by its name."""
        return getattr(self, name) if name in (*_WORDS, "steps") else self.numbers[name]

    def to_dict(self) -> dict[str, Any]:
        """Options and one row a case; arrays over time, where asked for, have one row a sample."""
        columns = {
            "grade_deg": self.options.grade_deg,
            "throttle": self.options.throttle,
            "rise_s": self.options.rise_s,
            "status": self.status,
            "outcome": self.outcome,
            "first_wheel": self.first_wheel,
            "first_wheel_airborne_s": self.first_wheel_airborne_s,
            **self.numbers,
        }
        rows = [dict(zip(columns, cells, strict=True)) for cells in zip(*plain(columns).values(), strict=True)]
        traces = {} if self.time_s is None else {"time_s": self.time_s, **self.traces}
        options = {"heading_deg": self.place.heading_deg, "mismatch_percent": self.place.mismatch}
        status = "ok" if self.success.any() else "no_solution"
        return plain({"options": options, **traces, "rows": rows, "status": status})

    def __repr__(self) -> str:
        return f"WheelsMany({self.status.size} punches, {int(self.success.sum())} run)"


def punch_wheels_many(
    vehicles: Vehicle | Sequence[Vehicle],
    *,
    grade_deg: ArrayLike,
    heading_deg: float = 0.0,
    mismatch: float | None = None,
    shafts: bool = True,
    throttle: ArrayLike = 1.0,
    rise_s: ArrayLike = 0.05,
    start_s: ArrayLike = 0.1,
    duration_s: ArrayLike = 1.0,
    creep_speed_mm_per_s: float = CREEP_SPEED_MM_S,
    sample_s: float | None = None,
    program: Any = None,
    hold_s: float = 0.1,
    grip_program: Any = None,
    start: str | Sequence[str] = "creep",
    release_s: float | None = None,
    outcome: ArrayLike = False,
    stop_at_lift: ArrayLike = False,
    singly_below: int = BATCH_FROM,
    tolerance: float = BEND,
    largest_step_s: float = LARGEST_STEP_S,
    executor: Any = None,
    progress: Callable[..., Any] | None = None,
) -> WheelsMany:
    """Run many punches in space in batches; a case that fails is marked and leaves the others as they are.

    Parameters
    ----------
    vehicles : Vehicle or sequence of Vehicle
        As in `punch_many`, with y of links and shocks.
    heading_deg, mismatch, shafts
        As in `punch_wheels`, alike for all.
    stop_at_lift : bool or array_like of bool (cases,)
        End as the first wheel leaves the ground.
    singly_below : int
        Fewer punches than this are run one by one, accurately: a small batch takes longer.
    grade_deg, throttle, rise_s, start_s, duration_s, creep_speed_mm_per_s, sample_s, program, hold_s, grip_program, start, release_s, outcome, tolerance, largest_step_s, executor, progress
        As in `punch_many`.

    Returns
    -------
    WheelsMany

    Raises
    ------
    MissingDataError, ModelError
        A vehicle lacks a y or a track, or an option makes no sense; all are named.
    """
    programs = listed(program, "ramp"), listed(grip_program, FULL_GRIP), listed(start, "creep")
    settings: dict[str, Any] = {
        "creep_speed_mm_per_s": float(creep_speed_mm_per_s),
        "sample_s": sample_s,
        "tolerance": float(tolerance),
        "largest_step_s": float(largest_step_s),
    }
    numbers = (grade_deg, throttle, rise_s, start_s, duration_s)
    flags = np.asarray(outcome, dtype=bool), np.asarray(stop_at_lift, dtype=bool)
    options, fleet, which = batch_options(vehicles, numbers, programs, flags, (float(hold_s), release_s), settings)
    options = replace(options, singly=which.size < singly_below)
    place = Place(float(heading_deg), mismatch, shafts)
    if executor is None:
        return run_wheel_cases(place, fleet, which, options, progress)
    run = partial(run_wheel_cases, place)
    names = (*_WORDS, "steps", *_STARTS, *_NUMBERS)
    return share_out(run, _empty(options, place), names, (fleet, which, options), executor, progress)


def run_wheel_cases(
    place: Place, fleet: list[Vehicle], which: np.ndarray, options: PunchesOptions, progress: Callable | None = None
) -> WheelsMany:
    """Run the cases here; a plain function for executors."""
    result = _empty(options, place)
    starts, pick = _starts(place, fleet, which, options)
    for case, start in enumerate(pick.tolist()):
        begin = starts[start]
        result.status[case] = "ok" if begin.success else begin.status
        if begin.success:
            result.numbers["throttle_start"][case] = begin.throttle
        elif options.outcome[case]:
            result.outcome[case] = begin.status
    able = np.flatnonzero(result.status == "ok")
    order = able[np.lexsort((options.duration_s[able], which[able]))]
    done = result.status.size - able.size
    if options.singly:
        for k, alone in enumerate(order.tolist()):
            _run_singly(place, fleet[which[alone]], alone, options, result)
            if progress is not None:
                progress(done + k + 1, result.status.size)
        _name_first(result)
        return result
    for first in range(0, order.size, BLOCK):
        cases = order[first : first + BLOCK]
        _run_block(place, [starts[k] for k in pick[cases]], cases, options, result)
        done += cases.size
        if progress is not None:
            progress(done, result.status.size)
    for left in np.flatnonzero(result.outcome == UNDECIDED).tolist():
        _decide_singly(place, fleet[which[left]], left, options, result)
    _name_first(result)
    return result


def _starts(
    place: Place, fleet: list[Vehicle], which: np.ndarray, options: PunchesOptions
) -> tuple[list[SpaceStart], np.ndarray]:
    """Every different start once, and which each case has."""
    grips, braked = options.inputs.first_grip, options.inputs.braked
    different, pick = np.unique(np.stack([which, options.grade_deg, grips, braked]), axis=1, return_inverse=True)
    climbs: dict[int, Any] = {}
    found: dict[int, SpaceStart] = {}
    # The less steep first: each is followed from the one before.
    for start in np.argsort(np.abs(different[1]), kind="stable").tolist():
        vehicle, grade, grip, held = different[:, start].tolist()
        k = int(vehicle)
        if k not in climbs:
            climbs[k] = _climb(place, fleet[k])
        found[start] = _start(climbs[k], grade, grip, bool(held), options)
    return [found[start] for start in range(len(found))], pick.reshape(-1)


def _climb(place: Place, vehicle: Vehicle) -> StartsOfClimb | str:
    """Path of a vehicle with what its starts share, or why it does not stand."""
    try:
        standing: SpaceStanding = stand_in_space(vehicle, shafts=place.shafts)
        climb = SpaceClimb(
            vehicle, heading_deg=place.heading_deg, mismatch=place.mismatch, shafts=place.shafts, standing=standing
        )
        return StartsOfClimb(climb)
    except SolverError as trouble:
        return str(trouble)


def _start(
    shared: StartsOfClimb | str, grade_deg: float, grip: float, held: bool, options: PunchesOptions
) -> SpaceStart:
    if isinstance(shared, str):
        return SpaceStart("does_not_stand", shared, radians(grade_deg), None, None, 0.0, None, None)
    try:
        return space_start(
            shared.climb,
            grade=radians(grade_deg),
            creep_speed=1e-3 * options.creep_speed_mm_per_s,
            grip_factor=float(grip),
            start="brake" if held else "creep",
            shared=shared,
        )
    except SolverError as trouble:
        return SpaceStart("failed", str(trouble), radians(grade_deg), None, None, 0.0, None, None)


def _run_block(place: Place, starts: list, cases: np.ndarray, options: PunchesOptions, result: WheelsMany) -> None:
    fleet = SpaceFleet([begin.numbers for begin in starts])
    throttles = np.array([begin.throttle for begin in starts])
    brakes = np.array([begin.brake_torque for begin in starts])
    full = np.array([begin.numbers.drag_brake for begin in starts])
    controls = options.inputs.controls(cases, options, throttles, brakes, full)
    headings = np.full(cases.size, radians(place.heading_deg))
    motion = BatchSpaceMotion(fleet, np.array([begin.grade for begin in starts]), headings, controls)
    states = np.stack([begin.state[: motion.size] for begin in starts], axis=1)
    motion.enter(np.zeros(cases.size))
    loads = motion.first(np.zeros(cases.size), states).loads
    for wheel, load in zip(WHEELS, loads, strict=True):
        result.numbers[f"{wheel}_load_start_n"][cases] = load
    deciding = options.outcome[cases]
    recorder = Recorder(motion, options.sample_s, result, cases, bool(deciding.any()), options.stop_at_lift[cases])
    windows = Windows(motion, recorder, options.duration_s[cases], deciding)
    run = integrate_batch(
        motion,
        states,
        windows.first_ends(),
        recorder,
        sample=options.sample_s,
        sample_to=float(options.duration_s[cases].max()),
        tolerance=options.tolerance,
        step=options.largest_step_s,
        renew=windows.renew,
    )
    windows.finish(run, result, cases)


def _one(place: Place, vehicle: Vehicle, case: int, options: PunchesOptions, **more: Any) -> WheelsPunch | None:
    """One case by an accurate run, or None where it has none."""
    try:
        return punch_wheels(
            vehicle,
            grade_deg=options.grade_deg[case],
            heading_deg=place.heading_deg,
            mismatch=place.mismatch,
            shafts=place.shafts,
            throttle=options.throttle[case],
            rise_s=options.rise_s[case],
            start_s=options.start_s[case],
            duration_s=options.duration_s[case],
            creep_speed_mm_per_s=options.creep_speed_mm_per_s,
            **options.inputs.single(case),
            **more,
        )
    except SolverError:
        return None


def _run_singly(place: Place, vehicle: Vehicle, case: int, options: PunchesOptions, result: WheelsMany) -> None:
    """One case by an accurate run, its summary as of a batch."""
    sample = {} if options.sample_s is None else {"sample_s": options.sample_s}
    one = _one(place, vehicle, case, options, outcome=bool(options.outcome[case]), **sample)
    if one is None or not one.success:
        result.status[case] = "failed" if one is None else one.status
        return
    for name in _NUMBERS:
        value = one.summary.get(name)
        if value is not None:
            result.numbers[name][case] = value
    for wheel in WHEELS:
        travel = one.traces[f"{wheel}_shock_travel_mm"]
        result.numbers[f"{wheel}_shock_shortening_mm"][case] = travel[0] - travel.min()
        result.numbers[f"{wheel}_load_start_n"][case] = one.start[f"{wheel}_load_n"]
    result.steps[case] = one.stats["steps"]
    if options.outcome[case]:
        result.outcome[case] = one.summary["outcome"]
    for name, trace in result.traces.items():
        key = name.replace("_axle_load_n", "_load_n")
        trace[: one.time_s.size, case] = one.traces[key]


def _decide_singly(place: Any, vehicle: Vehicle, case: int, options: Any, result: Any) -> None:
    """Outcome of one case by an accurate run."""
    one = _one(place, vehicle, case, options)
    if one is None:
        result.status[case], result.outcome[case] = "failed", ""
        return
    result.outcome[case] = one.summary["outcome"] if one.success else one.status
    result.numbers["outcome_time_s"][case] = one.summary.get("outcome_time_s", np.nan)


def _name_first(result: WheelsMany) -> None:
    """The first wheel to lift in every case."""
    lifts = np.array([result.numbers[f"{wheel}_lift_s"] for wheel in WHEELS])
    ever = np.isfinite(lifts)
    first = np.where(ever, lifts, np.inf).argmin(axis=0)
    result.first_wheel[:] = np.where(ever.any(axis=0), np.array(WHEELS, dtype=object)[first], "")


def _empty(options: PunchesOptions, place: Place) -> WheelsMany:
    cases = options.grade_deg.size
    numbers = {name: np.full(cases, np.nan) for name in (*_STARTS, *_NUMBERS)}
    times, traces = None, {}
    if options.sample_s is not None:
        count = int(np.floor(options.duration_s[0] / options.sample_s + 1e-9)) + 1
        times = options.sample_s * np.arange(count)
        names = (*(f"{name}_load_n" for name in WATCHED), "nose_up_pitch_deg", "chassis_roll_deg")
        traces = {name: np.full((count, cases), np.nan) for name in names}
    status, outcome, first = (np.full(cases, word, dtype=object) for word in ("ok", "", ""))
    steps = np.zeros(cases, dtype=int)
    return WheelsMany(options, place, status, outcome, first, steps, numbers, times, traces)
