"""How geared axles divide the traction: a law of slip with mismatched speeds, and what the answer is over its plausible range.

::

    Fx_i = mu_i N_i tanh(C_i (s + d_i) / (mu_i N_i)),   C_i = c N0 (N_i / N0)^n,   sum Fx_i = F,   d_front - d_rear = mismatch

Statics leaves the division open. s is the slip that both axles have in common, C_i the slope of traction by slip of an
axle (`slip_stiffness` c of the file; without it that of the slip law, mu / (v0 / v + kappa) at the creep speed v; N0 half
of the vehicle's weight). The mismatch is what the gears say, times the ratio of the rolling radii ``r0 - chi (r0 - R)``:
chi 0 rolls on the free radius r0, 1 on the loaded one R. Without mismatch and with n = 1 both slip alike, and traction
goes as mu N: the zero-speed law.

By default n is 1. With 0.7 (`slip_stiffness_exponent`, tyres that stiffen less than their load) the less loaded front
pulls more: the demo's front load is 0 g more at 20 deg, 6 at 45 and 5 at 55, what a raised mount changes -7 g for -9 and -18
for -21. That is a quarter of the range over plausible mismatches, which is told beside every such number.
"""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass, replace
from itertools import pairwise
from math import degrees, inf, nan, radians
from typing import TYPE_CHECKING, Any

from noseload.model.crawl.equilibrium import AXLE_POSES, POSE, TENSIONS, CreepEquilibrium
from noseload.model.crawl.geometry import wheel_heights
from noseload.model.crawl.kinks import ShockKinks
from noseload.model.crawl.rolling import wheel_moment
from noseload.model.crawl.steady import SteadyMotion
from noseload.model.parameters import CREEP_SPEED, ENDS, axle_of, free_radius
from noseload.model.vehicle import Vehicle
from noseload.solvers.curve_points import joined, orientation_of
from noseload.solvers.errors import SolverError
from noseload.solvers.landing import BESIDE, place_on
from noseload.solvers.newton import solve

if TYPE_CHECKING:
    from collections.abc import Sequence

    import numpy as np

    from noseload.model.generated.vehicle_numbers import VehicleNumbers
    from noseload.solvers.newton import Solution
    from noseload.studies.climb.creep import Climb
    from noseload.studies.climb.followed import Kink
    from noseload.studies.climb.standing import Standing


PLAUSIBLE_PERCENT = (-3.0, 10.0)
"""How much faster than its gears say the front may roll, percent (common practice, no source): tyres of one name differ by
a few per cent, and overdrive gears that nobody counted give up to a tenth."""
ROLLING_SHARES = (0.0, 1.0)
AT_KINK = 1e-9
"""Measure of a kink below which a place is on it, m: rounding."""
SMALLEST_OVERDRIVE_STEP = 1e-4
"""Finest step in which the overdrive is continued."""


@dataclass(frozen=True)
class Split:
    """One law of division.

    Attributes
    ----------
    mismatch : float
        How much faster than the rear the front turns, as a share.
    rolling_shares : pair of float
        chi, rear and front.
    """

    mismatch: float
    rolling_shares: tuple[float, float]

    @property
    def numbers(self) -> dict[str, float]:
        """Kernel parameters that it sets, by name."""
        shares = {f"{end}_rolling_share": chi for end, chi in zip(ENDS, self.rolling_shares, strict=True)}
        return {"spin_ratio": 1.0 + self.mismatch} | shares

    def applied(self, values: VehicleNumbers) -> VehicleNumbers:
        """Kernel parameters of a vehicle under this law."""
        return values.with_values(self.numbers)

    @property
    def words(self) -> str:
        """As in a table."""
        return f"front {100 * self.mismatch:+.3g} %, chi {self.rolling_shares[0]:g}"


def is_geared(vehicle: Vehicle) -> bool:
    """Whether both axles hang on one shaft."""
    return vehicle.drive.driven_axles == "both"


def rolling_shares(vehicle: Vehicle) -> tuple[float, float]:
    """chi of both axles: as measured, else that of the law of motion."""
    given = [axle_of(vehicle, end).tyre.rolling_radius_share for end in ENDS]
    rear, front = (own if chi is None else chi for own, chi in zip(motion_shares(vehicle), given, strict=True))
    return rear, front


def motion_shares(vehicle: Vehicle) -> tuple[float, float]:
    """chi of both axles in the law of motion: 1, the loaded radius, on tyres without give."""
    rear, front = (axle_of(vehicle, end).tyre for end in ENDS)
    return 1.0 - rear.contact_give * rear.vertical_stiffness, 1.0 - front.contact_give * front.vertical_stiffness


def own_split(vehicle: Vehicle) -> Split | None:
    """The law that the file asks for: overdrive gears, or what was measured of slip; None for equal slip."""
    tyres = [axle_of(vehicle, end).tyre for end in ENDS]
    own = any(tyre.slip_stiffness is not None or tyre.slip_softness != 0.0 for tyre in tyres)
    if not is_geared(vehicle) or (vehicle.drive.front_overdrive == 1.0 and not own):
        return None
    return Split(vehicle.drive.front_overdrive - 1.0, rolling_shares(vehicle))


def plausible_splits(vehicle: Vehicle) -> tuple[Split, ...]:
    """Corners of what is plausible: mismatches around the gears' own, chi from 0 to 1 where it is not measured."""
    if not is_geared(vehicle) or vehicle.level == "A":
        return ()
    gears = vehicle.drive.front_overdrive
    measured = any(axle_of(vehicle, end).tyre.rolling_radius_share is not None for end in ENDS)
    shares = [rolling_shares(vehicle)] if measured else [(chi, chi) for chi in ROLLING_SHARES]
    return tuple(Split(gears * (1.0 + 0.01 * p) - 1.0, pair) for p in PLAUSIBLE_PERCENT for pair in shares)


def with_overdrive(vehicle: Vehicle, front_overdrive: float) -> Vehicle:
    """The vehicle with other gears between its axles."""
    return replace(vehicle, drive=replace(vehicle.drive, front_overdrive=front_overdrive))


def hidden_overdrive(vehicle: Vehicle) -> float:
    """How much larger than the rear the front tyres are unpressed, as a share: their loaded radii may hide it."""
    return float(free_radius(vehicle, "front") / free_radius(vehicle, "rear") - 1.0)


def split_equilibrium(standing: Standing, split: Split) -> SteadyMotion:
    """The crawl at the creep speed under a law of division."""
    creep = standing.equilibrium
    divided = CreepEquilibrium(split.applied(creep.values), creep.weight, creep.wheelbase).take_branch_of(creep)
    return SteadyMotion(divided, travel_speed=CREEP_SPEED)


def overdriven_level(standing: Standing, equilibrium: Any) -> Solution:
    """Level crawl of geared axles that turn at different speeds, continued from equal speeds.

    Parameters
    ----------
    standing : Standing
    equilibrium : SteadyMotion
        At the vehicle's own overdrive.

    Returns
    -------
    Solution

    Raises
    ------
    SolverError
        Names the overdrive up to which the crawl could be followed.
    """
    target = float(equilibrium.creep.values.spin_ratio)
    reached, step = 1.0, target - 1.0
    state, _ = equilibrium.guess(standing.state, 0.0)
    solution = solve(equilibrium, state, 0.0)
    if solution.success:
        return solution
    state = solve(equilibrium.with_overdrive(1.0), state, 0.0).raise_for_status().state
    while reached != target:
        ratio = target if abs(target - reached) <= abs(step) else reached + step
        attempt = solve(equilibrium.with_overdrive(ratio), state, 0.0)
        if attempt.success:
            solution, reached, state = attempt, ratio, attempt.state
        elif abs(step) > SMALLEST_OVERDRIVE_STEP:
            step *= 0.5
        else:
            raise SolverError(
                attempt.status,
                f"no crawl on the level: with front_overdrive past {reached:.4g} (the file has {target:g}) the axles work "
                "against each other so hard that no attitude is in balance; check drive.front_overdrive",
                attempt,
            )
    return solution


@dataclass(frozen=True, eq=False)
class Divided:
    """The crawl at one grade under one law of division.

    Attributes
    ----------
    equilibrium : CreepEquilibrium or SteadyMotion
    state : ndarray or None
        Its unknowns; None where this law has no attitude there.
    outcomes : dict of str to float
        `CREEP_NUMBERS`; empty without a state.
    """

    equilibrium: Any
    state: np.ndarray | None
    outcomes: dict[str, float]


NEAR_ITERATIONS = 12
"""From the vehicle's own pose three or four do; what takes more goes to and fro across a kink and is followed from the level."""
DIVIDED_OUTCOMES = ("front_load_n", "nose_up_pitch_deg")
"""What the division of the traction moves of the outcomes that rank. The grip that geared axles need is tan(grade) under every
law, and an axle that lifts carries nothing and pulls nothing: tip-overs are the same."""
CREEP_NUMBERS = (
    "rear_load_n",
    "front_load_n",
    "rear_traction_n",
    "front_traction_n",
    "rear_shock_travel_mm",
    "front_shock_travel_mm",
    *(f"{name}_n" for name in TENSIONS),
    "nose_up_pitch_deg",
    "wheel_torque_n_mm",
)
"""Numbers of a crawl that it moves."""


def divided_crawls(climb: Climb, grade_deg: float, splits: tuple[Split, ...] | None = None) -> list[Divided]:
    """The crawl at a grade (deg) under the vehicle's own law and each of several; empty where its own has none.

    Solved from the vehicle's own pose. Where that fails, and where that pose lies behind a snap that under another law may
    yet be to come (`_comes_the_same_way`), the law's own path is followed from the level.
    """
    row = climb.row(grade_deg)
    if climb.rigid or row.front_load_n is None or row.state is None:
        return []
    grade, end = radians(grade_deg), "front" if grade_deg >= 0.0 else "rear"
    snapped = any(abs(snap.before.parameter) <= abs(grade) for snap in climb.followed(end).snaps)
    found = [_divided(climb, climb.equilibrium, row.state, grade)]
    for split in plausible_splits(climb.vehicle) if splits is None else splits:
        equilibrium = split_equilibrium(climb.standing, split)
        start = row.state if climb.overdriven else equilibrium.guess(row.state, grade)[0]
        solved = solve(equilibrium, start, grade, max_iterations=NEAR_ITERATIONS)
        near = solved.success and not snapped
        if snapped and climb.under_law(split) is not None:
            near = _comes_the_same_way(climb, row.state, equilibrium, solved)
        state = solved.state if near else _followed_state(climb, split, grade_deg)
        found.append(_divided(climb, equilibrium, state, grade))
    return found


def _comes_the_same_way(climb: Climb, own: np.ndarray, equilibrium: SteadyMotion, solved: Solution) -> bool:
    """Whether the path of a law from the level comes to a crawl past the same kinks as the vehicle's own to its state there.

    Every kink on the own path is looked for under the law, no steeper than the grade: on either side of it the curve must be
    as stable as the own one is there, and in the crawl every shock on the same side of its kinks.
    """
    grade, kinks = solved.parameter, ShockKinks(climb.standing.equilibrium)
    sides, own_sides = ([gap > 0.0 for gap in kinks.values(state)] for state in (solved.state, own))
    snaps = climb.followed("rear" if grade < 0.0 else "front").snaps
    # Where a fold is smooth, no kink tells how early it comes.
    smooth = any(min(map(abs, kinks.values(snap.before.state))) > AT_KINK for snap in snaps)
    if not solved.success or sides != own_sides or smooth:
        return False
    scales = equilibrium.scales
    stable = orientation_of(climb.equilibrium.evaluate(own, grade)[1]), orientation_of(solved.jacobian)
    for a, b in pairwise((climb.downhill if grade < 0.0 else climb.uphill).points):
        if a.arclength < b.arclength or abs(a.parameter) > abs(grade):
            continue
        at = [k for k, gap in enumerate(kinks.values(a.state)) if abs(gap) < AT_KINK]
        start = a.state if climb.overdriven else equilibrium.guess(a.state, a.parameter)[0]
        place = place_on(kinks, at[0], equilibrium, joined(start, a.parameter))[0] if len(at) == 1 else None
        if place is None or abs(place[-1]) > abs(grade):
            return False
        slope = kinks.measure(place[:-1], at[0])[1] * scales
        beyond = BESIDE / float(slope @ slope) ** 0.5 * slope * scales
        rises = float(slope[: len(POSE)] @ a.tangent[: len(POSE)]) > 0.0
        for point, way in ((a, -1.0), (b, 1.0)):
            beside = place[:-1] + (way if rises else -way) * beyond
            if (
                orientation_of(equilibrium.evaluate(beside, float(place[-1]))[1]) * stable[1]
                != point.orientation * stable[0]
            ):
                return False
    return True


def _followed_state(climb: Climb, split: Split, grade_deg: float) -> np.ndarray | None:
    """Unknowns on the law's own path from the level; None where it does not lead there."""
    law, found = climb.under_law(split), None
    if law is not None:
        # A path that breaks off under one law takes no answer from the others.
        with suppress(SolverError):
            found = law.state_at(grade_deg)
    return found


def _divided(climb: Climb, equilibrium: Any, state: np.ndarray | None, grade: float) -> Divided:
    if state is None:
        return Divided(equilibrium, None, {})
    outputs = equilibrium.outputs(state, grade)[0]
    values = equilibrium.creep.values if isinstance(equilibrium, SteadyMotion) else equilibrium.values
    travel = [1e3 * (outputs[4 + k] - climb.standing.measured_lengths[k]) for k in range(2)]
    torque = 1e3 * wheel_torque(values, state, outputs)
    tensions = state[len(POSE) : len(POSE) + len(TENSIONS)]
    numbers = (*outputs[:4], *travel, *tensions, -degrees(state[1]), torque)
    return Divided(equilibrium, state, dict(zip(CREEP_NUMBERS, map(float, numbers), strict=True)))


def wheel_torque(values: VehicleNumbers, state: np.ndarray, outputs: np.ndarray) -> float:
    """Torque at the driven spin of a crawl, N m: ``T = T_rear + front_overdrive T_front``."""
    ratio, heights = values.spin_ratio if values.geared else 1.0, wheel_heights(values, state[AXLE_POSES])
    rear, front = (
        values.axle(end).driven * wheel_moment(values.axle(end), outputs[k], outputs[2 + k], heights[k])
        for k, end in enumerate(ENDS)
    )
    return float(rear + ratio * front)


def split_loads(climb: Climb, grade_deg: float, splits: tuple[Split, ...] | None = None) -> list[float]:
    """Front load at a grade (deg) under the vehicle's own law and each of several, N; not a number where one has no attitude."""
    return [crawl.outcomes.get("front_load_n", nan) for crawl in divided_crawls(climb, grade_deg, splits)]


def split_range(climb: Climb, grade_deg: float) -> tuple[float, float] | None:
    """Least and largest front load over the plausible laws, N; None where one axle alone is driven or there is no answer."""
    loads = [load for load in split_loads(climb, grade_deg) if load == load]
    return (min(loads), max(loads)) if len(loads) > 1 else None


def difference_range(first: Climb, second: Climb, grade_deg: float) -> tuple[float, float] | None:
    """Least and largest change of the front load from one climb to another, each law taken for both, N."""
    changes = changes_by_law(divided_crawls(first, grade_deg), divided_crawls(second, grade_deg), "front_load_n")
    known = [change for change in changes if change == change]
    return (min(known), max(known)) if len(known) > 1 else None


def changes_by_law(first: list[Divided], second: list[Divided], name: str) -> list[float]:
    """Change of one of `DIVIDED_OUTCOMES` under each law taken for both; not a number where one has no attitude, empty without a crawl."""
    count = max(len(first), len(second))
    pairs = zip(_law_by_law(first, count), _law_by_law(second, count), strict=False)
    return [b.outcomes.get(name, nan) - a.outcomes.get(name, nan) for a, b in pairs]


def row_ranges(climb: Any, grade_deg: float) -> dict[str, tuple[float, float]]:
    """Least and largest of each of `CREEP_NUMBERS` at a grade (deg) over the vehicle's own law and the plausible ones; empty where there is but one."""
    found = [] if climb.rigid else [crawl.outcomes for crawl in divided_crawls(climb, grade_deg) if crawl.outcomes]
    if len(found) < 2:
        return {}
    return {
        name: (min(numbers[name] for numbers in found), max(numbers[name] for numbers in found))
        for name in CREEP_NUMBERS
    }


def limit_ranges(climb: Any) -> dict[str, tuple[float, float | None]]:
    """Least and largest grade (deg) over the laws of the limits that the motor sets, by key; None where a law does not meet one before it tips.

    A vehicle tips at the same grade under every law: what lifts carries and pulls nothing. All its grip is used up at the same
    grade too, and a law whose path ends there says nothing of the motor.
    """
    if climb.rigid or not climb.under_laws:
        return {}
    limits, found = [climb.uphill_limits], {}
    for law in climb.under_laws:
        with suppress(SolverError):
            limits.append(law.uphill_limits)
    for key in ("torque_grade_deg", "hold_grade_deg"):
        met = [getattr(each, key) for each in limits if getattr(each, key) is not None or each.first != "grip"]
        known = [inf if grade is None else grade for grade in met]
        if len(known) > 1 and min(known) < inf:
            found[key] = (min(known), max(known) if max(known) < inf else None)
    return found


def kink_ranges(climb: Any, kinks: Sequence[Kink]) -> list[tuple[float, float | None] | None]:
    """Least and largest grade (deg) of kinks over the laws; no largest where a law does not meet one, None where there are no laws."""
    if climb.rigid or not climb.under_laws:
        return [None] * len(kinks)
    found: list[tuple[float, float | None] | None] = []
    for kink in kinks:
        end = "rear" if kink.grade_deg < 0.0 else "front"
        met = []
        for law in climb.under_laws:
            with suppress(SolverError):
                met.append([k.grade_deg for k in law.kinks(end) if k.name == kink.name])
        grades = sorted([kink.grade_deg, *(grade for each in met for grade in each[:1])], key=abs)
        found.append((grades[0], grades[-1] if all(met) else None))
    return found


def _law_by_law(crawls: list[Divided], count: int) -> list[Divided]:
    """As many crawls as there are laws: one axle driven alone knows no others, a measured chi stands for both of its ends."""
    if len(crawls) < 2:
        return crawls * count
    own, *laws = crawls
    return [own, *(law for law in laws for _ in range((count - 1) // len(laws)))]
