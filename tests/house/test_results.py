"""Every public result: keys are those of its document, a table for notebooks, a picture, and no printing."""

import json
from dataclasses import FrozenInstanceError, dataclass, replace
from html.parser import HTMLParser

import numpy as np
import pytest
from matplotlib.axes import Axes

from all_studies import import_all_studies
from noseload import creep, punch, sweep
from noseload.__main__ import main
from noseload.model.errors import ModelError
from noseload.pictures.style import new_figure
from noseload.result_html import shown
from noseload.studies.result import Result, named_values
from result_makers import MAKERS, SLOW, demo, made

LARGEST_TABLE = 20_000
"""Characters of HTML: a notebook that holds it stays readable as text."""


NAMES = [pytest.param(name, marks=pytest.mark.slow) if name in SLOW else name for name in MAKERS]


class Balance(HTMLParser):
    """Tags opened and not closed, and the words between them."""

    def __init__(self):
        super().__init__(convert_charrefs=True)
        self.open, self.words, self.tags = [], [], set()

    def handle_starttag(self, tag, attrs):
        self.open.append(tag)
        self.tags.add(tag)

    def handle_endtag(self, tag):
        assert self.open.pop() == tag

    def handle_data(self, data):
        self.words.append(data)


def read_html(text):
    """The parsed table; fails where tags do not close in order."""
    reader = Balance()
    reader.feed(text)
    reader.close()
    assert reader.open == []
    return reader


def test_every_result_with_a_document_that_commands_print_is_among_these():
    """A new study's result is a `Result` and stands in the list above, or this fails."""
    import_all_studies()
    known, left = set(), Result.__subclasses__()
    while left:
        kind = left.pop()
        left += kind.__subclasses__()
        # What several results have alike, without a document of its own, is none.
        known |= {kind} if kind.__module__.startswith("noseload.") and kind.to_dict is not Result.to_dict else set()
    tried = {
        "Creep",
        "Sweep",
        "Comparison",
        "Description",
        "PunchResult",
        "WheelsPunch",
        "WheelsMany",
        "WheelsComparison",
        "WheelsMap",
        "LargestWheelThrottle",
        "Modes",
        "LinkStudy",
        "Headings",
        "WheelLevers",
        "LiftUncertainty",
        "WheelSurvey",
        "WheelSweep",
        "WheelsAnswer",
        "Weighing",
        "ReadingsResult",
        "PunchMany",
        "Measurement",
        "TrialResult",
        "TrialPlan",
        "Rank",
        "Aim",
        "MostLoad",
        "LatestLift",
        "Survey",
        "Uncertainty",
        "Doubts",
        "Promise",
        "PunchMap",
        "PunchLimits",
        "LargestThrottle",
        "LogResult",
        "Rehearsal",
        "Bench",
        "BenchComparison",
        "BenchReadings",
        "BenchWheels",
        "Report",
        "PunchComparison",
        "PunchUncertainty",
        "WheelsUncertainty",
        "Post",
        "Film",
    }
    assert {kind.__name__ for kind in known} == tried


def as_lists(value):
    """The same with lists for tuples, as JSON has them; keys stay what they are, so that a number as a key is seen."""
    if isinstance(value, dict):
        return {key: as_lists(item) for key, item in value.items()}
    return [as_lists(item) for item in value] if isinstance(value, list | tuple) else value


def test_a_document_that_json_would_change_is_seen():
    """This check once compared an expression with itself."""
    for document in ({1: 2.0}, {"a": {None: 1}}):
        assert json.loads(json.dumps(document)) != as_lists(document)
    assert json.loads(json.dumps({"a": (1, (2,))})) == as_lists({"a": (1, (2,))})


@pytest.mark.parametrize("name", NAMES)
def test_a_result_serves_tables_pictures_and_keys(name, capsys):
    result = made(name)
    document = result.to_dict()
    # Strict JSON without any help: no arrays, no not-a-number, text keys, and nothing lost on the way.
    assert json.loads(json.dumps(document, allow_nan=False)) == as_lists(document)
    read = read_html(result._repr_html_())
    assert {"table", "tr", "th", "td"} <= read.tags
    assert len(result._repr_html_()) < LARGEST_TABLE
    for key in result.keys():
        _ = result[key]
        assert key in result
    if name not in ("weigh", "spring", "damping"):
        assert set(document) <= set(result.keys())
    with pytest.raises(KeyError, match=f"{type(result).__name__} has no 'front_lode_n'"):
        result["front_lode_n"]
    _, (ax,) = new_figure()
    assert result.plot(ax) is ax
    assert ax.has_data() or ax.texts or ax.patches
    assert isinstance(result.plot(), Axes)
    with pytest.raises(FrozenInstanceError):
        result.status = "changed"
    assert capsys.readouterr() == ("", "")


@pytest.mark.parametrize(
    ("name", "arguments"),
    [
        ("creep", ["creep", "--grade", "45"]),
        ("sweep", ["sweep", "--step", "5"]),
        ("links", ["links", "--grade", "30"]),
        ("punch", ["punch", "--grade", "35", "--duration", "0.3"]),
        ("wheels", ["wheels"]),
        ("wheel_sweep", ["wheels", "--sweep"]),
        pytest.param("headings", ["wheels", "--headings", "45"], marks=pytest.mark.slow),
        pytest.param("wheel_levers", ["rank", "--by", "first-lift"], marks=pytest.mark.slow),
        ("weigh", ["weigh"]),
    ],
)
def test_keys_are_those_of_the_document(name, arguments, capsys):
    """What the command prints under `--json` holds the result's keys and numbers, and says beside them what made it."""
    assert main([*arguments, "--json"]) == 0
    printed = json.loads(capsys.readouterr().out)
    mine = json.loads(json.dumps(made(name).to_dict()))
    printed = printed["setups"][0] if name == "links" and "setups" in printed else printed
    # Over divisions of the pull a command alone asks.
    ranges = [row.pop("front_load_range_n") for row in printed.get("rows", ()) if "front_load_range_n" in row]
    assert all(low <= high for low, high in ranges) and bool(ranges) == (name == "sweep")
    different = ("stats", "file", "travel")
    assert {k: v for k, v in mine.items() if k not in different} == {
        k: v for k, v in printed.items() if k in mine and k not in different
    }
    beside = {"schema", "command", "made_by", "assumed_that_matter", "single_wheels", "drive_splits"}
    beside |= {"front_load_range_n", "front_load_range_grade_deg", "ranges_over_splits", "range_over_splits"}
    beside |= {"limit_ranges", "kink_ranges_deg"}
    assert set(printed) - set(mine) <= beside


def test_columns_are_arrays_and_failed_rows_are_not_a_number():
    rows = sweep(demo(), from_deg=60.0, to_deg=63.0, step_deg=1.0)
    assert rows["front_load_n"].shape == (4,)
    assert np.isfinite(rows["front_load_n"][:2]).all() and np.isnan(rows["front_load_n"][2:]).all()
    total = sum(rows[key] for key in rows.rows[0].budget)
    np.testing.assert_allclose(total[:2], rows["front_load_n"][:2], rtol=1e-9)
    assert rows["budget_grade_n"][0] == rows["grade_n"][0] == rows.rows[0].budget["grade_n"]
    assert rows["tip_over_grade_deg"] == rows.limits.tip_over_grade_deg


def test_traces_of_a_punch_are_had_by_their_keys():
    result = made("punch")
    assert result["front_load_n"].shape == result["time_s"].shape == (301,)
    np.testing.assert_array_equal(result["front_load_n"], result.front_load_n)
    np.testing.assert_allclose(sum(result["budget"][k] for k in result.budget), result["front_load_n"], atol=1e-7)
    assert result["front_load_min_n"] == result.summary["front_load_min_n"]


def test_a_wrong_key_is_answered_with_the_nearest():
    with pytest.raises(KeyError, match="nearest: front_load_n"):
        made("creep")["front_load"]
    with pytest.raises(KeyError, match="nearest: spring_rate_n_per_mm"):
        made("spring")["spring_rate_n_mm"]
    with pytest.raises(KeyError, match="it has setup, grade_deg"):
        made("creep")["?"]


def test_names_that_two_tables_share_are_had_by_the_joined_key_only():
    found = named_values({"a": {"x_n": 1.0, "y_n": 2.0}, "b": {"x_n": 3.0}, "y_n": 4.0})
    assert (found["a_x_n"], found["b_x_n"], found["y_n"], found["a_y_n"]) == (1.0, 3.0, 4.0, 2.0)
    assert "x_n" not in found


def test_names_from_files_are_escaped():
    name = '<script>alert("x")</script> & <b>'
    result = replace(made("creep"), setup=name)
    read = read_html(result._repr_html_())
    assert "script" not in read.tags
    assert any(name in words for words in read.words)


def test_what_does_not_exist_is_not_drawn():
    past = creep(demo(), grade_deg=80.0)
    assert past["front_load_n"] is None
    with pytest.raises(ModelError, match=r"Creep has nothing to draw: steeper than 61\.\d+ deg"):
        past.plot()
    assert "beyond_tip_over" in past._repr_html_()
    unheld = punch(demo(), grade_deg=80.0)
    with pytest.raises(ModelError, match="PunchResult has nothing to draw"):
        unheld.plot()
    with pytest.raises(ModelError, match="Measurement has nothing to draw: there are no readings beside a fit"):
        replace(made("spring"), traces=()).plot()


def test_a_result_without_a_document_says_so():
    @dataclass(frozen=True)
    class Bare(Result):
        pass

    with pytest.raises(NotImplementedError, match="Bare says nothing about its document"):
        Bare().to_dict()


def test_values_are_shown_for_readers():
    assert [shown(v) for v in (None, True, 3, 14.84319, float("nan"), "x" * 300)] == [
        "-",
        "yes",
        "3",
        "14.84",
        "-",
        "x" * 197 + "...",
    ]


@pytest.mark.parametrize(
    ("name", "method"),
    [
        ("sweep", "plot_budget"),
        ("punch", "plot_budget"),
        ("punch", "plot_pitch_and_travel"),
        ("punch", "plot_link_forces"),
        ("punch", "plot_slip_and_speed"),
        pytest.param("compare", "plot_difference", marks=pytest.mark.slow),
        pytest.param("map", "plot_airborne", marks=pytest.mark.slow),
    ],
)
def test_other_pictures_of_a_result(name, method):
    _, (ax,) = new_figure()
    assert getattr(made(name), method)(ax) is ax
    assert ax.has_data()
