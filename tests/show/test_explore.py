"""The window with sliders: what it shows is what `creep` gives, what it saves loads again, failures are words."""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from matplotlib.backend_bases import MouseEvent
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure

from noseload.__main__ import main
from noseload.demo import DEMO
from noseload.model.errors import MissingDataError, ModelError
from noseload.model.file.reader import load_vehicle
from noseload.model.parameters import rigid_centre_of_gravity
from noseload.pictures.show.explore import BUSY, SIZE, ExploreWindow
from noseload.pictures.show.explore_drag import Drag, ends_on_paper, nearest_end
from noseload.pictures.show.explore_words import division_words
from noseload.pictures.show.readout import Readout
from noseload.studies.climb.creep import Climb, creep
from noseload.studies.climb.split import split_range
from noseload.studies.climb.sweep import sweep
from noseload.studies.punch.punch import punch
from noseload.studies.show.explore import Explorer, ExploreState

UPPER = "rear.upper_link.axle_end_mm"
GRAM_N = 9.80665e-3  # standard gravity, ISO 80000-3
SAME_N = 1e-9
"""The same equations from the same numbers: rounding of the continuation alone."""
WRITTEN_MM = 5e-4
"""Places are written to a thousandth of a millimetre."""


def window(vehicle, **options):
    """A window on a canvas without a screen."""
    figure = Figure(figsize=SIZE, dpi=60)
    FigureCanvasAgg(figure)
    shown = ExploreWindow(Explorer(vehicle), figure, **options)
    figure.canvas.draw()
    return shown


def click(shown, ax):
    """Press and let go of the mouse in the middle of some axes."""
    canvas = shown.figure.canvas
    box = ax.get_window_extent()
    for name in ("button_press_event", "button_release_event"):
        MouseEvent(name, canvas, 0.5 * (box.x0 + box.x1), 0.5 * (box.y0 + box.y1), 1)._process()


def let_go(shown):
    """Let go of a slider."""
    MouseEvent("button_release_event", shown.figure.canvas, 1, 1, 1)._process()


def with_line(line, name="tried"):
    """The demo vehicle with one more setup, read from its text."""
    text = Path(DEMO).read_text() + f"\n[setups.{name}]\n{line}\n"
    return load_vehicle("demo.toml", text=text, setup=name)


@pytest.fixture(scope="module")
def shown():
    return window(load_vehicle(DEMO), grade_deg=45.0)


@pytest.mark.slow
def test_sliders_show_what_creep_gives(shown):
    shown.reset()
    shown.sliders["grade"].set_val(50.0)
    row = creep(load_vehicle(DEMO), grade_deg=50.0)
    assert shown.words["front"].get_text() == f"front axle {row.front_load_n / GRAM_N:.0f} g ({row.front_load_n:.2f} N)"
    assert not shown.ghost.wheels["rear"].get_visible()
    shown.sliders["up"].set_val(12.0)
    moved = with_line(f'"{UPPER}" = [8, 19, 99]')
    raised = creep(moved, grade_deg=50.0)
    difference = (raised.front_load_n - row.front_load_n) / GRAM_N
    assert shown.explored.row.front_load_n == pytest.approx(raised.front_load_n, abs=SAME_N)
    assert shown.words["front"].get_text().endswith(f"({raised.front_load_n:.2f} N), {difference:+.1f} g")
    for said in (
        f"rear axle {raised.rear_load_n / GRAM_N:.0f} g",
        f"nose up {raised.nose_up_pitch_deg:.2f} deg",
        f"upper {raised.rear_upper_link_n:+.1f} N",
        f"torque {raised.wheel_torque_n_mm:.0f} N mm",
    ):
        assert said in shown.words["loads"].get_text()
    limits = sweep(moved, step_deg=30.0).limits
    assert f"{limits.tip_over_grade_deg:.2f} deg   <- first" in shown.words["limits"].get_text()
    assert shown.ghost.wheels["rear"].get_visible() and shown.values["up"].get_text() == "99.0 mm (+12)"
    let_go(shown)
    assert f"{limits.tip_over_downhill_grade_deg:.2f} deg" in shown.words["limits"].get_text()


def test_the_punch_is_run_when_the_slider_is_let_go(shown):
    shown.reset()
    shown.sliders["grade"].set_val(35.0)
    assert shown.punch_words.get_text() == BUSY and len(shown.curves[1].get_xdata()) == 0
    shown.sliders["throttle"].set_val(0.6)
    let_go(shown)
    run = punch(load_vehicle(DEMO), grade_deg=35.0, throttle=0.6, rise_s=0.05, outcome=False)
    assert np.allclose(shown.curves[1].get_ydata(), run.front_load_n / GRAM_N, rtol=0.0, atol=1e-6)
    assert f"minimum front axle load {max(run.front_load_n.min(), 0.0) / GRAM_N:.0f} g" in shown.punch_words.get_text()


def test_the_range_over_divisions_of_the_pull_is_told_when_the_slider_is_let_go(shown):
    shown.reset()
    shown.sliders["grade"].set_val(40.0)
    assert "division" not in shown.words["status"].get_text()
    let_go(shown)
    low, high = (end / GRAM_N for end in split_range(Climb(load_vehicle(DEMO)), 40.0))
    assert shown.words["status"].get_text().endswith(f"others: front {low:.0f} to {high:.0f} g")
    car = load_vehicle(DEMO)
    alone = replace(car, drive=replace(car.drive, driven_axles="rear"))
    assert division_words(Explorer(alone).solve(ExploreState(grade_deg=20.0))) == ""


def test_failures_are_words_not_old_numbers(shown):
    shown.reset()
    shown.sliders["grade"].set_val(70.0)
    assert "steeper than 61.45 deg" in shown.words["failure"].get_text().replace("\n", " ")
    assert shown.words["front"].get_text() == "front axle -" and not any(
        c.isdigit() for c in shown.words["loads"].get_text()
    )
    assert shown.words["links"].get_text() == "-" and "61.45 deg" in shown.words["limits"].get_text()
    assert not any(artist.get_visible() for artist in (*shown.vehicle.artists, *shown.arrows.artists))
    let_go(shown)
    assert shown.run is None and "no punch" in shown.punch_words.get_text() and len(shown.curves[1].get_xdata()) == 0
    shown.sliders["grade"].set_val(30.0)
    assert shown.words["failure"].get_text() == "" and shown.vehicle.frame.get_visible()
    impossible = shown.state.with_end("rear.upper_link.chassis_end_mm", 300.0, 0.0)
    shown.show(impossible)
    assert (
        "cannot close" in " ".join(shown.words["failure"].get_text().split())
        and shown.words["limits"].get_text() == "-"
    )
    assert not shown.vehicle.frame.get_visible()


def test_radio_buttons_choose_the_end_and_remember(shown):
    shown.reset()
    shown.sliders["up"].set_val(5.0)
    shown.radio.set_active(0)
    assert shown.chosen == "rear.lower_link.chassis_end_mm" and shown.sliders["up"].val == 0.0
    assert shown.values["up"].get_text() == "61.0 mm (+0)"
    shown.sliders["forward"].set_val(-3.0)
    shown.radio.set_active(3)
    assert shown.sliders["up"].val == 5.0 and shown.sliders["forward"].val == 0.0
    assert shown.state.end("rear.lower_link.chassis_end_mm") == (-3.0, 0.0) and shown.state.end(UPPER) == (0.0, 5.0)


@pytest.mark.slow
def test_save_writes_a_set_up_with_the_same_loads(shown, tmp_path, monkeypatch):
    file = tmp_path / "mine.toml"
    file.write_bytes(Path(DEMO).read_bytes())
    monkeypatch.setattr(shown, "file", str(file))
    shown.reset()
    shown.sliders["grade"].set_val(40.0)
    shown.sliders["up"].set_val(7.5)
    shown.sliders["centre_up"].set_val(-4.0)
    shown.sliders["centre_forward"].set_val(6.0)
    click(shown, shown.save_button.ax)
    assert "saved as [setups.explored]" in shown.words["status"].get_text()
    text = file.read_text()
    assert text.startswith(Path(DEMO).read_text()) and '"rear.upper_link.axle_end_mm" = [8.0, 19, 94.5]' in text
    saved = load_vehicle(str(file), setup="explored")
    assert creep(saved, grade_deg=40.0).front_load_n == pytest.approx(shown.explored.row.front_load_n, abs=SAME_N)
    before, after = (rigid_centre_of_gravity(v) for v in (load_vehicle(DEMO), saved))
    assert 1e3 * np.subtract(after, before) == pytest.approx((6.0, -4.0), abs=WRITTEN_MM)
    assert shown.name_box.text == "explored_2"
    shown.name_box.text_disp.set_text("explored")
    click(shown, shown.save_button.ax)
    assert "not saved" in shown.words["status"].get_text() and "already" in shown.words["status"].get_text()
    assert file.read_text() == text


def test_a_set_up_and_a_weighed_vehicle_can_be_explored_and_saved(tmp_path):
    file = tmp_path / "mine.toml"
    text = Path(DEMO).read_text()
    body = text[text.index("[body]") : text.index("[tyre]")]
    weighed = text.replace(body, "[weighed]\nrear_g = 1236.5\nfront_g = 1513.5\ncentre_of_gravity_height_mm = 73.6\n\n")
    file.write_text(weighed)
    for start, drive in ((None, None), ("raised_and_reset", "rear")):
        explorer = Explorer(load_vehicle(str(file), setup=start, drive=drive))
        state = ExploreState(35.0, 1.0, 5.0, 3.0).with_end("front.upper_link.chassis_end_mm", 1.5, -2.0)
        found = explorer.solve(state)
        name = explorer.free_name(str(file))
        explorer.save(state, str(file), name)
        again = load_vehicle(str(file), setup=name)
        assert creep(again, grade_deg=35.0).front_load_n == pytest.approx(found.row.front_load_n, abs=SAME_N)
        shift = 1e3 * np.subtract(rigid_centre_of_gravity(again), rigid_centre_of_gravity(explorer.vehicle))
        assert shift == pytest.approx((5.0, 3.0), abs=WRITTEN_MM)
        assert again.drive.driven_axles == (drive or "both")
    assert again.link_lengths == "fitted" and again.ride_height == "reset"


def test_what_cannot_be_saved_is_refused(tmp_path):
    explorer = Explorer(load_vehicle(DEMO))
    state = ExploreState().with_end(UPPER, 0.0, 4.0)
    copy = tmp_path / "copy.toml"
    explorer.save(state, str(copy), "higher")
    assert load_vehicle(str(copy), setup="higher").rear.upper_link.axle_end[-1] == pytest.approx(0.091)
    other = tmp_path / "other.toml"
    other.write_text(Path(DEMO).read_text().replace("mass_g = 1650", "mass_g = 1700"))
    with pytest.raises(ModelError, match="holds another vehicle"):
        explorer.save(state, str(other), "higher")
    for name in ("", "base", "a\nb"):
        with pytest.raises(ModelError, match="cannot be called"):
            explorer.save(state, str(copy), name)
    before = copy.read_bytes()
    with pytest.raises(ModelError, match="cannot close"):
        explorer.save(state.with_end("rear.upper_link.chassis_end_mm", 300.0, 0.0), str(copy), "broken")
    assert copy.read_bytes() == before and sorted(path.name for path in tmp_path.iterdir()) == [
        "copy.toml",
        "other.toml",
    ]
    with pytest.raises(ModelError, match="no link end"):
        state.with_end("rear.middle_link", 1.0, 0.0)
    rigid = tmp_path / "rigid.toml"
    main(["new", "--level", "A", str(rigid)])
    with pytest.raises(MissingDataError):
        Explorer(load_vehicle(str(rigid)))


def test_the_demo_vehicle_is_not_written_to(shown):
    click(shown, shown.save_button.ax)
    assert "start with --into FILE" in " ".join(shown.words["status"].get_text().split())


@pytest.mark.slow
def test_a_smaller_window_has_smaller_words(shown):
    words = [*shown.words.values(), *shown.values.values()]
    size = shown.figure.get_size_inches()
    shown.figure.set_size_inches(0.75 * size)
    shown.figure.canvas.draw()
    assert {readout.scale for readout in words} == {0.75}
    shown.figure.set_size_inches(size)
    shown.figure.canvas.draw()
    assert {readout.scale for readout in words} == {1.0}


def test_a_flip_is_said(shown):
    shown.reset()
    shown.sliders["grade"].set_val(57.0)
    let_go(shown)
    assert shown.run.events[-1].name == "flips_back" and shown.punch_words.get_text().startswith(
        "FLIPS BACK over at 0."
    )


def test_without_a_display_the_remedy_is_named(capsys):
    assert main(["explore"]) == 2
    captured = capsys.readouterr()
    assert "needs a display" in captured.err and "noseload creep" in captured.err and captured.out == ""
    assert main(["explore", "--move", "rear.upper"]) == 2
    assert "the ends are rear.lower_link.chassis_end" in capsys.readouterr().err


def test_readouts_put_ink_where_they_stand():
    """An L in the middle of a small picture: upright (foot below), in its colour, between its edges."""
    figure = Figure(figsize=(1.0, 1.0), dpi=100)
    canvas = FigureCanvasAgg(figure)
    canvas.draw()
    readout = Readout(figure, 0.5, 0.5, fontsize=36, colour="#ff0000", ha="center", va="center")
    readout.set_text("L")
    readout.draw(canvas.get_renderer())
    picture = np.asarray(canvas.buffer_rgba()).astype(int)
    ink = (picture[..., 0] - picture[..., 1]) > 128
    rows, columns = np.nonzero(ink)
    widths = ink.sum(axis=1)
    assert abs(rows.mean() - 50) < 15 and abs(columns.mean() - 50) < 10
    assert widths[rows.max() - 1] > 2 * widths[rows.min() + 1] > 0
    assert (picture[rows, columns, 0] > 250).all()


@pytest.mark.slow
def test_what_is_painted_anew_is_what_a_whole_drawing_shows():
    """Parts of the window that change are painted alone; nothing old is left, pixel by pixel."""
    moved = window(load_vehicle(DEMO), grade_deg=45.0)
    canvas = moved.figure.canvas
    for name, value in (
        ("grade", 20.0),
        ("up", 6.0),
        ("grade", -30.0),
        ("centre_up", 8.0),
        ("grade", 79.0),
        ("throttle", 0.4),
        ("grade", 45.0),
    ):
        moved.sliders[name].set_val(value)
        painted = np.array(canvas.buffer_rgba())
        canvas.draw()
        assert np.array_equal(painted, np.array(canvas.buffer_rgba())), (name, value)
    moved.settle()
    painted = np.array(canvas.buffer_rgba())
    canvas.draw()
    assert np.array_equal(painted, np.array(canvas.buffer_rgba()))


def drag(shown, key, across, up):
    """Take a link end on the drawing, move the hand by so many mm on paper, and let go."""
    canvas, to_pixels = shown.figure.canvas, shown.drawing.transData.transform
    x, z = ends_on_paper(*shown.placed)[key]
    places = [to_pixels(point) for point in ((x, z), (x + 0.5 * across, z + 0.5 * up), (x + across, z + up))]
    names = ("button_press_event", "motion_notify_event", "motion_notify_event")
    for name, (px, py) in zip(names, places, strict=True):
        MouseEvent(name, canvas, px, py, 1 if name.startswith("button") else None)._process()


def test_a_link_end_is_dragged_on_the_drawing(shown):
    """Along a slope of 30 deg the hand moves an end forward, across the slope up; the ring and the sliders follow."""
    shown.reset()
    shown.sliders["grade"].set_val(30.0)
    key = "front.upper_link.chassis_end_mm"
    pitch = np.radians(shown.explored.row.nose_up_pitch_deg)
    along, across = np.radians(30.0) + pitch, np.radians(120.0) + pitch
    hand = 6.0 * np.array([np.cos(along), np.sin(along)]) - 4.0 * np.array([np.cos(across), np.sin(across)])
    drag(shown, key, *hand)
    assert shown.chosen == key and shown.state.end(key) == (6.0, -4.0)
    assert (shown.sliders["forward"].val, shown.sliders["up"].val) == (6.0, -4.0)
    assert shown.held.get_xydata()[0] == pytest.approx(ends_on_paper(*shown.placed)[key])
    assert shown.punch_words.get_text() == BUSY
    let_go(shown)
    assert shown.drag is None and shown.run is not None
    MouseEvent("motion_notify_event", shown.figure.canvas, 50, 250, None)._process()
    assert shown.state.end(key) == (6.0, -4.0)


def test_a_hand_far_from_every_end_takes_none_and_ends_go_no_further_than_their_sliders(shown):
    ends = {"a": (10.0, 10.0), "b": (10.0, 10.0), "c": (40.0, 10.0)}
    assert nearest_end(ends, 12.0, 12.0, "b") == "b" and nearest_end(ends, 35.0, 10.0, "b") == "c"
    assert nearest_end(ends, 25.0, 30.0, "b") is None
    held = Drag("a", (0.0, 0.0), (1.0, 2.0), 0.5 * np.pi)
    assert held.at(-3.2, 4.1, 25.0) == (5.0, 5.0) and held.at(-900.0, 900.0, 25.0) == (25.0, 25.0)


def test_the_window_fits_a_small_screen():
    """1366 by 768 is the least that notebooks have (common practice, no source); bars of title, tools and tasks take 120."""
    width, height = (100.0 * inches for inches in SIZE)
    assert width <= 1366 - 20 and height <= 768 - 120
