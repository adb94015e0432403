"""What a vehicle file says of single wheels: y of points, tracks, shafts, single and lateral links, four readings."""

import tomllib

import pytest

from noseload.model import load_vehicle, parse_vehicle, write_vehicle
from noseload.model.errors import MissingDataError, ModelError, VehicleFileError
from noseload.model.file.apply_changes import apply_change
from noseload.model.file.changes import changes_of
from noseload.model.file.space import WEAK_HOLD, check_in_space, has_space, hold_of_axle, missing_in_space, rods_of
from noseload.model.parameters import kernel_parameters, link_length, measured_shock_length, true_length_of
from noseload.model.uncertainty import limits_of, source_of
from noseload.model.variation import quantities_of, shift_vehicle
from noseload.studies.climb.creep import Climb
from random_vehicles import random_vehicle_in_space, with_held_coils
from reference_vehicle import REFERENCE, reference_vehicle

near = pytest.approx
LATERAL = {"chassis_end_mm": [-12, 55, 74], "axle_end_mm": [-12, -55, 70]}
TIP_OVER_SIDE_VIEW_DEG, TIP_OVER_TRUE_DEG = 61.478, 61.448
"""Of the demo, by an independent program: shock lengths in the side view, and as they are."""


@pytest.fixture
def document():
    with open(REFERENCE, "rb") as file:
        return tomllib.load(file)


def without_y(document):
    """The same file with two numbers for every link and shock end."""
    for axle in ("rear", "front"):
        for part in document[axle].values():
            if isinstance(part, dict):
                for name, value in part.items():
                    if isinstance(value, list):
                        part[name] = [value[0], value[-1]]
    return document


def single_upper(document):
    """One upper link at y = 20 with a link across behind it."""
    document["rear"]["upper_link"] |= {"chassis_end_mm": [108, 20, 80], "axle_end_mm": [8, 20, 90], "single": True}
    document["rear"]["lateral_link"] = dict(LATERAL)
    del document["setups"]
    return document


def faults_of(document):
    with pytest.raises(VehicleFileError) as caught:
        parse_vehicle(document)
    return caught.value.faults


def test_numbers_arrive_in_si(document):
    document["front"] |= {"track_width_mm": 188, "shaft_turns": "counterclockwise", "axle_ratio": 3.5}
    vehicle = parse_vehicle(document)
    assert vehicle.body.roll_inertia == near(4.5e-3) and vehicle.body.yaw_inertia == near(1.65e-2)
    assert vehicle.body.side_offset == 0.0
    assert (vehicle.rear.axle_ratio, vehicle.front.axle_ratio) == (2.9, 3.5)
    assert (vehicle.rear.shaft_direction, vehicle.front.shaft_direction) == (1.0, -1.0)
    assert (vehicle.rear.track_width, vehicle.front.track_width) == (near(0.196), near(0.188))
    assert vehicle.rear.roll_inertia == near(2.2e-3) and vehicle.front.roll_inertia == near(2.4e-3)
    assert vehicle.rear.lateral_link is None and not vehicle.rear.upper_link.single


def test_no_shaft_has_no_ratio(document):
    document["rear"]["shaft"] = "none"
    del document["rear"]["axle_ratio"]
    vehicle = parse_vehicle(document)
    assert vehicle.rear.axle_ratio is None and vehicle.front.axle_ratio == 2.9
    assert vehicle.assumption("rear.axle_ratio") is None


def test_single_and_lateral_links(document):
    vehicle = parse_vehicle(single_upper(document))
    assert vehicle.rear.upper_link.single and vehicle.rear.lateral_link.axle_end == near((-0.012, -0.055, 0.07))
    assert [name for name, _ in rods_of(vehicle.rear)] == [
        "lower_link_left",
        "lower_link_right",
        "upper_link",
        "lateral",
    ]
    assert [name for name, _ in rods_of(vehicle.front)][2:] == ["upper_link_left", "upper_link_right"]
    left, right = (rod for _, rod in rods_of(vehicle.rear)[:2])
    assert right.axle_end == (left.axle_end[0], -left.axle_end[1], left.axle_end[2])
    check_in_space(vehicle)


def test_written_file_is_read_again(document):
    vehicle = parse_vehicle(single_upper(document))
    text = write_vehicle(vehicle)
    assert "[rear.lateral_link]\nchassis_end_mm = [-12, 55, 74]" in text and "single = true" in text
    again = load_vehicle("again.toml", text=text)
    assert again == vehicle and write_vehicle(again) == text


def test_left_out_numbers_are_assumed_with_their_range(document):
    """Common practice, no source: 2.5 to 4.5 turns; inertias of a box and of an axle with wheels at its ends."""
    for axle in ("rear", "front"):
        del document[axle]["axle_ratio"], document[axle]["axle_roll_inertia_kg_mm2"]
    del document["body"]["roll_inertia_kg_mm2"], document["body"]["yaw_inertia_kg_mm2"]
    vehicle = parse_vehicle(document)
    assumed = {item.key: item for item in vehicle.assumed}
    assert set(assumed) == {
        "body.roll_inertia_kg_mm2",
        "body.yaw_inertia_kg_mm2",
        *(f"{axle}.{name}" for axle in ("rear", "front") for name in ("axle_ratio", "axle_roll_inertia_kg_mm2")),
    }
    ratio = assumed["rear.axle_ratio"]
    assert (ratio.value, ratio.low, ratio.high) == (3.3, 2.5, 4.5) and vehicle.rear.axle_ratio == 3.3
    for item in assumed.values():
        assert item.low < item.value < item.high and item.reason
    # The demo's own numbers lie within what would be believed without them.
    demo = reference_vehicle()
    for key, value in (
        ("body.roll_inertia_kg_mm2", demo.body.roll_inertia),
        ("body.yaw_inertia_kg_mm2", demo.body.yaw_inertia),
        ("rear.axle_roll_inertia_kg_mm2", demo.rear.roll_inertia),
        ("front.axle_roll_inertia_kg_mm2", demo.front.roll_inertia),
    ):
        assert assumed[key].low < 1e6 * value < assumed[key].high


def test_a_file_without_y_serves_the_side_view_and_assumes_nothing_of_space(document):
    vehicle = parse_vehicle(without_y(document))
    assert vehicle.assumed == () and not has_space(vehicle)
    held = with_held_coils(vehicle)
    assert Climb(held).limits.tip_over_grade_deg == near(TIP_OVER_SIDE_VIEW_DEG, abs=5e-4)
    del document["rear"]["axle_ratio"], document["body"]["roll_inertia_kg_mm2"]
    vehicle = parse_vehicle(document)
    assert vehicle.assumed == () and vehicle.rear.axle_ratio is None and vehicle.body.roll_inertia is None


def test_true_shock_lengths_move_the_tip_over():
    """Found with coils that pull: so held."""
    assert Climb(with_held_coils(reference_vehicle())).limits.tip_over_grade_deg == near(TIP_OVER_TRUE_DEG, abs=5e-4)


def test_each_missing_y_is_named_alone(document):
    """One number left out of one point, for each of the twelve: that key and no other; and each axle's own track."""
    del document["setups"]
    named = []
    for axle in ("rear", "front"):
        for part, points in document[axle].items():
            for name in [name for name in points if name.endswith("_end_mm")] if isinstance(points, dict) else []:
                whole = points[name]
                points[name] = [whole[0], whole[-1]]
                vehicle, key = parse_vehicle(document), f"{axle}.{part}.{name}"
                assert missing_in_space(vehicle) == [key]
                with pytest.raises(MissingDataError) as caught:
                    check_in_space(vehicle)
                assert key in str(caught.value) and str(caught.value).count("_end_mm") == 1
                points[name] = whole
                named.append(key)
    assert len(set(named)) == 12
    document["rear"]["track_width_mm"] = document.pop("track_width_mm")
    assert missing_in_space(parse_vehicle(document)) == ["front.track_width_mm"]


def test_every_missing_y_is_named_at_once(document):
    vehicle = parse_vehicle(without_y(document))
    missing = missing_in_space(vehicle)
    assert len(missing) == 12 and "front.shock.axle_end_mm" in missing and "rear.lower_link.chassis_end_mm" in missing
    with pytest.raises(MissingDataError, match="three numbers") as caught:
        check_in_space(vehicle)
    assert all(key in str(caught.value) for key in missing)
    del document["track_width_mm"]
    assert missing_in_space(parse_vehicle(document))[-1] == "track_width_mm"


def test_a_fifth_rod_is_refused(document):
    document["rear"]["lateral_link"] = dict(LATERAL)
    (fault,) = faults_of({name: value for name, value in document.items() if name != "setups"})
    assert fault.startswith("rear.lateral_link is the fifth rod of the rear axle")
    assert "take [rear.lateral_link] away" in fault and "single = true" in fault


def test_links_across_need_both_ends_and_three_numbers(document):
    single_upper(document)
    document["rear"]["lateral_link"] = {"chassis_end_mm": [-12, 74]}
    faults = faults_of(document)
    assert any("rear.lateral_link.chassis_end_mm has two numbers" in fault for fault in faults)
    assert any("rear.lateral_link.axle_end_mm is missing (mm)" in fault for fault in faults)
    document["rear"]["lateral_link"] = {"chassis_end_mm": [-12, 5, 74], "axle_end_mm": [-12, 5, 74]}
    (fault,) = faults_of(document)
    assert "a length of 0 mm" in fault


def test_parallel_links_leave_the_axle_free_sideways(document):
    for link in ("lower_link", "upper_link"):
        for end in ("chassis_end_mm", "axle_end_mm"):
            document["rear"][link][end][1] = 40
    vehicle = parse_vehicle(document)
    smallest, motion = hold_of_axle(vehicle, "rear")
    assert smallest < 1e-12 and motion == "sideways"
    assert Climb(vehicle).limits.tip_over_grade_deg > 60.0
    with pytest.raises(ModelError, match=r"rear: its links lie parallel in plan view.*add \[rear.lateral_link\]"):
        check_in_space(vehicle)


def test_three_rods_are_refused_in_space(document):
    single_upper(document)
    del document["rear"]["lateral_link"]
    vehicle = parse_vehicle(document)
    with pytest.raises(ModelError, match="rear: 3 rods leave the axle free"):
        check_in_space(vehicle)


@pytest.mark.parametrize(
    ("table", "key", "value", "said"),
    [
        ("rear", "axle_ratio", 0, "rear.axle_ratio = 0 but must be above 0; Turn both wheels"),
        ("front", "axle_ratio", -2.9, "front.axle_ratio = -2.9 but must be above 0"),
        ("drive", "shaft_turns", "left", 'drive.shaft_turns = "left" is none of "clockwise", "counterclockwise"'),
        ("rear", "shaft", "belt", 'rear.shaft = "belt" is none of "lengthwise", "none"'),
        ("front", "track_width_mm", 0, "front.track_width_mm = 0 mm but must be above 0 mm"),
        ("body", "roll_inertia_kg_mm2", -1, "body.roll_inertia_kg_mm2 = -1 kg mm2 but must be above 0"),
    ],
)
def test_impossible_values_name_key_number_and_remedy(document, table, key, value, said):
    document[table][key] = value
    faults = faults_of({name: item for name, item in document.items() if name != "setups"})
    assert any(fault.startswith(said) for fault in faults), faults


def test_switch_is_true_or_false(document):
    document["rear"]["upper_link"]["single"] = "yes"
    faults = faults_of(document)
    assert any("rear.upper_link.single is text but must be true or false" in fault for fault in faults)


# --- four readings


def weighed(document, corners):
    del document["setups"], document["body"]["mass_g"], document["body"]["centre_of_gravity_mm"]
    document["weighed"] = {"centre_of_gravity_height_mm": 73.6} | corners
    return document


CORNERS = {"rear_left_g": 640, "rear_right_g": 596, "front_left_g": 780, "front_right_g": 734}


def test_four_readings_give_the_side_offset(document):
    """Moments about the middle line: y = sum of (track / 2) (left - right) / total."""
    vehicle = parse_vehicle(weighed(document, CORNERS))
    total = sum(CORNERS.values())
    assert 1e3 * vehicle.mass == near(total)
    offset = 0.098 * (44 + 46) / total
    assert vehicle.body.side_offset * vehicle.body.mass == near(offset * 1e-3 * total)
    front = (780 + 734) / total
    x = (vehicle.body.mass * vehicle.body.centre_of_gravity[0] + vehicle.front.mass * vehicle.wheelbase) / vehicle.mass
    assert x / vehicle.wheelbase == near(front)


def test_axle_and_wheel_readings_that_disagree_are_doubted(document):
    vehicle = parse_vehicle(weighed(document, CORNERS | {"rear_g": 1236, "front_g": 1600}))
    assert len(vehicle.warnings) == 1
    assert "weighed.front_g = 1600 g but its wheels read 1514 g together" in vehicle.warnings[0]


def test_three_readings_are_not_four(document):
    (fault,) = faults_of(weighed(document, {name: g for name, g in CORNERS.items() if name != "front_right_g"}))
    assert "weighed.front_right_g is missing (g): one wheel alone says nothing" in fault


def test_four_readings_need_a_track(document):
    del document["track_width_mm"]
    (fault,) = faults_of(weighed(document, CORNERS))
    assert fault.startswith("track_width_mm is missing (mm): the readings of four wheels need it")


# --- what changes, errors and setups make of them


@pytest.mark.parametrize("kind", ["body", "weighed"])
def test_every_quantity_of_space_moves_its_vehicle_as_the_file_would(document, kind):
    """Shifting a number is reading the file with that number."""
    if kind == "weighed":
        weighed(document, CORNERS)
    else:
        single_upper(document)
    vehicle = parse_vehicle(document)
    plain = {q.id for q in quantities_of(vehicle)}
    spatial = [q for q in quantities_of(vehicle, space=True) if q.id not in plain]
    assert len(spatial) > 15 and any(q.axis == "y" for q in spatial)
    for quantity in spatial:
        shift = 0.01 * max(abs(quantity.value), 1.0)
        *path, name = quantity.key.split(".")
        text = load_vehicle("copy.toml", text=write_vehicle(document)).document
        table = text
        for part in path:
            table = table[part]
        if quantity.axis:
            table[name]["xyz".index(quantity.axis)] += shift
        else:
            table[name] += shift
        expected = parse_vehicle(text)
        shifted = shift_vehicle(vehicle, {quantity.id: shift * quantity.factor})
        for part in ("body", "rear", "front"):
            mine, other = getattr(shifted, part), getattr(expected, part)
            for field in mine.__dataclass_fields__:
                one, two = getattr(mine, field), getattr(other, field)
                if isinstance(one, float):
                    assert one == near(two, rel=1e-12, abs=1e-15), (quantity.name, field)
                elif hasattr(one, "chassis_end") and None not in one.axle_end:
                    assert one.chassis_end + one.axle_end == near(two.chassis_end + two.axle_end), quantity.name


def test_what_is_counted_is_exact_and_what_is_assumed_is_not(document):
    del document["front"]["axle_ratio"]
    vehicle = parse_vehicle(document)
    sources = {q.key: source_of(q, limits_of(vehicle), vehicle) for q in quantities_of(vehicle, space=True)}
    assert sources["rear.axle_ratio"] is None
    assert not sources["front.axle_ratio"].normal
    assert (sources["front.axle_ratio"].low, sources["front.axle_ratio"].high) == (near(-0.8), near(1.2))
    assert sources["track_width_mm"].high == near(1e-3)


def test_a_change_off_the_middle_moves_the_body_to_that_side(document):
    """Point mass joined (Steiner): y m / (M + m); roll inertia takes y2 + z2, yaw inertia x2 + y2."""
    document["changes"] = {
        "lead": {"add_g": 60, "at": "body", "place_mm": [200, 40, 100]},
        "wider": {"move_ends_by_mm": {"rear.shock.axle_end": [0, 15, 0]}},
    }
    vehicle = parse_vehicle(document)
    lead, wider = (apply_change(vehicle, change) for change in changes_of(vehicle))
    body, total = vehicle.body, vehicle.body.mass + 0.06
    assert lead.body.side_offset == near(0.06 * 0.04 / total)
    reduced = body.mass * 0.06 / total
    assert lead.body.roll_inertia == near(body.roll_inertia + reduced * (0.04**2 + (0.1 - 0.084) ** 2))
    assert lead.body.yaw_inertia == near(body.yaw_inertia + reduced * (0.04**2 + (0.2 - 0.178) ** 2))
    assert wider.rear.shock.axle_end == near((0.022, 0.067, 0.064))
    said = [change.describe() for change in changes_of(vehicle)]
    assert said == ["+60 g on the body at [200, 40, 100]", "rear shock axle end 15 mm outward"]


def test_kept_links_keep_their_true_length(document):
    """A setup that moves an end to the side leaves less of the link for the side view; its shock is longer."""
    document["setups"] = {
        "out": {"rear.upper_link.axle_end_mm": [8, 30, 87], "rear.shock.axle_end_mm": [22, 67, 64]},
        "up": {"rear.upper_link.axle_end_mm": [8, 99]},
    }
    base, out = parse_vehicle(document), parse_vehicle(document, setup="out")
    kept = link_length(out, "rear", "upper_link") ** 2 + (30e-3 - 47e-3) ** 2
    assert kept == near(true_length_of(base.rear.upper_link) ** 2, rel=1e-12)
    assert measured_shock_length(out, "rear") == true_length_of(base.rear.shock)
    assert kernel_parameters(out).rear.shock_across == near(23e-3)
    assert parse_vehicle(document, setup="up").rear.upper_link.axle_end == near((0.008, 0.019, 0.099))


def test_random_vehicles_are_held_in_space():
    for seed in range(50):
        check_in_space(random_vehicle_in_space(seed))
        assert hold_of_axle(random_vehicle_in_space(seed), "rear")[0] > WEAK_HOLD
