"""The picture to post: its numbers are the solver's, its text is large enough and meets no other text."""

import itertools
import json
from dataclasses import replace
from functools import cache
from pathlib import Path

import numpy as np
import pytest
from matplotlib.text import Text
from PIL import Image

from noseload.__main__ import main
from noseload.commands.climb.compare import QUICK_DRAWS
from noseload.demo import DEMO
from noseload.model.errors import ModelError
from noseload.model.file.reader import load_vehicle
from noseload.model.units import grams_of_force
from noseload.pictures.show.post import DPI, PIXELS, draw_post
from noseload.studies.climb.creep import creep
from noseload.studies.compare.compare import compare
from noseload.studies.show.post import gather_post
from noseload.studies.space.wheels import wheels

DEMO_FOLDER = Path(DEMO).parent
BOARD, TRIAL = DEMO_FOLDER / "readings" / "board.csv", DEMO_FOLDER / "trial"
RAISED = "raised_rear_upper_mount"
LEAST_PIXELS = 24.0
"""Text below this is lost when 1080 pixels are shown on a phone (common practice, no source)."""
GRAM_N = 9.80665e-3  # standard gravity, ISO 80000-3


def setups(*names):
    return [load_vehicle(DEMO, setup=None if name == "base" else name) for name in names]


@cache
def whole():
    return gather_post(setups("base", RAISED), readings={"base": str(BOARD)}, trial=str(TRIAL))


@cache
def picture():
    figure = draw_post(whole())
    figure.canvas.draw()
    return figure


def written(figure):
    return [text for text in figure.findobj(Text) if text.get_text().strip() and text.get_visible()]


@pytest.mark.slow
def test_every_text_can_be_read_on_a_phone():
    """Once the words above the curves of a picture with readings ran off its right edge, taken for a hidden tick."""
    figure = picture()
    assert tuple(figure.get_size_inches() * DPI) == (PIXELS, PIXELS)
    boxes = []
    for text in written(figure):
        box = text.get_window_extent()
        assert text.get_fontsize() * DPI / 72.0 >= LEAST_PIXELS - 1e-9, text.get_text()
        inside = box.x0 >= 0 and box.y0 >= 0 and box.x1 <= PIXELS and box.y1 <= PIXELS
        # Ticks beyond the range of their axis are there, too, but not drawn.
        if text.axes is None or text in text.axes.texts or inside:
            assert inside, text.get_text()
            boxes.append((text.get_text(), box))
    assert len(boxes) > 30
    # Line spacing lets the boxes of stacked lines touch; letters do not meet below two pixels.
    for (one, a), (other, b) in itertools.combinations(boxes, 2):
        wide, high = min(a.x1, b.x1) - max(a.x0, b.x0), min(a.y1, b.y1) - max(a.y0, b.y0)
        assert wide <= 2.0 or high <= 6.0, (one, other)


@pytest.mark.slow
def test_four_loads_are_those_of_wheels_below_the_first_lift():
    """At the picture's grade a front wheel of the demo is up: each wheel is shown at the whole degree below that."""
    four, said = whole().four, [text.get_text() for text in written(picture())]
    row = wheels(setups("base")[0], grade_deg=four.grade_deg)
    assert four.grade_deg < four.lift_deg < whole().comparison.grade_deg and row.status == "ok"
    assert four.loads_n == pytest.approx(row.loads_n, abs=1e-9)
    for load in row.loads_n:
        assert f"{load / GRAM_N:.0f}" in said
    assert f"A: each wheel at {four.grade_deg:g}\u00b0, g" in said
    low, high = (f"{end:.0f}" for end in four.lift_range_deg)
    assert f"{four.first_wheel.replace('_', ' ')} first, {low}\u2013{high}\u00b0" in said
    assert four.sentence() in whole().text() and four.goes_first().startswith("the front right wheel goes first")


def test_numbers_are_those_of_creep():
    said = [text.get_text() for text in written(picture())]
    loads = {}
    for vehicle in setups("base", RAISED):
        row = creep(vehicle, grade_deg=whole().comparison.grade_deg)
        loads[vehicle.setup] = row.front_load_n
        assert f"{row.front_load_n / GRAM_N:.0f} g" in said and f"{row.front_load_n:.2f} N" in said
        tip = whole().comparison.members[len(loads) - 1].sweep.limits.tip_over_grade_deg
        assert f"tips at {tip:.2f}\u00b0" in said
    difference = (loads[RAISED] - loads["base"]) / GRAM_N
    assert picture().texts[0].get_text() == (
        f"{difference:+.0f} g of {loads['base'] / GRAM_N:.0f} g at the front axle"
    ).replace("-", "\u2212")


@pytest.mark.slow
def test_the_picture_says_what_compare_says():
    """Once it called measurable and not noticeable what `compare` left undecided: its verdicts had no intervals."""
    post = whole()
    beside = compare(list(setups("base", RAISED)), draws=QUICK_DRAWS)
    assert [d.answer.sentence for d in post.comparison.differences] == [d.answer.sentence for d in beside.differences]
    (difference,) = beside.differences
    low, high = (f"{end:+.0f}".replace("-", "\u2212") for end in map(grams_of_force, difference.interval_n))
    said = [text.get_text() for text in written(picture())]
    assert f"crawl at 55\u00b0: {low} to {high} g (95 %), {post.size()}" in said
    assert post.size() == "measurable, undecided whether noticeable"
    bar = picture().axes[3].containers[-1].lines[2][0].get_segments()[0]
    assert np.allclose(sorted(bar[:, 1]), [grams_of_force(end) for end in difference.interval_n], rtol=0.0, atol=1e-9)


def test_budget_bars_add_up_to_the_loads():
    """Bars are the parts; crawl has three of them, the punch all, and each column sums to its front load."""
    bars = picture().axes[1]
    lengths = [patch.get_width() for patch in bars.patches]
    keyed = [patch for patch in bars.patches if patch.get_y() > 0.0]
    crawl = sum(lengths[k] for k in range(0, 12, 2))
    punch = sum(lengths[k] for k in range(1, 12, 2))
    assert len(lengths) == 12 + len(keyed)
    assert crawl == pytest.approx(whole().comparison.members[0].at_grade.front_load_n / GRAM_N, abs=1e-6)
    assert punch == pytest.approx(whole().punch.front_load_n.min() / GRAM_N, abs=1e-6)
    assert all(abs(lengths[k]) < 1e-9 for k in (6, 8, 10)) and all(abs(lengths[k]) > 1.0 for k in (7, 9, 11))


def test_measured_points_stand_in_both_panels():
    """Read with the rear wheels holding; the picture shows crawls, so what those wheels make of a reading is taken off."""
    rows = [line.split(", ") for line in BOARD.read_text().splitlines() if line.startswith("front_load")]
    read = [(float(row[1]), float(row[2])) for row in rows]
    crawling, held = (
        {
            grade: creep(load_vehicle(DEMO, drive=drive), grade_deg=grade).front_load_n / GRAM_N
            for grade in {grade for grade, _ in read}
        }
        for drive in (None, "rear")
    )
    expected = sorted((grade, grams - held[grade] + crawling[grade]) for grade, grams in read)
    curves, strip = (
        [tuple(float(v) for v in point) for point in zip(*ax.containers[0].lines[0].get_data(), strict=True)]
        for ax in picture().axes[2:4]
    )
    assert len(expected) == 24 and np.allclose(sorted(curves), expected, rtol=0.0, atol=1e-6)
    off = sorted((grade, grams - held[grade]) for grade, grams in read)
    assert np.allclose(sorted(strip), off, rtol=0.0, atol=1e-6)


@pytest.mark.slow
def test_file_is_square_and_holds_the_text_with_the_whole_commitment(capsys, tmp_path):
    out = tmp_path / "picture.png"
    assert main(["post", "--trial", str(TRIAL), "--out", str(out), "--json"]) == 0
    document = json.loads(capsys.readouterr().out)
    commitment = (TRIAL / "commitment.txt").read_text().split()[0]
    assert document["commitment"] == commitment and document["status"] == "ok"
    assert document["punch"]["front_load_min_n"] == pytest.approx(0.0, abs=1e-9)
    with Image.open(out) as image:
        assert image.size == (PIXELS, PIXELS)
        assert image.info["Description"] == document["text"] and commitment in document["text"]
    assert [path.name for path in tmp_path.iterdir()] == ["picture.png"]


@pytest.mark.slow
def test_three_set_ups_and_a_rigid_vehicle_are_drawn(tmp_path, capsys):
    three = draw_post(gather_post(setups("base", RAISED, "raised_and_reset"), grade_deg=15.0, draws=20))
    said = [text.get_text() for text in written(three)]
    assert sum(text.removesuffix(" g").isdigit() for text in said if text.endswith(" g")) == 3
    rigid = tmp_path / "rigid.toml"
    assert main(["new", "--level", "A", str(rigid)]) == 0
    text = rigid.read_text() + '\n[setups.lower]\n"weighed.centre_of_gravity_height_mm" = 70\n'
    vehicles = [load_vehicle(str(rigid), text=text), load_vehicle(str(rigid), text=text, setup="lower")]
    post = gather_post(vehicles)
    assert post.punch is None and "level A" in post.no_punch and post.comparison.differences[0].front_load_n > 0.0
    said = [text.get_text() for text in written(draw_post(post))]
    assert any("no punch" in text for text in said) and not any(text.startswith("Links act") for text in said)
    assert "heaving" not in said and "grade" in said


def test_what_does_not_belong_on_the_picture_is_refused(tmp_path, capsys):
    two = setups("base", RAISED)
    with pytest.raises(ModelError, match="cannot be told apart"):
        gather_post(setups("base", RAISED, "raised_and_reset", "lowered_chassis_mount"))
    with pytest.raises(ModelError, match="readings of 'lead', which is not on the picture"):
        gather_post(two, readings={"lead": str(BOARD)})
    with pytest.raises(ModelError, match=r"has no front axle load at 61.2 deg.*smaller --grade"):
        gather_post(two, grade_deg=61.2, draws=0)
    with pytest.raises(ModelError, match="raised_rear_upper_mount, which is not on the picture"):
        gather_post(setups("base", "raised_and_reset"), trial=str(TRIAL))
    other = tmp_path / "other.toml"
    other.write_text(Path(DEMO).read_text().replace("mass_g = 1650", "mass_g = 1651"))
    code = main(["post", str(other), "--trial", str(TRIAL), "--out", str(tmp_path / "x.png")])
    assert code == 2 and "prediction is of another vehicle file" in capsys.readouterr().err
    assert main(["post", "--out", "picture.bmp"]) == 2
    assert "--out picture.bmp" in capsys.readouterr().err
    tips = tmp_path / "tips.csv"
    tips.write_text("kind, grade_deg\ntip_over, 61\n")
    with pytest.raises(ModelError, match="no front_load readings"):
        gather_post(two, readings={"base": str(tips)})
    assert np.isfinite(whole().measured[0].standard_error_n).all() and not (tmp_path / "x.png").exists()


def test_a_trial_that_was_read_shows_what_it_measured(tmp_path):
    """The difference with its interval and the verdict beside the seal; before the readings are in, the prediction alone."""
    import shutil

    from noseload.studies.show.post import read_seal
    from noseload.studies.trial.read import read_trial

    result = read_trial(TRIAL)
    seal, found = read_seal(TRIAL, setups("base", RAISED)), result.analysis.main
    low, high = found.interval
    assert seal.measured == f"tip angle {found.difference:+.2f} deg ({low:+.2f} to {high:+.2f} deg)"
    assert seal.verdict == result.headline
    # Digits are the widest figures that a commitment has.
    longest = replace(seal, commitment="0" * 64, measured="front scale -102.5 g (-128.5 to -100.0 g), control not seen")
    footer = [t for t in draw_post(replace(whole(), seal=longest)).texts if "control not seen" in t.get_text()]
    assert len(footer) == 1 and footer[0].get_window_extent().x1 <= PIXELS
    text = replace(whole(), measured=()).text()
    assert f"Measured in the blinded trial: {result.headline}" in text
    assert text.splitlines()[1].startswith("raised rear upper mount: No. At ")
    planned = tmp_path / "planned"
    shutil.copytree(TRIAL, planned)
    (planned / "readings.csv").unlink()
    before = read_seal(planned, setups("base", RAISED))
    assert (before.measured, before.verdict) == ("", "") and before.commitment == seal.commitment
