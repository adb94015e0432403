"""Punches of random vehicles in one batch: errors of measurement, and what the model leaves out where a punch can carry it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

import numpy as np

from noseload.model.parameters import ENDS, axle_of, scaled_slip_law
from noseload.studies.climb.split import is_geared
from noseload.studies.climb.spread import stand_spread
from noseload.studies.levers.cases import ones_of
from noseload.studies.punch.many import punch_many

from .friction import shaft_friction, shock_friction, spline_levers
from .uncertainty import Ends

if TYPE_CHECKING:
    from noseload.model.vehicle import Tyre, Vehicle
    from noseload.studies.errors.error_group import ErrorGroup, Member
    from noseload.studies.errors.left_out_numbers import Doubted


PUNCH_DRAWS = 200
NUMBERS = ("front_load_min_n", "front_airborne_s", "front_first_hop_s", "peak_nose_up_pitch_deg")
COUNTS = ("front_hops",)


@dataclass(frozen=True)
class DrawnPunches:
    """Numbers of one member's punches by name, shape (cases,): not a number where a case does not run."""

    numbers: dict[str, np.ndarray]
    time_s: np.ndarray | None
    traces: dict[str, np.ndarray]
    """Of the cases that run: shape (samples, cases that run)."""
    ran: np.ndarray
    """Places of those cases."""


def run_drawn(
    members: list[Member],
    errors: np.ndarray,
    sizes: np.ndarray,
    options: dict[str, Any],
    *,
    many: Callable[..., Any] = punch_many,
    names: Sequence[str] = (*NUMBERS, *COUNTS),
) -> list[DrawnPunches]:
    """Run the punches of members for every column of errors and sizes, all in one batch.

    Parameters
    ----------
    members : sequence of Member
        Of a group made for punches.
    errors : ndarray, shape (measured sources, cases)
    sizes : ndarray, shape (left-out sources, cases)
        At no size (see `nothing_left_out`) the model as it is.
    options : dict
        Of `many`.
    many : callable
        `punch_many`, or `punch_wheels_many` for members of a group made for space.
    names : sequence of str
        Numbers of its result.
    """
    cases = errors.shape[1]
    standing, vehicles, grades = [], [], []
    for member in members:
        doubted, varied = member.doubted(sizes), member.shifted(errors)
        stands = np.flatnonzero(stand_spread(varied, cases, near=member.climb.standing).success)
        # A punch turns harder than the crawl before it, and not at all with its wheels off: this is in between.
        levers = spline_levers(member.climb, options["grade_deg"]) if "shaft_share" in doubted.sizes else (0.0, 0.0)
        changed = with_left_out(varied, doubted, levers)
        tilt = np.broadcast_to(np.asarray(doubted.tilt(varied), dtype=float), (cases,))
        standing.append(stands)
        vehicles += ones_of(changed, stands)
        grades.append(options["grade_deg"] + np.degrees(tilt[stands]))
    run = many(vehicles, **(options | {"grade_deg": np.concatenate(grades)}))
    ends, found = np.cumsum([stands.size for stands in standing]), []
    for stands, end in zip(standing, ends, strict=True):
        here = slice(end - stands.size, end)
        ran = run.success[here]
        numbers = {name: np.full(cases, np.nan) for name in names}
        for name, values in numbers.items():
            values[stands] = np.where(ran, run.array(name)[here], np.nan)
        traces = {name: trace[:, here][:, ran] for name, trace in run.traces.items()}
        found.append(DrawnPunches(numbers, run.time_s, traces, stands[ran]))
    return found


def with_left_out(vehicle: Vehicle, doubted: Doubted, levers: tuple[float, float] = (0.0, 0.0)) -> Vehicle:
    """The vehicle (of arrays) with what a punch can carry, down to its base: contact ahead of the wheels, rolling
    resistance, rates of springs and tyres, damping, friction, and axles that roll at different speeds, over how much slip grip
    builds up.

    Parameters
    ----------
    vehicle : Vehicle
    doubted : Doubted
    levers : (float, float)
        Of the splines of both shafts, as `spline_levers`.
    """
    sizes, axles = doubted.sizes, {}
    for end, lever in zip(ENDS, levers, strict=True):
        axle = axle_of(vehicle, end)
        tyre, shock = axle.tyre, axle.shock
        if "contact_share" in sizes:
            give = {
                "contact_offset_share": sizes["contact_share"],
                "lengthwise_stiffness": sizes["lengthwise_stiffness"],
            }
            tyre = replace(tyre, **give)
        if "rolling_resistance" in sizes:
            tyre = replace(tyre, rolling_resistance=sizes["rolling_resistance"])
        if "slip_scale" in sizes and tyre.slip_stiffness is None:
            tyre = replace(tyre, **_slip_law(tyre, sizes["slip_scale"]))
        if "slip_softness" in sizes:
            tyre = replace(tyre, slip_stiffness_exponent=tyre.slip_stiffness_exponent - sizes["slip_softness"])
        if "tyre_factor" in sizes:
            tyre = replace(tyre, vertical_stiffness=tyre.vertical_stiffness * sizes["tyre_factor"])
        if "spring_factor" in sizes:
            shock = replace(shock, spring_rate=shock.spring_rate * sizes["spring_factor"])
        if "damping_factor" in sizes:
            shock = replace(shock, damping=shock.damping * sizes["damping_factor"])
        if "shock_share" in sizes and shock.friction is None:
            shock = replace(shock, friction=sizes["shock_share"] * shock_friction(vehicle, end))
        if "shaft_share" in sizes:
            most = sizes.get("shaft_friction", shaft_friction(vehicle, end))
            rubbing = 0.0 if shock.friction is None else shock.friction
            shock = replace(shock, friction=rubbing + sizes["shaft_share"] * most * abs(lever))
        axles[end] = replace(axle, tyre=tyre, shock=shock)
    faster: Any = vehicle.drive.front_overdrive * (1.0 + np.asarray(doubted.get("speed_mismatch")))
    drive = replace(vehicle.drive, front_overdrive=faster) if is_geared(vehicle) else vehicle.drive
    base = None if vehicle.base is None else with_left_out(vehicle.base, doubted, levers)
    return replace(vehicle, drive=drive, base=base, **axles)


def _slip_law(tyre: Tyre, scale: Any) -> dict[str, Any]:
    """Slip speed and slip ratio scale where grip builds up over a share of the travelling speed, as of a measured slip
    stiffness; 0: the tyre's own."""
    drawn, (speed, ratio) = np.asarray(scale) > 0.0, scaled_slip_law(scale)
    return {
        "slip_speed": np.where(drawn, speed, tyre.slip_speed),
        "slip_ratio_scale": np.where(drawn, ratio, tyre.slip_ratio_scale),
    }


def nothing_left_out(group: ErrorGroup, cases: int) -> np.ndarray:
    """Sizes of what is left out at which the model is as it is, shape (left-out sources, cases)."""
    return np.repeat(group.entries_alone()[:, :1], cases, axis=1)


@dataclass(frozen=True)
class PunchOdds:
    """What a setup changes in a punch over random vehicles; numbers are the setup's less the first's.

    Attributes
    ----------
    draws, seed : int
    first_hop_s, front_load_min_n, front_airborne_s : (float, float) or None
        95 % ends.
    longer_first_hop, higher_load : float or None
        Shares of the draws in which the first hop is longer, the smallest load higher.
    same_hops : float or None
        Share of the draws with as many hops as the first setup.
    """

    draws: int
    seed: int
    first_hop_s: tuple[float, float] | None
    front_load_min_n: tuple[float, float] | None
    front_airborne_s: tuple[float, float] | None
    longer_first_hop: float | None
    higher_load: float | None
    same_hops: float | None

    def to_dict(self) -> dict[str, Any]:
        """Keys of the JSON document."""
        return dict(self.__dict__)


def odds_of(found: list[DrawnPunches], draws: int, seed: int) -> tuple[PunchOdds, ...]:
    """`PunchOdds` of every member after the first, from their `DrawnPunches`."""
    first, odds = found[0].numbers, []
    for one in found[1:]:
        change = {name: one.numbers[name] - first[name] for name in (*NUMBERS, *COUNTS)}
        odds.append(
            PunchOdds(
                draws,
                seed,
                Ends.of(change["front_first_hop_s"]).pair,
                Ends.of(change["front_load_min_n"]).pair,
                Ends.of(change["front_airborne_s"]).pair,
                _share(change["front_first_hop_s"] > 0.0, change["front_first_hop_s"]),
                _share(change["front_load_min_n"] > 0.0, change["front_load_min_n"]),
                _share(change["front_hops"] == 0.0, change["front_hops"]),
            )
        )
    return tuple(odds)


def _share(true: np.ndarray, values: np.ndarray) -> float | None:
    good = np.isfinite(values)
    return float(true[good].mean()) if good.any() else None
