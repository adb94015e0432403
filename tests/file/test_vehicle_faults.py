"""The vehicle file: how faults and doubtful values are told."""

import pytest

from noseload.model import load_vehicle
from noseload.model.errors import VehicleFileError
from noseload.model.file.template import vehicle_template
from vehicle_text import CHECK, LEVEL_A, changed, faults_of, near, read


def test_all_faults_at_once_with_lines():
    text = CHECK.read_text()
    for old, new in (
        ("wheelbase_mm = 300", "wheelbase_mm = 0.3"),
        ("mass_g = 1600", 'mass_g = "1600"'),
        ("axle_mass_g = 520", "axle_mass_g = -520"),
        ("spring_rate_n_per_mm = 0.38\n", ""),
        ("rotor_inertia_kg_mm2", "rotor_inertia_kg_mm"),
        ("axle_end_mm = [288, 46]", "axle_end_mm = [288]"),
    ):
        text = changed(old, new, text)
    faults = faults_of(text)
    assert len(faults) == 6
    told = "\n".join(faults)
    for expected in (
        "line 2: wheelbase_mm = 0.3 mm but must be at least 20 mm; was it read in metres? 0.3 metres are 300 mm",
        "line 5: body.mass_g is text but must be a number in g without quotes",
        "rear.axle_mass_g = -520 g but must be above 0 g; Take the rear axle off",
        "rear.shock.spring_rate_n_per_mm is missing (N/mm)",
        "drive.rotor_inertia_kg_mm is no known key; the nearest known is drive.rotor_inertia_kg_mm2 (in kg mm2)",
        "front.lower_link.axle_end_mm is a list of 1 but must be a point [x, z] or [x, y, z] in mm",
    ):
        assert expected in told


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        ("wheelbase_mm = 300", "wheelbase_mm = 12", "was it read in inches? 12 inches are 304.8 mm"),
        ("wheelbase_mm = 300", "wheelbase_mm = true", "wheelbase_mm is true or false but must be a number in mm"),
        ("wheelbase_mm = 300", "wheelbase_mm = inf", "wheelbase_mm is not a finite number"),
        ("wheelbase_mm = 300", "wheelbase_mm = 1" + "0" * 400, "wheelbase_mm is not a finite number"),
        ("wheelbase_mm = 300", "wheelbase_mm = 1979-05-27", "wheelbase_mm is a date or time"),
        ('name = "check"', "name = 5", "name is a number but must be text in quotes"),
        ('"both"', '"all"', 'drive.driven_axles = "all" is none of "both", "rear", "front"'),
        ("[108, 47]", '[108, "47"]', "rear.lower_link.chassis_end_mm holds something else than finite numbers"),
        ("[108, 47]", "108", "rear.lower_link.chassis_end_mm is a number but must be a point"),
        ("[108, 47]", "[12, 46]", "rear.lower_link.axle_end_mm is the chassis end as well"),
        ("[158, 121]", "[158, -121]", "body.centre_of_gravity_mm lies -121 mm above the floor"),
        ("bump_travel_mm = 28", "bump_travel_mm = 100", "rear.shock.bump_travel_mm = 100 mm would push a shock"),
        ("[tyre]", '["tyre.x"]', 'tyre.x is written in quotes ("tyre.x")'),
        ("[drive]", "[[drive]]", "drive must be a table: a line [drive]"),
        ("[drive]", "[motor]", "motor is no known key"),
        ("mass_g = 1600", "mass_kg = 1.6", "body.mass_kg is no known key; the nearest known is body.mass_g (in g)"),
        ("wheelbase_mm = 300", "axle_mass_g = 300", "the nearest known is rear.axle_mass_g"),
        ("wheelbase_mm = 300", "zzz = 300", "zzz is no known key, and none is like it"),
        ("radius_mm = 55", "", "tyre.radius_mm and tyre.loaded_radius_mm are both missing"),
        ("radius_mm = 55", "radius_mm = 55\nloaded_radius_mm = 52", "and tyre.loaded_radius_mm are both given"),
        ("axle_mass_g = 520\n", "", "rear.axle_mass_g is missing (g): only [weighed] can do without it"),
    ],
)
def test_each_fault_names_its_key_and_remedy(old, new, expected):
    assert expected in "\n".join(faults_of(changed(old, new)))


def test_upper_link_in_line_with_the_lower():
    text = changed("[100, 80]\naxle_end_mm = [6, 84]", "[156, 47.5]\naxle_end_mm = [60, 46.5]")
    assert "rear.upper_link lies in one line with the lower link" in faults_of(text)[0]


def test_half_present_links_name_what_is_missing():
    lower = "[rear.lower_link]\nchassis_end_mm = [108, 47]\naxle_end_mm = [12, 46]\n"
    told = "\n".join(faults_of(LEVEL_A + lower))
    for part in ("rear.upper_link", "rear.shock", "front.lower_link", "front.upper_link", "front.shock"):
        assert f"{part} is missing though [rear.lower_link] is there" in told
    assert "rear.shock.spring_rate_n_per_mm" in told
    assert "rear.lower_link.axle_end_mm is missing" in "\n".join(faults_of(LEVEL_A + "[rear.lower_link]\n"))


def test_body_and_weighed_exclude_each_other():
    told = faults_of(CHECK.read_text() + LEVEL_A.partition("[tyre]")[0].partition("300\n")[2])
    assert any("body.mass_g stands beside [weighed]" in fault for fault in told)


@pytest.mark.parametrize(
    ("extra", "expected"),
    [
        ("[rear]\naxle_mass_g = 1400\n[front]\naxle_mass_g = 1400\n", "leaves -100 g for the body"),
        ("[rear]\naxle_mass_g = 900\n[front]\naxle_mass_g = 1000\n", None),
    ],
)
def test_axle_masses_beyond_the_weighed_total(extra, expected):
    if expected:
        assert expected in faults_of(LEVEL_A + extra)[0]
    else:
        assert read(LEVEL_A + extra).body.mass == near(0.8)
    low = LEVEL_A.replace("height_mm = 80", "height_mm = 12")
    assert "puts the body's own centre below the floor" in faults_of(low)[0]


def test_both_axles_take_the_same_radius_datum():
    told = faults_of(CHECK.read_text() + "\n[front.tyre]\nloaded_radius_mm = 52\n")
    assert "front.tyre.loaded_radius_mm is of another kind than the rear tyre's" in told[0]
    told = faults_of(changed("radius_mm = 55\n", "") + "\n[rear.tyre]\nradius_mm = 52\n")
    assert "front.tyre.radius_mm and front.tyre.loaded_radius_mm are both missing" in told[0]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("wheelbase_mm = 312,5\n", "line 1: `wheelbase_mm = 312,5`: this is not TOML"),
        ("wheelbase_mm = 312,5\n", "decimals take a point, not a comma"),
        ("\nwheelbase_mm = 300 mm\n", "line 2: `wheelbase_mm = 300 mm`"),
        ("wheelbase_mm = 300 mm\n", "write the number alone; the unit is part of the key"),
        ("[rear]\n[rear]\n", "line 2: `[rear]`"),
        ("a = 1\na = 2\n", "is there twice; keep one"),
        ('notes = "open', "line 1"),
        ("x = " + "[" * 5000, "brackets are nested too deeply"),
        ("x = 1" + "0" * 5000, "this is not TOML"),
    ],
)
def test_syntax_errors_tell_line_and_remedy(text, expected):
    faults = faults_of(text)
    assert len(faults) == 1 and expected in faults[0]


def test_files_that_cannot_be_read(tmp_path):
    for source, expected in (
        (tmp_path / "none.toml", "no such file; check the name"),
        (tmp_path, "is a folder; name the vehicle file in it"),
        (CHECK / "x.toml", "cannot be read: Not a directory"),
        ("a\0b", "cannot be read: embedded null byte"),
    ):
        with pytest.raises(VehicleFileError, match=expected):
            load_vehicle(source)
    large = tmp_path / "large.toml"
    large.write_bytes(b"#" * 1_000_001)
    with pytest.raises(VehicleFileError, match="is larger than 1 MB"):
        load_vehicle(large)
    latin = tmp_path / "latin.toml"
    latin.write_bytes(b"a = 1\n# Stra\xdfe\n")
    with pytest.raises(VehicleFileError, match="line 2: byte 0xdf is not UTF-8 text"):
        load_vehicle(latin)


def test_file_without_permission(monkeypatch):
    def refuse(*arguments):
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr("builtins.open", refuse)
    with pytest.raises(VehicleFileError, match="may not be read: permission denied"):
        load_vehicle("secret.toml")


# Warnings


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        ("[158, 121]", "[-20, 121]", "is -20 mm ahead of the rear wheel centre, outside the axles"),
        ("[100, 80]\naxle_end_mm = [6, 84]", "[100, 50]\naxle_end_mm = [6, 50]", "within 4.06 mm of the line"),
        ("radius_mm = 55", "radius_mm = 140", "the wheels nearly touch"),
        ("radius_mm = 55", "radius_mm = 20", "the wheels are tiny"),
        ("spring_rate_n_per_mm = 0.38", "spring_rate_n_per_mm = 380", "was it read in N/m? 380 N/m are 0.38 N/mm"),
        ("no_load_speed_rad_per_s = 28", "no_load_speed_rad_per_s = 400", "was it read in revolutions per minute?"),
        ("axle_end_mm = [288, 46]", "axle_end_mm = [12, 46]", "is 288.1 mm from the front wheel centre"),
        ("spring_rate_n_per_mm = 0.38", "spring_rate_n_per_mm = 0.38\nfree_length_mm = 90", "the spring would pull"),
        (
            "mass_g = 1600",
            "mass_g = 60000",
            "= 60000 g is unusual (400 to 8000 g); did a decimal point slip? 600 g would be usual",
        ),
        (
            "spring_rate_n_per_mm = 0.38",
            "spring_rate_n_per_mm = 47",
            "was it read in g/mm off a kitchen scale? 47 g/mm are 0.4609 N/mm",
        ),
        ("radius_mm = 55", "radius_mm = 112", "was the diameter read? half of it is 56 mm"),
    ],
)
def test_doubtful_values_warn(old, new, expected):
    warnings = read(changed(old, new)).warnings
    assert any(option in warning for warning in warnings for option in expected.split("|"))
    assert not load_vehicle(CHECK).warnings


def test_axle_heavier_than_its_reading_warns():
    vehicle = read(LEVEL_A + "[rear]\naxle_mass_g = 1250\n[front]\naxle_mass_g = 500\n")
    assert "rear.axle_mass_g = 1250 g is more than weighed.rear_g = 1200 g" in vehicle.warnings[-1]


def test_a_misspelt_table_is_one_fault():
    """All its keys stood there too: they were told as missing, five faults for one letter."""
    with pytest.raises(VehicleFileError) as caught:
        read(changed("[rear.shock]", "[rear.shok]"))
    assert len(caught.value.faults) == 1 and "nearest known is rear.shock" in caught.value.faults[0]


def test_lines_that_are_no_toml_are_told_together():
    text = changed("mass_g = 1600", "mass_g = 1600 g").replace(
        "spring_rate_n_per_mm = 0.38", "spring_rate_n_per_mm = 0,38"
    )
    with pytest.raises(VehicleFileError) as caught:
        read(text)
    assert len(caught.value.faults) == 2
    assert "the unit is part of the key" in caught.value.faults[0]
    assert "decimals take a point" in caught.value.faults[1]


def test_a_tenfold_spring_is_doubted_by_what_rests_on_it():
    """5.6 N/mm is some vehicle's, but gives 1.2 mm under 700 g: 0.00070 x 9807 / 5.6; the starter's own 0.32 gives 21 mm."""
    text = vehicle_template("B")
    assert "spring_rate_n_per_mm = 0.32" in text and "rear_g = 1170" in text and "axle_mass_g = 490" in text
    assert not [
        doubt for doubt in load_vehicle("b.toml", text=text).warnings if "spring" in doubt and "rest on it" in doubt
    ]
    stiff = load_vehicle("b.toml", text=text.replace("spring_rate_n_per_mm = 0.32", "spring_rate_n_per_mm = 5.6"))
    (doubt,) = [doubt for doubt in stiff.warnings if "rest on it" in doubt]
    assert doubt.startswith(
        "rear.shock.spring_rate_n_per_mm = 5.6 N/mm gives only 1.2 mm under the 680 g that rest on it"
    )
    assert doubt.endswith("0.56 N/mm would be usual")
