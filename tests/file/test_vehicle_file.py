"""The vehicle file: what is read, what is assumed, and how faults are told."""

import dataclasses
import hashlib
import subprocess
import sys
from dataclasses import FrozenInstanceError

import pytest

from noseload.model import change_vehicle, check_provides, load_vehicle, parse_vehicle
from noseload.model.errors import MissingDataError, ModelError, VehicleFileError
from noseload.model.file.build import _Filler
from noseload.model.file.defaults import Sizes
from noseload.model.file.geometry import known_wheel_centre_height
from noseload.model.file.keys import KEYS, numbers_in
from noseload.model.vehicle import Body, Drive, Shock, Tyre
from vehicle_text import CHECK, DATA, LEVEL_A, changed, faults_of, near, read

# What is read


def test_numbers_arrive_in_si():
    vehicle = load_vehicle(CHECK)
    assert (vehicle.name, vehicle.level, vehicle.setup, vehicle.setups) == ("check", "C", "base", ())
    assert vehicle.wheelbase == near(0.3)
    assert vehicle.mass == near(2.7)
    assert vehicle.body.centre_of_gravity == near((0.158, 0.121))
    assert vehicle.body.pitch_inertia == near(0.0135)
    assert vehicle.rear.tyre.radius == near(0.055) and vehicle.rear.tyre.loaded_radius is None
    assert vehicle.front.tyre.vertical_stiffness == near(3600.0)
    assert vehicle.front.tyre.slip_speed == near(0.02)
    assert vehicle.rear.upper_link.axle_end == (near(0.006), None, near(0.084))
    assert vehicle.front.shock.spring_rate == near(360.0)
    assert vehicle.front.shock.damping == near(10.0)
    assert vehicle.rear.shock.droop_travel == near(0.018)
    assert vehicle.rear.shock.stop_stiffness == near(20000.0)
    assert vehicle.drive.stall_torque == near(2.6)
    assert vehicle.drive.rotor_inertia == near(2.4e-4)
    assert vehicle.drive.front_overdrive == 1.0
    assert [item.key for item in vehicle.assumed] == ["drive.drag_brake_torque_n_mm"]
    assert vehicle.sha256 == hashlib.sha256(CHECK.read_bytes()).hexdigest()
    with pytest.raises(FrozenInstanceError, match="wheelbase"):
        vehicle.wheelbase = 1.0


def test_repr_is_one_short_line():
    expected = "<Vehicle 'check', setup 'base', level C: 2.700 kg, wheelbase 300.0 mm, 1 assumed, 0 warnings>"
    assert repr(load_vehicle(CHECK)) == expected


def test_y_of_points_is_kept():
    vehicle = read(changed("axle_end_mm = [6, 84]", "axle_end_mm = [6, 21, 84]"))
    assert vehicle.rear.upper_link.axle_end == near((0.006, 0.021, 0.084))


def test_byte_order_mark_and_windows_line_ends_are_read(tmp_path):
    file = tmp_path / "windows.toml"
    file.write_bytes(b"\xef\xbb\xbf" + CHECK.read_bytes().replace(b"\n", b"\r\n"))
    assert load_vehicle(file) == load_vehicle(CHECK)


def test_per_axle_tyre_overrides_key_by_key():
    vehicle = read(CHECK.read_text() + "\n[front.tyre]\nradius_mm = 57\ngrip_coefficient = 1.5\n")
    assert vehicle.front.tyre.radius == near(0.057)
    assert vehicle.front.tyre.grip_coefficient == 1.5
    assert vehicle.front.tyre.vertical_stiffness == vehicle.rear.tyre.vertical_stiffness
    assert vehicle.rear.tyre.grip_coefficient == 2.0


def test_drive_overrides_the_file():
    assert load_vehicle(CHECK, drive="rear").drive.driven_axles == "rear"
    with pytest.raises(ModelError, match=r"drive = 'all' is none of both, rear, front"):
        load_vehicle(CHECK, drive="all")


def test_document_is_a_copy():
    document = load_vehicle(CHECK).document
    vehicle = parse_vehicle(document)
    document["rear"]["axle_mass_g"] = 1
    assert vehicle.document["rear"]["axle_mass_g"] == 520


def test_reading_imports_nothing_heavy():
    """Start-up is what a user waits for most often; difflib and the writer are for faults alone."""
    heavy = "'numpy','scipy','sympy','hashlib','difflib','tempfile','pathlib','noseload.model.file.writer'"
    code = f"""
import sys
before = set(sys.modules)  # an editable installation brings modules of its own
from model import load_vehicle
load_vehicle({str(CHECK)!r})
print([name for name in ({heavy}) if name in sys.modules and name not in before])
"""
    command = [sys.executable, "-c", code]
    found = subprocess.run(command, capture_output=True, text=True, check=True, cwd=DATA.parents[1])
    assert found.stdout.strip() == "[]"


# Levels and assumed values


def test_level_a_has_no_links():
    vehicle = read(LEVEL_A)
    assert vehicle.level == "A"
    for axle in (vehicle.rear, vehicle.front):
        assert axle.lower_link is axle.upper_link is axle.shock is None
        assert axle.tyre.wheel_centre_height == near(0.055)


@pytest.mark.parametrize("axle_masses", ["", "[rear]\naxle_mass_g = 430\n[front]\naxle_mass_g = 610\n"])
def test_weighed_totals_are_right_whatever_the_axle_masses(axle_masses):
    """First and second moments by definition of the centre of gravity: b = L front / M, h as given."""
    vehicle = read(LEVEL_A + axle_masses)
    parts = [
        (vehicle.body.mass, *vehicle.body.centre_of_gravity),
        (vehicle.rear.mass, 0.0, 0.055),
        (vehicle.front.mass, 0.3, 0.055),
    ]
    assert vehicle.mass == near(2.7)
    assert sum(m * x for m, x, _ in parts) / 2.7 == near(0.3 * 1500 / 2700)
    assert sum(m * z for m, _, z in parts) / 2.7 == near(0.080)
    assumed = [item.key for item in vehicle.assumed]
    assert ("rear.axle_mass_g" in assumed) == (not axle_masses)


def test_level_follows_from_what_is_given():
    text = CHECK.read_text()
    assert read(changed("stall_torque_n_mm = 2600\n", "")).level == "B"
    without_damping = text.replace("damping_n_s_per_m = 10\ndroop", "droop")
    vehicle = read(without_damping)
    assert vehicle.level == "B"
    assert vehicle.assumption("front.shock.damping_n_s_per_m").unit == "N s/m"
    assert vehicle.assumption("body.mass_g") is None


def test_assumed_values_carry_range_and_reason():
    vehicle = read(LEVEL_A)
    for item in vehicle.assumed:
        assert item.low <= item.value <= item.high, item.key
        assert KEYS[item.key].unit == item.unit
        assert len(item.reason) > 20, item.key
    grip = vehicle.assumption("tyre.grip_coefficient")
    # Common practice, no source: such vehicles climb some 60 to 65 deg of grip tape, tan 64 deg = 2.05.
    assert (grip.value, grip.low < 2.05 < grip.high) == (2.2, True)
    assert vehicle.rear.tyre.grip_coefficient == vehicle.front.tyre.grip_coefficient == 2.2


def test_rotor_default_is_that_of_a_can_and_its_ratio():
    """Solid cylinder m r2 / 2 (any mechanics handbook) of 80 g, 11 mm through 40:1: 7,744 kg mm2 at most."""
    item = read(LEVEL_A).assumption("drive.rotor_inertia_kg_mm2")
    solid = 0.5 * 0.080 * 11.0**2 * 40.0**2
    assert solid == pytest.approx(7744.0)
    assert 0.6 * solid < item.value < solid
    assert item.low < 5000.0 and 8000.0 < item.high


def test_body_inertia_default_is_a_box():
    """Uniform box, m (a2 + b2) / 12 (any mechanics handbook): 1.6 kg, 300 mm by 100 mm."""
    vehicle = read(changed("pitch_inertia_kg_mm2 = 13500\n", ""))
    assert vehicle.body.pitch_inertia == pytest.approx(1.6 * (0.3**2 + 0.1**2) / 12.0, rel=5e-3)
    assert vehicle.assumption("body.pitch_inertia_kg_mm2").low < 13500 < 22000


def test_tyre_default_of_one_axle_alone_is_marked_for_that_axle():
    text = changed("grip_coefficient = 2\n", "") + "\n[rear.tyre]\ngrip_coefficient = 1.8\n"
    vehicle = read(text)
    assert [item.key for item in vehicle.assumed if "grip" in item.key] == ["front.tyre.grip_coefficient"]
    assert (vehicle.rear.tyre.grip_coefficient, vehicle.front.tyre.grip_coefficient) == (1.8, 2.2)


# Setups

RAISED = """
[setups.raised]
"rear.upper_link.axle_end_mm" = [6, 100]
"""


def test_setup_changes_its_lines_alone():
    text = changed("axle_end_mm = [6, 84]", "axle_end_mm = [6, 21, 84]") + RAISED
    base, raised = read(text), read(text, setup="raised")
    assert base.setups == raised.setups == ("raised",)
    assert raised.base == base and (raised.setup, base.setup) == ("raised", "base")
    assert (raised.link_lengths, raised.ride_height) == ("kept", "springs_decide")
    assert raised.rear.upper_link.axle_end == near((0.006, 0.021, 0.1))
    assert raised.rear.lower_link == base.rear.lower_link and raised.front == base.front
    assert raised.document["rear"]["upper_link"]["axle_end_mm"] == [6, 21, 100]
    assert base.document["rear"]["upper_link"]["axle_end_mm"] == [6, 21, 84]
    assert read(text, setup="base") == base


def test_setup_lines_may_lack_their_quotes():
    bare = RAISED.replace('"', "")
    assert read(CHECK.read_text() + bare, setup="raised") == read(CHECK.read_text() + RAISED, setup="raised")


def test_setup_words():
    words = '\nlink_lengths = "fitted"\nride_height = "reset"\n'
    raised = read(CHECK.read_text() + RAISED.replace("]\n", "]" + words, 1), setup="raised")
    assert (raised.link_lengths, raised.ride_height) == ("fitted", "reset")


def test_setup_inherits_assumed_values_of_the_base():
    """A stiffer spring must not bring another assumed damping along: the setup alone may differ."""
    text = CHECK.read_text().replace("damping_n_s_per_m = 10\ndroop", "droop")
    text += '[setups.stiff]\n"rear.shock.spring_rate_n_per_mm" = 0.9\n'
    assert read(text, setup="stiff").assumed == read(text).assumed
    assert read(text, setup="stiff").rear.shock.damping == read(text).rear.shock.damping


def test_setup_may_add_what_the_base_assumes():
    text = changed("rotor_inertia_kg_mm2 = 240\n", "") + '[setups.light]\n"drive.rotor_inertia_kg_mm2" = 100\n'
    light = read(text, setup="light")
    assert light.drive.rotor_inertia == near(1e-4)
    assert light.assumption("drive.rotor_inertia_kg_mm2") is None


def test_drive_of_a_setup_overrides_its_base_too():
    raised = read(CHECK.read_text() + RAISED, setup="raised", drive="front")
    assert raised.drive.driven_axles == raised.base.drive.driven_axles == "front"


@pytest.mark.parametrize(
    ("lines", "expected"),
    [
        ("[setups.base]\n", 'setups.base is reserved: "base" names the file as written'),
        ('[setups.x]\n"rear.uper_link.axle_end_mm" = [6, 90]\n', "the nearest known is rear.upper_link.axle_end_mm"),
        ('[setups.x]\nlink_length = "kept"\n', "the nearest known is link_lengths"),
        ('[setups.x]\nlink_lengths = "long"\n', 'setups.x.link_lengths = "long" must be "kept" or "fitted"'),
        ("[setups.x]\nride_height = 5\n", 'setups.x.ride_height = 5 must be "springs_decide" or "reset"'),
        ('[setups.x]\n"body.mass_g" = -5\n', 'setups.x."body.mass_g" = -5 g but must be above 0 g'),
        ('[setups.x]\nname = "y"\n', "cannot be changed by a setup"),
        ("[setups]\nx = 5\n", "setups.x must be a table"),
        ('[setups." "]\n', "setups holds the setup name ' '"),
        ("[setups.x.rear]\n", 'setups.x."rear" is no known key'),
        (
            '[setups.x]\n"rear.upper_link.axle_end_mm" = [-250, 84]\n',
            'setups.x."rear.upper_link.axle_end_mm"|cannot close with kept lengths',
        ),
        (
            '[setups.x]\nlink_lengths = "fitted"\n"rear.upper_link.chassis_end_mm" = [6, 84]\n',
            "line 71: setups.x: rear.upper_link.axle_end_mm is the chassis end as well",
        ),
    ],
)
def test_setup_faults(lines, expected):
    told = "\n".join(faults_of(CHECK.read_text() + "\n" + lines))
    assert any(option in told for option in expected.split("|"))


def test_links_that_cannot_close_may_be_fitted():
    far = '[setups.x]\nlink_lengths = "fitted"\n"rear.upper_link.axle_end_mm" = [-250, 84]\n'
    assert read(CHECK.read_text() + far, setup="x").link_lengths == "fitted"


def test_loop_closes_exactly_up_to_its_longest_bar():
    """A four-bar closes if and only if its longest bar is at most the sum of the others (Euclid I.20)."""
    # Lower link 96.005 mm, upper 94.085 mm, chassis ends 33.956 mm apart: the axle ends may be up to
    # 224.046 mm apart. The lower axle end lies at [12, 46], so the upper one at [12, 46 + gap].
    lower, upper, gap = (96**2 + 1) ** 0.5, (94**2 + 4**2) ** 0.5, (8**2 + 33**2) ** 0.5
    for extra, closes in ((-1e-3, True), (1e-3, False)):
        line = f'[setups.x]\n"rear.upper_link.axle_end_mm" = [12, {46 + lower + upper + gap + extra}]\n'
        if closes:
            assert read(CHECK.read_text() + line, setup="x").setup == "x"
        else:
            assert "cannot close with kept lengths" in faults_of(CHECK.read_text() + line)[0]


def test_setup_of_a_part_the_file_lacks():
    text = LEVEL_A + '[setups.x]\n"rear.shock.spring_rate_n_per_mm" = 0.4\n'
    assert "changes a part the file does not have; add [rear.shock] to the file" in faults_of(text)[0]


def test_setups_that_are_no_table():
    assert "setups must hold tables" in faults_of("setups = 5\n" + CHECK.read_text())[0]


def test_unknown_setup_is_answered_with_the_nearest():
    text = CHECK.read_text() + RAISED
    with pytest.raises(ModelError, match=r'no setup "rased"; the file has raised; did you mean "raised"\?'):
        read(text, setup="rased")
    with pytest.raises(ModelError, match=r"the file has none; ready-made .*; or add a table \[setups.x\] to the file"):
        load_vehicle(CHECK, setup="x")


def test_setup_warnings_are_its_own():
    text = CHECK.read_text() + '[setups.x]\n"body.mass_g" = 60000\n'
    assert not read(text).warnings
    assert "setups.x: body.mass_g = 60000 g is unusual" in read(text, setup="x").warnings[0]


# Tables for later work


def test_uncertainty_and_changes_are_kept():
    text = (
        CHECK.read_text() + '\n[uncertainty]\n"rear.axle_mass_g" = 2\n[changes.lead]\nadd_g = 30\nat = "front_wheels"\n'
    )
    vehicle = read(text)
    assert vehicle.document["uncertainty"] == {"rear.axle_mass_g": 2}
    assert vehicle.document["changes"] == {"lead": {"add_g": 30, "at": "front_wheels"}}
    for wrong, expected in (
        ("uncertainty = 5\n", "uncertainty must be a table"),
        ("changes = 5\n", "changes must hold tables"),
        ("changes.x = 5\n", "changes.x must be a table"),
    ):
        assert expected in faults_of(wrong + CHECK.read_text())[0]


# Changing and needing


def test_change_vehicle_keeps_setup_drive_and_assumed():
    text = CHECK.read_text().replace("damping_n_s_per_m = 10\ndroop", "droop") + RAISED
    raised = read(text, setup="raised", drive="rear")
    heavier = change_vehicle(raised, {"body.mass_g": 1700, "rear.shock.spring_rate_n_per_mm": 0.5})
    assert heavier.body.mass == near(1.7) and heavier.base.body.mass == near(1.7)
    assert (heavier.setup, heavier.drive.driven_axles) == ("raised", "rear")
    assert heavier.rear.upper_link == raised.rear.upper_link
    assert heavier.assumed == raised.assumed
    assert change_vehicle(raised, {}) == raised
    assert change_vehicle(raised, {"drive.driven_axles": "front"}).drive.driven_axles == "front"
    moved = change_vehicle(raised, {"rear.shock.damping_n_s_per_m": 5})
    assert moved.assumption("rear.shock.damping_n_s_per_m") is None
    with pytest.raises(ModelError, match=r"cannot change it: body\.mas_g is no known key; .* body\.mass_g \(in g\)"):
        change_vehicle(raised, {"body.mas_g": 1})
    with pytest.raises(VehicleFileError, match="must be above 0 g"):
        change_vehicle(raised, {"body.mass_g": -1})


def test_commands_name_what_they_lack():
    check_provides(load_vehicle(CHECK), ["links", "springs", "motor", "damping"], command="punch")
    vehicle = read(LEVEL_A)
    with pytest.raises(MissingDataError, match="`sweep` needs links, and this level A file lacks") as caught:
        check_provides(vehicle, ["links"], command="sweep")
    told = str(caught.value)
    assert "rear.lower_link.chassis_end_mm (mm): Ruler to the bolt" in told
    assert "noseload new --level B FILE" in told
    with pytest.raises(MissingDataError, match="noseload new --level C FILE"):
        check_provides(vehicle, ["springs", "motor"], command="punch")
    with pytest.raises(MissingDataError, match=r"track_width_mm \(mm\)"):
        check_provides(vehicle, ["track_width_mm"], command="draw")
    with pytest.raises(ModelError, match="a command cannot need 'wings'"):
        check_provides(vehicle, ["wings"], command="fly")


def test_a_lazy_name_that_is_not_there():
    import model

    assert "load_vehicle" in dir(model)
    with pytest.raises(AttributeError, match="has no attribute 'load_car'"):
        model.load_car  # noqa: B018


def test_what_cannot_be_built_says_what_is_missing():
    """Callers who build without the checks of the reader are told, not met by an operator's error."""
    with pytest.raises(ModelError, match="neither radius nor loaded_radius; give one"):
        _ = Tyre(None, None, 5e3, 5.0, 1.5, 0.02, 0.1).wheel_centre_height
    with pytest.raises(ModelError, match=r"wheelbase_mm has no default; give it in the file"):
        _Filler({}, {}).take("wheelbase_mm", Sizes(3000.0, 300.0, 60.0))
    with pytest.raises(ModelError, match=r"front: no tyre radius is known; give tyre\.radius_mm"):
        known_wheel_centre_height({}, "front")


@pytest.mark.parametrize(("table", "part"), [("body", Body), ("tyre", Tyre), ("rear.shock", Shock), ("drive", Drive)])
def test_every_number_of_a_part_fills_a_field_of_its_name(table, part):
    """Building and shifting go by that name: a key without a field would be read and lost."""
    fields = {field.name for field in dataclasses.fields(part)}
    assert numbers_in(table) and set(numbers_in(table)) <= fields
