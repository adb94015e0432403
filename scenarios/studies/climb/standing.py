"""How a vehicle stands on level ground: solved pose, free shock lengths, link lengths."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from typing import TYPE_CHECKING, Any

import numpy as np

from noseload.model.crawl.equilibrium import (
    POSE,
    CreepEquilibrium,
    N,
    StandingEquilibrium,
    resting_pose,
    vehicle_scales,
)
from noseload.model.crawl.load_budget import centre_of_gravity
from noseload.model.crawl.standing_faults import standing_fault
from noseload.model.parameters import (
    AT_REST,
    ENDS,
    axle_of,
    check_links,
    is_same,
    kernel_parameters,
    measured_shock_length,
)
from noseload.model.vehicle import Vehicle
from noseload.solvers.errors import SolverError
from noseload.solvers.newton import Solution, solve

if TYPE_CHECKING:
    from noseload.model.generated.vehicle_numbers import VehicleNumbers
    from noseload.model.vehicle import Body


LEVEL = 0.0


@dataclass(frozen=True, eq=False)
class Standing:
    """A vehicle in its solved standing pose.

    Attributes
    ----------
    vehicle : Vehicle
    equilibrium : CreepEquilibrium
        Of the crawl, with the solved free lengths, on the right assembly branch.
    solution : Solution
        At rest at grade 0: no wheel rolls.
    free_lengths, measured_lengths : tuple of float
        Shock lengths (rear, front), m.
    reference : tuple of float
        (distance, height, wheelbase) of the centre of gravity, m: see `centre_of_gravity`.
    nfev : int
    base : Standing or None
        Of the vehicle that this setup changes.
    """

    vehicle: Vehicle
    equilibrium: CreepEquilibrium
    solution: Solution
    free_lengths: tuple
    measured_lengths: tuple
    reference: tuple
    nfev: int
    base: Standing | None = None

    @cached_property
    def resting(self) -> CreepEquilibrium:
        """The vehicle whose wheels do not roll."""
        return at_rest(self.equilibrium)

    @cached_property
    def level(self) -> Solution:
        """Creep at grade 0."""
        values = self.values
        if is_same(values.rear.rolling_resistance, 0.0) and is_same(values.front.rolling_resistance, 0.0):
            return self.solution
        return solve(self.equilibrium, self.state, LEVEL).raise_for_status()

    @property
    def values(self) -> VehicleNumbers:
        """Kernel parameters by name, free lengths included."""
        return self.equilibrium.values

    @property
    def weight(self) -> float:
        """N."""
        return self.equilibrium.weight

    @property
    def state(self) -> np.ndarray:
        """Unknowns of creep at rest at grade 0, shape (13,)."""
        return self.solution.state


def at_rest(equilibrium: CreepEquilibrium) -> CreepEquilibrium:
    """The same vehicle with wheels that do not roll."""
    resting = CreepEquilibrium(equilibrium.values.with_values(AT_REST), equilibrium.weight, equilibrium.wheelbase)
    return resting.take_branch_of(equilibrium)


def coordinates_of(states: Any) -> np.ndarray:
    """All nine coordinates from creep unknowns (13, ...): chassis x is 0."""
    states = np.asarray(states)
    return np.concatenate([np.zeros((1, *states.shape[1:])), states[: len(POSE)]])


def stand(vehicle: Vehicle) -> Standing:
    """Solve the standing pose on level ground.

    A vehicle as measured stands with its shocks at their measured lengths, which sets their free
    lengths; a setup stands on the springs of its base, or with the ride height reset to its base's.

    Returns
    -------
    Standing

    Raises
    ------
    MissingDataError
        No links in the file (level A).
    SolverError
        No standing pose; says what of the vehicle is in the way, and carries the solver's own error as its cause.
    """
    base = stand(vehicle.base) if vehicle.base is not None else None
    try:
        return _stand(vehicle, base)
    except SolverError as error:
        given = given_free_lengths(vehicle, None if base is None else base.free_lengths)
        raise SolverError(
            error.status, f"{vehicle.name} does not stand: {standing_fault(vehicle, given)}", error.result
        ) from error


def _stand(vehicle: Vehicle, base: Any) -> Standing:
    check_links(vehicle)
    measured = tuple(measured_shock_length(vehicle, end) for end in ENDS)
    given = given_free_lengths(vehicle, None if base is None else base.free_lengths)
    values = kernel_parameters(vehicle, given)
    equilibrium = CreepEquilibrium(values, *vehicle_scales(vehicle))
    start = resting_pose(vehicle, values)
    equilibrium.use_branch_of(start)
    nfev, free = 0, given
    reset = base is not None and vehicle.ride_height == "reset"
    if reset or None in given:
        standing = StandingEquilibrium(
            equilibrium,
            shock_lengths=measured,
            free_lengths=given,
            chassis_pose=base_chassis_pose(vehicle, base.state[:2]) if reset else None,
        )
        lengths = [m if g is None else g for m, g in zip(measured, given, strict=True)]
        solved = solve(standing, np.append(start, lengths), LEVEL).raise_for_status()
        start, nfev = solved.state[:N], solved.nfev
        free = tuple(solved.state[N:].tolist())
        equilibrium = _with_free_lengths(equilibrium, free)
    solution = solve(at_rest(equilibrium), start, LEVEL).raise_for_status()
    reference = tuple(float(v) for v in centre_of_gravity(equilibrium.values, coordinates_of(solution.state)))
    return Standing(vehicle, equilibrium, solution, free, measured, reference, nfev + solution.nfev, base)


def given_free_lengths(vehicle: Vehicle, base_free_lengths: Any) -> tuple:
    """Free lengths (rear, front) that need not be solved, m, else None.

    A setup that does not itself give a free length keeps the collars of its base, unless its ride
    height is reset.
    """
    given = tuple(axle_of(vehicle, end).shock.free_length for end in ENDS)
    if vehicle.base is None or vehicle.ride_height == "reset":
        return given
    lengths = []
    for own, known, end in zip(given, base_free_lengths, ENDS, strict=True):
        shock = axle_of(vehicle, end).shock
        kept = own is None or is_same(own, axle_of(vehicle.base, end).shock.free_length)
        lengths.append((known if kept else own) + shock.collar_shift)
    return tuple(lengths)


def on_the_same_springs(vehicle: Any, body: Body) -> Vehicle:
    """The vehicle with another body (a weight laid on), as it stands: on its own collars, where a setup turned them too.

    Its base is then the vehicle itself, so that a setup whose ride height was reset keeps the springs that this took.
    """
    axles = {
        end: replace(axle, shock=replace(axle.shock, collar_shift=0.0))
        for end, axle in (("rear", vehicle.rear), ("front", vehicle.front))
    }
    return replace(vehicle, body=body, base=vehicle, ride_height="springs_decide", **axles)


def _with_free_lengths(equilibrium: CreepEquilibrium, free: tuple) -> CreepEquilibrium:
    values = equilibrium.values.with_values({f"{end}_free_length": f for end, f in zip(ENDS, free, strict=True)})
    again = CreepEquilibrium(values, equilibrium.weight, equilibrium.wheelbase)
    again.take_branch_of(equilibrium)
    return again


def base_chassis_pose(vehicle: Any, pose: np.ndarray) -> np.ndarray:
    """Chassis z and theta that put the chassis of a setup where its base stands, given the base's.

    The centre of gravity may have moved in the chassis; the chassis itself stands as before, or higher and
    lower over its axles by `ride_height_shift`.
    """
    z, theta = pose
    base = vehicle.base
    x = base.body.centre_of_gravity[0]
    rear, front = vehicle.ride_height_shift
    z, theta = z + rear + (front - rear) * x / base.wheelbase, theta + (rear - front) / base.wheelbase
    dx, dz = (a - b for a, b in zip(vehicle.body.centre_of_gravity, base.body.centre_of_gravity, strict=True))
    return np.array(np.broadcast_arrays(z - dx * np.sin(theta) + dz * np.cos(theta), theta))
