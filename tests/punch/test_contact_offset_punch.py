"""Rolling resistance and the contact that traction moves forward, in motion: starts, budget, powers, batches."""

from pathlib import Path

import numpy as np
import pytest

from noseload.model.crawl.load_budget import load_budget
from noseload.model.file.reader import load_vehicle
from noseload.model.motion.programs import Program
from noseload.model.motion.rows import ENERGIES, ENERGY_ROWS, SIZE
from noseload.model.motion.vehicle_motion import VehicleMotion
from noseload.solvers.motion.transient import TransientOptions, integrate
from noseload.studies.climb.standing import stand
from noseload.studies.climb.steady_start import steady_start
from noseload.studies.punch.many import punch_many
from noseload.studies.punch.punch import punch
from rolling_vehicles import with_contact

CHECK = Path(__file__).parents[1] / "data" / "check.toml"
DRIVES = ("both", "rear", "front")
STEADY = 1e-7
"""Acceleration left at a steady start, m/s2 and rad/s2: solved to 1e-11 of the forces on wheels of a few grams m2."""
ENERGY, TIGHT = 1e-4, 1e-7
"""Share of the turnover at default and at tight tolerance."""


def car(drive="both", **contact):
    return with_contact(load_vehicle(CHECK, drive=drive), **contact)


@pytest.mark.parametrize(("drive", "grade"), [("both", 30.0), ("rear", 20.0), ("front", 15.0), ("rear", -20.0)])
def test_starts_are_steady_and_free_wheels_roll_with_their_own_slip(drive, grade):
    standing = stand(car(drive))
    begin = steady_start(standing, grade=np.radians(grade), creep_speed=0.1)
    assert begin.success and begin.residual < STEADY
    motion = VehicleMotion(begin.values, standing.weight, 0.3, begin.grade, throttle=Program.constant(begin.throttle))
    seen = motion.observe(begin.state[:, None], np.array([[begin.throttle], [1.0], [0.0]]))
    for k, tyre in enumerate((standing.vehicle.rear.tyre, standing.vehicle.front.tyre)):
        height, speed = begin.state[4 + 3 * k], begin.state[18 + k]
        load, pull = seen["load"][k, 0], seen["traction"][k, 0]
        ahead = tyre.rolling_resistance * height * np.tanh(speed * height / tyre.slip_speed) + tyre.contact_give * pull
        assert seen["contact_couple"][k, 0] == pytest.approx(ahead * load, rel=1e-9)
        if drive == ("front", "rear")[k]:
            assert pull * height == pytest.approx(-ahead * load, rel=1e-6) and pull < 0.0


@pytest.mark.parametrize("drive", DRIVES)
def test_budget_and_energy_book_of_a_punch(drive):
    found = punch(car(drive), grade_deg=15.0, duration_s=0.6, outcome=False)
    weight = found.standing.weight
    assert sum(found.budget.values()) == pytest.approx(found.front_load_n, abs=1e-9 * weight)
    assert found.budget["contact_offset_n"][0] < -0.05
    assert found.stats["energy_residual"] < ENERGY
    assert found.stats["energy_j"]["rolling"] > 0.0 and found.stats["energy_j"]["slip"] > 0.0
    tight = punch(car(drive), grade_deg=15.0, duration_s=0.3, outcome=False, tolerance="tight")
    assert tight.stats["energy_residual"] < TIGHT


def test_power_of_a_punch_without_the_vehicle_s_equations():
    """Work of the motor less slip, rolling and dampers is the change of energy; rolling is f N R omega, summed by hand."""
    found = punch(car("rear", share=0.0), grade_deg=10.0, duration_s=0.5, outcome=False, tolerance="tight")
    states, power = found.states, 0.0
    vehicle = found.standing.vehicle
    loads = (found.traces["rear_load_n"], found.front_load_n)
    for k, tyre in enumerate((vehicle.rear.tyre, vehicle.front.tyre)):
        height, speed = states[4 + 3 * k], states[14 + 3 * k] + states[18 + k]
        sense = np.tanh(speed * height / tyre.slip_speed)
        power = power + tyre.rolling_resistance * loads[k] * height * sense * speed
    row = ENERGY_ROWS.start + ENERGIES.index("rolling")
    assert np.trapezoid(power, found.time_s) == pytest.approx(states[row, -1] - states[row, 0], rel=2e-4)


def test_give_alone_neither_feeds_nor_takes_energy():
    """On the overrun too, where the load acts behind its wheels: what its couple gives, the slip on the longer arm takes."""
    residuals = []
    for share in (0.0, 1.0):
        vehicle = car(resistance=(0.0, 0.0), share=share, stiffness=(2000.0, 2000.0))
        found = punch(vehicle, grade_deg=0.0, throttle=-0.5, duration_s=0.4, outcome=False, tolerance="tight")
        residuals.append(found.stats["energy_residual"] * found.stats["energy_scale_j"])
        assert np.diff(found.states[ENERGY_ROWS.start + ENERGIES.index("slip")]).min() > -1e-12
        assert found.stats["energy_j"]["rolling"] == 0.0
    # What is left is the integrator's own, J: the book of a motion that brakes without give closes no better.
    assert residuals[0] < 3e-7 and residuals[1] < 1.5 * residuals[0]


def test_a_coasting_vehicle_slows_by_f_g():
    """x'' = -f G for a vehicle that rolls free on the level, its wheels' inertia small (definition of the coefficient)."""
    vehicle = car("rear", resistance=(0.03, 0.03), share=0.0)
    standing = stand(vehicle)
    begin = steady_start(standing, grade=0.0, creep_speed=0.5)
    values = begin.values.with_values({"rear_motor": 0.0, "front_motor": 0.0})
    motion = VehicleMotion(values, standing.weight, 0.3, 0.0, throttle=Program.constant(0.0))
    run = integrate(motion, begin.state, 0.0, 0.2, options=TransientOptions())
    slowed = (run.states[-1][9] - run.states[0][9]) / 0.2
    inertia = sum(getattr(vehicle, e).wheel_pair_inertia for e in ("rear", "front")) / 0.055**2
    rotor = vehicle.drive.rotor_inertia / 0.055**2
    assert slowed == pytest.approx(-0.03 * 9.80665 * vehicle.mass / (vehicle.mass + inertia + rotor), rel=0.03)


def test_locked_wheels_do_not_feel_rolling_resistance():
    """Sliding back with wheels that stand still the couple is that of the give alone."""
    standing = stand(car())
    begin = steady_start(standing, grade=0.3, creep_speed=0.1)
    state = begin.state.copy()
    state[[9, 12, 15]], state[18:20] = -0.2, 0.0
    motion = VehicleMotion(begin.values, standing.weight, 0.3, 0.3, throttle=Program.constant(0.0))
    seen = motion.observe(state[:, None], np.array([[0.0], [1.0], [0.0]]))
    give = [t.contact_give for t in (standing.vehicle.rear.tyre, standing.vehicle.front.tyre)]
    assert seen["contact_couple"][:, 0] == pytest.approx(give * seen["traction"][:, 0] * seen["load"][:, 0], rel=1e-12)
    assert state.size == SIZE


@pytest.mark.slow
def test_many_punches_are_each_by_itself():
    cars = [car(drive) for drive in DRIVES]
    many = punch_many(cars, grade_deg=12.0, duration_s=0.4, sample_s=0.005)
    for k, vehicle in enumerate(cars):
        alone = punch(vehicle, grade_deg=12.0, duration_s=0.4, sample_s=0.005, outcome=False, tolerance="tight")
        assert many.throttle_start[k] == pytest.approx(alone.throttle_start, abs=1e-9)
        error = np.abs(many.traces["front_load_n"][:, k] - alone.front_load_n).max()
        assert error < 2e-3 * alone.front_load_n.max()


def test_budget_of_any_motion_needs_the_couples():
    """Off a steady motion, both axles in slip: angular momentum about the rear contact."""
    standing = stand(car())
    begin = steady_start(standing, grade=0.4, creep_speed=0.2)
    motion = VehicleMotion(begin.values, standing.weight, 0.3, 0.4, throttle=Program.constant(0.9))
    state = begin.state.copy()
    state[9:20] += np.linspace(-0.3, 0.4, 11)
    seen = motion.observe(state[:, None], np.array([[0.9], [1.0], [0.0]]))
    parts = load_budget(motion.values, standing.weight, state[:9, None], 0.4, standing.reference, seen)
    assert sum(parts.values())[0] == pytest.approx(seen["load"][1, 0], abs=1e-9 * standing.weight)


def test_the_physics_engine_sees_the_same_couples():
    pytest.importorskip("mujoco", reason="the physics engine is not installed; `pip install .[engine]` adds it")
    from mujoco_vehicle import ENDS, EngineVehicle

    vehicle = car("rear")
    ours = punch(vehicle, grade_deg=15.0, duration_s=0.25, tolerance="tight", outcome=False)
    free = dict(zip(ENDS, ours.standing.free_lengths, strict=True))
    throttle = ours.throttle_start
    engine = EngineVehicle(
        vehicle,
        free,
        np.radians(15.0),
        lambda t: throttle + (1.0 - throttle) * min(1.0, max(0.0, (t - 0.1) / 0.05)),
        1e-4,
    )
    loads = engine.run(ours.states[:9, 0], ours.states[9:20, 0], 0.25, 1e-3)
    np.testing.assert_allclose(loads[1], ours.front_load_n, rtol=0, atol=2e-5 * ours.front_load_n.max())
