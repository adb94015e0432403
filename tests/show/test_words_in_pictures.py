"""Words of pictures: with six long names nothing lies on anything else or leaves the canvas, whatever command draws."""

import io
import pkgutil
import tempfile
from dataclasses import dataclass
from functools import cache, partial
from pathlib import Path

import pytest
from matplotlib.backends.backend_agg import FigureCanvasAgg
from matplotlib.figure import Figure
from matplotlib.text import Text

from noseload.__main__ import main
from noseload.demo import DEMO
from noseload.model import load_vehicle
from noseload.model.names import Named
from noseload.pictures.climb.loads import plot_front_load
from noseload.pictures.fitting import fit_words
from noseload.pictures.names import key_below
from noseload.pictures.show.explore import SIZE, ExploreWindow
from noseload.pictures.show.film import FilmView
from noseload.pictures.show.readout import Readout
from noseload.pictures.show.wheels_film import WheelsFilmView
from noseload.pictures.style import new_figure
from noseload.pictures.wheels.grades import draw_headings
from noseload.studies.climb.sweep import sweep
from noseload.studies.errors.doubts import doubts
from noseload.studies.errors.uncertainty import uncertainty
from noseload.studies.show.explore import Explorer
from noseload.studies.show.film import creep_film
from noseload.studies.show.post import gather_post
from noseload.studies.show.wheels_film import wheels_film
from noseload.studies.wheels.answer import Headings
from picture_texts import words_in_the_way

LONG = """
[setups.rear_upper_mount_raised_by_ten_millimetres_kept_links]
"rear.upper_link.axle_end_mm" = [7, 94]
[setups.softer_rear_springs_with_longer_droop_than_before]
"rear.shock.spring_rate_n_per_mm" = 0.25
[setups.battery_far_forward_and_low_down_on_the_front_axle]
"body.centre_of_gravity_mm" = [190, 92]
[setups.longer_lower_links_at_both_ends_of_the_vehicle]
link_lengths = "fitted"
"rear.lower_link.chassis_end_mm" = [126, 59]
[setups.front_upper_link_flattened_out_for_less_anti_lift]
link_lengths = "fitted"
"front.upper_link.chassis_end_mm" = [214, 90]
"""
BOARD = str(Path(DEMO).parent / "readings" / "board.csv")
RAISED = "rear_upper_mount_raised_by_ten_millimetres_kept_links"
SIX = ",".join(["base", *(line[8:-1] for line in LONG.splitlines() if line.startswith("["))])
TWO = f"base,{RAISED}"
COMMANDS = {
    "describe": ["--plot"],
    "creep": ["--grade", "40", "--setup", RAISED, "--plot"],
    "sweep": ["--setup", RAISED, "--uncertainty", "--draws", "10", "--step", "5", "--plot"],
    "compare": ["--setups", SIX, "--punch", "30", "--draws", "10", "--step", "10", "--pictures"],
    "bench": ["--front", "free", "--setups", SIX, "--plot"],
    "modes": ["--setup", RAISED, "--grade", "30", "--plot"],
    "punch": ["--grade", "30", "--setup", RAISED, "--pictures"],
    "limits": ["--setups", TWO, "--grades", "0", "45", "--plot"],
    "map": ["--setups", TWO, "--grades", "20", "40", "--grade-count", "3", "--rise-count", "3", "--plot"],
    "links": ["--setups", SIX, "--grade", "40", "--plot"],
    "rank": ["--plot"],
    "post": ["--setups", TWO, "--out"],
    "wheels": ["--setups", SIX, "--grade", "40", "--heading", "30", "--plot"],
    "aim": ["--anti-squat", "80", "--setup", RAISED, "--plot"],
}
SPACE = {
    "punch": ["punch", "--wheels", "--grade", "30", "--setup", RAISED, "--pictures"],
    "map": [
        "map",
        "--wheels",
        "--setups",
        TWO,
        "--grades",
        "20",
        "40",
        "--grade-count",
        "2",
        "--rise-count",
        "2",
        "--plot",
    ],
    "bench": ["bench", "--wheels", "--setups", SIX, "--plot"],
}
MORE = {
    "links standing": ["links", "--setups", TWO, "--plot"],
    "three on a post": ["post", "--setups", ",".join(SIX.split(",")[:3]), "--out"],
    "promise": ["links", "--setup", RAISED, "--promise", "--plot"],
    "most": ["aim", "--most-front-load", "--generations", "2", "--setup", RAISED, "--plot"],
    "wheels over grade": ["wheels", "--sweep", "--setups", TWO, "--plot"],
    "readings": ["readings", BOARD, "--setup", RAISED, "--plot"],
    "trial": ["trial plan", "--change", RAISED, "--installation-sd", "0.2", "--pairs", "4", "--size-only", "--plot"],
    "rehearsal": [
        "trial rehearse",
        "--change",
        RAISED,
        "--installation-sd",
        "0.2",
        "--pairs",
        "4",
        "--trials",
        "20",
        "--plot",
    ],
    "doubts": ["doubts", "--grade", "45", "--setup", RAISED, "--draws", "40", "--plot"],
}
FEWER = {
    "limits": ("noseload.commands.punch.limits.outcome_searches", {"step_deg": 5.0, "refined_deg": 0.5}),
    "compare": ("noseload.studies.compare.punch.compare_punch", {"draws": 20}),
}
"""Pictures with the same words from less work: fewer draws, coarser searches."""
FEW_DRAWS = 40


@pytest.fixture(scope="module", autouse=True)
def few_draws():
    """Intervals and ranges over divisions of the pull are drawn and told here, and judged elsewhere."""
    with pytest.MonkeyPatch.context() as patched:
        for study, name in ((uncertainty, "left_out_draws"), (doubts, "left_out_draws"), (gather_post, "draws")):
            patched.setitem(study.__kwdefaults__, name, FEW_DRAWS)
        for name in ("trial.prediction.MARGIN_DRAWS", "levers.whole.DRAWS"):
            patched.setattr(f"noseload.studies.{name}", FEW_DRAWS)
        patched.setattr("noseload.studies.climb.split.ROLLING_SHARES", (1.0,))
        yield


@pytest.fixture(scope="module")
def six_setups(tmp_path_factory):
    file = tmp_path_factory.mktemp("six") / "six.toml"
    text = Path(DEMO).read_text(encoding="utf-8").split("[setups.")[0]
    file.write_text(text + LONG, encoding="utf-8")
    return str(file)


@dataclass(frozen=True)
class Drawn:
    """Figures that a run writes: what stands in the way on them, their words, their sizes in inches."""

    complaints: list
    spoken: list
    sizes: list


@cache
def drawn(*arguments):
    """What a run draws, looked at once: where words stand is known without a pixel painted or a file written."""
    seen = Drawn([], [], [])

    def looked_at(figure, *places, **options):
        seen.sizes.append(tuple(figure.get_size_inches()))
        seen.spoken.extend(text.get_text() for text in figure.findobj(Text))
        seen.complaints.extend(words_in_the_way(figure))

    with pytest.MonkeyPatch.context() as patched, tempfile.TemporaryDirectory() as folder:
        patched.setattr(Figure, "savefig", looked_at)
        target = {"--pictures": "pictures", "--output": "sheet.svg"}.get(arguments[-1], "picture.png")
        assert main([*arguments, str(Path(folder) / target)]) == 0 and seen.sizes
    return seen


@pytest.mark.slow
@pytest.mark.parametrize("name", [*COMMANDS, *MORE])
def test_no_words_lie_on_others_or_leave_the_canvas(monkeypatch, six_setups, name, capsys):
    command, *options = MORE.get(name) or [name, *COMMANDS[name]]
    if name in FEWER:
        study, fewer = FEWER[name]
        monkeypatch.setattr(study, partial(pkgutil.resolve_name(study), **fewer))
    seen = drawn(*command.split(), six_setups, *options)
    assert seen.complaints == []
    assert not any(RAISED in words or "truth -" in words for words in seen.spoken)
    if name == "sweep":
        # The band is that of both parts together, and once was called that of what was measured.
        assert any("95 % band" in words and "left out" in words for words in seen.spoken)


@pytest.mark.slow
@pytest.mark.parametrize("own", [False, True])
def test_the_pictures_of_a_survey_too(six_setups, own, capsys):
    """A vehicle of one's own is found among the random ones, in words that run into none of the others."""
    files = [six_setups] if own else []
    seen = drawn("survey", *files, "--vehicles", "20", "--plot")
    assert seen.complaints == []
    assert any(words.startswith("yours ") for words in seen.spoken) == own


@pytest.mark.slow
@pytest.mark.parametrize("name", SPACE)
def test_pictures_of_four_wheels_too(six_setups, name, capsys):
    command, *options = SPACE[name]
    assert drawn(command, six_setups, *options).complaints == []


@pytest.mark.slow
@pytest.mark.parametrize(
    ("command", "options"),
    [
        ("links", COMMANDS["links"]),
        ("wheels", ["--setups", SIX, "--grade", "40", "--plot"]),
        ("bench", SPACE["bench"][1:]),
    ],
)
def test_six_setups_fit_a_screen(six_setups, command, options, capsys):
    """No picture of six setups is taller than wide, or more than two and a half times as wide as tall: one screen shows it."""
    for width, height in drawn(command, six_setups, *options).sizes:
        assert height <= width <= 2.5 * height


def test_headings_all_round_of_six_setups_keep_their_words_apart():
    """Made-up grades: shows drawing only, with a heading for which none was found."""
    turns = tuple(45.0 * k for k in range(8))
    lifts = (52.0, None, 46.0, 48.0, 50.0, 48.0, 46.0, 51.0)
    wheels = tuple(None if lift is None else "front_right" for lift in lifts)
    ranges = tuple((None, None) if lift is None else (lift - 2.0, lift + 1.0) for lift in lifts)
    answers = [Headings(Named(name), turns, lifts, wheels, lifts, ranges) for name in SIX.split(",")]
    figure = draw_headings(answers)
    fit_words(figure)
    assert words_in_the_way(figure) == []
    assert "a gap: no lift was found there" in " ".join(
        text.get_text().replace("\n", " ") for text in figure.findobj(Text)
    )


def readouts_of(figure):
    return figure.findobj(Readout)


@pytest.mark.parametrize("side_by_side", [False, True])
def test_films_of_six_setups_keep_their_words_apart(six_setups, side_by_side):
    names = [None, *SIX.split(",")[1:]][: 2 if side_by_side else 6]
    film = creep_film([load_vehicle(six_setups, setup=name) for name in names], from_deg=0.0, to_deg=40.0)
    view = FilmView(film, side_by_side=side_by_side)
    view.show(len(film.places) - 1)
    assert words_in_the_way(view.figure, readouts_of(view.figure)) == []


@pytest.mark.slow
@pytest.mark.parametrize("name", SIX.split(",")[:5:2])
def test_films_of_four_wheels_keep_their_words_apart(six_setups, name):
    setup = None if name == "base" else name
    vehicle = load_vehicle(six_setups, setup=setup)
    film = wheels_film(vehicle, grade_deg=35.0, duration_s=0.5, slow=1.0, frames_per_second=20.0)
    view = WheelsFilmView(film)
    found = []
    for frame in range(len(film.places)):
        view.show(frame)
        found += words_in_the_way(view.figure)
    assert found == []


def test_the_window_of_a_vehicle_with_long_names_keeps_its_words_apart(six_setups):
    figure = Figure(figsize=SIZE, dpi=100)
    FigureCanvasAgg(figure)
    vehicle = load_vehicle(six_setups, setup=RAISED)
    window = ExploreWindow(Explorer(vehicle), figure, grade_deg=40.0)
    readouts = [*window.words.values(), *window.values.values(), window.punch_words]
    assert words_in_the_way(figure, readouts) == []


def test_measuring_sheets_keep_their_words_apart():
    assert drawn("sheet", "--level", "C", "--output").complaints == []


def test_the_check_sees_overlaps_and_the_edge():
    figure, (ax,) = new_figure(3.0, 2.0)
    ax.text(0.5, 0.5, "one", transform=ax.transAxes)
    assert words_in_the_way(figure) == []
    ax.text(0.52, 0.5, "other", transform=ax.transAxes)
    figure.text(0.9, 0.2, "far too long for the room")
    assert words_in_the_way(figure) == ["leaves the canvas: 'far too long for the room'", "'one' lies on 'other'"]


def test_titles_break_where_their_room_ends_and_keep_their_words():
    words = "raised rear upper mount by twelve millimetres: throttle over grade"
    figure, (left, right) = new_figure(9.0, 4.0, 1, 2)
    for ax in (left, right):
        ax.set_title(words, loc="left")
        ax.set_ylabel(words)
    assert words_in_the_way(figure) != []
    fit_words(figure)
    assert words_in_the_way(figure) == []
    assert " ".join(left.get_title(loc="left").split()) == words


def test_a_key_stands_below_the_axes_with_letters_and_wrapped_names():
    figure, (ax,) = new_figure(3.2, 2.4)
    ax.set_xlabel("grade, deg")
    key = key_below(ax, [(0, "base"), (6, "a_very_long_name_of_a_setup_that_takes_more_than_a_line")])
    figure.savefig(io.BytesIO())
    assert words_in_the_way(figure) == []
    assert key.get_window_extent().y1 < ax.get_window_extent().y0
    words = [text.get_text() for text in key.get_texts()]
    assert words[0] == "base" and "\n" in words[1] and "_" not in words[1]
    assert words[1].replace("\n", " ") == "a very long name of a setup that takes more than a line"


def test_a_kink_of_the_crawl_is_drawn_where_it_is_and_named():
    """The demo's front droop stop at 51.79 deg lies between two rows of a sweep by 5 deg; the drawn curve bends there."""
    found = sweep(load_vehicle(DEMO), step_deg=5.0)
    kink = found.kinks[-1]
    ax = plot_front_load(found)
    grade, load = ax.lines[0].get_data()
    place = list(grade).index(kink.grade_deg)
    assert load[place] == pytest.approx(kink.front_load_n[0] / 9.80665e-3)
    assert kink.grade_deg not in found["grade_deg"] and len(grade) == len(found.rows) + 2 * len(found.kinks)
    assert "front droop stop at 51.8 deg" in " ".join(text.get_text().replace("\n", " ") for text in ax.findobj(Text))
