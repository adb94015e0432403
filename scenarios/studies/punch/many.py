"""Many punches at once: starts, runs and outcomes in batches, for maps and limits."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np
from numpy.typing import ArrayLike

from noseload.documents import plain
from noseload.model.batch.equilibrium import VehicleBatch
from noseload.model.batch.kernels import parameter_rows
from noseload.model.batch.motion import BatchMotion
from noseload.model.errors import ModelError
from noseload.model.motion.mobility import motion_parameters
from noseload.model.vehicle import Vehicle
from noseload.solvers.batch.transient import TOLERANCE, integrate_batch
from noseload.solvers.errors import SolverError, Status
from noseload.studies.climb.batch_starts import batch_starts
from noseload.studies.climb.many import stand_many, stand_those_that_do
from noseload.studies.pieces import finished, shares
from noseload.studies.result import Result

from .inputs import FULL_GRIP, PunchInputs, last_corners, listed
from .outcome import LONGEST_S, SETTLED_S, name_outcome
from .punch import punch
from .recorder import Recorder

BLOCK = 4000
"""Cases integrated together: enough to hide the cost of a call, few enough for the cache."""
LARGEST_STEP_S = 0.004
BATCH_FROM = 48
"""Punches from which one batch costs less than accurate single runs: a batch of 20 takes as long as one of 240."""
SINGLY = 12
"""Undecided cases so few that accurate single runs decide them faster than a small batch."""


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
    tolerance: float
    largest_step_s: float
    outcome: bool
    inputs: PunchInputs

    def of(self, cases):
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
    rear_shock_shortening_mm: np.ndarray
    front_shock_shortening_mm: np.ndarray
    peak_nose_up_pitch_deg: np.ndarray
    outcome_time_s: np.ndarray
    steps: np.ndarray
    time_s: np.ndarray | None = None
    traces: dict = field(default_factory=dict, repr=False)

    @property
    def success(self) -> np.ndarray:
        """True where a punch was run."""
        return self.status == "ok"

    def to_dict(self) -> dict[str, Any]:
        """Options and one row a case; arrays over time, where asked for, have one row a sample."""
        given = {k: v for k, v in self.options.__dict__.items() if k != "inputs"}
        options = {k: v for k, v in given.items() if not isinstance(v, np.ndarray)} | {
            "hold_s": self.options.inputs.hold_s
        }
        columns = {k: v for k, v in given.items() if isinstance(v, np.ndarray)} | self.options.inputs.names()
        columns |= {name: getattr(self, name) for name in _ARRAYS}
        rows = [dict(zip(columns, cells, strict=True)) for cells in zip(*plain(columns).values(), strict=True)]
        traces = {} if self.time_s is None else {"time_s": self.time_s, **self.traces}
        return plain(
            {"options": options, **traces, "rows": rows, "status": "ok" if self.success.any() else "no_solution"}
        )

    def __repr__(self):
        return f"PunchMany({self.status.size} punches, {int(self.success.sum())} run)"


_UNDECIDED = "undecided"
_NUMBERS = (
    "front_load_min_n",
    "rear_load_min_n",
    "front_load_min_time_s",
    "rear_load_min_time_s",
    "front_airborne_s",
    "rear_airborne_s",
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
    creep_speed_mm_per_s: float = 100.0,
    sample_s: float | None = None,
    program: Any = None,
    hold_s: float = 0.1,
    grip_program: Any = None,
    start: str | Sequence[str] = "creep",
    outcome: bool = False,
    tolerance: float = TOLERANCE,
    largest_step_s: float = LARGEST_STEP_S,
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
    outcome : bool
        Run on, up to 5 s, until every outcome is decided.
    tolerance : float
        Bend of a step that the integrator allows; see `noseload.solvers.batch.transient`.
    largest_step_s : float
        Longest step of the integrator, s.
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
    settings: dict[str, Any] = {
        "creep_speed_mm_per_s": float(creep_speed_mm_per_s),
        "sample_s": sample_s,
        "tolerance": float(tolerance),
        "largest_step_s": float(largest_step_s),
        "outcome": bool(outcome),
    }
    options, fleet, which = _options(vehicles, numbers, programs, float(hold_s), settings)
    if executor is None:
        return run_cases(fleet, which, options, progress)
    return _share(fleet, which, options, executor, progress)


def _share(fleet, which, options, executor, progress):
    """Deal the cases out in turn, so that every piece holds sudden and slow, steep and flat ones."""
    result, done = _empty(options), 0
    count = shares(which.size)
    places = [np.arange(k, which.size, count) for k in range(count)]
    pieces = []
    for cases in places:
        used, local = np.unique(which[cases], return_inverse=True)
        pieces.append(([fleet[k] for k in used], local, options.of(cases)))
    for cases, part in zip(places, finished(run_cases, pieces, executor), strict=True):
        for name in _ARRAYS:
            getattr(result, name)[cases] = getattr(part, name)
        for name, trace in part.traces.items():
            result.traces[name][:, cases] = trace
        done += cases.size
        if progress is not None:
            progress(done, which.size)
    return result


def run_cases(fleet, which, options, progress=None):
    """Run the cases here: `which` vehicle of the fleet each is, and its options; a plain function for executors."""
    result = _empty(options)
    brakes = np.array([v.drive.drag_brake_torque for v in fleet], dtype=float)
    prepared, stands = prepare_those_that_stand(fleet)
    starts = batch_starts(
        prepared,
        which,
        brakes,
        grade_deg=options.grade_deg,
        grip_factor=options.inputs.first_grip,
        braked=options.inputs.braked,
        creep_speed=1e-3 * options.creep_speed_mm_per_s,
    )
    _mark_starts(starts, options, result)
    fallen = ~stands[which]
    result.status[fallen] = "does_not_stand"
    for numbers in (result.throttle_start, result.front_load_start_n, result.rear_load_start_n):
        numbers[fallen] = np.nan
    if options.outcome:
        result.outcome[fallen] = "does_not_stand"
    able = np.flatnonzero(result.status == "ok")
    # Cases of one vehicle side by side share its numbers in a block; equal durations end together.
    order = able[np.lexsort((options.duration_s[able], which[able]))]
    done = result.status.size - able.size
    for first in range(0, order.size, BLOCK):
        cases = order[first : first + BLOCK]
        _run_block(starts, cases, options, result)
        done += cases.size
        if progress is not None:
            progress(done, result.status.size)
    for case in np.flatnonzero(result.outcome == _UNDECIDED):
        _decide_singly(fleet[which[case]], int(case), options, result)
    return result


def _decide_singly(vehicle, case, options, result):
    """Outcome of one case by an accurate run."""
    try:
        one = punch(
            vehicle,
            grade_deg=options.grade_deg[case],
            throttle=options.throttle[case],
            rise_s=options.rise_s[case],
            start_s=options.start_s[case],
            duration_s=options.duration_s[case],
            creep_speed_mm_per_s=options.creep_speed_mm_per_s,
            **options.inputs.single(case),
        )
    except SolverError:
        result.status[case], result.outcome[case] = "failed", ""
        return
    result.outcome[case] = one.summary["outcome"] if one.success else one.status
    result.outcome_time_s[case] = one.summary.get("outcome_time_s", np.nan)


def prepare(vehicles):
    """Numbers of moving vehicles: standing poses, free lengths and mobility, as a `VehicleBatch`.

    Raises
    ------
    SolverError
        A vehicle does not stand.
    """
    stand_many(vehicles)
    return prepare_those_that_stand(vehicles)[0]


def prepare_those_that_stand(vehicles):
    """As `prepare`, and which vehicles stand."""
    standing, stands = stand_those_that_do(vehicles)
    lengths = zip(standing["rear_free_length"], standing["front_free_length"], strict=True)
    values = [motion_parameters(v, tuple(map(float, pair))) for v, pair in zip(vehicles, lengths, strict=True)]
    return VehicleBatch(parameter_rows(values), standing.starts, standing.wheelbases), stands


def _options(vehicles, numbers, programs, hold_s, settings):
    given = list(vehicles) if isinstance(vehicles, (list, tuple)) else [vehicles]
    arrays = [np.atleast_1d(np.asarray(x, dtype=float)) for x in numbers]
    try:
        wide = np.broadcast_arrays(*arrays, *programs, np.arange(len(given)))
    except ValueError:
        sizes = ", ".join(str(a.size) for a in (*arrays, *(p for p in programs if p.size > 1)))
        raise ModelError(
            f"punches: {len(given)} vehicles with options of {sizes} entries; give one entry, or one a case"
        ) from None
    grades, throttles, rises, starts, durations, program, grip, start, index = (a.copy() for a in wide)
    options = PunchesOptions(
        grades, throttles, rises, starts, durations, **settings, inputs=PunchInputs(program, grip, start, hold_s)
    )
    _check(options)
    fleet = list({id(v): v for v in given}.values())
    place = {id(v): k for k, v in enumerate(fleet)}
    return options, fleet, np.array([place[id(given[k])] for k in index])


def _check(options):
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


def _empty(options):
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


def _mark_starts(starts, options, result):
    """Write what is known of the starts into the result and mark the cases that cannot be held."""
    pick, held = starts.pick, starts.held[starts.pick]
    result.status[~held] = "start_not_held"
    result.throttle_start[:] = np.where(starts.solved, starts.throttles, np.nan)[pick]
    result.rear_load_start_n[:], result.front_load_start_n[:] = np.where(starts.held, starts.loads, np.nan)[:, pick]
    if options.outcome:
        result.outcome[~held] = "start_not_held"


def _run_block(starts, cases, options, result):
    pick = starts.pick[cases]
    vehicles = starts.vehicles.take(pick)
    controls = options.inputs.controls(
        cases, options, starts.throttles[pick], starts.brakes[pick], starts.brakes_full[pick]
    )
    motion = BatchMotion(vehicles, starts.grades[pick], controls)
    recorder = Recorder(motion, options.sample_s, result, cases, options.outcome)
    end = options.duration_s[cases]
    settings = {"sample": options.sample_s, "tolerance": options.tolerance, "step": options.largest_step_s}
    if not options.outcome:
        recorder.summarise(integrate_batch(motion, starts.states[:, pick], end, recorder, **settings))
        return
    # The last SETTLED_S of a run is looked at on its own, to see whether the motion is over.
    middle = np.maximum(end - SETTLED_S, 0.0)
    run = integrate_batch(motion, starts.states[:, pick], middle, recorder, **settings)
    recorder.open_window()
    rest = integrate_batch(
        motion, run.states, np.where(recorder.flipped == 0, end, run.times), recorder, times=run.times, **settings
    )
    statuses = np.where(run.statuses == Status.CONVERGED, rest.statuses, run.statuses)
    rest = replace(rest, steps=run.steps + rest.steps, statuses=statuses)
    recorder.summarise(rest)
    _decide(motion, rest, recorder, options, result, cases)


def _decide(motion, run, recorder, options, result, cases):
    """Run on in windows of SETTLED_S until each case is decided."""
    recorder.sample = None
    times, states = run.times.copy(), run.states.copy()
    good = run.statuses == Status.CONVERGED
    corner = last_corners(motion.controls, times.size)
    while True:
        over = recorder.settled(times, states) & (times >= SETTLED_S - 1e-9) & (times - corner >= SETTLED_S - 1e-9)
        over |= (recorder.flipped != 0) | (times >= LONGEST_S - 1e-9) | ~good
        going = np.flatnonzero(~over)
        if going.size <= SINGLY:
            result.outcome[cases[going]] = _UNDECIDED
            break
        recorder.open_window()
        further = recorder.only(going)
        later = integrate_batch(
            motion.take(going),
            states[:, going],
            np.minimum(times[going] + SETTLED_S, LONGEST_S),
            further,
            times=times[going],
            tolerance=options.tolerance,
        )
        recorder.take_back(going, further)
        times[going], states[:, going] = later.times, later.states
        good[going] &= later.statuses == Status.CONVERGED
    slip = np.maximum(motion.vehicles["rear_slip_speed"], motion.vehicles["front_slip_speed"])
    for k, case in enumerate(cases):
        if not good[k] or result.outcome[case] == _UNDECIDED:
            continue
        result.outcome_time_s[case] = times[k]
        result.outcome[case] = name_outcome(
            ended_by=(None, "flips_back", "flips_forward")[recorder.flipped[k]],
            down=bool(recorder.down[:, k].all()),
            speed=states[9, k],
            slip_speed=slip[k],
            lifted=bool(recorder.lifted[k]),
        )
