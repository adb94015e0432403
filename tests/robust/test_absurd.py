"""Files that nobody writes end at once with a clear error; numbers that nothing can have are refused."""

import time

import numpy as np
import pytest

from noseload import load_vehicle, punch
from noseload.__main__ import main
from noseload.commands.measuring.output import demo_readings
from noseload.csv_input import ReadingsFileError, parse_readings
from noseload.demo import DEMO
from noseload.model import parse_vehicle
from noseload.model.errors import VehicleFileError
from noseload.model.file.key import unit_hint
from noseload.model.file.keys import KEYS
from noseload.model.file.limits import bounds_of, depth_of
from noseload.studies.measuring.readings import READINGS_LAYOUT
from noseload.studies.punch import options as punch_options
from noseload.studies.punch.programs import ProgramFileError, read_program
from noseload.studies.weighing.layout import WEIGH_LAYOUT

BAD_INPUT = 2
SECONDS = 5.0
"""Of the processor; the slowest of these takes half a second on a quiet core, and took over 100 s."""
with open(DEMO, encoding="utf-8") as demo_file:
    TEXT = demo_file.read()
with open(demo_readings("weighing.csv"), encoding="utf-8") as readings_file:
    READINGS = readings_file.read()

VEHICLES = {
    "lists in lists": (TEXT + f"\nx = {'[' * 1000}{']' * 1000}\n", "nested too deeply"),
    "tables in tables": (TEXT + f"\nx = {'{a=' * 1000}1{'}' * 1000}\n", "nested too deeply"),
    "dotted key": (TEXT + "\n" + ".".join("a" * 300) + " = 1\n", "nested too deeply"),
    "longer key": (TEXT + "\n" + ".".join("a" * 200_000) + " = 1\n", "line 103: is 400003 characters long"),
    "digits": (TEXT.replace("wheelbase_mm = 318", f"wheelbase_mm = {'9' * 5000}"), "number of thousands of digits"),
    "hexadecimal": (TEXT.replace("wheelbase_mm = 318", f"wheelbase_mm = 0x{'f' * 5000}"), "not a finite number"),
    "tables": ("".join(f"[t{k}]\n" for k in range(90_000)), "has 90001 lines"),
    "keys": ("".join(f"key_{k} = 1\n" for k in range(40_000)), "has 40001 lines"),
    "fewer keys": ("".join(f"key_{k} = 1\n" for k in range(4_900)), "more like these"),
    "setups": (TEXT + "".join(f'[setups.s{k}]\n"no" = 1\n' for k in range(2_000)), "more like these"),
    "nothing": ("\0" * 1000, "this is not TOML"),
}


@pytest.mark.parametrize("name", VEHICLES)
def test_absurd_vehicle_files_end_at_once(capsys, tmp_path, name):
    text, message = VEHICLES[name]
    file = tmp_path / "car.toml"
    file.write_text(text)
    start = time.process_time()
    assert main(["describe", str(file)]) == BAD_INPUT
    assert time.process_time() - start < SECONDS
    out, err = capsys.readouterr()
    assert out == "" and message in err and len(err) < 20_000


ABSURD_READINGS = {
    "setting": (f"# x = {'[' * 1000}{']' * 1000}\n{READINGS}", "setting x is not known"),
    "digits": (f"# track_error_mm = {'9' * 5000}\n{READINGS}", "is not a finite number"),
    "rows": (READINGS + "\n1,2,3" * 300_000, "lines; no such file has more than 100000"),
    "columns": (",".join("a" for _ in range(4000)) + "\n1\n", "more like these"),
}


@pytest.mark.parametrize("name", ABSURD_READINGS)
def test_absurd_readings_end_at_once(capsys, tmp_path, name):
    text, message = ABSURD_READINGS[name]
    file = tmp_path / "rows.csv"
    file.write_text(text)
    start = time.process_time()
    assert main(["weigh", str(file)]) == BAD_INPUT
    assert time.process_time() - start < SECONDS
    out, err = capsys.readouterr()
    assert out == "" and message in err and len(err) < 100_000


def test_absurd_documents_of_a_trial_end_at_once(capsys, tmp_path):
    (tmp_path / "plan.json").write_text("[" * 100_000)
    assert main(["trial", "read", str(tmp_path)]) == BAD_INPUT
    (tmp_path / "p.json").write_text("[" * 100_000)
    assert (
        main(["trial", "plan", "--change", "raised_and_reset", "--predicted", str(tmp_path / "p.json"), "--size-only"])
        == BAD_INPUT
    )
    assert capsys.readouterr().err.count("nested too deeply") == 2


def test_depth_is_counted_without_going_down():
    assert depth_of({}) == 1 and depth_of({"a": [{"b": 1}]}) == 3 and depth_of(5) == 1


def test_every_number_of_a_vehicle_file_has_bounds():
    """`most` was infinite: a wheelbase of 1e155 mm overflowed, a grip of 5e-324 divided by zero."""
    numbers = [key for key in KEYS.values() if key.kind == "number"]
    assert len(numbers) > 40
    for key in numbers:
        low, high = bounds_of(key)
        assert np.isfinite(high) and low >= 0.0 and (low > 0.0 or not key.above), key.dotted
        assert low <= key.usual[0] and key.usual[1] <= high, key.dotted


@pytest.mark.parametrize(
    ("line", "changed", "message"),
    [
        (
            "wheelbase_mm = 318",
            "wheelbase_mm = 1e155",
            "wheelbase_mm = 1e+155 mm is no model vehicle's: from 20 to 5000 mm",
        ),
        ("grip_coefficient = 2.4", "grip_coefficient = 5e-324", "from 0.015 to 80"),
        ("stop_stiffness_n_per_mm = 22", "stop_stiffness_n_per_mm = 1e300", "from 0.01 to 50000 N/mm"),
        ("axle_mass_g = 510", "axle_mass_g = 0.001", "axle_mass_g = 0.001 g is no model vehicle's: from 5 to 50000 g"),
        ("chassis_end_mm = [122, 38, 61]", "chassis_end_mm = [1e9, 61]", "holds 1e+09 mm, which is no model vehicle's"),
    ],
)
def test_numbers_that_nothing_can_have_are_refused(line, changed, message):
    assert line in TEXT
    with pytest.raises(VehicleFileError) as caught:
        load_vehicle("car.toml", text=TEXT.replace(line, changed, 1))
    assert message in str(caught.value)


@pytest.mark.parametrize("end", ["rear.lower_link", "rear.shock", "front.upper_link"])
def test_a_chassis_end_in_centimetres_is_doubted(end):
    import tomllib

    document = tomllib.loads(TEXT)
    axle, part = end.split(".")
    assert not [warning for warning in parse_vehicle(document).warnings if "chassis_end" in warning]
    point = document[axle][part]["chassis_end_mm"]
    document[axle][part]["chassis_end_mm"] = [0.1 * value for value in point]
    document.pop("setups")
    try:
        told = parse_vehicle(document).warnings
    except VehicleFileError as error:
        told = error.faults
    assert any(f"{end}.chassis_end_mm" in words and "was it read in centimetres?" in words for words in told)


@pytest.mark.parametrize("cell", ["1e-300", "-5", "250000"])
def test_impossible_readings_are_refused(cell):
    lines = READINGS.splitlines()
    place = next(n for n, line in enumerate(lines) if line.startswith("level"))
    cells = lines[place].split(",")
    cells[3] = cell
    lines[place] = ",".join(cells)
    with pytest.raises(
        ReadingsFileError, match=f"row {place + 1}, column front_g: {float(cell):g} g (is no reading of|must be)"
    ):
        parse_readings("\n".join(lines), WEIGH_LAYOUT)


def test_board_angles_lie_within_what_a_board_does():
    assert [(column.low, column.high) for column in READINGS_LAYOUT.columns if column.name == "grade_deg"] == [
        (-85, 85)
    ]
    assert [column.high for column in WEIGH_LAYOUT.columns if column.name == "angle_deg"] == [85]


def test_a_point_among_decimal_commas_is_told(tmp_path):
    """With semicolons, 1.513 was read as 1.513 g where 1513 g was meant."""
    lines = [
        line if line.startswith("#") else line.replace(",", ";").replace(".", ",") for line in READINGS.splitlines()
    ]
    assert any(";" in line and "," in line for line in lines)
    good = parse_readings("\n".join(lines), WEIGH_LAYOUT)
    assert len(good) == len(parse_readings(READINGS, WEIGH_LAYOUT))
    place = next(n for n, line in enumerate(lines) if ";" in line and not line.startswith(("#", "kind")))
    cells = lines[place].split(";")
    cells[3] = "1.513"
    lines[place] = ";".join(cells)
    with pytest.raises(ReadingsFileError, match=f"row {place + 1}: 1.513 has a point where .* is it 1,513 or 1513"):
        parse_readings("\n".join(lines), WEIGH_LAYOUT)


def test_programs_take_semicolons_and_tabs_and_have_bounds(tmp_path):
    file = tmp_path / "program.csv"
    for separator in (";", "\t"):
        file.write_text(f"time_s{separator}throttle\n0{separator}0,25\n0,5{separator}1\n")
        program = read_program(file, quantity="throttle")
        assert (program.times, program.values) == ((0.0, 0.5), (0.25, 1.0))
    for text, message in (
        ("time_s,grip_factor\n0,1e300\n", "1e.300 must lie between 0 and 100"),
        ("time_s,grip_factor\n1e300,1\n", "a program lasts seconds"),
        ("time_s;grip_factor\n0;0,5\n0.1;1\n", "0.1 has a point where other numbers"),
    ):
        file.write_text(text)
        with pytest.raises(ProgramFileError, match=message):
            read_program(file, quantity="grip_factor")


def test_a_punch_that_takes_too_many_steps_keeps_what_it_has(monkeypatch, capsys):
    """Axles of 0.001 g took 16 to 90 s and gave nothing."""
    from dataclasses import replace

    for name, options in punch_options.TOLERANCES.items():
        monkeypatch.setitem(punch_options.TOLERANCES, name, replace(options, most_steps=60))
    result = punch(load_vehicle(DEMO), grade_deg=35.0)
    assert result.status == "out_of_steps" and not result.success
    assert 0.1 < result.time_s[-1] < 0.9 and result.front_load_n.size == result.time_s.size
    assert "after 60 steps of" in result.message and "swing too fast to follow" in result.message
    assert result.summary["outcome"] == "undecided" and result.to_dict()["message"] == result.message
    assert main(["punch", "--grade", "35"]) == 3
    out = capsys.readouterr().out
    assert "status: out_of_steps - stopped at" in out and "front axle in the air" in out
    assert "not followed to its end" in out


@pytest.mark.slow
def test_a_punch_of_parts_too_stiff_ends():
    from noseload.model.file.reader import change_vehicle

    vehicle = load_vehicle(DEMO)
    stiff = change_vehicle(
        vehicle,
        {"tyre.vertical_stiffness_n_per_mm": 3400, "rear.axle_mass_g": 5, "rear.housing_pitch_inertia_kg_mm2": 0.05},
    )
    start = time.process_time()
    result = punch(stiff, grade_deg=20.0)
    assert time.process_time() - start < 40.0
    assert result.status in ("ok", "out_of_steps", "start_not_held")


@pytest.mark.parametrize("value", [5e-324, -5e-324, 1e-320])
def test_the_smallest_numbers_there_are_are_answered_in_words(value):
    """Of a smallest number the share of a middle is 0, and its logarithm was asked for."""
    assert all(isinstance(unit_hint(key, value), str) for key in KEYS.values() if key.kind == "number")
