"""Pictures of a punch: frames at the right moments, one scale, every trace shown, and the command's folder."""

from functools import cache
from pathlib import Path

import numpy as np
import pytest

from noseload.__main__ import main
from noseload.model.crawl.geometry import solved_pose
from noseload.model.file.reader import load_vehicle
from noseload.pictures.punch.punch import event_spells, plot_link_forces, plot_slip_and_speed
from noseload.pictures.punch.punch_film import MOST_FRAMES, draw_punch_filmstrip, punch_frames
from noseload.studies.punch.punch import punch

CHECK = str(Path(__file__).parents[1] / "data" / "check.toml")
NO_LOAD_N = 1e-3
"""An axle leaves the ground where its load is zero; events are located to far less than this (0.1 g)."""
PAPER_MM = 1e-6
"""Lengths on paper are those of the vehicle, to rounding."""


@cache
def lifting():
    return punch(load_vehicle(CHECK), grade_deg=35.0, duration_s=0.5, outcome=False)


@cache
def staying():
    return punch(load_vehicle(CHECK), grade_deg=10.0, throttle=0.3, duration_s=0.4, outcome=False)


def test_frames_hold_the_moments_in_order():
    result = lifting()
    frames = punch_frames(result)
    words = " / ".join(frame.words for frame in frames)
    assert len(frames) <= MOST_FRAMES and frames[0].words.startswith("start") and "end" in frames[-1].words
    for wanted in ("front droop stop", "front lifts", "front lands", "nose highest"):
        assert wanted in words
    times = [frame.time_s for frame in frames]
    assert times == sorted(times)
    for frame in frames:
        if frame.words.startswith(("front lifts", "front lands")):
            assert frame.front_load_n < NO_LOAD_N
    assert (
        frames[0].front_load_n == result.start["front_load_n"]
        and frames[-1].travel_mm == result.traces["travel_mm"][-1]
    )


def test_without_a_lift_the_smallest_load_has_a_frame():
    frame = next(frame for frame in punch_frames(staying()) if "minimum front axle load" in frame.words)
    assert frame.front_load_n == staying().front_load_n.min()


def test_filmstrip_is_to_one_scale():
    result = lifting()
    figure = draw_punch_filmstrip(result)
    frames = punch_frames(result)
    shown = [ax for ax in figure.axes if ax.get_title(loc="left")]
    assert len(shown) == len(frames)
    for ax, frame in zip(shown, frames, strict=True):
        assert ax.get_xlim() == shown[0].get_xlim() and ax.get_ylim() == shown[0].get_ylim() and ax.get_aspect() == 1.0
        assert f"{frame.time_s:.3f} s" in ax.get_title(loc="left")
        points = solved_pose(result.standing.values, frame.coordinates).points
        length = 1e3 * np.hypot(*np.subtract(points["front_wheel_centre"], points["rear_wheel_centre"]))
        wheels = [patch.center for patch in ax.patches if getattr(patch, "radius", 0.0) > 20.0]
        assert np.hypot(*np.subtract(*wheels)) == pytest.approx(length, abs=PAPER_MM)
        grams = frame.front_load_n / 9.80665e-3  # standard gravity, ISO 80000-3
        assert any(f"front {grams:.0f} g" in text.get_text() for text in ax.texts)


def test_spells_follow_the_events():
    result = lifting()
    times = {event.name: event.time_s for event in result.events}
    spells = event_spells(result)
    assert spells["front in the air"] == [(times["front_lift_off"], times["front_touchdown"])]
    assert spells["front droop stop"] and all(begin < end for bars in spells.values() for begin, end in bars)


@pytest.mark.parametrize(
    ("plot", "keys"),
    [
        (plot_link_forces, ("rear_lower_link_n", "rear_upper_link_n", "front_lower_link_n", "front_upper_link_n")),
        (plot_slip_and_speed, ("speed_mm_per_s", "rear_slip_mm_per_s", "front_slip_mm_per_s")),
    ],
)
def test_curves_are_the_traces(plot, keys):
    curves = [line.get_ydata() for line in plot(lifting()).lines]
    for key in keys:
        assert any(np.array_equal(lifting().traces[key], curve) for curve in curves), key


@pytest.mark.slow
def test_command_writes_the_folder(capsys, tmp_path, monkeypatch):
    # Drawn in full, but not turned into pixels: `--plot` is tested for that, and pixels take long.
    monkeypatch.setattr(
        "noseload.pictures.punch.punch_film.save_figure", lambda figure, path: Path(path).write_text(str(figure))
    )
    folder = tmp_path / "pictures"
    code = main(["punch", CHECK, "--grade", "10", "--throttle", "0.3", "--duration", "0.3", "--pictures", str(folder)])
    assert code == 0 and "punch-filmstrip.png" in capsys.readouterr().out
    assert sorted(path.name for path in folder.iterdir()) == ["punch-filmstrip.png", "punch-forces.png", "punch.png"]
    refused = tmp_path / "none"
    assert main(["punch", CHECK, "--grade", "50", "--drive", "front", "--pictures", str(refused)]) == 3
    assert not refused.exists()
