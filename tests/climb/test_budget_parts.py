"""One table of the budget's parts: what texts, verdicts, pictures and pages tell adds up, for a part invented here too."""

import re
from dataclasses import replace

import pytest

from noseload import compare, creep, demo_vehicle, punch
from noseload.commands.climb.compare_punch_text import _budget_table
from noseload.commands.climb.creep import _text
from noseload.commands.punch.punch import _budget_text
from noseload.model.crawl import budget_parts
from noseload.model.crawl.budget_parts import Part, told
from noseload.model.units import grams_of_force
from noseload.pictures.climb.loads import plot_budget
from noseload.pictures.climb.summary import plot_creep_budget
from noseload.pictures.punch.punch import plot_budget_over_time
from noseload.studies.compare.compare import say_load
from noseload.studies.compare.punch import compare_punch

INVENTED = Part("mud_n", "mud on the nose", "mud", "mud", "mud", "#123456", "..", steady=True, always=False)
MUD_N = -0.5
TOLD_G = 0.1
"""Parts are told to a tenth of a gram, and small ones summed."""


@pytest.fixture
def add_mud(monkeypatch):
    """Puts one more part into the table: to be called after everything is solved, for no formula gives it."""
    return lambda: monkeypatch.setattr(budget_parts, "PARTS", (*budget_parts.PARTS, INVENTED))


def with_mud(row):
    return replace(row, front_load_n=row.front_load_n + MUD_N, budget={**row.budget, "mud_n": MUD_N})


def grams_in(words):
    return [
        float(found.replace("\u2212", "-"))
        for found in re.findall(r"[-+\u2212]\d+(?:\.\d+)? g", words)
        for found in [found[:-2]]
    ]


def test_a_part_of_nothing_is_not_told_and_one_of_something_is(add_mud):
    row = creep(demo_vehicle(), grade_deg=40.0)
    add_mud()
    assert INVENTED not in told({**row.budget, "mud_n": 0.0})
    assert INVENTED in told({**row.budget, "mud_n": MUD_N})
    assert "mud on the nose" in _text(demo_vehicle(), with_mud(row), {})


def test_a_verdict_names_every_part_that_moved(add_mud):
    """A new part was once dropped in silence: '-12.1 g ... through attitude -1.2 g'."""
    names = (None, "raised_rear_upper_mount")
    comparison = compare([demo_vehicle(setup=name) for name in names], grade_deg=45.0)
    first, other = comparison.members
    (difference,) = comparison.differences
    add_mud()
    budget = {**difference.budget, "mud_n": MUD_N}
    moved = replace(other, at_grade=with_mud(other.at_grade))
    change = moved.at_grade.front_load_n - first.at_grade.front_load_n
    judged = comparison.thresholds.load(change, first.at_grade.budget["standing_n"])
    words = say_load(first, moved, judged, budget, None)
    assert "mud" in words
    told_parts = grams_in(words[words.index("through") :])
    assert sum(told_parts) == pytest.approx(grams_of_force(change), abs=TOLD_G * len(told_parts))


def test_tables_of_a_punch_add_up(add_mud):
    vehicles = [demo_vehicle(setup=name) for name in (None, "raised_rear_upper_mount")]
    found = compare_punch(compare(vehicles, grade_deg=30.0, draws=0), grade_deg=30.0, draws=0)
    (difference,) = found.differences
    add_mud()
    extended = replace(
        difference,
        budget={**difference.budget, "mud_n": MUD_N},
        creep_budget={**difference.creep_budget, "mud_n": MUD_N},
    )
    lines = _budget_table([extended]).splitlines()
    cells = [re.split(r"\s{2,}", line.strip()) for line in lines[2:]]
    rows = {name: [float(value) for value in values] for name, *values in cells}
    assert any(name.startswith("mud") for name in rows)
    for column in (0, 1):
        parts = [cells[column] for name, cells in rows.items() if not name.startswith("=")]
        sums = [cells[column] for name, cells in rows.items() if name.startswith("=")]
        assert sum(parts) == pytest.approx(sum(sums), abs=TOLD_G * len(parts))


def test_pictures_draw_it(add_mud):
    row = with_mud(creep(demo_vehicle(), grade_deg=40.0))
    run = punch(demo_vehicle(), grade_deg=30.0, duration_s=0.3, outcome=False)
    add_mud()
    ax = plot_creep_budget(row)
    assert "mud" in [label.get_text() for label in ax.get_xticklabels()]
    run = replace(run, budget={**run.budget, "mud_n": run.budget["standing_n"] * 0.0 + 5.0 * MUD_N})
    assert "mud on the nose" in _budget_text(
        replace(run, lowest={**run.lowest, "budget": {**run.lowest["budget"], "mud_n": MUD_N}})
    )
    words = [text.get_text() for text in plot_budget_over_time(run).texts]
    assert "mud" in words


def test_the_budget_over_grade_stacks_it(add_mud):
    from noseload import sweep

    found = sweep(demo_vehicle(), to_deg=40.0, step_deg=5.0)
    add_mud()
    found = replace(found, rows=tuple(with_mud(row) for row in found.rows))
    ax = plot_budget(found)
    assert any("by mud" in text.get_text() for text in ax.texts)
    heavy = max(ax.lines, key=lambda line: line.get_linewidth())
    assert heavy.get_ydata()[-1] == pytest.approx(grams_of_force(found.rows[-1].front_load_n), abs=1e-9)
