"""The record of a vehicle's numbers: typed, frozen, nothing missing in silence; what is lent to a solver object stays as it was."""

from dataclasses import FrozenInstanceError

import numpy as np
import pytest

from noseload.demo import demo_vehicle
from noseload.model.batch.equilibrium import BatchCreep, BatchStanding, VehicleBatch
from noseload.model.batch.kernels import BatchKernel, kernel_rows
from noseload.model.crawl.equilibrium import CreepEquilibrium, StandingEquilibrium, resting_pose, vehicle_scales
from noseload.model.crawl.held_wheels import HeldWheels
from noseload.model.errors import MissingDataError
from noseload.model.generated.parameter_order import MOBILITY, PARAMETERS, STATIC_PARAMETERS
from noseload.model.generated.vehicle_numbers import AxleNumbers, VehicleNumbers
from noseload.model.motion.mobility import add_inertia
from noseload.model.parameters import kernel_parameters

ROUNDING = 1e-12
"""Relative to the largest number of a kernel: both texts are printed from one tape."""


@pytest.fixture(scope="module")
def numbers():
    return kernel_parameters(demo_vehicle())


def test_order_is_that_of_the_names(numbers):
    by_name = numbers.by_name()
    assert tuple(by_name) == STATIC_PARAMETERS and tuple(by_name.values()) == numbers.in_order()
    assert by_name["rear_grip"] is numbers.rear.grip and by_name["front_alone"] is numbers.front_alone
    assert VehicleNumbers.from_names(by_name).in_order() == numbers.in_order()


def test_a_missing_number_is_named(numbers):
    """It used to become not-a-number, and every solve failed with 'not a finite number'."""
    by_name = numbers.by_name()
    del by_name["front_grip"], by_name["gravity"]
    with pytest.raises(MissingDataError, match="gravity, front_grip"):
        VehicleNumbers.from_names(by_name)
    with pytest.raises(TypeError, match="spring_rate"):
        AxleNumbers(mass=1.0)
    with pytest.raises(KeyError, match="front_gripp"):
        numbers.with_values({"front_gripp": 1.0})
    with pytest.raises(MissingDataError, match="moments of inertia"):
        numbers.in_motion_order()


def test_records_are_frozen_and_copies_are_new(numbers):
    with pytest.raises(FrozenInstanceError):
        numbers.rear.grip = 3.0
    changed = numbers.with_values({"rear_grip": 3.0, "gravity": 1.6})
    names = [
        name
        for name, new, old in zip(STATIC_PARAMETERS, changed.in_order(), numbers.in_order(), strict=True)
        if new != old
    ]
    assert names == ["gravity", "rear_grip"]


def test_numbers_of_motion_follow_those_at_rest(numbers):
    moving = add_inertia(numbers, demo_vehicle())
    assert PARAMETERS == STATIC_PARAMETERS + MOBILITY
    assert moving.in_motion_order()[: len(STATIC_PARAMETERS)] == numbers.in_order()
    assert len(moving.in_motion_order()) == len(PARAMETERS) and np.isfinite(moving.in_motion_order()).all()


def test_solver_objects_leave_what_they_were_lent(numbers):
    """Standing, the bench and the batch used to write their trial values into the object that they were given."""
    vehicle = demo_vehicle()
    creep = CreepEquilibrium(numbers, *vehicle_scales(vehicle))
    pose = resting_pose(vehicle, numbers)
    creep.use_branch_of(pose)
    before, first = creep.parameters, creep.evaluate(pose, 0.1)[0]
    standing = StandingEquilibrium(creep, shock_lengths=(0.1, 0.1))
    standing.evaluate(np.append(pose, [0.12, 0.13]), 0.0)
    bench = HeldWheels(creep, pose)
    inner = bench.creep.parameters
    bench.evaluate(np.append(pose, 1.0), 0.3)
    bench.outputs(np.append(pose, 1.0), 0.3)
    assert creep.parameters is before and bench.creep.parameters is inner
    np.testing.assert_array_equal(creep.evaluate(pose, 0.1)[0], first)
    batch = BatchCreep(VehicleBatch.of(numbers, pose, [vehicle.wheelbase]))
    first = batch.evaluate(pose[:, None], np.array([0.1]))[0].copy()
    BatchStanding(batch, shock_lengths=np.full((2, 1), 0.1)).evaluate(
        np.append(pose, [0.12, 0.13])[:, None], np.zeros(1)
    )
    np.testing.assert_array_equal(batch.evaluate(pose[:, None], np.array([0.1]))[0], first)


@pytest.mark.parametrize("cases", [1, 2, 5, 12])
def test_few_cases_are_evaluated_one_by_one_to_the_same(numbers, cases):
    """The scalar kernels of few cases give what the array kernels give, and so do vehicles of numbers of their own."""
    vehicle = demo_vehicle()
    pose, random = resting_pose(vehicle, numbers), np.random.default_rng(cases)
    batch = VehicleBatch.of(numbers, np.repeat(pose[:, None], cases, axis=1), [vehicle.wheelbase] * cases)
    batch = batch.with_values({"front_spring_rate": batch["front_spring_rate"] * random.uniform(0.9, 1.1, cases)})
    states, grades = batch.starts + 1e-3 * random.normal(size=batch.starts.shape), random.uniform(0.0, 1.0, cases)
    rows = kernel_rows(batch.parameters)
    of_creep, moving = (
        (list(states), grades, rows),
        [*states[:12], random.uniform(1.0, 3.0, cases), np.full(cases, 0.1)],
    )
    given = dict.fromkeys(("creep", "creep_residual", "creep_outputs", "creep_values"), of_creep)
    given["steady"] = (moving, np.ones(cases), grades, rows)
    for name, arguments in given.items():
        kernel = BatchKernel(name, cases)
        few, many = kernel(*arguments).copy(), kernel.side_by_side(*arguments).copy()
        np.testing.assert_allclose(few, many, rtol=ROUNDING, atol=ROUNDING * np.abs(many).max())
        assert cases > 4 or kernel.scalar is not None


def test_what_is_no_number_is_none_one_by_one_either(numbers):
    """The scalar kernels refuse the sine of infinity."""
    vehicle = demo_vehicle()
    batch = VehicleBatch.of(numbers, resting_pose(vehicle, numbers), [vehicle.wheelbase])
    states = batch.starts.copy()
    states[1] = np.inf
    residual = BatchCreep(batch).evaluate(states, np.array([0.1]))[0]
    assert np.isnan(residual).any()
