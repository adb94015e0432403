"""Films: the right number of frames for the right time, showing what the solver says, complete or not at all."""

import json
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from matplotlib import animation
from PIL import Image

from noseload.__main__ import main
from noseload.commands.show.animate import film_text
from noseload.demo import DEMO, demo_vehicle
from noseload.model.crawl import budget_parts
from noseload.model.errors import ModelError
from noseload.model.file.reader import load_vehicle
from noseload.pictures.show.film import FilmView, check_film_file, save_film
from noseload.studies.climb.creep import creep
from noseload.studies.punch.punch import punch
from noseload.studies.punch.splits_range import punch_range, wheels_range
from noseload.studies.show.film import creep_film, punch_film
from noseload.studies.show.wheels_film import wheels_film

CHECK = str(Path(__file__).parents[1] / "data" / "check.toml")
RAISED = "raised_rear_upper_mount"
SETUPS = """
[setups.raised]
"rear.upper_link.axle_end_mm" = [6, 100]
"rear.upper_link.chassis_end_mm" = [100, 76]
"""
GRAM_N = 9.80665e-3  # standard gravity, ISO 80000-3
PAPER_MM = 1e-6
"""Lengths on paper are those of the vehicle, to rounding."""
SAMPLED_N = 1e-9
"""The same run sampled at other times gives the same states, to rounding of the projection."""


def read_back(path):
    """Frames, their size and the whole time of a film, ms; equal neighbours are one longer frame."""
    with Image.open(path) as image:
        times = []
        for k in range(image.n_frames):
            image.seek(k)
            times.append(image.info["duration"])
        return image.n_frames, image.size, sum(times), times


@cache
def small_punch():
    return punch_film(
        [load_vehicle(DEMO), load_vehicle(DEMO, setup=RAISED)],
        grade_deg=35.0,
        duration_s=0.3,
        slow=2.0,
        frames_per_second=10.0,
    )


@cache
def steep_crawl():
    vehicles = [load_vehicle(DEMO), load_vehicle(DEMO, setup=RAISED)]
    return creep_film(vehicles, from_deg=59.0, degrees_per_second=5.0, frames_per_second=10.0)


@pytest.mark.slow
def test_gif_has_the_frames_and_the_time(capsys, tmp_path):
    out = tmp_path / "punch.gif"
    assert (
        main(
            [
                "animate",
                CHECK,
                "--grade",
                "35",
                "--duration",
                "0.25",
                "--slow",
                "4",
                "--frames-per-second",
                "4",
                "--out",
                str(out),
                "--json",
            ]
        )
        == 0
    )
    document = json.loads(capsys.readouterr().out)
    # 0.25 s shown four times slower at 4 frames a second: five frames from 0 to 0.25 s, then held for one second.
    assert np.allclose(document["time_s"], np.arange(5) / 16.0, rtol=0.0, atol=1e-12)
    frames, size, total, times = read_back(out)
    assert size == (960, 720) and total == 1000.0 * document["duration_s"] == 2250.0
    assert 5 <= frames <= 9 and times[:4] == [250] * 4
    assert [path.name for path in tmp_path.iterdir()] == ["punch.gif"]


@pytest.mark.slow
def test_a_gif_keeps_plain_areas_exact_and_the_rest_close(tmp_path):
    """One table of colours for all frames: white stays white, and no pixel of a frame moves far from what was drawn."""
    film = small_punch()
    save_film(film, tmp_path / "film.gif")
    view = FilmView(film)
    with Image.open(tmp_path / "film.gif") as image:
        for frame in (0, 2, 5):
            view.show(frame)
            image.seek(frame)
            drawn, read = view.pixels()[..., :3].astype(int), np.asarray(image.convert("RGB")).astype(int)
            white = (drawn == 255).all(axis=2)
            assert white.mean() > 0.5 and (read[white] == 255).all()
            error = np.abs(read - drawn).max(axis=2)
            assert error.mean() < 0.5 and np.quantile(error, 0.999) <= 24


@pytest.mark.slow
def test_frames_show_the_punch():
    film = small_punch()
    view = FilmView(film)
    assert len(film.places) == 7 and "shown 2 times slower" in view.figure.texts[0].get_text()
    fine = punch(load_vehicle(DEMO), grade_deg=35.0, duration_s=0.3, outcome=False)
    for frame in (0, 2, 6):
        view.show(frame)
        k = round(1000 * film.places[frame])
        load = fine.front_load_n[k]
        assert view.moment.get_text() == f"{film.places[frame]:.3f} s"
        assert f"front {load / GRAM_N:.0f} g" in view.lines[0].get_text()
        assert film.tracks[0].loads_n[1, film.sample(film.tracks[0], frame)] == pytest.approx(load, abs=SAMPLED_N)
        parts = [bar.get_width() for (key, row), bar in view.bars.bars.items() if row == 0 and key != "sum"]
        assert len(parts) == len(budget_parts.told(fine.budget)) == len(budget_parts.keys()) - 1 and sum(
            parts
        ) == pytest.approx(load / GRAM_N, abs=1e-6)
        wheels = view.panels[0].vehicles[1].wheels
        points = view.poses[1][frame].points
        length = 1e3 * np.hypot(*np.subtract(points["front_wheel_centre"], points["rear_wheel_centre"]))
        assert np.hypot(*np.subtract(wheels["front"].center, wheels["rear"].center)) == pytest.approx(
            length, abs=PAPER_MM
        )


@pytest.mark.slow
def test_pixels_of_frames_differ_and_nothing_is_left_behind():
    """What stands still is kept: a frame shown again after another is the same to the pixel."""
    view = FilmView(small_punch())
    pictures = []
    for frame in (0, 3, 0):
        view.show(frame)
        pictures.append(np.array(view.figure.canvas.buffer_rgba()))
    assert np.array_equal(pictures[0], pictures[2]) and not np.array_equal(pictures[0], pictures[1])


@pytest.mark.slow
def test_crawl_frames_are_equilibria_and_end_in_words():
    film = steep_crawl()
    view = FilmView(film, side_by_side=True)
    assert len(view.panels) == 2
    raised = film.tracks[1]
    for frame, grade in enumerate(film.places):
        row = creep(load_vehicle(DEMO, setup=RAISED), grade_deg=float(grade))
        view.show(frame)
        shown = [bar.get_visible() for bar in view.panels[1].vehicles[1].wheels.values()]
        if row.front_load_n is None:
            assert row.status == "beyond_tip_over" and "no pose here, beyond tip-over" in view.lines[1].get_text()
            assert shown == [False, False] and view.bars.numbers["sum", 1].get_text() == "-"
        else:
            assert raised.loads_n[1, frame] == pytest.approx(row.front_load_n, abs=1e-9) and shown == [True, True]
            assert f"front {row.front_load_n / GRAM_N:.0f} g" in view.lines[1].get_text()
    assert not raised.solved(len(film.places) - 1) and raised.solved(0)
    # Nothing stands in a row of its own that is nothing all along: the demo's tyres roll without loss.
    assert view.bars.keys == ("standing_n", "grade_n", "attitude_n")


def test_a_flip_ends_its_own_track_only():
    text = Path(CHECK).read_text() + SETUPS
    film = punch_film(
        [load_vehicle("check.toml", text=text), load_vehicle("check.toml", text=text, setup="raised")],
        grade_deg=50.0,
        slow=1.0,
        frames_per_second=10.0,
    )
    stays, flips = film.tracks
    assert flips.words[-1] == "flips back over" and stays.words[-1].endswith("front in the air")
    assert flips.places[-1] < 0.9 and stays.places[-1] == pytest.approx(1.0) and film.places[-1] == pytest.approx(1.0)
    assert film.sample(flips, 10) == len(flips.places) - 1 and flips.nose_up_pitch_deg[-1] > 79.0


@pytest.mark.slow
def test_interrupted_films_leave_nothing(capsys, tmp_path, monkeypatch):
    def stop(self, frame):
        raise KeyboardInterrupt

    old = tmp_path / "old.gif"
    old.write_bytes(b"kept")
    monkeypatch.setattr("noseload.pictures.show.film._Panel.show", stop)
    assert (
        main(["animate", CHECK, "--duration", "0.1", "--slow", "1", "--frames-per-second", "10", "--out", str(old)])
        == 130
    )
    monkeypatch.undo()
    monkeypatch.setattr(
        "noseload.pictures.show.film.GifFilm.write", lambda self, path: (Path(path).write_bytes(b"half"), stop(0, 0))
    )
    assert (
        main(["animate", CHECK, "--duration", "0.1", "--slow", "1", "--frames-per-second", "10", "--out", str(old)])
        == 130
    )
    assert [path.name for path in tmp_path.iterdir()] == ["old.gif"] and old.read_bytes() == b"kept"
    assert "interrupted" in capsys.readouterr().err


def test_what_cannot_be_filmed_is_refused(capsys, tmp_path, monkeypatch):
    with pytest.raises(ModelError, match=r"must end in .gif or .mp4"):
        check_film_file("film.avi", 20)
    with pytest.raises(ModelError, match="counts hundredths of a second"):
        check_film_file("film.gif", 24)
    monkeypatch.setattr(animation.writers, "is_available", lambda name: False)
    with pytest.raises(ModelError, match=r"ffmpeg, which is not on this machine's path; install it"):
        check_film_file("film.mp4", 24)
    cases = [
        (("--slow", "100"), 2, "more than the 600"),
        (("--duration", "0.001"), 2, "less than one frame"),
        (("--creep", "--from", "40", "--to", "30"), 2, "does not grow steeper"),
        (("--drive", "front", "--grade", "55"), 3, "cannot hold the crawl before the punch"),
    ]
    for arguments, code, words in cases:
        assert main(["animate", *arguments, "--out", str(tmp_path / "x.gif")]) == code, arguments
        captured = capsys.readouterr()
        assert words in captured.err and captured.out == "" and not list(tmp_path.iterdir())


@pytest.mark.slow
@pytest.mark.skipif(not animation.writers.is_available("ffmpeg"), reason="the program ffmpeg is not installed")
def test_mp4_is_written(tmp_path):
    out = tmp_path / "punch.mp4"
    assert (
        main(["animate", CHECK, "--duration", "0.1", "--slow", "2", "--frames-per-second", "24", "--out", str(out)])
        == 0
    )
    assert out.read_bytes()[4:8] == b"ftyp" and [path.name for path in tmp_path.iterdir()] == ["punch.mp4"]


def test_every_film_ends_in_a_sentence_that_is_what_it_shows():
    film = steep_crawl()
    said = film_text(film, "crawl.gif").splitlines()
    for track, line in zip(film.tracks, said[-len(film.tracks) :], strict=True):
        seen = [k for k in range(len(track.places)) if track.solved(k)]
        first, last = (track.loads_n[1, seen[k]] / GRAM_N for k in (0, -1))
        assert f"its front axle load goes from {first:.0f} to {last:.0f} g by {track.places[seen[-1]]:g} deg" in line
    assert "crawl.mp4" in said[2]


def test_a_film_tells_what_it_shows_under_other_divisions_of_the_pull():
    car = demo_vehicle()
    film = punch_film([car], grade_deg=35.0, duration_s=0.5, slow=2.0)
    own = punch(car, grade_deg=35.0, duration_s=0.5, outcome=False).summary
    (found,) = film.ranges
    direct = punch_range(car, {"grade_deg": 35.0, "duration_s": 0.5}, own)
    assert found.front_airborne_s == pytest.approx(direct.front_airborne_s, abs=1e-9)
    short, long = (1e3 * end for end in direct.front_airborne_s)
    assert f"faster front wheels in the air for {short:.0f} to {long:.0f} ms, minimum load" in film_text(film, "a.mp4")
    assert film.to_dict()["ranges_over_splits"] == [found.to_dict()]
    alone = replace(car, drive=replace(car.drive, driven_axles="rear"))
    other = punch_film([alone], grade_deg=20.0, duration_s=0.3, slow=2.0)
    assert other.ranges == (None,) and "faster front" not in film_text(other, "a.mp4")
    assert film_text(steep_crawl(), "a.mp4").count("the film is of the file's own law") == 1


@pytest.mark.slow
def test_a_film_of_four_wheels_tells_the_first_wheel_under_every_law(capsys, tmp_path):
    car, asked = demo_vehicle(), {"grade_deg": 35.0, "duration_s": 0.3}
    film = wheels_film(car, **asked, slow=1.0, frames_per_second=10.0)
    assert film.spread == wheels_range(car, {"throttle": 1.0, "rise_s": 0.05} | asked)
    assert film.to_dict()["range_over_splits"] == film.spread.to_dict()
    options = ["--grade", "35", "--duration", "0.3", "--slow", "1", "--frames-per-second", "10"]
    assert main(["animate", "--wheels", *options, "--out", str(tmp_path / "wheels.gif")]) == 0
    assert film.spread.sentence() in capsys.readouterr().out
    alone = replace(car, drive=replace(car.drive, driven_axles="rear"))
    assert wheels_film(alone, grade_deg=20.0, duration_s=0.2, slow=1.0).spread is None
