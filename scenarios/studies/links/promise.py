"""Does anti-squat keep its promise? Shock travel and pitch against the figure, for a row of upper-link positions.

Each position is a vehicle built so: links made to fit, springs holding it as measured. It crawls on a grade and,
on the level, the throttle is pushed on gently. Travel and pitch count from where the same normal load alone,
without any drive, would put the vehicle: a slope also unloads the springs by 1 - cos g, which no link can change.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from itertools import pairwise
from math import cos, degrees, isfinite, radians
from typing import TYPE_CHECKING, Any

import numpy as np

from noseload.model.crawl.equilibrium import CreepEquilibrium, N
from noseload.model.crawl.geometry import solved_pose
from noseload.model.crawl.load_budget import centre_of_gravity
from noseload.model.errors import ModelError
from noseload.model.links.link_geometry import anti_as_driven, side_view
from noseload.model.parameters import AT_REST, ENDS
from noseload.model.vehicle import Vehicle
from noseload.solvers.newton import solve
from noseload.solvers.roots import bracketed_root
from noseload.studies.climb.creep import Climb
from noseload.studies.climb.standing import coordinates_of
from noseload.studies.punch.punch import punch
from noseload.studies.result import Result

from .candidates import as_built, point_of
from .links import links

if TYPE_CHECKING:
    from noseload.studies.climb.standing import Standing


KEY = "rear.upper_link.chassis_end_mm"
LOWEST, HIGHEST = 0.35, 1.7
"""Row of positions: separation of the chassis ends of the two links, as shares of the separation now."""
PUSH, RISE, WINDOW = 0.3, 1.0, (0.55, 1.0)
"""The gentle push: throttle added, time in which it rises (s), and when its effect is averaged (s)."""
THROTTLE_FULL = 1.0


@dataclass(frozen=True)
class PromiseRow:
    """One position of the upper link's chassis end; None where the vehicle has no such pose.

    Attributes
    ----------
    height_mm : float
        Of the chassis end in the file.
    anti_squat_textbook_percent, anti_squat_as_driven_percent : float or None
        In the pose on the grade.
    rear_shock_travel_mm : float or None
        On the grade, extension positive, from standing.
    rear_travel_by_drive_mm, front_travel_by_drive_mm, pitch_by_drive_deg : float or None
        What drive and grade add to the unloading of the springs.
    level_as_driven_percent, level_rear_travel_mm, level_pitch_deg, level_acceleration_m_per_s2 : float or None
        Gentle push on the level: figure with the tractions and wheel inertia of the run, mean changes.
    status : str
    """

    height_mm: float
    status: str
    anti_squat_textbook_percent: float | None = None
    anti_squat_as_driven_percent: float | None = None
    rear_shock_travel_mm: float | None = None
    rear_travel_by_drive_mm: float | None = None
    front_travel_by_drive_mm: float | None = None
    nose_up_pitch_deg: float | None = None
    pitch_by_drive_deg: float | None = None
    level_as_driven_percent: float | None = None
    level_rear_travel_mm: float | None = None
    level_pitch_deg: float | None = None
    level_acceleration_m_per_s2: float | None = None

    def to_dict(self) -> dict[str, Any]:
        """Keys of the JSON document."""
        return dict(self.__dict__)


@dataclass(frozen=True)
class Promise(Result):
    """A row of positions, and where travel and pitch pass through zero.

    Attributes
    ----------
    setup : str
    driven_axles : str
    grade_deg : float
    present_height_mm : float
    rows : tuple of PromiseRow
    travel_zero, figure_full, pitch_zero : PromiseRow or None
        On the grade: rear travel by drive zero, as-driven figure 100 %, pitch by drive zero.
    level_travel_zero : PromiseRow or None
        On the level, interpolated between the rows.
    sentences : tuple of str
    """

    picture = "links.promise.plot_travel"
    setup: str
    driven_axles: str
    grade_deg: float
    present_height_mm: float
    rows: tuple
    travel_zero: PromiseRow | None
    figure_full: PromiseRow | None
    pitch_zero: PromiseRow | None
    level_travel_zero: PromiseRow | None
    sentences: tuple = field(default=())

    def to_dict(self) -> dict[str, Any]:
        """Keys of the JSON document."""
        zeros: dict[str, Any] = {
            name: None if row is None else row.to_dict()
            for name, row in (
                ("travel_zero", self.travel_zero),
                ("figure_full", self.figure_full),
                ("pitch_zero", self.pitch_zero),
                ("level_travel_zero", self.level_travel_zero),
            )
        }
        return {
            "setup": self.setup,
            "driven_axles": self.driven_axles,
            "grade_deg": self.grade_deg,
            "moved": KEY,
            "present_height_mm": self.present_height_mm,
            "rows": [row.to_dict() for row in self.rows],
            **zeros,
            "sentences": list(self.sentences),
            "status": "ok",
        }

    def column(self, name: str) -> np.ndarray:
        """Array over the rows; NaN where a row has no number."""
        return np.array([np.nan if getattr(row, name) is None else getattr(row, name) for row in self.rows])


def promise(vehicle: Vehicle, *, grade_deg: float = 30.0, positions: int = 13, level: bool = True) -> Promise:
    """Drive a row of upper-link positions gently and compare what happens with the figures.

    Parameters
    ----------
    vehicle : Vehicle
        With links and shocks; motor and damping take their defaults where the file has none.
    grade_deg : float
        Grade of the crawl, deg, above 0.
    positions : int
        At least 3.
    level : bool
        Also push the throttle on the level.

    Returns
    -------
    Promise
    """
    if not grade_deg > 0.0:
        raise ModelError(f"grade {grade_deg:g} deg: this study needs an uphill grade, such as 30")
    if positions < 3:
        raise ModelError(f"{positions} positions: a row needs 3 or more, such as 13")
    built = as_built(vehicle)
    x, present = point_of(built, KEY)
    lower = point_of(built, "rear.lower_link.chassis_end_mm")[1]
    gap = present - lower
    heights = sorted(lower + gap * (LOWEST + (HIGHEST - LOWEST) * k / (positions - 1)) for k in range(positions))

    def at(height: float, pushed: bool = level) -> PromiseRow:
        return _row(as_built(built, {KEY: [x, height]}), height, grade_deg, pushed)

    rows = tuple(at(height) for height in heights)
    zeros: dict[str, Any] = {
        "travel_zero": _zero(rows, at, "rear_travel_by_drive_mm", 0.0),
        "figure_full": _zero(rows, at, "anti_squat_as_driven_percent", 100.0),
        "pitch_zero": _zero(rows, at, "pitch_by_drive_deg", 0.0),
    }
    result = Promise(
        vehicle.setup,
        vehicle.drive.driven_axles,
        float(grade_deg),
        present,
        rows,
        **zeros,
        level_travel_zero=_between(rows, "level_rear_travel_mm") if level else None,
    )
    return Promise(**{**result.__dict__, "sentences": tuple(_sentences(result, level))})


def _row(vehicle: Vehicle, height: float, grade_deg: float, pushed: bool) -> PromiseRow:
    climb = Climb(vehicle)
    study = links(vehicle, grade_deg=grade_deg, travel_rows=0, climb=climb)
    if not study.axles:
        return PromiseRow(height, study.status)
    rear, row = study.axles["rear"], study.row
    eased = _eased(climb.standing, radians(grade_deg))
    level = _pushed(climb.standing) if pushed else {}
    return PromiseRow(
        height,
        study.status,
        None if rear.textbook is None else 100.0 * rear.textbook,
        None if rear.as_driven is None else 100.0 * rear.as_driven,
        row.rear_shock_travel_mm,
        row.rear_shock_travel_mm - eased[0],
        row.front_shock_travel_mm - eased[1],
        row.nose_up_pitch_deg,
        row.nose_up_pitch_deg - eased[2],
        **level,
    )


def _eased(standing: Standing, grade: float) -> tuple:
    """Shock travels (mm) and nose-up pitch (deg) of the vehicle on the level with cos g of its weight."""
    values = standing.values.with_values(AT_REST | {"gravity": standing.values.gravity * cos(grade)})
    equilibrium = CreepEquilibrium(values, standing.weight, standing.vehicle.wheelbase)
    equilibrium.use_branch_of(standing.state[:N])
    solved = solve(equilibrium, standing.state[:N], 0.0).raise_for_status()
    lengths = equilibrium.outputs(solved.state, 0.0)[0][4:]
    travels = [
        1e3 * float(length - measured) for length, measured in zip(lengths, standing.measured_lengths, strict=True)
    ]
    return *travels, -degrees(solved.state[1])


def _pushed(standing: Standing) -> dict:
    """Level: mean change of travel and pitch while the throttle rises slowly, and the figure of that motion."""
    vehicle = standing.vehicle
    held = punch(vehicle, grade_deg=0.0, program="hold", duration_s=0.01, outcome=False, standing=standing)
    if not held.success or held.throttle_start is None:
        return {}
    throttle = min(THROTTLE_FULL, held.throttle_start + PUSH)
    run = punch(
        vehicle,
        grade_deg=0.0,
        throttle=throttle,
        rise_s=RISE,
        start_s=0.0,
        duration_s=RISE,
        sample_s=0.005,
        outcome=False,
        standing=standing,
    )
    window = slice(*(round(t / 0.005) for t in WINDOW))
    mean = {key: float((trace[window] - trace[0]).mean()) for key, trace in run.traces.items()}
    speed, time = run.traces["speed_mm_per_s"][window], run.time_s[window]
    acceleration = 1e-3 * float((speed[-1] - speed[0]) / (time[-1] - time[0]))
    traction = mean["rear_traction_n"] + mean["front_traction_n"]
    figure = _level_figure(standing, mean["rear_traction_n"] / traction, acceleration) if traction else None
    return {
        "level_as_driven_percent": None if figure is None else 100.0 * figure,
        "level_rear_travel_mm": mean["rear_shock_travel_mm"],
        "level_pitch_deg": mean["nose_up_pitch_deg"],
        "level_acceleration_m_per_s2": acceleration,
    }


def _level_figure(standing: Standing, share: float, acceleration: float) -> float | None:
    values, vehicle = standing.values, standing.vehicle
    coordinates = coordinates_of(standing.state)
    _, height, wheelbase = (float(v) for v in centre_of_gravity(values, coordinates))
    return anti_as_driven(
        side_view(solved_pose(values, coordinates), "rear"),
        height=height,
        wheelbase=wheelbase,
        mass=vehicle.mass,
        axle_mass=vehicle.rear.mass,
        share=share,
        wheel_inertia=vehicle.rear.wheel_pair_inertia,
        total_wheel_inertia=sum(getattr(vehicle, end).wheel_pair_inertia for end in ENDS),
        lengthwise=acceleration,
        acceleration=acceleration,
    )


def _zero(rows: tuple[PromiseRow, ...], at: Callable, name: str, target: float) -> PromiseRow | None:
    """Row where a column passes the target, solved; None where it never does."""

    def off(row: PromiseRow) -> float:
        value = getattr(row, name)
        return float("nan") if value is None else value - target

    for a, b in pairwise(rows):
        fa, fb = off(a), off(b)
        if isfinite(fa) and isfinite(fb) and fa * fb <= 0.0:
            height = bracketed_root(lambda h: off(at(h, False)), a.height_mm, b.height_mm, fa, fb, tolerance=1e-7)
            return at(height)
    return None


def _between(rows: tuple[PromiseRow, ...], name: str) -> PromiseRow | None:
    """Row interpolated where a column passes zero; every other number likewise."""
    for a, b in pairwise(rows):
        fa, fb = getattr(a, name), getattr(b, name)
        if None in (fa, fb) or fa * fb > 0.0 or fa == fb:
            continue
        share = fa / (fa - fb)
        values: dict[str, Any] = {}
        for key, first in a.__dict__.items():
            second = getattr(b, key)
            numbers = isinstance(first, float) and isinstance(second, float)
            values[key] = first + share * (second - first) if numbers else a.status if key == "status" else None
        return PromiseRow(**values)
    return None


def _sentences(result: Promise, level: bool) -> Iterator:
    zero, pitch = result.travel_zero, result.pitch_zero
    grade = f"Crawling at {result.grade_deg:g} deg, {result.driven_axles} driven"
    if zero is None:
        figures = [
            row.anti_squat_as_driven_percent for row in result.rows if row.anti_squat_as_driven_percent is not None
        ]
        reach = f"; the as-driven figure runs from {min(figures):.0f} to {max(figures):.0f} % there" if figures else ""
        yield f"{grade}, the drive moves the rear shock to the same side in every position of the row{reach}."
    else:
        yield (
            f"{grade}, the drive leaves the rear shock alone with the chassis end {zero.height_mm:.1f} mm high: the "
            f"as-driven figure says {zero.anti_squat_as_driven_percent:.1f} % there, the textbook "
            f"{zero.anti_squat_textbook_percent:.1f} %."
        )
        yield (
            f"The chassis still pitches there, {zero.pitch_by_drive_deg:+.2f} deg nose up, because the front rises by "
            f"{zero.front_travel_by_drive_mm:+.1f} mm at its shock."
        )
    if pitch is not None:
        yield (
            f"Pitch passes zero at {pitch.height_mm:.1f} mm, where the as-driven figure says "
            f"{pitch.anti_squat_as_driven_percent:.0f} %: the rear is lifted as much as the front rises."
        )
    else:
        yield "Pitch does not pass zero in this row."
    soft = result.level_travel_zero
    if level and soft is not None:
        yield (
            f"With the throttle pushed on gently on the level ({soft.level_acceleration_m_per_s2:.2f} m/s2), rear travel "
            f"passes zero at {soft.height_mm:.1f} mm, where the figure of that motion says "
            f"{soft.level_as_driven_percent:.1f} %; pitch there {soft.level_pitch_deg:+.2f} deg."
        )
    elif level:
        yield "On the level a gentle push of the throttle moves the rear shock to the same side in every position."
