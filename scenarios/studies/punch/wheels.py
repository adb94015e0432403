"""The punch in space: what a throttle step does to each wheel, to the chassis' roll and to the heading.

::

    result = punch_wheels(vehicle, grade_deg=35.0)
    result.summary["first_wheel"], result.summary["front_right_airborne_s"]
    result.traces["front_right_load_n"], result.twist_budget["own_shaft_n"]
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from math import degrees, isfinite, radians
from typing import TYPE_CHECKING, Any

import numpy as np

from noseload.model.errors import ModelError
from noseload.model.motion.programs import Program
from noseload.model.parameters import ENDS
from noseload.model.space.constraints import project_states
from noseload.model.space.motion_budget import Moments, motion_load_budget, motion_twist_budget
from noseload.model.space.parameters import SIDES, WHEELS
from noseload.model.space.rows import BODY_VELOCITIES, ENERGY_ROWS, HEADING, PITCH, ROLL, SPINS
from noseload.model.space.vehicle_motion import SpaceMotion
from noseload.model.vehicle import Vehicle
from noseload.solvers.errors import Status
from noseload.studies.result import draw
from noseload.studies.space.climb import SpaceClimb, SpaceStanding
from noseload.studies.space.start import space_start
from noseload.studies.space.wheels import LARGEST_MISMATCH

from .options import (
    LITTLE_DRIFT,
    PROJECTIONS,
    PunchOptions,
    brake_over_time,
    check_options,
    integrate_as_promised,
    name_of,
    throttle_over_time,
    too_stiff,
)
from .outcome import controls_over_time, decide
from .told import PunchEvent, PunchTold, events_of, first_values, run_stats, sample_times, start_document
from .wheels_summary import Look, summarise_wheels

if TYPE_CHECKING:
    from noseload.solvers.motion.trajectory import Trajectory
    from noseload.solvers.motion.transient import TransientOptions


LARGEST_HEADING = 180.0
"""deg."""
_FIRST = (
    *(f"{wheel}_load_n" for wheel in WHEELS),
    *("front_load_n", "rear_load_n", "nose_up_pitch_deg", "chassis_roll_deg"),
    *(f"{wheel}_shock_travel_mm" for wheel in WHEELS),
)
"""Traces whose first value is told of the start."""


@dataclass(frozen=True)
class WheelsPunch(PunchTold):
    """One punch in space.

    Attributes
    ----------
    status : str
        As in `PunchResult`.
    heading_deg, mismatch_percent : float, and float or None
        Nose turned left of the line of steepest ascent at the start; how much faster the front wheels turn.
    shafts : bool
        Whether the couples of the lengthwise shafts are in.
    start : dict
        The steady motion it starts from: loads, attitude, throttle, grip needed, stops already engaged.
    time_s : ndarray, shape (n,)
    traces : dict of str to ndarray
        Keys of the JSON document.
    budget, twist_budget : dict of str to ndarray
        Parts of the front axle load, and of half its left-right difference, N; each adds up at every instant.
    events : tuple of PunchEvent
    summary, stats : dict
    lowest : dict
        `time_s`, twist, front axle load and their budgets where the first wheel to lift does so; where none does, where
        the lowest wheel load is smallest.
    states : ndarray, shape (47, n)
        SI; order of `noseload.model.space.vehicle_motion`.
    """

    picture = "punch.wheels.plot_wheel_loads"
    setup: str
    drive: str
    options: PunchOptions
    heading_deg: float
    mismatch_percent: float | None
    shafts: bool
    status: str
    message: str
    throttle_start: float | None
    start: dict
    time_s: np.ndarray = field(default_factory=lambda: np.empty(0), repr=False)
    traces: dict = field(default_factory=dict, repr=False)
    budget: dict = field(default_factory=dict, repr=False)
    twist_budget: dict = field(default_factory=dict, repr=False)
    events: tuple = field(default=(), repr=False)
    summary: dict = field(default_factory=dict)
    stats: dict = field(default_factory=dict, repr=False)
    lowest: dict = field(default_factory=dict, repr=False)
    states: np.ndarray | None = field(default=None, repr=False)
    standing: SpaceStanding | None = field(default=None, repr=False, compare=False)

    def to_dict(self) -> dict[str, Any]:
        """The JSON document's keys; without traces where the start cannot be held."""
        document = {
            "setup": self.setup,
            "grade_deg": self.options.grade_deg,
            "heading_deg": self.heading_deg,
            "mismatch_percent": self.mismatch_percent,
            "shafts": self.shafts,
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
        for name in ("budget", "twist_budget"):
            document[name] = {key: part.tolist() for key, part in getattr(self, name).items()}
        document["events"] = [event.to_dict() for event in self.events]
        return document | {"summary": dict(self.summary), "stats": dict(self.stats)}

    def plot_twist_budget(self, ax: Any = None) -> Any:
        """Draw what makes the front wheels' loads differ, over time; returns the axes."""
        return draw("punch.wheels.plot_twist_over_time", self, ax)

    def plot_attitude(self, ax: Any = None) -> Any:
        """Draw roll and pitch of the chassis over time; returns the axes."""
        return draw("punch.wheels.plot_attitude", self, ax)

    def rows(self) -> list[dict[str, Any]]:
        """One dict per sample, for a CSV file."""
        return [
            {
                "time_s": t,
                **{key: trace[i] for key, trace in self.traces.items()},
                "budget": {key: part[i] for key, part in self.budget.items()},
                "twist_budget": {key: part[i] for key, part in self.twist_budget.items()},
            }
            for i, t in enumerate(self.time_s.tolist())
        ]

    def __repr__(self) -> str:
        head = f"WheelsPunch({self.setup}, {self.options.grade_deg:g} deg, {self.drive} driven: "
        if not self.time_s.size:
            return head + self.status + ")"
        first = self.summary["first_wheel"]
        up = "no wheel lifts" if first is None else f"{first} up {1e3 * self.summary['first_wheel_airborne_s']:.0f} ms"
        return head + f"{self.summary['outcome']}, {up})"


def punch_wheels(
    vehicle: Vehicle,
    *,
    grade_deg: float,
    heading_deg: float = 0.0,
    mismatch: float | None = None,
    shafts: bool = True,
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
    release_s: float | None = None,
    tolerance: str = "default",
    standing: SpaceStanding | None = None,
    outcome: bool = True,
) -> WheelsPunch:
    """Run one punch in space.

    Parameters
    ----------
    vehicle : Vehicle
        With y of links and shocks, track widths, motor and damping.
    grade_deg : float
        Positive: nose up the slope.
    heading_deg : float
        Nose turned left of the line of steepest ascent.
    mismatch : float, optional
        How much faster the front wheels turn than the rear ones, percent, in place of the drive's `front_overdrive`.
    shafts : bool
        False leaves the couples of the lengthwise shafts out.
    throttle, rise_s, start_s, duration_s, creep_speed_mm_per_s, sample_s, program, hold_s, grip_program, start, release_s
        As in `noseload.studies.punch.punch.punch`.
    tolerance : str
        'default' or 'tight'.
    standing : SpaceStanding, optional
        Of this vehicle with these shafts, where it is already solved.
    outcome : bool
        Run on, up to 5 s, until the outcome is decided.

    Returns
    -------
    WheelsPunch

    Raises
    ------
    MissingDataError, ModelError
        The file lacks a y or a track, or an option makes no sense; all are named.
    SolverError
        No standing pose, or the integration failed.
    """
    numbers = grade_deg, throttle, rise_s, start_s, duration_s, creep_speed_mm_per_s, sample_s
    options = PunchOptions(*numbers, name_of(program), hold_s, start, tolerance, release_s)
    check_options(options, program)
    _check_place(heading_deg, mismatch)
    climb = SpaceClimb(vehicle, heading_deg=heading_deg, mismatch=mismatch, shafts=shafts, standing=standing)
    grip = grip_program if grip_program is not None else Program.constant(1.0, "grip program")
    begin = space_start(
        climb,
        grade=radians(options.grade_deg),
        creep_speed=1e-3 * options.creep_speed_mm_per_s,
        grip_factor=float(grip.at(0.0)),
        start=start,
    )
    empty = WheelsPunch(
        vehicle.setup,
        vehicle.drive.driven_axles,
        options,
        float(heading_deg),
        None if mismatch is None else float(mismatch),
        shafts,
        begin.status,
        begin.message,
        begin.throttle,
        start_document(begin) | {"snap_grade_deg": None if begin.snap is None else degrees(begin.snap)},
        standing=climb.standing,
    )
    if not begin.success or begin.state is None:
        return empty
    motion = motion_of(climb, begin, options, program, grip)
    run, settings = integrate_as_promised(motion, begin.state, options.duration_s, tolerance)
    if run.status is Status.OUT_OF_STEPS:
        kept = _finish(empty, climb, motion, run, settings, False)
        return replace(kept, status="out_of_steps", message=too_stiff(run, options, settings))
    return _finish(empty, climb, motion, run.raise_for_status(), settings, outcome)


def _check_place(heading_deg: float, mismatch: float | None) -> None:
    faults = []
    if not isfinite(heading_deg) or abs(heading_deg) > LARGEST_HEADING:
        faults.append(f"heading_deg = {heading_deg}: must lie between -180 and 180 deg")
    if mismatch is not None and not abs(mismatch) <= LARGEST_MISMATCH:
        faults.append(f"mismatch = {mismatch:g} %: must lie between -{LARGEST_MISMATCH:g} and {LARGEST_MISMATCH:g} %")
    if faults:
        raise ModelError("punch in space: " + "; ".join(faults))


def motion_of(climb: SpaceClimb, begin: Any, options: PunchOptions, program: Any, grip: Program) -> SpaceMotion:
    """The motion of a punch from its start."""
    throttle = throttle_over_time(options, program, begin.throttle)
    return SpaceMotion(
        begin.numbers,
        begin.grade,
        heading=radians(climb.heading_deg),
        throttle=throttle,
        grip_factor=grip,
        brake_torque=brake_over_time(options, throttle, begin.brake_torque, begin.numbers.drag_brake),
        blocks=climb.equilibrium.blocks,
    )


def _sampled(motion: SpaceMotion, run: Trajectory, times: np.ndarray) -> tuple[np.ndarray, float, float]:
    """States at the samples, moved onto the constraints, with the drift before the last correction."""
    states = run.at(times)
    for _ in range(PROJECTIONS):
        states, position, speed = project_states(motion.numbers, states)
        if position <= LITTLE_DRIFT[0] and speed <= LITTLE_DRIFT[1]:
            break
    return states, position, speed


def _finish(
    empty: WheelsPunch,
    climb: SpaceClimb,
    motion: SpaceMotion,
    run: Trajectory,
    settings: TransientOptions,
    wanted: bool,
) -> WheelsPunch:
    decided, later = decide(motion, run, settings, wanted=wanted)
    look = Look.at(motion, run)
    summary = summarise_wheels(motion, run, look, decided)
    # The decisive moment is looked at with the samples: many columns cost little more than one.
    times = np.append(sample_times(empty.options, run), summary["decisive_time_s"])
    states, position_drift, speed_drift = _sampled(motion, run, times)
    seen = motion.observe(states, controls_over_time(motion, times))
    reference = climb.standing.reference
    moments = Moments(motion, states, seen)
    budgets = motion_load_budget(moments, reference), motion_twist_budget(moments)
    lowest = _last(times, seen, *budgets)
    budget, twist_budget = ({key: part[:-1] for key, part in parts.items()} for parts in budgets)
    times, states, seen = times[:-1], states[:, :-1], {key: part[..., :-1] for key, part in seen.items()}
    traces = _traces(climb, motion, times, states, seen)
    nodes = run.states.T
    book = motion.energy_residual(nodes, {key: part[..., look.nodes] for key, part in look.seen.items()})
    drifts = position_drift, speed_drift
    stats = run_stats(motion, run, later, settings.tolerance, drifts, (*book, nodes[ENERGY_ROWS]))
    return replace(
        empty,
        status="ok",
        message="",
        start=empty.start | first_values(traces, seen, _FIRST, WHEELS),
        time_s=times,
        traces=traces,
        budget=budget,
        twist_budget=twist_budget,
        events=_events(run, look),
        summary=summary,
        stats=stats,
        lowest=lowest,
        states=states,
    )


def _last(times: np.ndarray, seen: dict[str, np.ndarray], budget: dict, twist_budget: dict) -> dict[str, Any]:
    """Wheel loads and the front axle's budgets at the last of some moments."""
    loads = seen["load"][:, -1]
    return {
        "time_s": float(times[-1]),
        "loads_n": {wheel: float(load) for wheel, load in zip(WHEELS, loads, strict=True)},
        "front_load_n": float(loads[2] + loads[3]),
        "twist_n": 0.5 * float(loads[2] - loads[3]),
        "budget": {key: float(part[-1]) for key, part in budget.items()},
        "twist_budget": {key: float(part[-1]) for key, part in twist_budget.items()},
    }


def _events(run: Trajectory, look: Look) -> tuple[PunchEvent, ...]:
    """Events stand on nodes."""
    at = look.nodes[np.searchsorted(run.times, [event.time for event in run.events])]
    return events_of(run, look.seen["load"][2:, at].sum(axis=0))


def _traces(
    climb: SpaceClimb, motion: SpaceMotion, times: np.ndarray, states: np.ndarray, seen: dict[str, np.ndarray]
) -> dict[str, np.ndarray]:
    """Traces under the keys of the JSON document."""
    loads = seen["load"]
    traces = {f"{wheel}_load_n": load for wheel, load in zip(WHEELS, loads, strict=True)}
    traces |= {"front_load_n": loads[2] + loads[3], "rear_load_n": loads[0] + loads[1]}
    traces |= {
        "nose_up_pitch_deg": -np.degrees(states[PITCH]),
        "chassis_roll_deg": np.degrees(states[ROLL]),
        "heading_deg": np.degrees(states[HEADING]) + climb.heading_deg,
        "off_line_mm": 1e3 * (states[1] - states[1, 0]),
    }
    names = [name for rods in motion.numbers.space.rods for name in rods]
    for name, tension in zip(names, seen["tensions"], strict=True):
        traces[f"{name}_n" if "link" in name else f"{name}_link_n"] = tension
    lengths = climb.standing.side_view.measured_lengths
    for k, wheel in enumerate(WHEELS):
        traces[f"{wheel}_shock_travel_mm"] = 1e3 * (seen["shock_length"][k] - lengths[k // len(SIDES)])
    for k, wheel in enumerate(WHEELS):
        traces[f"{wheel}_traction_n"] = seen["traction"][k]
        traces[f"{wheel}_side_force_n"] = seen["side_force"][k]
        traces[f"{wheel}_slip_mm_per_s"] = 1e3 * seen["slip"][k]
    for k, end in enumerate(ENDS):
        traces[f"{end}_wheel_speed_rad_per_s"] = states[SPINS[k]]
        traces[f"{end}_wheel_torque_n_mm"] = 1e3 * seen["wheel_torque"][k]
        share = motion.numbers.axles[k]["shaft_share"]
        traces[f"{end}_shaft_torque_n_mm"] = 1e3 * share * seen["wheel_torque"][k]
    ahead, aside, _ = states[BODY_VELOCITIES[0]]
    traces["speed_mm_per_s"] = 1e3 * (ahead * np.cos(states[HEADING]) + aside * np.sin(states[HEADING]))
    traces["travel_mm"] = 1e3 * (states[0] - states[0, 0])
    traces["throttle"] = motion.throttle.at(times)
    return traces
