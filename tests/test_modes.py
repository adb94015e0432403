"""`noseload modes`: eigenvalues about standing and about a steady crawl."""

import json
from pathlib import Path

import numpy as np
import pytest

from model.vehicle_file import load_vehicle
from scenarios.__main__ import main
from scenarios.studies.modes import creep_modes, standing_modes
from scenarios.studies.punch import punch

CHECK = Path(__file__).parent / "data" / "check.toml"
SLOWEST_SPEED = 1.0
"""mm/s: where a crawl joins standing but for the traction it needs on the level, none."""


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


def test_command(capsys, tmp_path):
    assert main(["modes", str(CHECK), "--grade", "30", "--plot", str(tmp_path / "m.png"),
                 "--csv", str(tmp_path / "m.csv")]) == 0
    out = capsys.readouterr().out
    assert out.count("stable: every motion dies away") == 2
    assert (tmp_path / "m.png").read_bytes().startswith(b"\x89PNG")
    assert (tmp_path / "m.csv").read_text().startswith("state,grade_deg,name,frequency_hz")
