"""Many punches at once: starts, runs and outcomes in batches, for maps and limits."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from noseload.documents import plain
from noseload.model.batch.motion import BatchMotion
from noseload.model.errors import ModelError
from noseload.model.parameters import ENDS
from noseload.model.vehicle import Vehicle
from noseload.solvers.batch.transient import TOLERANCE, integrate_batch
from noseload.solvers.errors import SolverError
from noseload.studies.climb.batch_starts import BatchStarts, batch_starts, prepare_those_that_stand
from noseload.studies.climb.many import stand_those_that_do
from noseload.studies.climb.standing import stand
from noseload.studies.climb.steady_start import steady_start
from noseload.studies.result import Result

from .dealing import share_out
from .inputs import FULL_GRIP, PunchInputs, listed
from .outcome import LONGEST_S
from .punch import PunchResult, punch
from .recorder import Recorder
from .windows import UNDECIDED, Windows

BLOCK = 4000
"""Cases integrated together: enough to hide the cost of a call, few enough for the cache."""
LARGEST_STEP_S = 0.004
CREEP_SPEED_MM_S = 100.0
BATCH_FROM = 48
"""Punches from which one batch costs less than accurate single runs: a batch of 20 takes as long as one of 240."""


@dataclass(frozen=True)
class PunchesOptions:
    """Options shared by every punch of a batch; those that may differ are arrays (cases,)."""

    grade_deg: np.ndarray
    throttle: np.ndarray
    rise_s: np.ndarray
    start_s: np.ndarray
    duration_s: np.ndarray
    creep_speed_mm_per_s: float
    sample_s: float | None
    tolerance: float | np.ndarray
    largest_step_s: float | np.ndarray
    outcome: np.ndarray
    stop_at_lift: np.ndarray
    inputs: PunchInputs
    patience_s: float | np.ndarray = LONGEST_S
    singly: bool = False

    def of(self, cases: np.ndarray) -> PunchesOptions:
        """Options of some of the cases."""
        arrays = {k: v[cases] for k, v in self.__dict__.items() if isinstance(v, np.ndarray)}
        return replace(self, **arrays, inputs=self.inputs.of(cases))


@dataclass(frozen=True)
class PunchMany(Result):
    """Summaries of many punches; every array has one entry a case.

    Attributes
    ----------
    options : PunchesOptions
    status : ndarray of str
        'ok', 'start_not_held', 'does_not_stand' or 'failed' (a number that is not finite, or no solution); then the numbers
        are not-a-number.
    outcome : ndarray of str
        As `punch`, '' where not asked for or failed.
    throttle_start : ndarray
        Throttle that holds the start; not a number where there is no steady start.
    front_load_start_n, rear_load_start_n : ndarray
        Steady loads at the creep speed, N.
    front_load_min_n, rear_load_min_n, front_load_min_time_s, rear_load_min_time_s : ndarray
    front_airborne_s, rear_airborne_s : ndarray
    front_hops, front_first_hop_s : ndarray
        Spells of the front axle in the air of a film's frame or more, and how long the first of them is.
    rear_shock_shortening_mm, front_shock_shortening_mm : ndarray
        Largest shortening of a shock from the start.
    peak_nose_up_pitch_deg : ndarray
    outcome_time_s : ndarray
    steps : ndarray of int
        Steps of the integrator over the traces' duration.
    time_s : ndarray, shape (samples,), or None
    traces : dict of str to ndarray, shape (samples, cases)
        `front_load_n`, `rear_load_n`, `nose_up_pitch_deg`, where `sample_s` was given.
    """

    picture = "climb.summary.plot_many"
    options: PunchesOptions
    status: np.ndarray
    outcome: np.ndarray
    throttle_start: np.ndarray
    front_load_start_n: np.ndarray
    rear_load_start_n: np.ndarray
    front_load_min_n: np.ndarray
    rear_load_min_n: np.ndarray
    front_load_min_time_s: np.ndarray
    rear_load_min_time_s: np.ndarray
    front_airborne_s: np.ndarray
    rear_airborne_s: np.ndarray
    front_hops: np.ndarray
    front_first_hop_s: np.ndarray
    rear_shock_shortening_mm: np.ndarray
    front_shock_shortening_mm: np.ndarray
    peak_nose_up_pitch_deg: np.ndarray
    outcome_time_s: np.ndarray
    steps: np.ndarray
    time_s: np.ndarray | None = None
    traces: dict = field(default_factory=dict, repr=False)

    def array(self, name: str) -> np.ndarray:
        """An array by its name."""
        return getattr(self, name)

    @property
    def numbers(self) -> dict[str, np.ndarray]:
        """The summaries by name, to be filled."""
        return {name: getattr(self, name) for name in _NUMBERS}

    @property
    def success(self) -> np.ndarray:
        """True where a punch was run."""
        return self.status == "ok"

    def to_dict(self) -> dict[str, Any]:
        """Options and one row a case; arrays over time, where asked for, have one row a sample."""
        given = {
            k: v
            for k, v in self.options.__dict__.items()
            if k not in ("inputs", "outcome", "stop_at_lift", "patience_s", "singly")
        }
        options = {k: v for k, v in given.items() if not isinstance(v, np.ndarray)} | {
            "hold_s": self.options.inputs.hold_s,
            "outcome": bool(self.options.outcome.any()),
        }
        columns = {k: v for k, v in given.items() if isinstance(v, np.ndarray)} | self.options.inputs.names()
        columns |= {name: getattr(self, name) for name in _ARRAYS}
        rows = [dict(zip(columns, cells, strict=True)) for cells in zip(*plain(columns).values(), strict=True)]
        traces = {} if self.time_s is None else {"time_s": self.time_s, **self.traces}
        return plain(
            {"options": options, **traces, "rows": rows, "status": "ok" if self.success.any() else "no_solution"}
        )

    def __repr__(self) -> str:
        return f"PunchMany({self.status.size} punches, {int(self.success.sum())} run)"


_NUMBERS = (
    "front_load_min_n",
    "rear_load_min_n",
    "front_load_min_time_s",
    "rear_load_min_time_s",
    "front_airborne_s",
    "rear_airborne_s",
    "front_hops",
    "front_first_hop_s",
    "rear_shock_shortening_mm",
    "front_shock_shortening_mm",
    "peak_nose_up_pitch_deg",
    "outcome_time_s",
)
_ARRAYS = ("status", "outcome", "throttle_start", "front_load_start_n", "rear_load_start_n", *_NUMBERS, "steps")


def punch_many(
    vehicles: Vehicle | Sequence[Vehicle],
    *,
    grade_deg: ArrayLike,
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
    singly_below: int = 0,
    tolerance: ArrayLike = TOLERANCE,
    largest_step_s: ArrayLike = LARGEST_STEP_S,
    patience_s: ArrayLike = LONGEST_S,
    executor: Any = None,
    progress: Callable[..., Any] | None = None,
) -> PunchMany:
    """Run many punches in batches.

    Parameters
    ----------
    vehicles : Vehicle or sequence of Vehicle
        One for all cases, or one a case (the same object may come many times: it is prepared once).
    grade_deg, throttle, rise_s, start_s, duration_s : float or array_like, shape (cases,)
        As for `punch`.
    creep_speed_mm_per_s : float
    sample_s : float, optional
        Time between samples of the traces, s; no traces without it. All durations must then be equal.
    program : str or Program, or a list of them (cases,), optional
        As for `punch`: 'ramp' (default), 'step', 'blip', 'hold', 'grab_brake', or a throttle over time.
    hold_s : float
        How long a blip stays up, s.
    grip_program : Program or list of Program (cases,), optional
        Factor on every grip coefficient over time; None: full grip.
    start : str or list of str (cases,)
        'creep', or 'brake': as for `punch`.
    release_s : float, optional
        When drag brakes that hold a start let go, as for `punch`.
    outcome : bool or array_like of bool (cases,)
        Run on, up to 5 s, until the outcome is decided.
    stop_at_lift : bool or array_like of bool (cases,)
        End as the front axle leaves the ground: the smallest front load is then 0, and times in the air are only begun.
    singly_below : int
        Fewer punches than this are run one by one, accurately: a small batch takes longer.
    tolerance : float or array_like, shape (cases,)
        Bend of a step that the integrator allows; see `noseload.solvers.batch.transient`.
    largest_step_s : float or array_like, shape (cases,)
        Longest step of the integrator, s.
    patience_s : float or array_like, shape (cases,)
        The outcome of a vehicle that stands after this time is named as it is then, settled or not, s.
    executor : concurrent.futures.Executor, optional
        Where pieces of the work are run; pays from some hundred cases on.
    progress : callable, optional
        Called with (cases done, cases) after every block.

    Returns
    -------
    PunchMany

    Raises
    ------
    ModelError
        An option that makes no sense; all are named.
    """
    numbers = (grade_deg, throttle, rise_s, start_s, duration_s)
    programs = listed(program, "ramp"), listed(grip_program, FULL_GRIP), listed(start, "creep")
    settings: dict[str, Any] = {"creep_speed_mm_per_s": float(creep_speed_mm_per_s), "sample_s": sample_s}
    for name, value in (("tolerance", tolerance), ("largest_step_s", largest_step_s), ("patience_s", patience_s)):
        settings[name] = np.array(value, dtype=float) if np.ndim(value) else float(np.asarray(value))
    flags = np.asarray(outcome, dtype=bool), np.asarray(stop_at_lift, dtype=bool)
    options, fleet, which = batch_options(vehicles, numbers, programs, flags, (float(hold_s), release_s), settings)
    options = replace(options, singly=which.size < singly_below)
    if executor is None:
        return run_cases(fleet, which, options, progress)
    return share_out(run_cases, _empty(options), _ARRAYS, (fleet, which, options), executor, progress)


def run_cases(
    fleet: list[Vehicle], which: np.ndarray, options: PunchesOptions, progress: Callable | None = None
) -> PunchMany:
    """Run the cases here: `which` vehicle of the fleet each is, and its options; a plain function for executors."""
    result = _empty(options)
    if options.singly:
        return _run_all_singly(fleet, which, options, result)
    starts, stands = _starts(fleet, which, options)
    _mark_starts(starts, options, result)
    _mark_fallen(~stands[which], options, result)
    able = np.flatnonzero(result.status == "ok")
    # Cases of one vehicle side by side share its numbers in a block; equal durations end together.
    order = able[np.lexsort((options.duration_s[able], which[able]))]
    done = result.status.size - able.size
    lost = starts.lost[starts.pick] & stands[which]
    result.status[lost], result.outcome[lost] = "failed", ""
    for first in range(0, order.size, BLOCK):
        cases = order[first : first + BLOCK]
        _run_block(starts, cases, options, result)
        done += cases.size
        if progress is not None:
            progress(done, result.status.size)
    for case in np.flatnonzero(result.outcome == UNDECIDED):
        _decide_singly(fleet[which[case]], int(case), options, result)
    return result


def _run_all_singly(fleet: list[Vehicle], which: np.ndarray, options: PunchesOptions, result: PunchMany) -> PunchMany:
    """Every case by an accurate run, which finds its start itself."""
    stands = stand_those_that_do(fleet)[1][which]
    _mark_fallen(~stands, options, result)
    for case in np.flatnonzero(stands):
        _run_singly(fleet[which[case]], int(case), options, result)
    return result


def _mark_fallen(fallen: np.ndarray, options: PunchesOptions, result: PunchMany) -> None:
    """Write that cases have no standing pose."""
    result.status[fallen] = "does_not_stand"
    for numbers in (result.throttle_start, result.front_load_start_n, result.rear_load_start_n):
        numbers[fallen] = np.nan
    result.outcome[fallen & options.outcome] = "does_not_stand"


def _starts(fleet: list[Vehicle], which: np.ndarray, options: PunchesOptions) -> tuple[BatchStarts, np.ndarray]:
    """Starts of the cases, and which vehicles stand."""
    brakes = np.array([v.drive.drag_brake_torque for v in fleet], dtype=float)
    prepared, stands = prepare_those_that_stand(fleet)
    speed = 1e-3 * options.creep_speed_mm_per_s
    starts = batch_starts(
        prepared,
        which,
        brakes,
        grade_deg=options.grade_deg,
        grip_factor=options.inputs.first_grip,
        braked=options.inputs.braked,
        creep_speed=speed,
        alone=lambda k, grade, grip: steady_start(stand(fleet[k]), grade=grade, creep_speed=speed, grip_factor=grip),
    )
    return starts, stands


def _one(vehicle: Vehicle, case: int, options: PunchesOptions, **more: Any) -> PunchResult | None:
    """One case by an accurate run, or None where it has none."""
    try:
        return punch(
            vehicle,
            grade_deg=options.grade_deg[case],
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


def _decide_singly(vehicle: Vehicle, case: int, options: PunchesOptions, result: PunchMany) -> None:
    """Outcome of one case by an accurate run."""
    one = _one(vehicle, case, options)
    if one is None:
        result.status[case], result.outcome[case] = "failed", ""
        return
    result.outcome[case] = one.summary["outcome"] if one.success else one.status
    result.outcome_time_s[case] = one.summary.get("outcome_time_s", np.nan)


def _run_singly(vehicle: Vehicle, case: int, options: PunchesOptions, result: PunchMany) -> None:
    """One case by an accurate run, its summary as of a batch."""
    sample = {} if options.sample_s is None else {"sample_s": options.sample_s}
    one = _one(vehicle, case, options, outcome=bool(options.outcome[case]), **sample)
    if one is not None and one.throttle_start is not None:
        result.throttle_start[case] = one.throttle_start
    if one is None or not one.success:
        result.status[case] = "failed" if one is None else one.status
        if options.outcome[case] and result.status[case] == "start_not_held":
            result.outcome[case] = result.status[case]
        return
    for name in _NUMBERS:
        if name in one.summary:
            getattr(result, name)[case] = one.summary[name]
    for end in ENDS:
        getattr(result, f"{end}_load_start_n")[case] = one.traces[f"{end}_load_n"][0]
        travel = one.traces[f"{end}_shock_travel_mm"]
        getattr(result, f"{end}_shock_shortening_mm")[case] = travel[0] - travel.min()
    result.steps[case] = one.stats["steps"]
    if options.outcome[case]:
        result.outcome[case] = one.summary["outcome"]
    for name, trace in result.traces.items():
        trace[: one.time_s.size, case] = one.traces[name]


def holding_throttles(vehicles: Sequence[Vehicle], *, grade_deg: ArrayLike) -> np.ndarray:
    """Throttles that hold a steady crawl before a punch, shape (cases,); not a number where nothing holds it.

    Parameters
    ----------
    vehicles : sequence of Vehicle, one a case
    grade_deg : array_like, shape (cases,)
    """
    settings = {"creep_speed_mm_per_s": CREEP_SPEED_MM_S, "sample_s": None, "tolerance": TOLERANCE}
    settings |= {"largest_step_s": LARGEST_STEP_S}
    off = np.zeros(1, dtype=bool)
    programs = listed(None, "ramp"), listed(None, FULL_GRIP), listed("creep", "creep")
    options, fleet, which = batch_options(
        vehicles, (grade_deg, 1.0, 0.0, 0.0, 1.0), programs, (off, off), (0.1, None), settings
    )
    starts, stands = _starts(fleet, which, options)
    return np.where((starts.held & starts.solved)[starts.pick] & stands[which], starts.throttles[starts.pick], np.nan)


def batch_options(
    vehicles: Any, numbers: tuple, programs: tuple, flags: tuple, holds: tuple[float, float | None], settings: dict
) -> tuple[PunchesOptions, list[Vehicle], np.ndarray]:
    """Options of a batch, the different vehicles, and which of them each case is."""
    given = list(vehicles) if isinstance(vehicles, (list, tuple)) else [vehicles]
    arrays = [np.atleast_1d(np.asarray(x, dtype=float)) for x in numbers]
    try:
        wide = np.broadcast_arrays(*arrays, *programs, *map(np.atleast_1d, flags), np.arange(len(given)))
    except ValueError:
        sizes = ", ".join(str(a.size) for a in (*arrays, *(p for p in (*programs, *flags) if p.size > 1)))
        raise ModelError(
            f"punches: {len(given)} vehicles with options of {sizes} entries; give one entry, or one a case"
        ) from None
    grades, throttles, rises, starts, durations, program, grip, start, decided, lift, index = (a.copy() for a in wide)
    options = PunchesOptions(
        grades,
        throttles,
        rises,
        starts,
        durations,
        **settings,
        outcome=decided,
        stop_at_lift=lift,
        inputs=PunchInputs(program, grip, start, *holds),
    )
    _check(options)
    fleet = list({id(v): v for v in given}.values())
    place = {id(v): k for k, v in enumerate(fleet)}
    return options, fleet, np.array([place[id(given[k])] for k in index])


def _check(options: PunchesOptions) -> None:
    rules = (
        ("grade_deg", options.grade_deg, np.abs(options.grade_deg) < 90.0, "lie between -90 and 90 deg"),
        ("throttle", options.throttle, np.abs(options.throttle) <= 1.0, "lie between -1 and 1"),
        ("rise_s", options.rise_s, options.rise_s >= 0.0, "not be negative (s)"),
        ("start_s", options.start_s, options.start_s >= 0.0, "not be negative (s)"),
        ("duration_s", options.duration_s, options.duration_s > 0.0, "be above 0 (s)"),
    )
    faults = []
    for name, values, good, rule in rules:
        good = good & np.isfinite(values)
        if not good.all():
            k = int(np.argmin(good))
            faults.append(f"{name}[{k}] = {values[k]:g}: must {rule}")
    if options.sample_s is not None:
        if not options.sample_s > 0.0:
            faults.append(f"sample_s = {options.sample_s:g} s: must be above 0")
        if np.ptp(options.duration_s) > 0.0:
            faults.append("sample_s: traces need one duration for all cases")
    faults += options.inputs.faults()
    if faults:
        raise ModelError("punches: " + "; ".join(faults))


def _empty(options: PunchesOptions) -> PunchMany:
    cases = options.grade_deg.size
    starts = ("throttle_start", "front_load_start_n", "rear_load_start_n")
    numbers: dict[str, Any] = {name: np.full(cases, np.nan) for name in (*starts, *_NUMBERS)}
    times, traces = None, {}
    if options.sample_s is not None:
        count = int(np.floor(options.duration_s[0] / options.sample_s + 1e-9)) + 1
        times = options.sample_s * np.arange(count)
        traces = {
            name: np.full((count, cases), np.nan) for name in ("front_load_n", "rear_load_n", "nose_up_pitch_deg")
        }
    numbers |= {"steps": np.zeros(cases, dtype=int), "time_s": times, "traces": traces}
    return PunchMany(options, np.full(cases, "ok", dtype=object), np.full(cases, "", dtype=object), **numbers)


def _mark_starts(starts: BatchStarts, options: PunchesOptions, result: PunchMany) -> None:
    """Write what is known of the starts into the result and mark the cases that cannot be held."""
    pick, held = starts.pick, starts.held[starts.pick]
    result.status[~held] = "start_not_held"
    result.throttle_start[:] = np.where(starts.solved, starts.throttles, np.nan)[pick]
    result.rear_load_start_n[:], result.front_load_start_n[:] = np.where(starts.held, starts.loads, np.nan)[:, pick]
    result.outcome[~held & options.outcome] = "start_not_held"


def _run_block(starts: BatchStarts, cases: np.ndarray, options: PunchesOptions, result: PunchMany) -> None:
    pick = starts.pick[cases]
    controls = options.inputs.controls(
        cases, options, starts.throttles[pick], starts.brakes[pick], starts.brakes_full[pick]
    )
    motion = BatchMotion(starts.vehicles.take(pick), starts.grades[pick], controls)
    deciding = options.outcome[cases]
    recorder = Recorder(motion, options.sample_s, result, cases, bool(deciding.any()), options.stop_at_lift[cases])
    tolerance, step, patience = (
        np.broadcast_to(x, options.grade_deg.shape)[cases]
        for x in (options.tolerance, options.largest_step_s, options.patience_s)
    )
    windows = Windows(motion, recorder, options.duration_s[cases], deciding, patience)
    run = integrate_batch(
        motion,
        starts.states[:, pick],
        windows.first_ends(),
        recorder,
        sample=options.sample_s,
        sample_to=float(options.duration_s[cases].max()),
        tolerance=tolerance,
        step=step,
        renew=windows.renew,
    )
    windows.finish(run, result, cases)
