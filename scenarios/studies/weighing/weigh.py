"""Centre of gravity from axle readings, level and lifted, and from the tip test."""

import os
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np

from noseload.csv_input import Readings, read_readings
from noseload.model.errors import ModelError
from noseload.model.units import MILLIMETRE, grams_of_force
from noseload.model.vehicle import ENDS, Vehicle
from noseload.solvers.errors import SolverError
from noseload.solvers.statistics.least_squares import Fit
from noseload.solvers.statistics.propagation import propagate
from noseload.studies.measuring.common_errors import gain, in_proportion
from noseload.studies.measuring.measurement import (
    FILE_GETS,
    Estimate,
    FittedReadings,
    Trace,
    answer_without,
    both_values,
    estimate_of,
    estimate_of_fit,
    line_value,
)
from noseload.studies.measuring.plausible import implausible, told_with_slips
from noseload.studies.measuring.vehicle_bounds import vehicle_bounds
from noseload.studies.result import Result

from .corners import corner_lines, corner_notes, side_estimates
from .fit import QUANTITIES, LiftFit, fit_weighing, front_share
from .layout import RECIPE, WEIGH_LAYOUT, check_rows
from .tip import Tipped, fit_tips, standing_height_estimate, tipped_pose_note
from .traps import weighing_warnings


@dataclass(frozen=True)
class Weighing(FittedReadings, Result):
    """Outcome of `weigh`.

    `height_from` is 'lift', 'tip' or 'none'; a height found by tipping carries `tip_used` and may not confirm
    the tip-over prediction afterwards. `squat` tells how the height by the rigid rule was brought back to the standing
    one: 'not needed', 'not corrected' or 'corrected'.
    """

    file: str
    estimates: tuple[Estimate, ...]
    lines: dict[str, float]
    traces: tuple[Trace, ...] = field(repr=False)
    notes: tuple[str, ...]
    warnings: tuple[str, ...]
    height_from: str
    tip_used: bool
    squat: str
    status: str = "weighed"
    what: str = "weighing"
    title: str = WEIGH_LAYOUT.title
    recipe: tuple[str, ...] = field(default=RECIPE, repr=False)

    def to_dict(self) -> dict:
        """Strict JSON document."""
        return {
            "file": self.file,
            "status": self.status,
            "height_from": self.height_from,
            "tip_used": self.tip_used,
            "squat": self.squat,
            "estimates": [estimate.to_dict() for estimate in self.estimates],
            "lines": dict(self.lines),
            "notes": list(self.notes),
            "warnings": list(self.warnings),
            "residuals": [trace.to_dict() for trace in self.traces],
        }


def weigh(path: str | os.PathLike, *, vehicle: Vehicle | None = None, height_from: str = "auto") -> Weighing:
    """Centre of gravity from a file of weighings.

    Parameters
    ----------
    path : str or Path
    vehicle : noseload.model.vehicle.Vehicle, optional
        With it, a height found by tipping is solved back through the squat to the standing height.
    height_from : str
        'lift', 'tip', or 'auto': lifted readings where there are any.

    Returns
    -------
    Weighing

    Raises
    ------
    ReadingsFileError
        For a file that cannot be used, or readings that `height_from` asks for and that are not there.
    SolverError
        If the readings do not determine the centre of gravity.
    """
    return weigh_readings(read_readings(path, WEIGH_LAYOUT), vehicle=vehicle, height_from=height_from)


def weigh_readings(readings: Readings, *, vehicle: Vehicle | None = None, height_from: str = "auto") -> Weighing:
    """Like `weigh`, from readings already read."""
    check_rows(readings)
    bounds = {} if vehicle is None else vehicle_bounds(vehicle)
    try:
        found = _weigh(readings, vehicle, height_from)
    except (ModelError, SolverError) as refused:
        raise told_with_slips(readings, refused, bounds) from refused

    def again(rest: Readings) -> tuple[str, tuple[str, ...]]:
        check_rows(rest)
        other = _weigh(rest, vehicle, height_from)
        return both_values(*(_centre(each) for each in (other, found))) + FILE_GETS, other.warnings

    slips = implausible(readings, found.lines, bounds)
    return replace(found, warnings=(*slips, *found.warnings, *answer_without(found.warnings, readings, again)))


def _centre(found: Weighing) -> list[Estimate]:
    """What a weighing is done for: where the centre of gravity is."""
    wanted = ("centre_of_gravity_from_rear_mm", "centre_of_gravity_height_mm")
    return [estimate for estimate in found.estimates if estimate.key in wanted]


def _weigh(readings: Readings, vehicle: Vehicle | None, height_from: str) -> Weighing:
    kind = readings["kind"]
    lifted = (kind == "front_lifted") | (kind == "rear_lifted")
    tips = (kind == "tip_front_up") | (kind == "tip_rear_up")
    source = _height_source(readings, height_from, lifted, tips)
    lift = fit_weighing(readings)
    from_lift = _height_of_lift(lift.fit) if np.any(lifted) else None
    tipped = fit_tips(readings, lift.fit) if np.any(tips) else None
    height, squat = from_lift if source == "lift" else None, "not needed"
    if source == "tip" and tipped is not None:
        height, squat = standing_height_estimate(tipped, vehicle, lift.fit)
    estimates = _on_the_level(readings, lift.fit)
    if tipped is not None:
        estimates.append(tipped.estimate)
    if height is not None:
        estimates.append(height)
    if from_lift is not None and source != "lift":
        estimates.append(
            replace(from_lift, key="lifted_height_mm", meaning="height from lifted readings, for comparison")
        )
    traces = [] if from_lift is None else [_lift_trace(readings, lift)]
    return Weighing(
        readings.file,
        tuple(estimates),
        _lines(readings, estimates, height),
        tuple(traces if tipped is None else [*traces, tipped.trace]),
        (*_height_notes(vehicle, lift.fit, source, tipped, height, squat), *corner_notes(readings)),
        tuple(weighing_warnings(readings, lift, tipped, source)),
        source,
        source == "tip",
        squat,
    )


def _on_the_level(readings: Readings, fit: Fit) -> list[Estimate]:
    """Mass, place of the centre of gravity along the vehicle, loads of axles and corners."""
    share = gain(readings.settings)
    mass = estimate_of_fit(fit, "weight", "total_mass_g", "whole vehicle", grams_of_force(1.0))
    words = "rear wheel centre to centre of gravity"
    place = estimate_of_fit(
        fit, "position", "centre_of_gravity_from_rear_mm", words, 1 / MILLIMETRE, origin="calculated"
    )
    return [in_proportion(mass, share), place, *_axle_loads(fit, share), *side_estimates(readings)]


def _height_of_lift(fit: Fit) -> Estimate:
    words = "above the floor, as it stands"
    return estimate_of_fit(fit, "height", "centre_of_gravity_height_mm", words, 1 / MILLIMETRE, origin="calculated")


def _height_notes(
    vehicle: Vehicle | None, fit: Fit, source: str, tipped: Tipped | None, height: Any, squat: str
) -> list[str]:
    """Where the height comes from, and what it may not be used for."""
    notes = []
    if source == "tip" and tipped is not None:
        notes.append(
            "the height comes from the tip test: it may not be used to confirm the tip-over prediction, which would only "
            "give the same angle back; confirm with lifted readings, or with another setup"
        )
        if squat == "not corrected":
            notes.append(
                "level distance over tan(tip angle) is the height only if the suspension was blocked; of a sprung vehicle "
                "it is no height of any pose and centimetres too high: give --vehicle with springs and links to solve the "
                "standing height"
            )
        if vehicle is not None:
            notes.append(tipped_pose_note(vehicle, tipped, fit, height))
    elif tipped is not None:
        notes.append("the tip angles were not used: they remain free to check the tip-over prediction")
    if height is None:
        notes.append("no lifted and no tip readings: the height of the centre of gravity is not determined")
    return notes


def _axle_loads(fit: Fit, share: float) -> list[Estimate]:
    places = [fit.index(name) for name in ("weight", "position", "wheelbase")]
    values, covariance = fit.values[places], fit.covariance[np.ix_(places, places)]
    blocks = [(covariance, fit.interval_freedom)]
    front = propagate(lambda p: p[0] * p[1] / p[2], values, blocks)
    rear = propagate(lambda p: p[0] * (1.0 - p[1] / p[2]), values, blocks)
    to_grams = grams_of_force(1.0)
    return [
        in_proportion(estimate_of(rear, "rear_g", "rear axle on level ground", to_grams), share),
        in_proportion(estimate_of(front, "front_g", "front axle on level ground", to_grams), share),
    ]


def _lift_trace(readings: Readings, lift: LiftFit) -> Trace:
    """Lifted readings as front share over the tangent of the lift: close to a straight line."""
    raised = lift.angles[lift.row_of] != 0.0
    weight = lift.fit.value("weight")
    at_front, rows = lift.at_front[raised], lift.row_of[raised]
    loads, residuals = lift.loads[raised] / weight, lift.residuals[raised] / weight
    observed = np.where(at_front, loads, 1.0 - loads)
    known = {name: lift.fit.value(name) for name in QUANTITIES}
    angles = lift.angles[rows]
    curve = np.linspace(min(0.0, np.min(angles)), max(0.0, np.max(angles)), 80)
    return Trace(
        "Lifted axle",
        "tangent of the lift, nose up positive",
        "front share of the weight, %",
        np.tan(angles),
        100 * observed,
        100 * (observed - np.where(at_front, residuals, -residuals)),
        100 * lift.errors[raised] / weight,
        readings.rows[rows],
        np.tan(curve),
        100 * front_share(known, curve),
        tuple(readings["direction"][rows]),
    )


def _lines(readings: Readings, estimates: list[Estimate], height: Estimate | None) -> dict[str, float]:
    by_key = {estimate.key: estimate for estimate in estimates}
    lines = {
        "wheelbase_mm": readings.settings["wheelbase_mm"],
        "weighed.rear_g": line_value(by_key["rear_g"]),
        "weighed.front_g": line_value(by_key["front_g"]),
    }
    if height is not None:
        lines["weighed.centre_of_gravity_height_mm"] = line_value(height)
    return lines | corner_lines(readings, {axle: lines[f"weighed.{axle}_g"] for axle in ENDS})


def _height_source(readings: Readings, asked: str, lifted: np.ndarray, tips: np.ndarray) -> str:
    if asked == "lift" and not np.any(lifted):
        raise readings.fault(
            "the height is asked from lifted readings, but no row has kind front_lifted or rear_lifted"
        )
    if asked == "tip" and not np.any(tips):
        raise readings.fault("the height is asked from the tip test, but no row has kind tip_front_up or tip_rear_up")
    if asked != "auto":
        return asked
    return "lift" if np.any(lifted) else "tip" if np.any(tips) else "none"
