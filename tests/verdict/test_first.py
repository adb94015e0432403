"""First sentences word by word: every number is the result's, rounded; every word follows from its sign."""

import re
from dataclasses import replace

import pytest

from noseload.__main__ import main
from noseload.demo import DEMO
from noseload.model import load_vehicle
from noseload.model.file.reader import parse_vehicle
from noseload.studies.bench.bench import compare_bench
from noseload.studies.climb.modes import standing_modes
from noseload.studies.climb.sweep import climb_of
from noseload.studies.links.links import links
from noseload.studies.punch.punch import punch
from noseload.studies.verdict.first import (
    assumed_end_sentence,
    assumed_stall,
    bench_sentence,
    creep_sentence,
    limit_sentence,
    links_sentence,
    modes_sentence,
    punch_sentence,
    survey_sentence,
)
from random_vehicles import random_vehicle

VEHICLES = 50
G = 1000.0 / 9.80665
HALF_G, HALF_TENTH = 0.5001, 0.05001
CREEP = re.compile(r"The front axle carries (\d+) g of (\d+) g standing(?:: (.*?))?\.")
PART = re.compile(r"(the grade|attitude \(squat, pitch\)) (adds|takes) (\d+) g")


def check_creep(row):
    """The sentence of a row against its numbers."""
    sentence = creep_sentence(row)
    if row.front_load_n is None:
        assert sentence.startswith("No steady crawl at ")
        return
    said = CREEP.match(sentence)
    assert abs(int(said[1]) - row.front_load_n * G) <= HALF_G
    assert abs(int(said[2]) - row.budget["standing_n"] * G) <= HALF_G
    parts = {"the grade": row.budget["grade_n"] * G, "attitude (squat, pitch)": row.budget["attitude_n"] * G}
    told = {name: int(grams) * (1 if verb == "adds" else -1) for name, verb, grams in PART.findall(said[3] or "")}
    for name, grams in parts.items():
        assert abs(told.get(name, 0) - grams) <= HALF_G, name
    assert ("slides already" in sentence) == (row.status == "beyond_grip")
    assert ("stalls already" in sentence) == (row.status == "beyond_torque")


def check_limits(limits):
    """The sentence of a climb's end against the limits."""
    sentence, tip = limit_sentence(limits), limits.tip_over_grade_deg
    numbers = [float(number) for number in re.findall(r"at (\d+\.\d) deg", sentence)]
    if limits.first in (None, "tip_over"):
        assert (tip is None) == sentence.startswith("No tip-over")
        assert tip is None or (sentence.startswith("It tips over first") and abs(numbers[0] - tip) <= HALF_TENTH)
        return
    assert (
        sentence.startswith(f"It {limits.first_does} first") and abs(numbers[0] - limits.first_grade_deg) <= HALF_TENTH
    )
    assert (len(numbers) == 2) == (tip is not None)
    assert tip is None or (abs(numbers[1] - tip) <= HALF_TENTH and limits.first_grade_deg <= tip)


@pytest.mark.slow
def test_crawls_and_limits_of_random_vehicles():
    """Fifty vehicles at three grades each, beyond grip and beyond tip-over among them."""
    statuses = set()
    for seed in range(VEHICLES):
        climb = climb_of(random_vehicle(seed))
        check_limits(climb.limits)
        for grade_deg in (0.0, 38.0, 85.0):
            row = climb.row(grade_deg)
            statuses.add(row.status)
            check_creep(row)
    assert {"ok", "beyond_tip_over"} <= statuses


def test_beyond_grip_is_said():
    vehicle = load_vehicle(DEMO)
    tyres = [
        replace(getattr(vehicle, end), tyre=replace(getattr(vehicle, end).tyre, grip_coefficient=0.8))
        for end in ("rear", "front")
    ]
    climb = climb_of(replace(vehicle, rear=tyres[0], front=tyres[1]))
    check_limits(climb.limits)
    row = climb.row(45.0)
    assert row.status == "beyond_grip"
    check_creep(row)


def test_a_punch_in_a_sentence():
    """At 45 deg the demo lifts its front and at 10 deg it does not: time in the air or load left, to the last digit told."""
    vehicle = load_vehicle(DEMO)
    for grade_deg in (10.0, 45.0):
        result = punch(vehicle, grade_deg=grade_deg)
        sentence, summary = punch_sentence(result), result.summary
        pitch = float(re.search(r"reaches (-?\d+\.\d) deg", sentence)[1])
        assert abs(pitch - summary["peak_nose_up_pitch_deg"]) <= HALF_TENTH
        if summary["front_airborne_s"]:
            assert abs(int(re.search(r"for (\d+) ms", sentence)[1]) - 1e3 * summary["front_airborne_s"]) <= HALF_G
        else:
            assert (
                abs(int(re.search(r"keeps at least (\d+) g", sentence)[1]) - summary["front_load_min_n"] * G) <= HALF_G
            )
            assert "no axle leaves the ground" in sentence


def test_modes_and_links_in_a_sentence():
    vehicle = load_vehicle(DEMO)
    modes, study = standing_modes(vehicle), links(vehicle)
    said = re.findall(r"(bounces|pitches) (\d+\.\d) times", modes_sentence(modes))
    assert [name for name, _ in said] == ["bounces", "pitches"]
    for name, number in zip(("bounce", "pitch"), (float(n) for _, n in said), strict=True):
        assert abs(number - modes.named(name).frequency_hz) <= HALF_TENTH
    assert ("every motion dies away" in modes_sentence(modes)) == modes.stable
    sentence = links_sentence(study)
    for end, plus in (("rear", "hold the rear up"), ("front", "hold the front down")):
        share = 100 * study.axles[end].as_driven
        assert (plus in sentence) == (share >= 0.0) and f"{abs(share):.0f} %" in sentence


def test_a_survey_in_a_sentence():
    found = {"vehicles": 40, "median": -0.49, "share_noticed_lower": 0.225, "share_noticed_higher": 0.0}
    sentence = survey_sentence({"tip_over_change_deg": found})
    assert "tip over 0.49 deg earlier or more; 22.5 % so much earlier" in sentence and "0.0 % so much later" in sentence
    assert "later or more" in survey_sentence({"tip_over_change_deg": found | {"median": 0.2}})


@pytest.mark.parametrize(
    ("arguments", "line"),
    [
        ("creep --grade 45", "The front axle carries 555 g of "),
        ("sweep --step 30", "It tips over first, at 61.5 deg."),
        ("describe", "Level, "),
        ("modes", "Pushed and let go, it bounces "),
        ("links", "As driven, the rear links "),
        ("bench --front free", "  base: the front axle is free at "),
        ("readings", "  As measured, the model explains the readings "),
        ("weigh", "  Whole vehicle: 27"),
        ("measure spring", "  Rate of the axle's 2 springs together: 0.3921"),
        ("aim --tip-over 62", "rear.upper_link.chassis_end at ["),
    ],
)
def test_the_answer_stands_in_the_second_line(capsys, arguments, line):
    """Below the heading, before any table; and the last line says what to ask next."""
    assert main(arguments.split()) == 0
    lines = capsys.readouterr().out.splitlines()
    assert lines[1].startswith(line), lines[1]
    assert lines[-1].startswith("next: ")


def test_a_long_table_is_thinned(capsys):
    """62 rows of a sweep are 14 lines; --all prints them, and a step that is given is kept to."""
    counts = {}
    for arguments in ("sweep", "sweep --all", "sweep --step 2"):
        assert main(arguments.split()) == 0
        counts[arguments] = len(re.findall(r"^\d+\.\d\d ", capsys.readouterr().out, flags=re.M))
    assert counts == {"sweep": 14, "sweep --all": 63, "sweep --step 2": 32}


VOLE = {
    "wheelbase_mm": 296,
    "tyre": {"loaded_radius_mm": 52},
    "weighed": {"rear_g": 980, "front_g": 1215, "centre_of_gravity_height_mm": 78},
}


@pytest.mark.parametrize("height_mm", [78, 62])
def test_what_ends_a_climb_says_where_it_hangs_on_an_assumed_grip(height_mm):
    """Statics of a block: it slides first where the grip lies below tan(tip-over) = distance over height."""
    file = {**VOLE, "weighed": {**VOLE["weighed"], "centre_of_gravity_height_mm": height_mm}}
    vehicle = parse_vehicle(file)
    needed = 296 * 1215 / 2195 / height_mm
    said = assumed_end_sentence(vehicle, climb_of(vehicle))
    assumed = "The grip of 2.2 is assumed (1.2 to 2.6)"
    assert said == (f"{assumed}: below {needed:.2f} it slides first." if needed < 2.2 else f"{assumed}.")
    measured = parse_vehicle({**file, "tyre": {"loaded_radius_mm": 52, "grip_coefficient": 2.2}})
    assert assumed_end_sentence(measured, climb_of(measured)) == ""


def test_level_a_texts_tell_what_is_assumed_and_no_overdrive(tmp_path, capsys):
    """An overdrive from assumed tyres does nothing to a rigid vehicle; what is missing is told once, without a status that is well."""
    path = tmp_path / "vole.toml"
    path.write_text("name = 'Vole'\nwheelbase_mm = 296\n[tyre]\nloaded_radius_mm = 52\n[weighed]\nrear_g = 980\nfront_g = 1215\ncentre_of_gravity_height_mm = 78\n")  # fmt: skip
    for command in ("describe", "sweep", "overview"):
        assert main([command, str(path)]) == 0
        text = capsys.readouterr().out
        assert "below 2.10 it slides first." in text, command
        assert "overdrive" not in text
    assert main(["creep", str(path), "--grade", "40"]) == 0
    text = capsys.readouterr().out
    assert "\nRigid loads: this file has no links (level A), so squat and pitch are left out.\n" in text
    assert "status:" not in text


def test_a_bench_gives_no_verdict_on_an_assumed_motor():
    """The torque at lift lies within the range in which the stall torque is believed: open, either way."""
    vehicle = parse_vehicle(VOLE)
    stall = assumed_stall(vehicle)
    assert (stall.low, stall.high) == (2000, 10000)
    bench = compare_bench([vehicle], front="free").members[0]
    assert stall.low < bench.lift.torque_n_mm < stall.high and bench.reached
    said = bench_sentence(bench, stall)
    assert said.endswith(": open, since the motor is assumed (2000 to 10000 N mm at stall).") and "enough" not in said
    assert bench_sentence(bench).endswith("enough.")
    assert bench_sentence(bench, replace(stall, low=4000.0)).endswith("enough.")


def test_a_mode_that_is_not_seen_to_swing_has_no_rate():
    """A bounce of 0.07 Hz with a damping ratio of 0.99 makes nobody count."""
    modes = standing_modes(load_vehicle(DEMO))
    slow = [
        replace(mode, frequency_hz=0.07, damping_ratio=0.998) if mode.name == "bounce" else mode for mode in modes.modes
    ]
    said = modes_sentence(replace(modes, modes=tuple(slow)))
    assert "bounces without a swing to be seen and pitches 4.0 times a second" in said


def test_a_measured_stall_torque_is_not_called_assumed():
    """A stall hangs on the stall torque alone, holding the crawl on the speed as well."""
    weak = parse_vehicle({**VOLE, "drive": {"driven_axles": "both", "stall_torque_n_mm": 400}})
    climb = climb_of(weak)
    assert climb.limits.first == "torque" and assumed_end_sentence(weak, climb) == ""
