"""`noseload modes`: eigenvalues about standing and about a steady crawl."""

import json
import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from scipy.optimize import brentq as bracketed_root

from noseload.__main__ import main
from noseload.model.file.reader import change_vehicle, load_vehicle
from noseload.model.motion.linear import linearise
from noseload.model.motion.mobility import add_inertia, gear_pattern
from noseload.model.motion.programs import Program
from noseload.model.motion.rows import SIZE
from noseload.model.motion.vehicle_motion import VehicleMotion
from noseload.solvers.motion.transient import TransientOptions, integrate
from noseload.studies.climb.modes import creep_modes, standing_modes
from noseload.studies.climb.standing import stand
from noseload.studies.punch.punch import punch
from noseload.studies.punch.splits_range import mismatches_in_motion
from noseload.studies.wheels.plausible import plausible_laws
from reference_vehicle import REFERENCE, reference_vehicle

CHECK = Path(__file__).parents[1] / "data" / "check.toml"
DEMO = Path(__file__).parents[2] / "scenarios" / "demo" / "demo.toml"
SLOWEST_SPEED = 1.0
"""mm/s: where a crawl joins standing but for the traction it needs on the level, none."""
SMALL_SWING, SWING_TOLERANCE = 2e-7, 5e-6
"""m or rad, and of it: what bends in the springs' geometry grows as the size (9e-6 at 1e-6 m), rounding falls with it."""


def test_crawl_on_the_level_joins_standing():
    """At vanishing speed on the level the two states are one; the slip scale is what little differs."""
    vehicle = load_vehicle(CHECK)
    crawl, message = creep_modes(vehicle, grade_deg=0.0, creep_speed_mm_per_s=SLOWEST_SPEED)
    assert message == ""
    for name in ("bounce", "pitch"):
        a, b = crawl.named(name), standing_modes(vehicle).named(name)
        assert a.frequency_hz == pytest.approx(b.frequency_hz, rel=1e-2)
        assert a.damping_ratio == pytest.approx(b.damping_ratio, rel=2e-2)


def test_a_small_disturbance_dies_at_the_slowest_rate():
    """The tail of a gentle throttle step, from the transient, decays at the rate of the slowest mode."""
    vehicle = load_vehicle(CHECK)
    run = punch(vehicle, grade_deg=10.0, throttle=0.2, rise_s=0.05, start_s=0.05, duration_s=1.0, tolerance="tight")
    crawl, _ = creep_modes(vehicle, grade_deg=10.0)
    slowest = max(m.rate_per_s for m in crawl.modes)
    late = run.front_load_n[-1]
    swing = np.abs(run.front_load_n - late)
    early, middle = swing[250:350].max(), swing[550:650].max()
    # Two windows 0.3 s apart: the envelope falls at least as fast as two thirds of the slowest mode says.
    assert np.log(middle / early) / 0.3 < 0.66 * slowest


def test_crawl_that_cannot_be_held(capsys):
    assert main(["modes", str(CHECK), "--drive", "front", "--grade", "50", "--json"]) == 3
    body = json.loads(capsys.readouterr().out)
    assert body["status"] == "start_not_held" and "grip" in body["message"]
    assert len(body["states"]) == 1


@pytest.mark.slow
def test_command(capsys, tmp_path):
    assert (
        main(
            ["modes", str(CHECK), "--grade", "30", "--plot", str(tmp_path / "m.png"), "--csv", str(tmp_path / "m.csv")]
        )
        == 0
    )
    out = capsys.readouterr().out
    assert out.count("every motion dies away") == 2
    assert (tmp_path / "m.png").read_bytes().startswith(b"\x89PNG")
    assert (tmp_path / "m.csv").read_text().startswith("state,grade_deg,name,frequency_hz")


def small_swing(vehicle, name, size):
    """Standing vehicle moved by `size` (m) in one of its modes, left alone; heave or pitch of the chassis, as a share of the
    start, half a period and a period later, and the mode's damping ratio."""
    standing = stand(vehicle)
    values = add_inertia(standing.values, vehicle)
    places = np.concatenate([[0.0], standing.state[:8]])
    linear = linearise(values, places, [0.0] * 11, standing.state[8:12], grade=0.0)
    mode = standing_modes(vehicle, standing=standing).named(name)
    rates, vectors = np.linalg.eig(linear.matrix)
    k = np.argmin(np.abs(rates - complex(mode.rate_per_s, 2.0 * np.pi * mode.frequency_hz)))
    moved = linear.shapes @ vectors[:5, k]
    row = int(np.argmax(np.abs(moved[[1, 2]]))) + 1
    scale = size / moved[row]
    spins = gear_pattern(values)[2:, 2:] @ vectors[10:, k]
    state = np.zeros(SIZE)
    state[:9] = places + (scale * moved).real
    state[9:20] = (scale * np.concatenate([linear.shapes @ vectors[5:10, k], spins])).real
    motion = VehicleMotion(values, standing.weight, vehicle.wheelbase, 0.0, throttle=Program.constant(0.0))
    period = 1.0 / mode.frequency_hz
    run = integrate(motion, state, 0.0, period, options=TransientOptions(tolerance=1e-12)).raise_for_status()
    return (run.at([0.5 * period, period])[row] - places[row]) / (state[row] - places[row]), mode.damping_ratio


@pytest.mark.parametrize(
    ("name", "damping", "overshoot", "decrement"),
    [
        ("bounce", 0.2, 0.526621, 1.282550),
        ("bounce", 0.5, 0.163034, 3.627599),
        ("pitch", 0.2, 0.526621, 1.282550),
        ("pitch", 0.5, 0.163034, 3.627599),
        ("pitch", 0.7, 0.045988, 6.158753),
    ],
)
def test_swings_of_the_vehicle_decay_as_its_modes_say(name, damping, overshoot, decrement):
    """Half a period on, the other side is exp(-pi z/sqrt(1-z^2)) of the start; a period on, the logarithmic decrement is
    2 pi z/sqrt(1-z^2): Thomson, Theory of Vibration, or Ogata (from memory). The dampers are chosen to give z."""
    plain = load_vehicle(CHECK)

    def damped(factor):
        ends = {
            end: replace(
                getattr(plain, end),
                shock=replace(getattr(plain, end).shock, damping=factor * getattr(plain, end).shock.damping),
            )
            for end in ("rear", "front")
        }
        return replace(plain, document={}, **ends)

    factor = bracketed_root(lambda f: standing_modes(damped(f)).named(name).damping_ratio - damping, 0.02, 1.5)
    (half, whole), ratio = small_swing(damped(factor), name, SMALL_SWING)
    assert ratio == pytest.approx(damping, abs=1e-9)
    assert -half == pytest.approx(overshoot, abs=SWING_TOLERANCE)
    assert standing_modes(damped(factor)).named(name).swings_back == pytest.approx(overshoot, abs=SWING_TOLERANCE)
    assert whole == pytest.approx(np.exp(-decrement), abs=SWING_TOLERANCE)


def test_a_swing_that_cannot_be_seen_is_not_offered_for_filming(tmp_path, capsys):
    """Dampers four times as stiff: the pitch of the demo has a damping ratio of 0.99, and nothing is to be filmed."""
    file = tmp_path / "stiff.toml"
    text = re.sub(
        r"\ndamping_n_s_per_m = (\d+)", lambda found: f"\ndamping_n_s_per_m = {4 * int(found[1])}", DEMO.read_text()
    )
    file.write_text(text)
    modes = standing_modes(load_vehicle(file))
    unseen = [name for name in ("bounce", "pitch") if (mode := modes.named(name)) and mode.swings_back < 0.05]
    assert unseen
    assert main(["describe", str(file)]) == 0
    text = capsys.readouterr().out
    for name in unseen:
        assert f"let go, {name}:" not in text
        assert re.search(
            rf"nothing to film of its .*{name} \(damping ratio \d\.\d\d\).*noseload measure damping --recipe", text
        )
    assert main(["describe"]) == 0
    text = capsys.readouterr().out
    assert "let go, bounce: swings" in text and "let go, pitch: swings" in text and "nothing to film" not in text


def test_swings_span_files_that_hold_the_law(capsys):
    """A crawl's damping goes with how the axles share the pull; the swing of the nearest frequency is the same motion."""
    assert main(["modes", str(REFERENCE), "--grade", "45", "--json"]) == 0
    states = json.loads(capsys.readouterr().out)["states"]
    car = reference_vehicle()
    for state, grade in zip(states, (0.0, 45.0), strict=True):
        cars = [car]
        for percent in mismatches_in_motion(car, plausible_laws(car), grade):
            cars.append(change_vehicle(car, {"drive.front_overdrive": 1.0 + 0.01 * percent}))
        under = [creep_modes(each, grade_deg=grade)[0] if grade else standing_modes(each) for each in cars]
        for name, ends in state["ranges_over_splits"].items():
            own = under[0].named(name).frequency_hz
            same = [min(each.modes, key=lambda mode: abs(mode.frequency_hz - own)) for each in under]
            for key in ("frequency_hz", "damping_ratio"):
                values = [getattr(mode, key) for mode in same]
                assert ends[key] == pytest.approx([min(values), max(values)], rel=1e-9)
    assert states[1]["ranges_over_splits"]["bounce"]["damping_ratio"][1] > 0.4
    assert main(["modes", str(REFERENCE), "--grade", "45"]) == 0
    assert "over divisions of the pull" in capsys.readouterr().out
    assert main(["modes", str(REFERENCE), "--drive", "rear"]) == 0
    assert "division" not in capsys.readouterr().out
