"""Whole changes: masses and inertias by hand, statics they must obey, and every fault of their table."""

from math import atan2, degrees

import numpy as np
import pytest

from noseload.model.crawl.load_budget import centre_of_gravity
from noseload.model.errors import MissingDataError, ModelError, VehicleFileError
from noseload.model.file.apply_changes import add_mass, apply_change, join
from noseload.model.file.changes import Change, changes_of
from noseload.model.file.reader import parse_vehicle
from noseload.model.parameters import kernel_parameters, length_of, link_length, rigid_centre_of_gravity
from noseload.studies.climb.creep import Climb
from noseload.studies.climb.standing import coordinates_of, stand
from reference_vehicle import reference_vehicle

EXACT = 1e-12
ROUNDING_M = 1e-16
"""A few units in the last place of a length of 50 mm."""
STATICS_N = 1e-9
"""Newton's tolerance 1e-11 of a weight of 27 N, times the condition of the equations."""
MM = 1e-3


@pytest.fixture(scope="module")
def demo():
    return reference_vehicle()


def read(table):
    """The changes of the demo vehicle's file with a [changes] table added."""
    document = reference_vehicle().document | {"changes": table}
    return parse_vehicle(document, file="x.toml")


def only(table):
    vehicle = read({"a": table})
    return vehicle, apply_change(vehicle, changes_of(vehicle)[0])


def test_point_mass_joined_by_hand():
    """3 kg at the origin (I = 2) and 1 kg at (4, 0): centre 1 m along, I = 2 + 3 * 1 + 1 * 9 = 14 (parallel axes)."""
    assert join(3.0, (0.0, 0.0), 2.0, 1.0, (4.0, 0.0)) == (4.0, (1.0, 0.0), 14.0)


def test_mass_on_the_body(demo):
    """165 g at (88, 194) mm joins 1650 g at (178, 84): the centre moves by a tenth over 1.1 of (-90, 110)."""
    changed = add_mass(demo, "body", (88 * MM, 194 * MM), 0.165)
    assert changed.body.mass == pytest.approx(1.815, rel=EXACT)
    assert changed.body.centre_of_gravity == pytest.approx(((178 - 90 / 11) * MM, (84 + 110 / 11) * MM), rel=EXACT)
    expected = 15200e-6 + 1.65 * 0.165 / 1.815 * (0.09**2 + 0.11**2)
    assert changed.body.pitch_inertia == pytest.approx(expected, rel=EXACT)


def test_mass_on_a_housing_shifts_its_centre(demo):
    """59 g at 44 mm above the front wheel centre joins 590 g: 4 mm up; I = 140 + 536.36 g x 1.936e-3 m2."""
    changed = add_mass(demo, "front_axle", (318 * MM, 102 * MM), 0.059)
    assert changed.front.centre_of_gravity_offset == pytest.approx((0.0, 4 * MM), abs=1e-15)
    assert changed.front.housing_pitch_inertia == pytest.approx(140e-6 + 0.59 * 0.059 / 0.649 * 0.044**2, rel=EXACT)
    assert changed.front.wheel_pair_inertia == demo.front.wheel_pair_inertia
    values = kernel_parameters(changed)
    assert values.front.wheel_centre_z == pytest.approx(-4 * MM, abs=1e-15)
    assert values.front.lower_link_axle_z == pytest.approx((51 - 58 - 4) * MM, abs=1e-15)


def test_mass_in_the_wheels(demo):
    """60 g at 40 mm adds 96 kg mm2 to the wheel pair and nothing to the housing."""
    changed = add_mass(demo, "rear_wheels", None, 0.06, radius=0.04)
    assert changed.rear.wheel_pair_inertia == pytest.approx((470 + 96) * 1e-6, rel=EXACT)
    assert changed.rear.housing_pitch_inertia == pytest.approx(demo.rear.housing_pitch_inertia, rel=EXACT)
    assert changed.rear.centre_of_gravity_offset == pytest.approx((0.0, 0.0), abs=ROUNDING_M)


def test_moved_part_keeps_the_mass_and_moves_the_centre():
    """60 g from (230, 90) to (330, 85): the whole centre moves by 60/2750 of (100, -5) mm."""
    base, changed = only({"move_g": 60, "from": "body", "from_mm": [230, 90], "to": "front_axle", "to_mm": [330, 85]})
    assert changed.mass == pytest.approx(base.mass, rel=EXACT)
    moved = np.subtract(rigid_centre_of_gravity(changed), rigid_centre_of_gravity(base))
    assert moved == pytest.approx(np.array([100, -5]) * MM * 60 / 2750, abs=1e-15)


def test_taking_away_undoes_adding(demo):
    there = add_mass(demo, "front_axle", (0.3, 0.09), 0.05)
    back = add_mass(there, "front_axle", (0.3, 0.09), -0.05)
    assert back.front.mass == pytest.approx(demo.front.mass, rel=EXACT)
    assert back.front.housing_pitch_inertia == pytest.approx(demo.front.housing_pitch_inertia, rel=1e-10)
    assert back.front.centre_of_gravity_offset == pytest.approx((0.0, 0.0), abs=ROUNDING_M)


def test_standing_loads_obey_the_lever_rule():
    """With a mass high on the front housing: front load x wheelbase = weight x distance of the solved centre."""
    _, changed = only({"add_g": 120, "at": "front_axle", "place_mm": [340, 130]})
    standing = stand(changed)
    distance, _, wheelbase = centre_of_gravity(standing.values, coordinates_of(standing.state))
    load = standing.equilibrium.outputs(standing.state, 0.0)[0][1]
    assert load * wheelbase == pytest.approx(standing.weight * distance, abs=STATICS_N)


def test_tip_over_with_an_offset_centre_is_a_moment_balance():
    """At tip-over the weight passes through the rear contact: tan(grade) = distance / height in the solved pose."""
    _, changed = only({"add_g": 150, "at": "rear_axle", "place_mm": [-30, 110]})
    climb = Climb(changed)
    point = climb.tip_point()
    distance, height, _ = centre_of_gravity(climb.standing.values, coordinates_of(point.state))
    assert degrees(point.parameter) == pytest.approx(degrees(atan2(distance, height)), abs=1e-7)
    row = climb.row(35.0)
    assert sum(row.budget.values()) == pytest.approx(row.front_load_n, abs=1e-9)


def test_mass_at_the_wheel_centre_is_mass_of_the_axle(demo):
    """Added on the housing at the wheel centre it is the same in creep as a heavier axle."""
    _, changed = only({"add_g": 80, "at": "front_axle", "place_mm": [318, 58]})
    wheels = only({"add_g": 80, "at": "front_wheels"})[1]
    assert Climb(changed).row(45.0).front_load_n == pytest.approx(Climb(wheels).row(45.0).front_load_n, abs=STATICS_N)


def test_moved_end_keeps_its_link():
    base, changed = only({"move_ends_by_mm": {"rear.upper_link.axle_end": [0, 12]}})
    raised = reference_vehicle(setup="raised_rear_upper_mount")
    assert link_length(changed, "rear", "upper_link") == length_of(base.rear.upper_link)
    assert Climb(changed).tip_over() == pytest.approx(Climb(raised).tip_over(), abs=1e-9)


def test_fitted_end_and_a_reset_stand_are_the_reset_setup():
    _, changed = only(
        {"move_ends_by_mm": {"rear.upper_link.axle_end": [0, 12]}, "link_lengths": "fitted", "ride_height_by_mm": 0}
    )
    reset = reference_vehicle(setup="raised_and_reset")
    assert Climb(changed).tip_over() == pytest.approx(Climb(reset).tip_over(), abs=1e-9)


def test_wheelbase_takes_links_and_shock_along():
    base, changed = only({"wheelbase_by_mm": 10})
    assert changed.wheelbase == pytest.approx(base.wheelbase + 0.010, rel=EXACT)
    (x0, _, z0), (x1, _, z1) = base.front.lower_link.chassis_end, base.front.lower_link.axle_end
    assert link_length(changed, "front", "lower_link") == pytest.approx(np.hypot(x1 + 0.010 - x0, z1 - z0), rel=EXACT)
    assert link_length(changed, "rear", "lower_link") == link_length(base, "rear", "lower_link")


@pytest.mark.parametrize(
    ("table", "rear", "front"),
    [
        ({"ride_height_by_mm": -6}, -6, -6),
        ({"rear_ride_height_by_mm": 4}, 4, 0),
        ({"front_ride_height_by_mm": 3}, 0, 3),
    ],
)
def test_ride_height_over_each_axle(table, rear, front):
    """The chassis stands that much higher over the axles; its line is straight between them."""
    base, changed = only(table)
    before, after = (stand(v).state for v in (base, changed))
    x, length = base.body.centre_of_gravity[0], base.wheelbase
    assert 1e3 * (after[0] - before[0]) == pytest.approx(rear + (front - rear) * x / length, abs=1e-6)
    assert 1e3 * (after[1] - before[1]) * length == pytest.approx(rear - front, abs=1e-6)


def test_collar_lengthens_the_spring():
    base, changed = only({"rear_collar_by_mm": 4})
    assert 1e3 * (stand(changed).free_lengths[0] - stand(base).free_lengths[0]) == pytest.approx(4.0, abs=1e-9)
    assert stand(changed).free_lengths[1] == stand(base).free_lengths[1]


def test_strap_and_droop():
    _, strapped = only({"front_strap_mm": 2})
    _, more = only({"front_strap_mm": 90})
    _, droop = only({"rear_droop_travel_mm": 5, "front_free_length_mm": 110})
    assert strapped.front.shock.droop_travel == 2 * MM
    assert more.front.shock.droop_travel == 24 * MM
    assert droop.rear.shock.droop_travel == 5 * MM
    assert stand(droop).free_lengths[1] == pytest.approx(0.110, rel=EXACT)
    assert Climb(strapped).tip_over() > Climb(more).tip_over()


def test_change_of_a_setup_stands_on_its_springs():
    """A change made to a setup starts from that setup's own stand; with nothing moved it is that setup."""
    raised = reference_vehicle(setup="raised_rear_upper_mount")
    still = apply_change(raised, Change("still", {"rear_collar_by_mm": 0.0}))
    assert stand(still).state == pytest.approx(stand(raised).state, abs=1e-9)
    longer = apply_change(raised, Change("longer", {"wheelbase_by_mm": 0.0}))
    assert stand(longer).state == pytest.approx(stand(raised).state, abs=1e-9)


def test_describe():
    vehicle = read(
        {
            "a": {"add_g": 50, "at": "front_wheels"},
            "b": {"move_g": 60, "from": "body", "from_mm": [230, 90], "to": "front_axle", "to_mm": [330, 85]},
            "c": {"move_ends_by_mm": {"rear": {"upper_link": {"axle_end": [-2, 5]}}}},
            "d": {"wheelbase_by_mm": 10},
        }
    )
    words = [change.describe() for change in changes_of(vehicle)]
    assert words == [
        "+50 g in the front wheels",
        "60 g from the body at [230, 90] to the front axle at [330, 85]",
        "rear upper link axle end 2 mm back and 5 mm up",
        "wheelbase +10 mm",
    ]


@pytest.mark.parametrize(
    ("table", "match"),
    [
        (3, "changes must hold tables"),
        ({"a": 3}, "changes.a must be a table"),
        ({"": {"add_g": 3}}, "holds the name ''"),
        ({"a": {}}, "changes.a changes nothing"),
        ({"a": {"add_gram": 3}}, "changes.a.add_gram unknown key; the nearest known is add_g"),
        ({"a": {"add_g": "3", "at": "front_wheels"}}, "changes.a.add_g must be a number"),
        ({"a": {"add_g": 3}}, "changes.a.at is missing"),
        ({"a": {"add_g": 3, "at": "roof"}}, "changes.a.at = 'roof' must be one of body"),
        ({"a": {"add_g": 3, "at": "body"}}, "changes.a.place_mm is missing"),
        ({"a": {"add_g": 3, "at": "rear_wheels", "place_mm": [1, 2]}}, "changes.a.place_mm does not go with wheels"),
        ({"a": {"add_g": 3, "at": "body", "place_mm": [1]}}, "changes.a.place_mm must be a point"),
        ({"a": {"wheelbase_by_mm": 3, "from": "body"}}, "changes.a.from stands without move_g"),
        ({"a": {"move_g": -3, "from": "rear_wheels", "to": "front_wheels"}}, "move_g = -3 must be above 0"),
        ({"a": {"front_strap_mm": -3}}, "front_strap_mm = -3 must be 0 or more"),
        (
            {"a": {"ride_height_by_mm": 3, "rear_collar_by_mm": 2}},
            "ride_height_by_mm does not go with rear_collar_by_mm",
        ),
        ({"a": {"ride_height_by_mm": 3, "rear_ride_height_by_mm": 2}}, "does not go with ride_height_by_mm"),
        ({"a": {"move_ends_by_mm": [1, 2]}}, "move_ends_by_mm must be a table"),
        ({"a": {"move_ends_by_mm": {"rear.upper_link.axle_and": [1, 2]}}}, "the nearest is rear.upper_link.axle_end"),
        ({"a": {"move_ends_by_mm": {"rear.upper_link.axle_end": 2}}}, "must be \\[mm forward, mm up\\]"),
        ({"a": {"add_g": -2000, "at": "body", "place_mm": [100, 80]}}, "changes.a.*would be left with -350 g"),
    ],
)
def test_faults_of_the_table(table, match):
    with pytest.raises(VehicleFileError, match=match):
        read(table)


def test_every_fault_at_once():
    with pytest.raises(VehicleFileError) as caught:
        read({"a": {"add_g": 3}, "b": {"wheelbase_by": 3}, "c": {"front_strap_mm": -1}})
    assert len(caught.value.faults) == 4


def test_too_much_taken_from_an_axle(demo):
    with pytest.raises(ModelError, match="rear wheels would be left with"):
        add_mass(demo, "rear_wheels", None, -0.6)


def test_level_a_takes_masses_and_sizes():
    flat = {
        "wheelbase_mm": 300,
        "weighed": {"rear_g": 1300, "front_g": 1500, "centre_of_gravity_height_mm": 80},
        "tyre": {"loaded_radius_mm": 55},
    }
    vehicle = parse_vehicle(flat | {"changes": {"a": {"add_g": 50, "at": "front_wheels"}}})
    assert apply_change(vehicle, changes_of(vehicle)[0]).mass == pytest.approx(2.85, rel=EXACT)
    with pytest.raises(MissingDataError, match="no links and springs"):
        apply_change(vehicle, Change("w", {"tyres_by_percent": 0.01}))
    with pytest.raises(VehicleFileError, match="only masses, wheelbase and ride height can"):
        parse_vehicle(flat | {"changes": {"a": {"tyres_by_percent": 5}}})
