"""Exact derivatives of kernel parameters and creep outcomes, against differences that take another route."""

import numpy as np
import pytest

from noseload.model.file.reader import change_vehicle, parse_vehicle
from noseload.model.parameters import ENDS, kernel_parameters, measured_shock_length
from noseload.model.sensitivity import kernel_slopes, vary_file, vary_parts
from noseload.model.variation import is_overridden, quantities_of, shift_file, shift_vehicle
from noseload.solvers.implicit import outcome_slopes, state_slopes
from noseload.studies.climb.creep import Climb
from noseload.studies.climb.slopes import OUTCOMES, CreepSlopes, chained, standing_slopes
from noseload.studies.climb.spread import crawl_spread, stand_spread, tip_over_spread
from reference_vehicle import reference_vehicle

CHAIN = 1e-8
"""Central difference with a step of 1e-4 of the value: rounding 1e-16 / 1e-4, curvature 1e-8."""
CENTRAL = 1e-6
"""What a central difference of a solved pose can confirm: solver tolerance 1e-11 over a step of 1e-4."""
SMALL = 1e-7
"""Absolute floor, per file unit: rounding of a grade in deg or a load in N over the step."""
GRADE = 40.0
WEIGHED = {"body": None, "weighed": {"rear_g": 1236.4, "front_g": 1513.6, "centre_of_gravity_height_mm": 78.0}}
CASES = ("base", "raised_rear_upper_mount", "raised_and_reset", "weighed", "free_lengths", "rear_tyre")


def build(case):
    """A vehicle that takes one of the roads through the reader."""
    base = reference_vehicle()
    if case in base.setups:
        return reference_vehicle(setup=case)
    document = {k: v for k, v in base.document.items() if k != "setups"}
    if case == "weighed":
        document = {k: v for k, v in document.items() if k != "body"} | {"weighed": WEIGHED["weighed"]}
    if case == "free_lengths":
        document["rear"] = document["rear"] | {"shock": document["rear"]["shock"] | {"free_length_mm": 112.0}}
    if case == "rear_tyre":
        document["rear"] = document["rear"] | {"tyre": {"vertical_stiffness_n_per_mm": 4.0, "grip_coefficient": 2.0}}
    return parse_vehicle(document)


def nudged(vehicle, quantity, by):
    """The file with one number changed, read again."""
    document = vehicle.document if vehicle.base is None else vehicle.base.document
    value = document
    for part in quantity.key.split("."):
        value = value.get(part, {}) if isinstance(value, dict) else value
    if quantity.axis:
        value = list(value)
        value[0 if quantity.axis == "x" else -1] += by
    else:
        value = quantity.value + by
    return change_vehicle(vehicle, {quantity.key: value})


def wanted(vehicle):
    """Quantities with a slope: gears at exactly one speed jump, and a brake of 0 cannot be less."""
    return [
        q
        for q in quantities_of(vehicle)
        if q.key != "drive.front_overdrive" and q.value != 0.0 and not (q.key.endswith("slip_ratio_scale"))
    ]


@pytest.mark.parametrize("case", CASES)
def test_chain_from_file_to_kernel(case):
    """Every number of the file, changed in the file and read again."""
    vehicle = build(case)
    quantities = wanted(vehicle)
    slopes = kernel_slopes(vary_file(vehicle, quantities), len(quantities))
    for k, quantity in enumerate(quantities):
        if is_overridden(vehicle, quantity.key):
            continue
        step = 1e-4 * abs(quantity.value)
        high, low = (kernel_parameters(nudged(vehicle, quantity, s * step), (0.1, 0.1)).in_order() for s in (1, -1))
        expected = (np.array(high) - np.array(low)) / (2 * step) / quantity.factor
        scale = max(1.0, np.abs(expected).max())
        assert slopes[:, k] == pytest.approx(expected, abs=1e2 * CHAIN * scale), quantity.name


@pytest.mark.parametrize("parts", ["fitted", "kept"])
@pytest.mark.parametrize("case", CASES)
def test_creep_outcomes_by_differences(case, parts):
    """Tip-over, load and pitch against central differences of whole solves, all numbers in one batch."""
    vehicle = build(case)
    quantities = wanted(vehicle)
    count = len(quantities)
    climb = Climb(vehicle)
    creep = CreepSlopes(climb, GRADE)
    if parts == "fitted":
        standing, varied = climb.standing, vary_file(vehicle, quantities)
    else:
        from dataclasses import replace

        standing, varied = replace(climb.standing, base=climb.standing), vary_parts(vehicle, quantities)
    exact = chained(creep.by_parameter(), standing_slopes(standing, varied, count).parameters)

    steps = np.array([1e-4 * abs(q.value) * q.factor for q in quantities])
    both = np.concatenate([np.diag(steps), -np.diag(steps)], axis=1)
    shifts = {q.id: row for q, row in zip(quantities, both, strict=True)}
    if parts == "fitted":
        solved = stand_spread(shift_file(vehicle, shifts), 2 * count, near=standing)
    else:
        from noseload.model.sensitivity import as_setup

        solved = stand_spread(as_setup(vehicle, shift_vehicle(vehicle, shifts)), 2 * count, near=standing)
    tip = creep.tips["front"]
    tips = np.degrees(tip_over_spread(solved, near=np.append(tip.state, tip.parameter)))
    crawl = crawl_spread(solved, np.radians(GRADE), near=creep.row.state)
    pitches = np.degrees(crawl.nose_up_pitches)
    found = {"tip_over_grade_deg": tips, "front_load_n": crawl.front_loads, "nose_up_pitch_deg": pitches}
    factors = np.array([q.factor for q in quantities])
    for name, values in found.items():
        difference = (values[:count] - values[count:]) / (2 * steps) * factors
        assert getattr(exact, name) * factors == pytest.approx(difference, rel=CENTRAL, abs=SMALL), name


def test_measured_lengths_of_varied_vehicles():
    """The shock's measured length answers to the points of the file alone."""
    vehicle = build("base")
    quantities = wanted(vehicle)
    varied = vary_file(vehicle, quantities)
    names = {q.name: k for k, q in enumerate(quantities)}
    for end in ENDS:
        slopes = np.imag(measured_shock_length(varied, end))
        assert slopes[names["body.mass_g"]] == 0.0
        assert slopes[names[f"{end}.shock.chassis_end_mm[z]"]] > 0.0 > slopes[names[f"{end}.shock.axle_end_mm[z]"]]


@pytest.mark.slow
@pytest.mark.parametrize("case", ["base", "raised_rear_upper_mount"])
def test_every_number_through_the_file(case):
    """The long way round: file changed, read, stood, climbed, differences of the ends."""
    vehicle = build(case)
    quantities = [q for q in wanted(vehicle) if not is_overridden(vehicle, q.key)]
    climb = Climb(vehicle)
    slopes = standing_slopes(climb.standing, vary_file(vehicle, quantities), len(quantities))
    exact = chained(CreepSlopes(climb, GRADE).by_parameter(), slopes.parameters)
    for k, quantity in enumerate(quantities):
        step = 1e-4 * abs(quantity.value)
        ends = [CreepSlopes(Climb(nudged(vehicle, quantity, s * step)), GRADE).values() for s in (1, -1)]
        for name in OUTCOMES:
            difference = (getattr(ends[0], name) - getattr(ends[1], name)) / (2 * step)
            assert getattr(exact, name)[k] * quantity.factor == pytest.approx(difference, rel=CENTRAL, abs=SMALL), (
                quantity.name
            )


def test_overdriven_vehicle():
    """With overdriven axles creep is steady motion; its derivatives come from the steady kernel."""
    vehicle = change_vehicle(reference_vehicle(), {"drive.front_overdrive": 1.06})
    quantities = [
        q
        for q in quantities_of(vehicle)
        if q.name in ("drive.front_overdrive", "body.mass_g", "rear.upper_link.axle_end_mm[z]", "tyre.grip_coefficient")
    ]
    climb = Climb(vehicle)
    slopes = standing_slopes(climb.standing, vary_file(vehicle, quantities), len(quantities))
    exact = chained(CreepSlopes(climb, GRADE).by_parameter(), slopes.parameters)
    assert exact.grip_needed is None
    for k, quantity in enumerate(quantities):
        step = 1e-4 * quantity.value
        ends = [CreepSlopes(Climb(nudged(vehicle, quantity, s * step)), GRADE).values() for s in (1, -1)]
        for name in ("front_load_n", "nose_up_pitch_deg"):
            difference = (getattr(ends[0], name) - getattr(ends[1], name)) / (2 * step)
            assert getattr(exact, name)[k] * quantity.factor == pytest.approx(difference, rel=CENTRAL, abs=SMALL), (
                quantity.name
            )


def test_implicit_function_theorem_by_hand():
    """y1^2 + p = 5, y1 y2 = p at p = 1: y = (2, 1/2), y' = (-1/4, 9/16) by hand."""
    jacobian, by_parameter = np.array([[4.0, 0.0], [0.5, 2.0]]), np.array([[1.0], [-1.0]])
    assert state_slopes(jacobian, by_parameter)[:, 0] == pytest.approx([-0.25, 0.5625], rel=1e-14)
    assert outcome_slopes(jacobian, by_parameter, np.array([1.0, 2.0]), 3.0) == pytest.approx([3.875], rel=1e-14)
