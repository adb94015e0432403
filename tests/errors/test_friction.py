"""Dry friction as a set of equilibria: against forces put in by hand, a fine grid, and the rules of its file keys."""

from itertools import product

import numpy as np
import pytest

from noseload.model.crawl.geometry import wheel_heights
from noseload.model.errors import VehicleFileError
from noseload.model.file.reader import change_vehicle, parse_vehicle
from noseload.model.neglected.shafts import shaft_of, shafts_of, sliding_share, turned
from noseload.model.neglected.shifts import LeftOut, Neglected
from noseload.model.parameters import ENDS
from noseload.studies.climb.creep import Climb
from noseload.studies.climb.neglected import creep_near, creep_with, tip_near, tip_over_with
from noseload.studies.climb.split import rolling_shares
from noseload.studies.climb.spread import stand_spread
from noseload.studies.errors.doubts import doubt_rows
from noseload.studies.errors.friction import SPLINES, motion_ratio_of, shaft_friction, shock_friction
from noseload.studies.links.links import links
from noseload.studies.punch.many import punch_many
from noseload.studies.punch.punch import punch
from reference_vehicle import reference_vehicle

SOLVED = 1e-8
"""Of the weight: the rounds of putting in end at 1e-10 m, which springs of 500 N/m turn into less than 1e-7 N."""
GRADE = 45.0
ENERGY = 1e-5
"""Of the energy turned over: what a punch without friction leaves open at the default tolerance."""


@pytest.fixture(scope="module")
def demo():
    return reference_vehicle()


@pytest.fixture(scope="module")
def climb(demo):
    return Climb(demo)


def force_pair(values, state, end, inner, outer, force):
    """Nine balances (chassis, rear, front: x, z, moment about +y) of a force that pushes two points apart, N and N m."""
    k = {"rear": 2, "front": 5}[end]
    start, stop = turned(state[1], *inner), turned(state[k + 2], *outer)
    line = np.array([state[k] + stop[0] - start[0], state[k + 1] + stop[1] - state[0] - start[1]])
    push = force * line / np.linalg.norm(line)
    balances = np.zeros(9)
    place = {"rear": 3, "front": 6}[end]
    for row, arm, sign in ((0, start, -1.0), (place, stop, 1.0)):
        balances[row : row + 2] += sign * push
        balances[row + 2] += sign * (arm[1] * push[0] - arm[0] * push[1])
    return balances


def test_a_dry_spline_is_a_shock_force_of_the_same_work(demo, climb):
    """Put in by hand as a force pair along the shaft, friction leaves the pose in balance: only the links pull otherwise."""
    friction = np.array([40.0, -25.0])
    standing = stand_spread(demo, 1, near=climb.standing)
    left = LeftOut(rear_shaft_friction=friction[:1], front_shaft_friction=friction[1:])
    neglected = Neglected.of(standing.batch, shafts_of(demo), left)
    loads, _, states = creep_with(neglected, np.radians(GRADE))
    state, equilibrium = states[:, 0], climb.standing.equilibrium
    assert abs(loads[0] - climb.row(GRADE).front_load_n) > 0.05
    residual, jacobian = equilibrium.evaluate(state, np.radians(GRADE))
    outputs = equilibrium.outputs(state, np.radians(GRADE))[0]
    heights = wheel_heights(equilibrium.values, state[2:8])
    for k, end in enumerate(ENDS):
        shaft = shaft_of(demo, end)
        force = friction[k] * outputs[2 + k] * heights[k] / shaft.ratio
        residual[:9] += force_pair(equilibrium.values, state, end, shaft.chassis, shaft.axle, force)
    # The four tensions may change, nothing else: what they cannot balance must be nothing.
    tensions = jacobian[:9, 8:12]
    rest = residual[:9] - tensions @ np.linalg.lstsq(tensions, residual[:9], rcond=None)[0]
    assert np.abs(rest).max() < SOLVED * climb.standing.weight


def test_sliding_share_is_the_links_doing(demo, climb):
    """The share by which shaft and shock lengthen together, against two poses of the climb's own linkage."""
    values = climb.standing.values.by_name()
    states = [climb.row(grade).state for grade in (29.9, 30.0, 30.1)]

    def length(state, end, inner, outer):
        k = {"rear": 2, "front": 5}[end]
        start, stop = turned(state[1], *inner), turned(state[k + 2], *outer)
        return np.hypot(state[k] + stop[0] - start[0], state[k + 1] + stop[1] - state[0] - start[1])

    for k, end in enumerate(ENDS):
        shaft = shaft_of(demo, end)
        shaft_change = length(states[2], end, shaft.chassis, shaft.axle) - length(
            states[0], end, shaft.chassis, shaft.axle
        )
        shocks = [climb.standing.equilibrium.outputs(s, 0.0)[0][4 + k] for s in (states[0], states[2])]
        share = float(sliding_share(values, shaft, end, states[1]))
        assert share == pytest.approx(shaft_change / (shocks[1] - shocks[0]), rel=1e-4)


@pytest.mark.parametrize("grade_deg", [45.0, 55.0])
def test_the_table_holds_a_fine_grid(demo, climb, grade_deg):
    """Any friction within the limits, each axle by itself, gives a load and a tip-over between the ends told."""
    rows = {row.key: row for row in doubt_rows([demo], [climb], grade_deg)}
    grid = np.array(list(product(np.linspace(-1.0, 1.0, 9), repeat=2)))
    row, rolling = climb.row(grade_deg), rolling_shares(demo) if climb.overdriven else None
    standing = stand_spread(demo, len(grid), near=climb.standing)
    limits = {"shock": [shock_friction(demo, end) for end in ENDS], "shaft": [1e3 * SPLINES[2]] * len(ENDS)}
    for place, key in (("shock", "shocks"), ("shaft", "splines")):
        left = LeftOut(**{f"{end}_{place}_friction": grid[:, k] * limits[place][k] for k, end in enumerate(ENDS)})
        neglected = Neglected.of(standing.batch, shafts_of(demo), left, rolling)
        loads = creep_with(neglected, np.radians(grade_deg), near=creep_near(climb, row))[0] - row.front_load_n
        tips = np.degrees(tip_over_with(neglected, near=tip_near(climb)) - climb.tip_over())
        for worth, numbers in ((rows[key].front_load_n, loads), (rows[key].tip_over_grade_deg, tips)):
            assert numbers.min() == pytest.approx(worth.low, abs=1e-7)
            assert numbers.max() == pytest.approx(worth.high, abs=1e-7)
            assert worth.low < 0.0 < worth.high


def test_told_twice(demo, climb):
    """One state for both leaves the difference nearly alone; states of their own leave its sign open (demo, 45 deg)."""
    raised = reference_vehicle(setup="raised_rear_upper_mount")
    climbs = [climb, Climb(raised)]
    (row,) = (row for row in doubt_rows([demo, raised], climbs, GRADE) if row.key == "shocks")
    first, other = (c.row(GRADE).front_load_n for c in climbs)
    alike, own = (
        {name: (other - first) + worth for name, worth in ends.items()}
        for ends in (
            {"low": row.difference["front_load_n"].low, "high": row.difference["front_load_n"].high},
            {"low": row.own["front_load_n"].low, "high": row.own["front_load_n"].high},
        )
    )
    assert alike["low"] < other - first < alike["high"] < 0.0 < own["high"] and own["low"] < 2.0 * alike["low"]
    assert alike["high"] - alike["low"] < 0.1 * (own["high"] - own["low"])


def test_file_keys(demo):
    """Given friction speaks before the gap of ride heights; without a shaft along the vehicle nothing slides."""
    document = {k: v for k, v in demo.document.items() if k != "setups"}
    rear = document["rear"] | {"shock": document["rear"]["shock"] | {"friction_n": 0.7}}
    rear["drive_shaft"] = {"chassis_end_mm": [100, 70], "axle_end_mm": [30, 56], "friction_per_mm": 0.05}
    front = {k: v for k, v in document["front"].items() if k != "axle_ratio"} | {"shaft": "none"}
    vehicle = parse_vehicle(document | {"rear": rear, "front": front})
    assert shock_friction(vehicle, "rear") == 0.7
    assert shock_friction(vehicle, "front") == pytest.approx(shock_friction(demo, "front"))
    assert shaft_friction(vehicle, "rear") == pytest.approx(50.0) and shaft_friction(vehicle, "front") == 0.0
    shaft = shaft_of(vehicle, "rear")
    assert shaft.chassis == pytest.approx((0.100 - 0.178, 0.070 - 0.084))
    rear["drive_shaft"] = {"chassis_end_mm": [100, 70]}
    with pytest.raises(VehicleFileError, match=r"rear.drive_shaft.axle_end_mm is missing \(mm\): a shaft has two ends"):
        parse_vehicle(document | {"rear": rear})
    rear["drive_shaft"] = {"chassis_end_mm": [100, 70], "axle_end_mm": [100, 70]}
    with pytest.raises(VehicleFileError, match="a length of 0 mm"):
        parse_vehicle(document | {"rear": rear})


@pytest.mark.slow
def test_shocks_rub_in_a_punch(demo):
    """The energy book closes with friction among what the shocks take; a front that hops comes down sooner; the batch agrees."""
    rubbing = change_vehicle(demo, {f"{end}.shock.friction_n": 1.0 for end in ENDS})
    plain, found = (punch(v, grade_deg=45.0, duration_s=0.8, outcome=False) for v in (demo, rubbing))
    assert found.stats["energy_residual"] < ENERGY
    assert found.summary["front_airborne_s"] < plain.summary["front_airborne_s"] - 0.01
    assert found.start["front_load_n"] == pytest.approx(plain.start["front_load_n"], abs=1e-9)
    batch = punch_many([rubbing], grade_deg=45.0, duration_s=0.8)
    assert batch.front_airborne_s[0] == pytest.approx(found.summary["front_airborne_s"], abs=1e-3)


def test_gap_gives_friction_through_the_motion_ratio(demo):
    """A gap of 2 mm is friction that holds 1 mm of ride height either way: k x motion ratio x 1 mm.

    The lean of the shock (0.891 behind) forgets that links turn the housing while it rises: 0.814 by the links' own study.
    """
    for end, rate in (("rear", 0.40), ("front", 0.46)):
        ratio = links(demo, grade_deg=0.0).axles[end].motion_ratio
        assert motion_ratio_of(demo, end) == pytest.approx(ratio, rel=1e-9)
        assert shock_friction(demo, end) == pytest.approx(rate * ratio, rel=1e-9)


def test_nothing_left_out_changes_nothing(demo, climb):
    standing = stand_spread(demo, 1, near=climb.standing)
    neglected = Neglected.of(standing.batch, shafts_of(demo), LeftOut())
    row = climb.row(GRADE)
    loads, pitches, _ = creep_with(neglected, np.radians(GRADE), near=row.state)
    assert neglected.left.nothing and loads[0] == pytest.approx(row.front_load_n, abs=1e-9)
    assert np.degrees(pitches[0]) == pytest.approx(row.nose_up_pitch_deg, abs=1e-9)
    assert tip_over_with(neglected)[0] == pytest.approx(climb.tip_over(), abs=1e-10)
