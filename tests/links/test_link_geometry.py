"""Instant centres, anti-squat and anti-lift against textbook rules, a worked table and the project's own creep.

Linkage K1 (mm from the rear contact point): rear lower link axle (0, 45) -> chassis (120, 55), rear upper link
axle (0, 90) -> chassis (100, 80), wheel radius 60, wheelbase 320; the front linkage is its mirror image.
"""

from dataclasses import replace
from math import atan, cos, degrees, hypot, radians, sin, tan
from pathlib import Path

import numpy as np
import pytest

from linkage_k1 import HEIGHT, MASS, RADIUS, WHEELBASE, k1, k1_vehicle
from noseload.model.crawl.free_body import shock_push
from noseload.model.file.reader import load_vehicle
from noseload.model.links.axle_travel import AxleLinkage, close_dyad
from noseload.model.links.link_geometry import (
    anti_as_driven,
    anti_textbook,
    full_anti_line,
    line_crossing,
    small_pitch,
    spring_load,
)
from noseload.model.units import STANDARD_GRAVITY
from noseload.studies.climb.creep import Climb
from noseload.studies.climb.standing import coordinates_of
from noseload.studies.links.links import links

EXACT = 1e-9
"""Closed forms on both sides."""
TABLE_N = 1e-4
"""N; the table gives four decimals."""
TABLE_SHARE = 1e-5
"""The table gives five decimals."""
DEGREE = 1e-6
"""Positions printed to six decimals."""
CHECK = Path(__file__).parents[1] / "data" / "check.toml"


def figure(view, share, *, axle_mass=0.0, mass=MASS, height=HEIGHT, kappa=0.0, **motion):
    """Anti-squat or anti-lift as driven on the wheelbase of K1."""
    return anti_as_driven(
        view,
        height=height,
        wheelbase=WHEELBASE,
        mass=mass,
        axle_mass=axle_mass,
        share=share,
        chassis_reaction=kappa,
        **motion,
    )


# textbook forms ------------------------------------------------------------------------------------


def test_instant_centre_and_textbook_figures_of_k1():
    """d = 27/110, e = 18/275 m, e/d = 4/15; contact rule 128/135, wheel-centre rule 0.079012 (derived by hand)."""
    view = k1()
    assert view.instant_centre == pytest.approx((27 / 110, 18 / 275), abs=EXACT)
    assert view.contact_slope == pytest.approx(4 / 15, abs=EXACT)
    assert view.arm_length == pytest.approx(27 / 110, abs=EXACT)
    assert anti_textbook(view, HEIGHT, WHEELBASE) == pytest.approx(128 / 135, abs=EXACT)
    assert figure(view, 1.0, kappa=1.0) == pytest.approx(0.0790123457, abs=EXACT)


def test_full_anti_squat_of_the_contact_line_and_of_the_wheel_line():
    """100 % on e/d = h/L (solid axle; D. Barton and J. Fieldhouse, Automotive Chassis Engineering 2018, eq. 3.63) and
    on (e - r)/d = h/L (torque reacted by the chassis; T. D. Gillespie, Fundamentals of Vehicle Dynamics 1992, ch. 7, memory)."""
    for d in (0.05, 0.2, 3.0, -0.4):
        for foot, kappa in ((0.0, 0.0), (RADIUS, 1.0)):
            centre = (d, foot + d * HEIGHT / WHEELBASE)
            rods = ((0.0, 0.045), centre, (0.0, 0.085), centre)
            assert figure(k1(links=rods), 1.0, kappa=kappa) == pytest.approx(1.0, abs=EXACT)


@pytest.mark.parametrize(
    ("axle_mass", "kappa", "share", "rear_spring", "front_spring", "anti_squat", "anti_lift"),
    [
        (0.0, 0.0, 1.0, 12.9537, 8.6020, 0.94815, 0.0),
        (0.0, 0.0, 0.5, 14.9151, 10.5634, 0.47407, 0.47407),
        (0.0, 1.0, 1.0, 16.5495, 8.6020, 0.07901, 0.0),
        (0.0, 1.0, 0.5, 16.7129, 8.7655, 0.03951, 0.03951),
        (0.7, 0.0, 1.0, 7.0850, 2.5808, 0.92971, -0.01844),
        (0.7, 0.0, 0.5, 9.0464, 4.5421, 0.45564, 0.45564),
        (0.7, 1.0, 0.5, 10.8443, 2.7442, 0.02107, 0.02107),
    ],
)
def test_spring_loads_on_a_30_deg_grade(axle_mass, kappa, share, rear_spring, front_spring, anti_squat, anti_lift):
    """K1 on 30 deg, 3.000 kg, centre of gravity midway: table derived from Newton and Euler for three bodies and
    recomputed with an independent 9 x 9 statics; tyre loads 16.8764 and 8.6020 N in every row."""
    grade = radians(30.0)
    weight = MASS * STANDARD_GRAVITY
    transfer = weight * HEIGHT * sin(grade) / WHEELBASE
    level = weight * cos(grade) / 2
    assert (level + transfer, level - transfer) == pytest.approx((16.8764, 8.6020), abs=TABLE_N)
    figures = [
        figure(k1(end), part, axle_mass=axle_mass, kappa=kappa)
        for end, part in (("rear", share), ("front", 1.0 - share))
    ]
    assert figures == pytest.approx([anti_squat, anti_lift], abs=TABLE_SHARE)
    sprung = level - axle_mass * STANDARD_GRAVITY * cos(grade)
    springs = sprung + transfer * (1 - figures[0]), sprung - transfer * (1 - figures[1])
    assert springs == pytest.approx((rear_spring, front_spring), abs=TABLE_N)


def test_four_wheel_drive_halves_the_textbook_figure():
    """Gillespie 1992, ch. 7 (four-wheel drive, memory): the share of the traction multiplies the figure."""
    for end in ("rear", "front"):
        assert figure(k1(end), 0.5) == pytest.approx(0.5 * anti_textbook(k1(end), HEIGHT, WHEELBASE), abs=EXACT)


def test_no_pitch_needs_more_than_full_anti_squat():
    """Barton and Fieldhouse 2018, eq. 3.69: rear drive, zero pitch at A_r = 1 + Kr/Kf = 2.666667; at A_r = 1 the pitch is
    2.4692 deg nose up, half of what no anti-squat gives with equal rates (derived, 30 deg, Kf 300 N/m)."""
    transfer = 4.137180
    pitch = small_pitch(
        transfer=transfer,
        anti_squat=1 + 500 / 300,
        anti_lift=0.0,
        rear_rate=500.0,
        front_rate=300.0,
        wheelbase=WHEELBASE,
    )
    assert pitch == pytest.approx(0.0, abs=EXACT)
    for squat, expected in ((1.0, 2.4692), (0.0, 4.9384)):
        pitch = small_pitch(
            transfer=transfer, anti_squat=squat, anti_lift=0.0, rear_rate=300.0, front_rate=300.0, wheelbase=WHEELBASE
        )
        assert degrees(pitch) == pytest.approx(expected, abs=1e-4)


def test_full_line_with_axle_mass():
    """Locus of 100 %: from -0.018261 to 0.099130 m over the wheelbase, 0.0717836 at d = 27/110, where the rule
    without axle mass says 0.0690341 (derived; axle 0.7 kg of 3.0)."""
    data = {"height": HEIGHT, "wheelbase": WHEELBASE, "mass": MASS, "share": 1.0}
    start, slope = full_anti_line(k1(), axle_mass=0.7, **data)
    ends = start, start + slope * WHEELBASE, start + slope * 27 / 110
    assert ends == pytest.approx((-0.018261, 0.099130, 0.0717836), abs=1e-6)
    start, slope = full_anti_line(k1(), axle_mass=0.0, **data)
    assert (start, slope * 27 / 110) == pytest.approx((0.0, 0.0690341), abs=1e-7)
    centre = (0.2, sum(full_anti_line(k1(), axle_mass=0.7, **data)[k] * (1.0, 0.2)[k] for k in (0, 1)))
    rods = ((0.0, 0.045), centre, (0.0, 0.085), centre)
    assert figure(k1(links=rods), 1.0, axle_mass=0.7) == pytest.approx(1.0, abs=EXACT)
    assert full_anti_line(k1(), axle_mass=0.9, **{**data, "share": 0.3}) is None


def test_no_pitch_and_no_heave_at_half_shares():
    """50/50 and massless axles: both lines must slope 0.5625 (29.3578 deg), twice the 15.7086 deg of rear drive; they
    meet at the height of the centre of gravity (derived)."""
    start, slope = full_anti_line(k1(), height=HEIGHT, wheelbase=WHEELBASE, mass=MASS, axle_mass=0.0, share=0.5)
    assert (start, slope, degrees(atan(slope))) == pytest.approx((0.0, 0.5625, 29.3578), abs=1e-4)
    assert slope * 0.5 * WHEELBASE == pytest.approx(HEIGHT, abs=EXACT)
    assert degrees(atan(HEIGHT / WHEELBASE)) == pytest.approx(15.7086, abs=1e-4)


def test_scaling_the_centre_away_changes_nothing_for_massless_axles():
    """d and e doubled together leave the figure (derived; the limit is a pair of parallel links)."""
    for far in (1.0, 2.0, 1e3, 1e6):
        centre = (0.2 * far, 0.05 * far)
        rods = ((0.0, 0.045), centre, (0.0, 0.085), centre)
        assert figure(k1(links=rods), 0.6) == pytest.approx(0.6 * 0.25 * WHEELBASE / HEIGHT, rel=1e-8)
    parallel = ((0.0, 0.045), (0.1, 0.070), (0.0, 0.085), (0.1, 0.110))
    view = k1(links=parallel)
    assert view.instant_centre is None and view.inverse_arm == 0.0 and view.arm_length is None
    assert figure(view, 0.6) == pytest.approx(0.6 * 0.25 * WHEELBASE / HEIGHT, rel=EXACT)


def test_centre_above_the_contact_and_links_in_one_line_have_no_figure():
    """No division by zero: d = 0 has no slope, one line has no centre at all."""
    above = k1(links=((0.1, 0.05), (0.05, 0.06), (0.1, 0.09), (0.05, 0.08)))
    assert above.instant_centre == pytest.approx((0.0, 0.07), abs=EXACT)
    assert above.contact_slope is None and above.arm_length == 0.0 and above.arm_angle is None
    assert figure(above, 1.0) is None and anti_textbook(above, HEIGHT, WHEELBASE) is None
    line = k1(links=((0.0, 0.05), (0.1, 0.05), (0.02, 0.05), (0.12, 0.05)))
    assert line.instant_centre is None and line.contact_slope is None and line.arm_length is None


def test_forward_acceleration_counts_the_wheels():
    """Steady climbing at G sin g = a has the figure of accelerating with a but for wheel inertia, which adds I a / r to
    the transfer and (1 - kappa) I a / (r d) to what the rear links hold (derived from the axle's moments)."""
    view, a, inertia = k1(), 2.0, 8e-4
    assert figure(view, 0.5, lengthwise=a, acceleration=a) == pytest.approx(figure(view, 0.5), rel=EXACT)
    spun = figure(
        view, 0.5, axle_mass=0.7, lengthwise=a, acceleration=a, wheel_inertia=inertia, total_wheel_inertia=2 * inertia
    )
    d, e = 27 / 110, 18 / 275
    transfer = (MASS * HEIGHT * a + 2 * inertia * a / RADIUS) / WHEELBASE
    held = (e / d) * (0.5 * MASS * a - 0.7 * a) + (0.7 * RADIUS * a + inertia * a / RADIUS) / d
    assert spun == pytest.approx(held / transfer, rel=EXACT)


def test_held_wheels():
    """Rear wheels held by a pure couple T, solid axle: the axle's moments about its centre give dSr = dNr - T/d; K1
    +3.125 and -0.949074 N per N m (derived; recomputed by the 9 x 9 statics). e has no part."""
    change = 1 / WHEELBASE
    assert change == pytest.approx(3.125, abs=1e-12)
    assert change - k1().inverse_arm == pytest.approx(-0.949074, abs=1e-6)


# four-bar positions and instant centres ------------------------------------------------------------

FOUR_BAR = {"ground": 100.0, "crank": 40.0, "coupler": 120.0, "rocker": 80.0}


def joints(side, angle_deg=40.0, *, ground=100.0, crank=40.0, coupler=120.0, rocker=80.0):
    """Crank pin A and rocker pin B of a four-bar with its ground pivots at (0, 0) and (ground, 0)."""
    a = crank * cos(radians(angle_deg)), crank * sin(radians(angle_deg))
    return a, close_dyad(a, (ground, 0.0), coupler, rocker, side)


@pytest.mark.parametrize(
    ("side", "rocker_deg", "coupler_deg"), [(1.0, 57.324880, 20.297883), (-1.0, -98.004964, -60.977967)]
)
def test_four_bar_positions(side, rocker_deg, coupler_deg):
    """R. L. Norton, Design of Machinery, ch. 4, position example (printed 57.33, 20.30, -98.01, -60.98 deg; memory,
    recomputed to six decimals): both branches."""
    a, b = joints(side)
    assert degrees(np.arctan2(b[1], b[0] - 100.0)) == pytest.approx(rocker_deg, abs=DEGREE)
    assert degrees(np.arctan2(b[1] - a[1], b[0] - a[0])) == pytest.approx(coupler_deg, abs=DEGREE)
    # F. Freudenstein, Trans. ASME 77 (1955): K1 cos t4 - K2 cos t2 + K3 = cos(t2 - t4).
    t2, t4 = radians(40.0), radians(rocker_deg)
    assert 2.5 * cos(t4) - 1.25 * cos(t2) + 0.5625 == pytest.approx(cos(t2 - t4), abs=1e-7)


def test_four_bar_coordinates():
    """Open branch: A (30.641778, 25.711504), B (143.189988, 67.339624) (derived from the example above)."""
    a, b = joints(1.0)
    assert (*a, *b) == pytest.approx((30.641778, 25.711504, 143.189988, 67.339624), abs=1e-6)


def test_instant_centres_and_velocity_ratios():
    """Kennedy's theorem: I13 (216.533637, 181.693295), I24 at x = -38.873345; ratios +0.2799194 and -0.1648366
    (Norton, ch. 6 formulas, memory; recomputed)."""
    a, b = joints(1.0)
    x, z, w = line_crossing((0.0, 0.0), a, (100.0, 0.0), b)
    assert (x / w, z / w) == pytest.approx((216.533637, 181.693295), abs=1e-6)
    x24, z24, w24 = line_crossing(a, b, (0.0, 0.0), (100.0, 0.0))
    assert (x24 / w24, z24 / w24) == pytest.approx((-38.873345, 0.0), abs=1e-6)
    assert x24 / w24 / (x24 / w24 - 100.0) == pytest.approx(0.2799194, abs=1e-7)
    assert -40.0 / hypot(x / w - a[0], z / w - a[1]) == pytest.approx(-0.1648366, abs=1e-7)
    step = 1e-4
    pins = [joints(1.0, 40.0 + s * degrees(step)) for s in (-1, 1)]
    turned = [np.arctan2(p[1][1], p[1][0] - 100.0) for p in pins]
    assert (turned[1] - turned[0]) / (2 * step) == pytest.approx(0.2799194, abs=1e-6)


def test_second_four_bar():
    """Ground 15, crank 5, coupler 11, rocker 8 cm, crank at 60 deg (round numbers; answers
    derived and recomputed): rocker 104.776311, coupler 18.033507 deg, I24 at -10.800290 cm, output torque 23.888516 N m."""
    a, b = joints(1.0, 60.0, ground=15.0, crank=5.0, coupler=11.0, rocker=8.0)
    assert degrees(np.arctan2(b[1], b[0] - 15.0)) == pytest.approx(104.776311, abs=DEGREE)
    assert degrees(np.arctan2(b[1] - a[1], b[0] - a[0])) == pytest.approx(18.033507, abs=DEGREE)
    x, _, w = line_crossing(a, b, (0.0, 0.0), (15.0, 0.0))
    assert x / w == pytest.approx(-10.800290, abs=1e-6)
    ratio = (x / w) / (x / w - 15.0)
    speed = 120 * 2 * np.pi / 60
    assert (-speed * ratio, 10.0 / ratio) == pytest.approx((-5.260423, 23.888516), abs=1e-6)


def test_a_loop_that_cannot_close_says_none():
    """Circles that do not meet, and pivots that coincide."""
    assert close_dyad((0.0, 0.0), (10.0, 0.0), 4.0, 5.0, 1.0) is None
    assert close_dyad((1.0, 1.0), (1.0, 1.0), 4.0, 4.0, 1.0) is None


# axes and signs ------------------------------------------------------------------------------------


def test_positive_rotation_is_nose_down():
    """ISO 8855: z up, y left, rotation about +y by 0.1 rad brings the x axis to z = -0.0998334: nose down. Users read the
    opposite sign: nose up positive, as in a side view with counter-clockwise positive."""
    from noseload.model.crawl.geometry import place

    assert place((0.0, 0.0, 0.1, 0, 0, 0, 0, 0, 0), "chassis", 1.0, 0.0)[1] == pytest.approx(-0.0998334, abs=1e-7)
    row = Climb(load_vehicle(CHECK)).row(30.0)
    assert row.nose_up_pitch_deg == pytest.approx(-degrees(row.state[1]), abs=1e-12)
    assert row.nose_up_pitch_deg > 0.0


def test_signs_of_the_housing_and_of_the_wheel_path():
    """A wheel rises about its instant centre: with the centre inward the inner side of the housing dips, and with the centre
    above the wheel centre the wheel moves outward (plane kinematics, any mechanisms text)."""
    climb = Climb(load_vehicle(CHECK))
    coordinates = coordinates_of(climb.standing.state)
    for end, nose_down in (("rear", 1.0), ("front", -1.0)):
        linkage = AxleLinkage(climb.standing.values, end, coordinates)
        for offset in (-0.2, 0.0, 0.2):
            before, here, after = (linkage.place(linkage.angle + offset + s) for s in (-1e-5, 0.0, 1e-5))
            view = linkage.view(here, 0.0, 0.055)
            rise = after.wheel[1] - before.wheel[1]
            outward = (before.wheel[0] - after.wheel[0]) * nose_down
            assert nose_down * (after.turn - before.turn) / rise == pytest.approx(view.inverse_arm, rel=1e-7)
            assert outward / rise == pytest.approx(view.wheel_slope, rel=1e-6, abs=1e-7)


# whole vehicles ------------------------------------------------------------------------------------


def test_creep_of_a_stiff_vehicle_has_the_spring_loads_of_the_table():
    """Row 0.7 kg, solid axle, rear drive of the table above: 7.0850 and 2.5808 N, extrapolated from creep at three
    stiffnesses whose error must fall as 1 / stiffness."""
    springs, figures = [], []
    for stiffness in (1e5, 1e6, 1e7):
        climb = Climb(k1_vehicle(stiffness))
        row = climb.row(30.0)
        lengths = climb.equilibrium.outputs(row.state, radians(30.0))[0][4:]
        springs.append(
            [
                shock_push(climb.standing.values, end, length)
                for end, length in zip(("rear", "front"), lengths, strict=True)
            ]
        )
        study = links(climb.vehicle, grade_deg=30.0, travel_rows=0, climb=climb)
        figures.append([study.axles[end].as_driven for end in ("rear", "front")])
    for runs, expected, tolerance in (
        (springs, (7.0850, 2.5808), TABLE_N),
        (figures, (0.92971, -0.01844), TABLE_SHARE),
    ):
        soft, mid, stiff = (np.array(run) for run in runs)
        assert (mid - soft) / (stiff - mid) == pytest.approx([10.0, 10.0], rel=0.05)
        assert stiff + (stiff - mid) / 9 == pytest.approx(expected, abs=tolerance)


@pytest.mark.parametrize("driven_axles", ["both", "rear", "front"])
@pytest.mark.parametrize("grade_deg", [-20.0, 0.0, 25.0, 45.0])
def test_spring_load_from_geometry_is_the_shock_force_of_creep(driven_axles, grade_deg):
    """The axle's moments about its instant centre hold exactly in the pose of a soft vehicle: tyre load, traction and axle
    weight by the figures against the solved shock force through its motion ratio (virtual work)."""
    vehicle = load_vehicle(CHECK, drive=driven_axles)
    climb = Climb(vehicle)
    row = climb.row(grade_deg)
    study = links(vehicle, grade_deg=grade_deg, travel_rows=0, climb=climb)
    lengths = climb.equilibrium.outputs(row.state, radians(grade_deg))[0][4:]
    for end, length in zip(("rear", "front"), lengths, strict=True):
        axle = study.axles[end]
        shock = shock_push(climb.standing.values, end, length)
        assert axle.spring_load == pytest.approx(shock * axle.motion_ratio, abs=EXACT * climb.standing.weight)


def test_motion_ratio_is_the_slope_of_shock_length_over_wheel_rise():
    """Against central differences of the four-bar positions."""
    climb = Climb(load_vehicle(CHECK))
    row = climb.row(30.0)
    study = links(climb.vehicle, grade_deg=30.0, travel_rows=0, climb=climb)
    coordinates = coordinates_of(row.state)
    for end in ("rear", "front"):
        linkage = AxleLinkage(climb.standing.values, end, coordinates)
        theta = row.state[1]
        low, high = (linkage.place(linkage.angle + s) for s in (-1e-5, 1e-5))

        def height(place, theta=theta):
            return -place.wheel[0] * sin(theta) + place.wheel[1] * cos(theta)

        slope = -(high.shock_length - low.shock_length) / (height(high) - height(low))
        assert study.axles[end].motion_ratio == pytest.approx(slope, rel=1e-8)


def test_the_linkage_agrees_with_the_solved_pose():
    """Closed-form four-bar against the solved equilibrium: shock length and housing angle at 40 deg, 1e-10 m."""
    climb = Climb(load_vehicle(CHECK))
    start = coordinates_of(climb.standing.state)
    row = climb.row(40.0)
    lengths = climb.equilibrium.outputs(row.state, radians(40.0))[0][4:]
    for k, end in enumerate(("rear", "front")):
        there = AxleLinkage(climb.standing.values, end, coordinates_of(row.state)).angle
        place = AxleLinkage(climb.standing.values, end, start).place(there)
        assert place.shock_length == pytest.approx(lengths[k], abs=1e-10)
        assert place.turn == pytest.approx(row.state[4 + 3 * k] - row.state[1], abs=1e-9)


def test_symmetric_vehicle_has_symmetric_figures():
    """K1 on both axles: on the level anti-squat is anti-lift, and the travel of one end mirrors the other's."""
    study = links(k1_vehicle(2000.0, driven_axles="both"), travel_rows=9)
    rear, front = study.axles["rear"], study.axles["front"]
    for name in ("textbook", "as_driven", "motion_ratio", "spring_load", "share"):
        assert getattr(rear, name) == pytest.approx(getattr(front, name), rel=1e-9)
    assert rear.view.arm_length == pytest.approx(front.view.arm_length, rel=1e-9)
    for a, b in zip(study.travel["rear"].rows, study.travel["front"].rows, strict=True):
        assert (a.wheel_rise, a.wheel_outward, -a.turn, a.as_driven) == pytest.approx(
            (b.wheel_rise, b.wheel_outward, b.turn, b.as_driven), rel=1e-8, abs=1e-12
        )


def test_tyre_loads_do_not_depend_on_the_links():
    """In the stiff limit Nr and Nf are the same for any linkage, drive and split: anti-squat is no rear tyre load."""
    loads = []
    for drive, lift in (("rear", 0.0), ("front", 0.0), ("both", 0.015)):
        vehicle = k1_vehicle(1e7, driven_axles=drive)
        upper = replace(vehicle.rear.upper_link, axle_end=(0.0, None, 0.090 + lift))
        row = Climb(replace(vehicle, rear=replace(vehicle.rear, upper_link=upper))).row(30.0)
        loads.append((row.rear_load_n, row.front_load_n))
    assert loads[0] == pytest.approx(loads[1], abs=1e-4)
    assert loads[0] == pytest.approx(loads[2], abs=1e-4)
    assert loads[0] == pytest.approx((16.8764, 8.6020), abs=5e-4)


def test_past_tip_over_there_is_no_geometry():
    """A pose that does not exist gives nulls and a status, never numbers."""
    study = links(load_vehicle(CHECK), grade_deg=80.0)
    assert (study.status, study.axles, study.travel) == ("beyond_tip_over", {}, {})
    document = study.to_dict()
    assert document["rear"] is None and document["travel"]["front"] is None


def test_travel_reaches_both_stops_or_says_why():
    """Rows run from bump to droop with the pose in the middle; an over-long droop meets the end of the links."""
    vehicle = load_vehicle(CHECK)
    study = links(vehicle)
    for end in ("rear", "front"):
        travel = [row.shock_travel for row in study.travel[end].rows]
        assert (travel[0], travel[-1]) == pytest.approx((-0.028, 0.018), abs=1e-9)
        assert travel == sorted(travel) and study.travel[end].messages == ()
        middle = study.travel[end].rows[len(travel) // 2]
        assert (middle.wheel_rise, middle.turn) == pytest.approx((0.0, 0.0), abs=1e-9)
        assert middle.as_driven == pytest.approx(study.axles[end].as_driven, rel=1e-9)
    long = replace(vehicle, rear=replace(vehicle.rear, shock=replace(vehicle.rear.shock, droop_travel=0.3)))
    messages = links(long).travel["rear"].messages
    assert len(messages) == 1 and "does not reach its droop stop" in messages[0]


def test_textbook_and_driven_line_of_the_spring_load():
    """No traction and no grade: the springs carry the tyre load less the axle."""
    view = k1()
    assert spring_load(view, load=10.0, traction=0.0, axle_mass=0.5, gravity=10.0, grade=0.0) == pytest.approx(5.0)
    above = k1(links=((0.1, 0.05), (0.05, 0.06), (0.1, 0.09), (0.05, 0.08)))
    assert spring_load(above, load=1.0, traction=0.0, axle_mass=0.0, gravity=10.0, grade=0.0) is None
    assert tan(view.contact_angle) == pytest.approx(view.contact_slope)
