"""Spring and tyre loads of a vehicle on two linked axles, assembled with the builder as plain statics.

Three bodies, four rods, two springs standing vertically over the wheel centres, two contacts; the
tractions are imposed. Signs and symbols: d, e are distance (toward the other axle) and height of an
axle's instant centre from its contact point; kappa is the share of the drive couple that the chassis
reacts (0 solid axle, 1 final drive on the chassis); g_e = g sin(grade) + a.
"""

from dataclasses import dataclass, replace

import numpy as np
import pytest
import sympy as sp

from compiled import compile_mechanism
from noseload.model.symbols.mechanism import Mechanism

GRAVITY = 9.80665
EXACT = 1e-9
"""Relative to the weight or to the value; the statics has a condition number below 1e5."""
PRINTED = 1e-4
"""N; the table gives four decimals."""
UNKNOWN = ("rear_spring", "front_spring", "rear_load", "front_load", "traction", "rear_torque", "front_torque")


@dataclass(frozen=True)
class Case:
    """A vehicle on a grade: links (chassis end, axle end) as x, z from the rear contact point, m, kg, rad."""

    rear_lower: tuple = ((0.120, 0.055), (0.0, 0.045))
    rear_upper: tuple = ((0.100, 0.080), (0.0, 0.090))
    front_lower: tuple = ((0.200, 0.055), (0.320, 0.045))
    front_upper: tuple = ((0.220, 0.080), (0.320, 0.090))
    wheelbase: float = 0.320
    radius: float = 0.060
    axle_masses: tuple = (0.0, 0.0)
    wheel_inertias: tuple = (0.0, 0.0)
    sprung_mass: float = 3.0
    sprung_centre: tuple = (0.160, 0.090)
    grade: float = 0.0
    acceleration: float = 0.0
    kappa: float = 0.0
    rear_share: float = 1.0

    @property
    def mass(self):
        """Total mass, kg."""
        return self.sprung_mass + sum(self.axle_masses)

    @property
    def centre_height(self):
        """Height of the whole vehicle's centre of gravity, m."""
        return (self.sprung_mass * self.sprung_centre[1] + sum(self.axle_masses) * self.radius) / self.mass

    @property
    def centre_to_front(self):
        """Distance from the centre of gravity to the front axle, m."""
        moment = self.sprung_mass * self.sprung_centre[0] + self.axle_masses[1] * self.wheelbase
        return self.wheelbase - moment / self.mass


def symbol(name):
    return sp.Symbol(name, real=True)


def build():
    """The vehicle with symbols for everything that differs between cases; points relative to wheel or body."""
    grade, gravity, kappa, share = (symbol(name) for name in ("grade", "gravity", "kappa", "rear_share"))
    mechanism = Mechanism(gravity=(-gravity * sp.sin(grade), -gravity * sp.cos(grade)))
    chassis = mechanism.body("chassis", symbol("sprung_mass"), 1)
    for end in ("rear", "front"):
        axle = mechanism.body(end, symbol(f"{end}_mass"), 0)
        wheels = mechanism.spin(f"{end}_spin", axle, symbol(f"{end}_inertia"))
        for link in ("lower", "upper"):
            ends = [
                mechanism.point(body, symbol(f"{end}_{link}_{name}_x"), symbol(f"{end}_{link}_{name}_z"))
                for body, name in ((chassis, "chassis"), (axle, "axle"))
            ]
            mechanism.rod(f"{end}_{link}", *ends, symbol(f"{end}_{link}_length"))
        centre = mechanism.point(axle)
        above = mechanism.point(chassis, symbol(f"{end}_seat_x"), symbol(f"{end}_seat_z"))
        mechanism.spring_damper(f"{end}_spring", above, centre, lambda length, rate, end=end: symbol(f"{end}_spring"))
        force = symbol("traction") * (share if end == "rear" else 1 - share)
        mechanism.force(centre, force, symbol(f"{end}_load"))
        mechanism.contact_moment(wheels, -force * centre.z - symbol(f"{end}_hold"))
        torque = symbol(f"{end}_torque")
        mechanism.torque(wheels, (1 - kappa) * torque)
        mechanism.contact_moment(wheels, kappa * torque)
        mechanism.couple(chassis, -kappa * torque)
    tether = mechanism.point(chassis, 0, symbol("tether_z"))
    mechanism.force(tether, -symbol("tether"), 0)
    return compile_mechanism(mechanism, dict.fromkeys(_parameter_names(), 0.0))


def _parameter_names():
    links = [
        f"{end}_{link}_{part}"
        for end in ("rear", "front")
        for link in ("lower", "upper")
        for part in ("chassis_x", "chassis_z", "axle_x", "axle_z", "length")
    ]
    ends = [
        f"{end}_{name}"
        for end in ("rear", "front")
        for name in ("mass", "inertia", "seat_x", "seat_z", "load", "spring", "torque", "hold")
    ]
    return [*links, *ends, "grade", "gravity", "kappa", "rear_share", "sprung_mass", "traction", "tether", "tether_z"]


@pytest.fixture(scope="module")
def vehicle():
    return build()


def solve_statics(vehicle, case, *, rear_hold=0.0, tether=(0.0, 0.0)):
    """Spring loads, tyre loads, traction, torques and rod tensions by name.

    `rear_hold`: couple that holds the rear wheels, N m; `tether`: pull down the slope, N, and its height, m.
    """
    x, z = case.sprung_centre
    centres = {"rear": (0.0, case.radius), "front": (case.wheelbase, case.radius)}
    values = {
        "grade": case.grade,
        "gravity": GRAVITY,
        "kappa": case.kappa,
        "rear_share": case.rear_share,
        "sprung_mass": case.sprung_mass,
        "rear_hold": rear_hold,
        "tether": tether[0],
        "tether_z": tether[1] - z,
    }
    for k, (end, (cx, cz)) in enumerate(centres.items()):
        values |= {
            f"{end}_mass": case.axle_masses[k],
            f"{end}_inertia": case.wheel_inertias[k],
            f"{end}_seat_x": cx - x,
            f"{end}_seat_z": cz + 0.05 - z,
        }
        for link in ("lower", "upper"):
            start, stop = getattr(case, f"{end}_{link}")
            values |= {
                f"{end}_{link}_chassis_x": start[0] - x,
                f"{end}_{link}_chassis_z": start[1] - z,
                f"{end}_{link}_axle_x": stop[0] - cx,
                f"{end}_{link}_axle_z": stop[1] - cz,
                f"{end}_{link}_length": float(np.hypot(start[0] - stop[0], start[1] - stop[1])),
            }
    pose = [x, z, 0.0, *centres["rear"], 0.0, *centres["front"], 0.0]
    rest = [0.0] * 11
    at_zero = vehicle.with_parameters(values | dict.fromkeys(UNKNOWN, 0.0))
    np.testing.assert_allclose(at_zero.residuals(pose), 0.0, atol=1e-15)
    base = at_zero.forces(pose, rest)
    columns = [at_zero.with_parameters({name: 1.0}).forces(pose, rest) - base for name in UNKNOWN]
    rods = at_zero.jacobian(pose).T
    turning = case.acceleration / case.radius
    moving = at_zero.mass_matrix @ np.array([case.acceleration, 0, 0] * 3 + [turning, turning])
    solution = np.linalg.solve(np.column_stack([*columns, rods]), moving - base)
    return dict(zip([*UNKNOWN, *vehicle.constraint_names], solution, strict=True))


def instant_centre(lower, upper, contact, side):
    """Distance d (toward the other axle) and height e of the meeting point of two links."""
    (x1, z1), (x2, z2) = lower
    (x3, z3), (x4, z4) = upper
    along = np.linalg.solve([[x2 - x1, x3 - x4], [z2 - z1, z3 - z4]], [x3 - x1, z3 - z1])[0]
    return side * (x1 + along * (x2 - x1) - contact), z1 + along * (z2 - z1)


def tyre_loads(case):
    """Rear and front tyre load of the rigid vehicle with turning wheels (Gillespie ch. 1 with wheel inertia added)."""
    effective = GRAVITY * np.sin(case.grade) + case.acceleration
    across = case.mass * GRAVITY * np.cos(case.grade)
    moment = case.mass * case.centre_height * effective + sum(case.wheel_inertias) * case.acceleration / case.radius
    rear = (across * case.centre_to_front + moment) / case.wheelbase
    return rear, across - rear


def spring_loads(case):
    """Exact small-motion spring loads: moments of each axle assembly about its own instant centre (derived)."""
    effective, across = GRAVITY * np.sin(case.grade) + case.acceleration, GRAVITY * np.cos(case.grade)
    total = case.mass * effective
    loads = []
    ends = (
        (case.rear_lower, case.rear_upper, 0.0, 1, case.rear_share),
        (case.front_lower, case.front_upper, case.wheelbase, -1, 1 - case.rear_share),
    )
    for k, (lower, upper, contact, side, share) in enumerate(ends):
        d, e = instant_centre(lower, upper, contact, side)
        mass, inertia = case.axle_masses[k], case.wheel_inertias[k]
        lift = (e - case.kappa * case.radius) / d * (share * total - mass * effective)
        spin = mass * case.radius * effective + inertia * case.acceleration / case.radius
        loads.append(tyre_loads(case)[k] - mass * across - side * (lift + (1 - case.kappa) * spin / d))
    return loads


CLIMB = Case(grade=np.radians(30.0))
HEAVY = replace(CLIMB, axle_masses=(0.7, 0.7), sprung_mass=1.6, sprung_centre=(0.160, 0.11625))
TABLE = [
    (replace(CLIMB, kappa=0.0, rear_share=1.0), 12.9537, 8.6020, 0.94815, 0.0),
    (replace(CLIMB, kappa=0.0, rear_share=0.5), 14.9151, 10.5634, 0.47407, 0.47407),
    (replace(CLIMB, kappa=1.0, rear_share=1.0), 16.5495, 8.6020, 0.07901, 0.0),
    (replace(CLIMB, kappa=1.0, rear_share=0.5), 16.7129, 8.7655, 0.03951, 0.03951),
    (replace(HEAVY, kappa=0.0, rear_share=1.0), 7.0850, 2.5808, 0.92971, -0.01844),
    (replace(HEAVY, kappa=0.0, rear_share=0.5), 9.0464, 4.5421, 0.45564, 0.45564),
    (replace(HEAVY, kappa=1.0, rear_share=0.5), 10.8443, 2.7442, 0.02107, 0.02107),
]
"""Case, rear and front spring load (N), anti-squat, anti-lift: derived, an independent 9 x 9 statics solution."""


def test_instant_centre_of_the_example_linkage():
    """d = 27/110 m, e = 18/275 m, e/d = 4/15 (derived)."""
    d, e = instant_centre(CLIMB.rear_lower, CLIMB.rear_upper, 0.0, 1)
    assert (d, e) == pytest.approx((27 / 110, 18 / 275), rel=1e-12)
    assert instant_centre(CLIMB.front_lower, CLIMB.front_upper, 0.32, -1) == pytest.approx((d, e), rel=1e-12)


@pytest.mark.parametrize(("case", "rear", "front", "anti_squat", "anti_lift"), TABLE)
def test_worked_numbers(vehicle, case, rear, front, anti_squat, anti_lift):
    """Grade 30 deg, 3 kg, centre of gravity 90 mm high: all seven rows; anti-squat as share of the load transfer.

    Percentages after Gillespie, Fundamentals of Vehicle Dynamics, ch. 7 (memory); values derived.
    """
    found = solve_statics(vehicle, case)
    assert found["rear_load"] == pytest.approx(16.8764, abs=PRINTED)
    assert found["front_load"] == pytest.approx(8.6020, abs=PRINTED)
    assert found["rear_spring"] == pytest.approx(rear, abs=PRINTED)
    assert found["front_spring"] == pytest.approx(front, abs=PRINTED)
    level = solve_statics(vehicle, replace(case, grade=0.0))
    transfer, cosine = 4.137180, np.cos(case.grade)
    assert 1 - (found["rear_spring"] - level["rear_spring"] * cosine) / transfer == pytest.approx(anti_squat, abs=1e-5)
    assert 1 + (found["front_spring"] - level["front_spring"] * cosine) / transfer == pytest.approx(anti_lift, abs=1e-5)
    assert found["traction"] == pytest.approx(3.0 * GRAVITY * np.sin(case.grade), rel=EXACT)


def random_case(rng):
    """A plausible vehicle in which neither instant centre is at infinity or over its axle."""
    while True:
        length, radius = rng.uniform(0.28, 0.36), rng.uniform(0.045, 0.075)

        def link(contact, side, low, high):
            axle_end = (contact + side * rng.uniform(-0.01, 0.02), rng.uniform(low, high))
            return (contact + side * rng.uniform(0.08, 0.14), rng.uniform(low, high)), axle_end

        case = Case(
            rear_lower=link(0.0, 1, 0.030, 0.060),
            rear_upper=link(0.0, 1, 0.070, 0.110),
            front_lower=link(length, -1, 0.030, 0.060),
            front_upper=link(length, -1, 0.070, 0.110),
            wheelbase=length,
            radius=radius,
            axle_masses=tuple(rng.uniform(0.0, 0.8, 2)),
            wheel_inertias=tuple(rng.uniform(0.0, 1e-3, 2)),
            sprung_mass=rng.uniform(1.0, 2.5),
            sprung_centre=(length * rng.uniform(0.35, 0.65), rng.uniform(0.06, 0.14)),
            grade=np.radians(rng.uniform(-17, 40)),
            acceleration=rng.uniform(-2, 4),
            kappa=float(rng.choice([0.0, 0.4, 1.0])),
            rear_share=rng.uniform(0, 1),
        )
        reach = [
            abs(instant_centre(case.rear_lower, case.rear_upper, 0.0, 1)[0]),
            abs(instant_centre(case.front_lower, case.front_upper, length, -1)[0]),
        ]
        if 0.05 < min(reach) and max(reach) < 5.0:
            return case


def test_random_geometries_match_the_closed_form(vehicle):
    """300 seeded vehicles, grades -17 to 40 deg, a -2 to 4 m/s2, three kinds of torque reaction (derived)."""
    rng = np.random.default_rng(20)
    for _ in range(300):
        case = random_case(rng)
        found, weight = solve_statics(vehicle, case), case.mass * GRAVITY
        got = [found[name] for name in ("rear_load", "front_load", "rear_spring", "front_spring")]
        np.testing.assert_allclose(got, [*tyre_loads(case), *spring_loads(case)], rtol=0, atol=EXACT * weight)


def test_tyre_loads_do_not_know_the_suspension(vehicle):
    """Links, torque reaction and torque split leave the tyre loads alone (moment balance of the whole)."""
    rng = np.random.default_rng(21)
    for _ in range(20):
        other = random_case(rng)
        case = replace(
            HEAVY,
            rear_lower=other.rear_lower,
            rear_upper=other.rear_upper,
            kappa=other.kappa,
            rear_share=other.rear_share,
        )
        found = solve_statics(vehicle, case)
        assert (found["rear_load"], found["front_load"]) == pytest.approx(tyre_loads(HEAVY), rel=EXACT)


def test_links_that_point_at_the_contact_carry_no_traction_into_the_spring(vehicle):
    """e = 0 with solid massless axles, or e = r with torque reacted by the chassis: S = N - m g cos (derived)."""

    def meeting_at(height):
        return {
            "rear_lower": ((0.1, 0.03 + 0.6 * (height - 0.03)), (-0.05, 0.03 - 0.3 * (height - 0.03))),
            "rear_upper": ((0.1, 0.09 + 0.6 * (height - 0.09)), (-0.05, 0.09 - 0.3 * (height - 0.09))),
        }

    # Both links run through (1/6 m, height): from x = 0 up to there, at 0.6 of the way at 0.1 m.
    for height, kappa in ((0.0, 0.0), (0.060, 1.0)):
        case = replace(CLIMB, kappa=kappa, rear_share=0.8, **meeting_at(height))
        assert instant_centre(case.rear_lower, case.rear_upper, 0.0, 1)[1] == pytest.approx(height, abs=1e-12)
        found = solve_statics(vehicle, case)
        assert found["rear_spring"] == pytest.approx(found["rear_load"], rel=EXACT)


def test_turning_the_traction_around_turns_every_geometric_term(vehicle):
    """Descending by the mirror grade: S - N + m g cos changes sign and nothing else (derived)."""
    for case, *_ in TABLE:
        terms = []
        for grade in (case.grade, -case.grade):
            found = solve_statics(vehicle, replace(case, grade=grade))
            terms.append(
                [
                    found[f"{end}_spring"] - found[f"{end}_load"] + case.axle_masses[0] * GRAVITY * np.cos(grade)
                    for end in ("rear", "front")
                ]
            )
        np.testing.assert_allclose(terms[0], -np.array(terms[1]), atol=EXACT * 30)


def test_scaling_both_distances_of_the_instant_centre_changes_nothing(vehicle):
    """Solid massless axles: only the slope e/d counts; parallel links at that slope do the same (derived)."""
    slope = 4 / 15
    reference = solve_statics(vehicle, CLIMB)["rear_spring"]
    parallel = replace(
        CLIMB,
        rear_lower=((0.12, 0.03 + 0.12 * slope), (0.0, 0.03)),
        rear_upper=((0.12, 0.09 + 0.12 * slope), (0.0, 0.09)),
    )
    assert solve_statics(vehicle, parallel)["rear_spring"] == pytest.approx(reference, rel=EXACT)
    d, e = 2 * 27 / 110, 2 * 18 / 275
    far = replace(
        CLIMB,
        rear_lower=((0.12, 0.045 + 0.12 * (e - 0.045) / d), (0.0, 0.045)),
        rear_upper=((0.12, 0.09 + 0.12 * (e - 0.09) / d), (0.0, 0.09)),
    )
    assert solve_statics(vehicle, far)["rear_spring"] == pytest.approx(reference, rel=EXACT)


@pytest.mark.parametrize(("kappa", "rear_spring"), [(0.0, 1 / 0.32 - 110 / 27), (1.0, 1 / 0.32)])
def test_held_wheel_bench(vehicle, kappa, rear_spring):
    """Rear wheels held by a pure couple, per N m: loads +-1/L, rear spring 1/L - 1/d solid (-0.949074), else 1/L (derived)."""
    level = replace(CLIMB, grade=0.0, kappa=kappa)
    free, held = solve_statics(vehicle, level), solve_statics(vehicle, level, rear_hold=1.0)
    change = {name: held[name] - free[name] for name in held}
    assert change["rear_torque"] == pytest.approx(1.0, rel=EXACT)
    assert change["rear_load"] == pytest.approx(3.125, rel=EXACT)
    assert change["front_spring"] == pytest.approx(-3.125, rel=EXACT)
    assert change["rear_spring"] == pytest.approx(rear_spring, rel=EXACT)
    if kappa == 0.0:
        assert change["rear_spring"] == pytest.approx(-0.949074, abs=1e-6)


def test_vehicle_on_a_tether(vehicle):
    """Level tether on the chassis, 10 N at 120 mm, half the traction at each end: +3.75, +2.416667, -2.416667 N (derived)."""
    level = replace(CLIMB, grade=0.0, rear_share=0.5)
    free, pulled = solve_statics(vehicle, level), solve_statics(vehicle, level, tether=(10.0, 0.120))
    assert pulled["rear_load"] - free["rear_load"] == pytest.approx(3.75, rel=EXACT)
    assert pulled["rear_spring"] - free["rear_spring"] == pytest.approx(2.416667, abs=1e-6)
    assert pulled["front_spring"] - free["front_spring"] == pytest.approx(-2.416667, abs=1e-6)
