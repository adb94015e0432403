"""The punch: what a throttle step does to the front axle, from a steady crawl on a slope."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from math import radians
from typing import TYPE_CHECKING, Any

import numpy as np

from noseload.model.crawl.equilibrium import TENSIONS
from noseload.model.crawl.load_budget import load_budget
from noseload.model.motion.programs import Program
from noseload.model.motion.rows import COORDINATE_ROWS, ENERGY_ROWS, SPEED_ROWS
from noseload.model.motion.vehicle_motion import VehicleMotion, project_states
from noseload.model.parameters import ENDS
from noseload.model.vehicle import Vehicle
from noseload.solvers.errors import Status
from noseload.studies.climb.standing import Standing, stand
from noseload.studies.climb.steady_start import SteadyStart, steady_start
from noseload.studies.result import draw

from .options import (
    PROJECTIONS,
    PunchOptions,
    brake_over_time,
    check_options,
    integrate_as_promised,
    name_of,
    throttle_over_time,
    too_stiff,
)
from .outcome import controls_over_time, decide, summarise
from .told import PunchEvent, PunchTold, events_of, first_values, run_stats, sample_times, start_document

if TYPE_CHECKING:
    from noseload.solvers.motion.trajectory import Trajectory
    from noseload.solvers.motion.transient import TransientOptions


_FIRST = ("front_load_n", "rear_load_n", "nose_up_pitch_deg", *(f"{end}_shock_travel_mm" for end in ENDS))
"""Traces whose first value is told of the start."""


@dataclass(frozen=True)
class PunchResult(PunchTold):
    """One punch.

    Attributes
    ----------
    status : str
        'ok'; 'out_of_steps': what was done until then is there; or 'start_not_held': then there are no traces.
    start : dict
        The steady motion it starts from: loads, pitch, throttle, grip needed, stops already engaged.
    time_s : ndarray, shape (n,)
        Multiples of the sample time; a run ended by a flip stops there.
    traces : dict of str to ndarray
        Keys of the JSON document.
    budget : dict of str to ndarray
        Parts of the front load, N; they add up to `front_load_n` at every instant.
    events : tuple of PunchEvent
    summary : dict
    stats : dict
        Effort, drift, energy balance.
    lowest : dict
        `time_s`, `front_load_n` and `budget` where the front load is smallest (where it lifts off).
    states : ndarray, shape (27, n)
        SI; order of `noseload.model.motion.vehicle_motion`.
    """

    picture = "punch.punch.plot_loads"
    setup: str
    drive: str
    options: PunchOptions
    status: str
    message: str
    throttle_start: float | None
    start: dict
    time_s: np.ndarray = field(default_factory=lambda: np.empty(0), repr=False)
    traces: dict = field(default_factory=dict, repr=False)
    budget: dict = field(default_factory=dict, repr=False)
    events: tuple = field(default=(), repr=False)
    summary: dict = field(default_factory=dict)
    stats: dict = field(default_factory=dict, repr=False)
    lowest: dict = field(default_factory=dict, repr=False)
    states: np.ndarray | None = field(default=None, repr=False)
    standing: Standing | None = field(default=None, repr=False, compare=False)

    @property
    def least_sample(self) -> int:
        """Sample of the least front load; after a lift-off the first one in the air, where the load is 0."""
        return int(np.argmin(self.front_load_n))

    def to_dict(self) -> dict[str, Any]:
        """The JSON document's keys; without traces where the start cannot be held."""
        document = {
            "setup": self.setup,
            "grade_deg": self.options.grade_deg,
            "driven_axles": self.drive,
            "throttle_start": self.throttle_start,
            "start": dict(self.start),
            "status": self.status,
        }
        if not self.success:
            document["message"] = self.message
        if not self.time_s.size:
            return document
        document["time_s"] = self.time_s.tolist()
        document |= {key: trace.tolist() for key, trace in self.traces.items()}
        document["budget"] = {key: part.tolist() for key, part in self.budget.items()}
        document["events"] = [event.to_dict() for event in self.events]
        return document | {"summary": dict(self.summary), "stats": dict(self.stats)}

    def plot_budget(self, ax: Any = None) -> Any:
        """Draw the front load taken apart, over time; returns the axes."""
        return draw("punch.punch.plot_budget_over_time", self, ax)

    def plot_pitch_and_travel(self, ax: Any = None) -> Any:
        """Draw pitch and shock travel over time; returns the axes."""
        return draw("punch.punch.plot_pitch_and_travel", self, ax)

    def plot_link_forces(self, ax: Any = None) -> Any:
        """Draw the axial forces of the links over time; returns the axes."""
        return draw("punch.punch.plot_link_forces", self, ax)

    def plot_slip_and_speed(self, ax: Any = None) -> Any:
        """Draw slip and speed over time; returns the axes."""
        return draw("punch.punch.plot_slip_and_speed", self, ax)

    def rows(self) -> list[dict[str, Any]]:
        """One dict per sample, for a CSV file."""
        return [
            {
                "time_s": t,
                **{k: trace[i] for k, trace in self.traces.items()},
                "budget": {k: part[i] for k, part in self.budget.items()},
            }
            for i, t in enumerate(self.time_s.tolist())
        ]

    def __repr__(self) -> str:
        head = f"PunchResult({self.setup}, {self.options.grade_deg:g} deg, {self.drive} driven: "
        if not self.success:
            return head + self.status + ")"
        return head + (
            f"{self.summary['outcome']}, minimum front axle load {self.summary['front_load_min_n']:.2f} N, "
            f"airborne {1e3 * self.summary['front_airborne_s']:.0f} ms)"
        )


def punch(
    vehicle: Vehicle,
    *,
    grade_deg: float,
    throttle: float = 1.0,
    rise_s: float = 0.05,
    start_s: float = 0.1,
    duration_s: float = 1.0,
    creep_speed_mm_per_s: float = 100.0,
    sample_s: float = 0.001,
    program: Program | str | None = None,
    hold_s: float = 0.1,
    grip_program: Program | None = None,
    start: str = "creep",
    tolerance: str = "default",
    standing: Standing | None = None,
    outcome: bool = True,
    release_s: float | None = None,
) -> PunchResult:
    """Run one punch.

    Parameters
    ----------
    vehicle : Vehicle
        With links, motor and damping (level C, or defaults).
    grade_deg : float
        Positive: nose up the slope.
    throttle : float
        -1..1, reached within `rise_s` (s) from `start_s` (s) on.
    duration_s, sample_s : float
        Length of the traces and time between samples, s.
    creep_speed_mm_per_s : float
        Speed of the steady crawl before.
    program : None, str or Program
        'ramp' (default), 'step', 'blip' (up, `hold_s`, and back), 'hold', 'grab_brake' (throttle to 0 and
        the drag brake on), or a throttle over time.
    grip_program : Program, optional
        Factor on every grip coefficient over time.
    start : str
        'creep', or 'brake': standing on the drag brake, which lets go within `rise_s` as the throttle first rises above what
        its program starts with, and holds where it never does.
    tolerance : str
        'default' or 'tight'.
    standing : Standing, optional
        Of this vehicle, where it is already solved.
    outcome : bool
        Run on, up to 5 s, until the outcome is decided.
    release_s : float, optional
        When a drag brake that holds the start lets go, s, in place of the throttle's first rise.

    Returns
    -------
    PunchResult

    Raises
    ------
    ModelError
        An option that makes no sense; all are named.
    SolverError
        No standing pose, or the integration failed.
    """
    numbers = grade_deg, throttle, rise_s, start_s, duration_s, creep_speed_mm_per_s, sample_s
    options = PunchOptions(*numbers, name_of(program), hold_s, start, tolerance, release_s)
    check_options(options, program)
    standing = standing if standing is not None else stand(vehicle)
    grip = grip_program if grip_program is not None else Program.constant(1.0, "grip program")
    begin = steady_start(
        standing,
        grade=radians(options.grade_deg),
        creep_speed=1e-3 * options.creep_speed_mm_per_s,
        grip_factor=float(grip.at(0.0)),
        start=start,
    )
    identity = (standing.vehicle.setup, standing.vehicle.drive.driven_axles, options)
    if not begin.success:
        return PunchResult(*identity, begin.status, begin.message, begin.throttle, start_document(begin))
    inputs = throttle_over_time(options, program, begin.throttle)
    motion = VehicleMotion(
        begin.values,
        standing.weight,
        standing.vehicle.wheelbase,
        begin.grade,
        throttle=inputs,
        grip_factor=grip,
        brake_torque=brake_over_time(options, inputs, begin.brake_torque, begin.values.moving.drag_brake),
    )
    run, settings = integrate_as_promised(motion, begin.state, options.duration_s, tolerance)
    if run.status is Status.OUT_OF_STEPS:
        kept = _finish(identity, standing, begin, motion, run, settings, False)
        return replace(kept, status="out_of_steps", message=too_stiff(run, options, settings))
    return _finish(identity, standing, begin, motion, run.raise_for_status(), settings, outcome)


def _sampled(motion: VehicleMotion, run: Trajectory, times: np.ndarray) -> tuple[np.ndarray, float, float]:
    """States at the samples, moved onto the constraints, with the drift left there."""
    states = run.at(times)
    for _ in range(PROJECTIONS):
        states, _, _ = project_states(motion.parameters, states)
    return project_states(motion.parameters, states)


def _finish(
    identity: tuple[str, str, PunchOptions],
    standing: Standing,
    begin: SteadyStart,
    motion: VehicleMotion,
    run: Trajectory,
    settings: TransientOptions,
    wanted: bool,
) -> PunchResult:
    setup, drive, options = identity
    times = sample_times(options, run)
    states, position_drift, speed_drift = _sampled(motion, run, times)
    seen = motion.observe(states, controls_over_time(motion, times))
    budget = _budget(standing, motion, states, seen)
    traces = _traces(standing, motion, times, states, seen)
    decided, later = decide(motion, run, settings, wanted=wanted)
    # The book is closed at the nodes: what the integration itself carries, nothing interpolated.
    nodes = run.states.T
    book = motion.energy_residual(nodes, motion.observe(nodes, controls_over_time(motion, run.times)))
    drifts = position_drift, speed_drift
    stats = run_stats(motion, run, later, settings.tolerance, drifts, (*book, nodes[ENERGY_ROWS]))
    start = start_document(begin) | first_values(traces, seen, _FIRST, ENDS)
    events, summary = _events(motion, run), summarise(motion, run, decided)
    lowest = _at(standing, motion, run, summary["front_load_min_time_s"])
    return PunchResult(
        setup,
        drive,
        options,
        "ok",
        "",
        begin.throttle,
        start,
        times,
        traces,
        budget,
        events,
        summary,
        stats,
        lowest,
        states,
        standing,
    )


def _budget(standing: Standing, motion: VehicleMotion, states: np.ndarray, seen: dict[str, np.ndarray]) -> dict:
    return load_budget(motion.values, motion.weight, states[COORDINATE_ROWS], motion.grade, standing.reference, seen)


def _at(standing: Standing, motion: VehicleMotion, run: Trajectory, time: float | np.ndarray) -> dict[str, Any]:
    """Front load and its budget at one moment, s."""
    times = np.array([time])
    states, _, _ = _sampled(motion, run, times)
    seen = motion.observe(states, controls_over_time(motion, times))
    budget = _budget(standing, motion, states, seen)
    return {
        "time_s": float(time),
        "front_load_n": float(seen["load"][1, 0]),
        "budget": {key: float(np.ravel(part)[0]) for key, part in budget.items()},
    }


def _events(motion: VehicleMotion, run: Trajectory) -> tuple[PunchEvent, ...]:
    if not run.events:
        return ()
    times = np.array([event.time for event in run.events])
    states = np.array([event.state for event in run.events]).T
    loads = motion.observe(states, controls_over_time(motion, times))["load"][1]
    return events_of(run, loads)


def _traces(
    standing: Standing, motion: VehicleMotion, times: np.ndarray, states: np.ndarray, seen: dict[str, np.ndarray]
) -> dict[str, np.ndarray]:
    """Traces under the keys of the JSON document."""
    speeds = states[SPEED_ROWS]
    traces = {
        "front_load_n": seen["load"][1],
        "rear_load_n": seen["load"][0],
        "nose_up_pitch_deg": -np.degrees(states[2]),
    }
    traces |= {f"{name}_n": tension for name, tension in zip(TENSIONS, seen["tensions"], strict=True)}
    for k, end in enumerate(ENDS):
        traces[f"{end}_shock_travel_mm"] = 1e3 * (seen["shock_length"][k] - standing.measured_lengths[k])
    for k, end in enumerate(ENDS):
        traces[f"{end}_traction_n"] = seen["traction"][k]
        traces[f"{end}_slip_mm_per_s"] = 1e3 * seen["slip"][k]
        traces[f"{end}_wheel_speed_rad_per_s"] = speeds[5 + 3 * k] + speeds[9 + k]
    traces["speed_mm_per_s"] = 1e3 * speeds[0]
    traces["travel_mm"] = 1e3 * (states[0] - states[0, 0])
    traces["throttle"] = motion.throttle.at(times)
    return traces
