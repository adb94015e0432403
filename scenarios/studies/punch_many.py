"""Many punches at once: starts, runs and outcomes in batches, for maps and limits."""

from dataclasses import dataclass, field, replace

import numpy as np

from model.batch_equilibrium import BatchCreep, VehicleBatch
from model.batch_kernels import BatchKernel, parameter_rows
from model.batch_motion import BatchMotion, BatchProgram, Controls
from model.batch_steady import BatchSteady
from model.errors import ModelError
from model.mobility import motion_parameters
from model.motion import FLIP_PITCH
from model.parameters import ENDS
from model.programs import Program
from solvers.batch_newton import solve_batch
from solvers.batch_transient import TOLERANCE, integrate_batch
from solvers.errors import Status

from .many import creep_many, stand_many
from .programs import after_hold
from .punch import punch
from .punch_outcome import LONGEST_S, SETTLED_S, is_quiet, name_outcome

BLOCK = 4000
"""Cases integrated together: enough to hide the cost of a call, few enough for the cache."""
SINGLY = 12
"""Undecided cases so few that accurate single runs decide them faster than a small batch."""
FULL_THROTTLE = 1.0


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
    outcome: bool


@dataclass(frozen=True)
class PunchMany:
    """Summaries of many punches; every array has one entry a case.

    Attributes
    ----------
    options : PunchesOptions
    status : ndarray of str
        'ok', 'start_not_held' or 'failed' (a number that is not finite); then the numbers are not-a-number.
    outcome : ndarray of str
        As `punch`, '' where not asked for or failed.
    throttle_start : ndarray
        Throttle that holds the start; not a number where there is no steady start.
    front_load_start_n, rear_load_start_n : ndarray
        Steady loads at the creep speed, N.
    front_load_min_n, rear_load_min_n, front_load_min_time_s, rear_load_min_time_s : ndarray
    front_airborne_s, rear_airborne_s : ndarray
    peak_nose_up_pitch_deg : ndarray
    outcome_time_s : ndarray
    steps : ndarray of int
        Steps of the integrator over the traces' duration.
    time_s : ndarray, shape (samples,), or None
    traces : dict of str to ndarray, shape (samples, cases)
        `front_load_n`, `rear_load_n`, `nose_up_pitch_deg`, where `sample_s` was given.
    """

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
    peak_nose_up_pitch_deg: np.ndarray
    outcome_time_s: np.ndarray
    steps: np.ndarray
    time_s: np.ndarray | None = None
    traces: dict = field(default_factory=dict, repr=False)

    @property
    def success(self):
        """True where a punch was run."""
        return self.status == "ok"


_UNDECIDED = "undecided"
_NUMBERS = ("front_load_min_n", "rear_load_min_n", "front_load_min_time_s", "rear_load_min_time_s", "front_airborne_s",
            "rear_airborne_s", "peak_nose_up_pitch_deg", "outcome_time_s")


def punch_many(vehicles, *, grade_deg, throttle=1.0, rise_s=0.05, start_s=0.1, duration_s=1.0, creep_speed_mm_per_s=100.0,
               sample_s=None, program=None, outcome=False, tolerance=TOLERANCE, progress=None):
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
    program : Program, optional
        Throttle over time, after a hold, in place of throttle, rise and start.
    outcome : bool
        Run on, up to 5 s, until every outcome is decided.
    tolerance : float
        Bend of a step that the integrator allows; see `solvers.batch_transient`.
    progress : callable, optional
        Called with (cases done, cases) after every block.

    Returns
    -------
    PunchMany

    Raises
    ------
    ModelError
        An option that makes no sense; all are named.
    SolverError
        A vehicle has no standing pose.
    """
    options, fleet, which = _options(vehicles, grade_deg, throttle, rise_s, start_s, duration_s, creep_speed_mm_per_s,
                                     sample_s, tolerance, outcome)
    result = _empty(options)
    starts = _starts(prepare(fleet), which, options, result)
    able = np.flatnonzero(result.status == "ok")
    # Cases of one vehicle side by side share its numbers in a block; equal durations end together.
    order = able[np.lexsort((options.duration_s[able], which[able]))]
    done = result.status.size - able.size
    for first in range(0, order.size, BLOCK):
        cases = order[first : first + BLOCK]
        _run_block(starts, cases, options, program, result)
        done += cases.size
        if progress is not None:
            progress(done, result.status.size)
    for case in np.flatnonzero(result.outcome == _UNDECIDED):
        _decide_singly(fleet[which[case]], int(case), options, program, result)
    return result


def _decide_singly(vehicle, case, options, program, result):
    """Outcome of one case by an accurate run."""
    one = punch(vehicle, grade_deg=options.grade_deg[case], throttle=options.throttle[case], rise_s=options.rise_s[case],
                start_s=options.start_s[case], duration_s=options.duration_s[case], program=program,
                creep_speed_mm_per_s=options.creep_speed_mm_per_s)
    result.outcome[case] = one.summary["outcome"] if one.success else one.status
    result.outcome_time_s[case] = one.summary.get("outcome_time_s", np.nan)


def prepare(vehicles):
    """Numbers of moving vehicles: standing poses, free lengths and mobility, as a `VehicleBatch`."""
    standing = stand_many(vehicles)
    lengths = zip(standing["rear_free_length"], standing["front_free_length"], strict=True)
    values = [motion_parameters(v, tuple(map(float, pair))) for v, pair in zip(vehicles, lengths, strict=True)]
    return VehicleBatch(parameter_rows(values), standing.starts, standing.wheelbases)


def _options(vehicles, grade_deg, throttle, rise_s, start_s, duration_s, creep_speed, sample_s, tolerance, outcome):
    listed = list(vehicles) if isinstance(vehicles, (list, tuple)) else [vehicles]
    arrays = [np.atleast_1d(np.asarray(x, dtype=float)) for x in (grade_deg, throttle, rise_s, start_s, duration_s)]
    try:
        *arrays, index = np.broadcast_arrays(*arrays, np.arange(len(listed)))
    except ValueError:
        sizes = ", ".join(str(a.size) for a in arrays)
        raise ModelError(f"punches: {len(listed)} vehicles with options of {sizes} entries; give one entry, or one a "
                         "case") from None
    options = PunchesOptions(*(a.copy() for a in arrays), float(creep_speed), sample_s, float(tolerance), bool(outcome))
    _check(options)
    fleet = list({id(v): v for v in listed}.values())
    place = {id(v): k for k, v in enumerate(fleet)}
    return options, fleet, np.array([place[id(listed[k])] for k in index])


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
    if faults:
        raise ModelError("punches: " + "; ".join(faults))


def _empty(options):
    cases = options.grade_deg.size
    numbers = {name: np.full(cases, np.nan) for name in _NUMBERS}
    times, traces = None, {}
    if options.sample_s is not None:
        count = int(np.floor(options.duration_s[0] / options.sample_s + 1e-9)) + 1
        times = options.sample_s * np.arange(count)
        traces = {name: np.full((count, cases), np.nan) for name in ("front_load_n", "rear_load_n", "nose_up_pitch_deg")}
    text = np.full(cases, "", dtype=object)
    return PunchMany(options, np.full(cases, "ok", dtype=object), text, *(np.full(cases, np.nan) for _ in range(3)),
                     **numbers, steps=np.zeros(cases, dtype=int), time_s=times, traces=traces)


@dataclass(frozen=True)
class _Starts:
    """Prepared vehicles and steady states, one column for each different start; `pick` (cases,) names the column."""

    vehicles: VehicleBatch
    grades: np.ndarray
    states: np.ndarray
    throttles: np.ndarray
    pick: np.ndarray


def _starts(fleet, which, options, result):
    """Solve every different (vehicle, grade) once and mark the cases that cannot be held."""
    pairs, pick = np.unique(np.stack([which, options.grade_deg]), axis=1, return_inverse=True)
    pick = pick.reshape(-1)
    vehicles, grades = fleet.take(pairs[0].astype(int)), np.radians(pairs[1])
    creep = creep_many(vehicles, grades)
    steady = BatchSteady(BatchCreep(vehicles), travel_speed=1e-3 * options.creep_speed_mm_per_s)
    safe = np.where(creep.solution.success, creep.solution.states, vehicles.starts)
    guess, needed = steady.guess(safe, grades)
    solution = solve_batch(steady, guess, grades)
    states = steady.motion_states(solution.states)
    zero, one = np.zeros(grades.size), np.ones(grades.size)
    seen = BatchKernel("observe", grades.size)(list(states[:9]), list(states[9:]), zero, one, zero, grades,
                                               list(vehicles.parameters))
    throttles = steady.throttle(solution.states, seen[17:19])
    with np.errstate(invalid="ignore"):
        held = (creep.solution.success & (creep.front_load > 0.0) & (creep.rear_load > 0.0) & (np.abs(needed) < 1.0)
                & solution.success & (np.abs(throttles) <= FULL_THROTTLE))
    result.status[~held[pick]] = "start_not_held"
    result.throttle_start[:] = np.where(solution.success, throttles, np.nan)[pick]
    result.rear_load_start_n[:], result.front_load_start_n[:] = np.where(held, seen[15:17], np.nan)[:, pick]
    if options.outcome:
        result.outcome[~held[pick]] = "start_not_held"
    return _Starts(vehicles, grades, states, throttles, pick)


def _throttles(options, cases, holding, program):
    if program is not None:
        return BatchProgram.of([after_hold(program, float(u)) for u in holding])
    start, rise = options.start_s[cases], options.rise_s[cases]
    return BatchProgram(np.stack([start, start + rise]), np.stack([holding, options.throttle[cases]]))


def _run_block(starts, cases, options, program, result):
    pick = starts.pick[cases]
    controls = Controls.of(_throttles(options, cases, starts.throttles[pick], program))
    vehicles = starts.vehicles.take(pick)
    motion = BatchMotion(vehicles, starts.grades[pick], controls)
    recorder = _Recorder(motion, options.sample_s, result, cases, options.outcome)
    end = options.duration_s[cases]
    settings = {"sample": options.sample_s, "tolerance": options.tolerance}
    if not options.outcome:
        recorder.summarise(integrate_batch(motion, starts.states[:, pick], end, recorder, **settings))
        return
    # The last SETTLED_S of a run is looked at on its own, to see whether the motion is over.
    middle = np.maximum(end - SETTLED_S, 0.0)
    run = integrate_batch(motion, starts.states[:, pick], middle, recorder, **settings)
    recorder.open_window()
    rest = integrate_batch(motion, run.states, np.where(recorder.flipped == 0, end, run.times), recorder, times=run.times,
                           **settings)
    statuses = np.where(run.statuses == Status.CONVERGED, rest.statuses, run.statuses)
    rest = replace(rest, steps=run.steps + rest.steps, statuses=statuses)
    recorder.summarise(rest)
    _decide(motion, rest, recorder, options, result, cases)


def _decide(motion, run, recorder, options, result, cases):
    """Run on in windows of SETTLED_S until each case is decided."""
    recorder.sample = None
    times, states = run.times.copy(), run.states.copy()
    good = run.statuses == Status.CONVERGED
    corner = np.max([p.times.max(axis=0) for p in motion.controls.all()[:1]], axis=0)
    while True:
        over = recorder.settled(times, states) & (times >= SETTLED_S - 1e-9) & (times - corner >= SETTLED_S - 1e-9)
        over |= (recorder.flipped != 0) | (times >= LONGEST_S - 1e-9) | ~good
        going = np.flatnonzero(~over)
        if going.size <= SINGLY:
            result.outcome[cases[going]] = _UNDECIDED
            break
        recorder.open_window()
        further = recorder.only(going)
        later = integrate_batch(motion.take(going), states[:, going], np.minimum(times[going] + SETTLED_S, LONGEST_S),
                                further, times=times[going], tolerance=options.tolerance)
        recorder.take_back(going, further)
        times[going], states[:, going] = later.times, later.states
        good[going] &= later.statuses == Status.CONVERGED
    slip = np.maximum(motion.vehicles["rear_slip_speed"], motion.vehicles["front_slip_speed"])
    for k, case in enumerate(cases):
        if not good[k] or result.outcome[case] == _UNDECIDED:
            continue
        result.outcome_time_s[case] = times[k]
        result.outcome[case] = name_outcome(
            ended_by=(None, "flips_back", "flips_forward")[recorder.flipped[k]], down=bool(recorder.down[:, k].all()),
            speed=states[9, k], slip_speed=slip[k], lifted=bool(recorder.lifted[k]))


class _Recorder:
    """What is kept of the runs of a block while they go: minima, airborne times, flips, the present window."""

    def __init__(self, motion, sample, result, cases, deciding):
        self.deciding = deciding
        count = cases.size
        self.motion, self.sample, self.result, self.cases = motion, sample, result, cases
        self.lowest, self.lowest_time = np.full((2, count), np.inf), np.zeros((2, count))
        self.airborne = np.zeros((2, count))
        self.peak = np.full(count, -np.inf)
        self.flipped = np.zeros(count, dtype=int)
        self.down, self.lifted = np.ones((2, count), dtype=bool), np.zeros(count, dtype=bool)
        self.before = np.zeros((2, count))
        self.loads, self.times = np.full((2, 2, count), np.nan), np.full((2, count), np.nan)
        self.acceleration = np.zeros(count)
        self.open_window()

    _ARRAYS = ("lowest", "lowest_time", "airborne", "peak", "flipped", "down", "lifted", "before", "loads", "times",
               "acceleration", "low", "high", "pitch_low", "pitch_high", "switched")

    def open_window(self):
        """Forget the window so far."""
        count = self.peak.size
        self.low, self.high = np.full((2, count), np.inf), np.full((2, count), -np.inf)
        self.pitch_low, self.pitch_high = np.full(count, np.inf), np.full(count, -np.inf)
        self.switched = np.zeros(count, dtype=bool)

    def only(self, some):
        """A recorder of some of the cases that goes on from here."""
        other = _Recorder(self.motion, None, self.result, self.cases[some], True)
        for name in self._ARRAYS:
            setattr(other, name, getattr(self, name)[..., some].copy())
        return other

    def take_back(self, some, other):
        """Put in what the recorder of some of the cases found."""
        for name in self._ARRAYS:
            getattr(self, name)[..., some] = getattr(other, name)

    def record(self, active, times, steps, stage, switches, state, accepted):
        """One step of the active cases; called by the integrator."""
        k = slice(None) if active.size == self.peak.size else active
        loads, pitch = np.maximum(stage.loads, 0.0), -state[2]
        self._watch(k, times, steps, loads, switches[:2], accepted)
        _put(self.peak, k, np.maximum(self.peak[k], pitch), accepted)
        over = (np.abs(pitch) >= FLIP_PITCH) & accepted
        if over.any():
            self.flipped[active[over]] = np.where(pitch[over] > 0.0, 1, 2)
        self._over = over
        if self.deciding:
            _put(self.low, k, np.minimum(self.low[:, k], loads), accepted)
            _put(self.high, k, np.maximum(self.high[:, k], loads), accepted)
            _put(self.pitch_low, k, np.minimum(self.pitch_low[k], pitch), accepted)
            _put(self.pitch_high, k, np.maximum(self.pitch_high[k], pitch), accepted)
            _put(self.acceleration, k, stage.rates[0], accepted)
        if self.sample is not None:
            self._keep_samples(active, times, loads, pitch, accepted)

    def stopped(self):
        """Cases that ended by a flip in the step just recorded."""
        return self._over

    def _watch(self, k, times, steps, loads, contact, accepted):
        """Minima and airborne times of both axles; rows are rear and front."""
        moved = accepted & (steps > 0.0)
        before, up, was_up = self.before[:, k], contact <= 0.0, self.before[:, k] <= 0.0
        changed = up != was_up
        part = up.astype(float)
        if changed.any():
            # An axle that left or touched within the step was up for a share of it.
            gone = np.where(up, contact, before)
            np.copyto(part, gone / (gone - np.where(up, before, contact)), where=changed)
        _put(self.airborne, k, self.airborne[:, k] + part * steps, moved)
        self.switched[k] |= moved & changed.any(axis=0)
        self.lifted[k] |= accepted & up.any(axis=0)
        _put(self.down, k, ~up, accepted)
        _put(self.before, k, contact, accepted)
        last, earlier = self.loads[1][:, k], self.loads[0][:, k]
        bottom = moved & (last < earlier) & (last < loads) & (last > 0.0) & (last < 1.2 * self.lowest[:, k] + 1e-6)
        value, when = loads, np.broadcast_to(times, loads.shape)
        if bottom.any():
            value, when = _vertex(earlier, last, loads, *self.times[:, k], times, bottom)
        better = accepted & (value < self.lowest[:, k])
        _put(self.lowest, k, value, better)
        _put(self.lowest_time, k, when, better)
        _put(self.loads[0], k, last, moved)
        _put(self.loads[1], k, loads, accepted)
        _put(self.times[0], k, self.times[1][k], moved)
        _put(self.times[1], k, times, accepted)

    def _keep_samples(self, active, times, loads, pitch, accepted):
        place = np.round(times / self.sample).astype(int)
        hit = np.flatnonzero(accepted & (np.abs(times - place * self.sample) < 1e-9) & (place < self.result.time_s.size))
        where = (place[hit], self.cases[active[hit]])
        traces = self.result.traces
        traces["rear_load_n"][where], traces["front_load_n"][where] = loads[:, hit]
        traces["nose_up_pitch_deg"][where] = np.degrees(pitch[hit])

    def settled(self, times, states):
        """Cases whose window was quiet with both axles down."""
        weight = self.motion.vehicles.weights
        swing = (self.high - self.low).max(axis=0) / weight
        quiet = is_quiet(swing, self.pitch_high - self.pitch_low, states[9], self.acceleration)
        return quiet & self.down.all(axis=0) & ~self.switched

    def summarise(self, run):
        """Write the summary of the block into the result."""
        good = run.statuses == Status.CONVERGED
        self.result.status[self.cases[~good]] = "failed"
        cases, result = self.cases[good], self.result
        for k, end in enumerate(ENDS):
            getattr(result, f"{end}_load_min_n")[cases] = self.lowest[k, good]
            getattr(result, f"{end}_load_min_time_s")[cases] = self.lowest_time[k, good]
            getattr(result, f"{end}_airborne_s")[cases] = self.airborne[k, good]
        result.peak_nose_up_pitch_deg[cases] = np.degrees(self.peak[good])
        result.outcome_time_s[cases] = run.times[good]
        result.steps[self.cases] = run.steps


def _put(target, k, values, where):
    """Write values of the active cases where they count."""
    if isinstance(k, slice):
        np.copyto(target, values, where=where)
    else:
        target[..., k] = np.where(where, values, target[..., k])


def _vertex(a, b, c, time_a, time_b, time_c, wanted):
    """Lowest points of parabolas through three loads, and their times; the last load where not wanted."""
    before, after = (b - a) / (time_b - time_a), (c - b) / (time_c - time_b)
    bend = (after - before) / (time_c - time_a)
    slope = before + bend * (time_b - time_a)
    shift = -0.5 * slope / bend
    value = np.maximum(b + 0.5 * slope * shift, 0.0)
    return np.where(wanted, value, c), np.where(wanted, time_b + shift, time_c)


__all__ = ["Program", "PunchMany", "PunchesOptions", "prepare", "punch_many"]
