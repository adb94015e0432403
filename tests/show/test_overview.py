"""A vehicle in fifteen lines: what it says of a file of each level, of one with six setups, and of one that does not stand."""

import json
from pathlib import Path

import pytest

from noseload.__main__ import main
from noseload.demo import DEMO
from noseload.model import load_vehicle
from noseload.model.file.template import vehicle_template
from noseload.studies.show import overview as study
from noseload.studies.show.overview import overview

LINES = 15
"""Beside the empty one above 'next:'."""
SIX = """
[setups.a]
"rear.upper_link.axle_end_mm" = { up = 12 }
[setups.b]
"rear.upper_link.axle_end_mm" = { down = 6 }
[setups.c]
"front.shock.spring_rate_n_per_mm" = { percent = -20 }
[setups.d]
"tyre.vertical_stiffness_n_per_mm" = { percent = 30 }
[setups.e]
"front.axle_mass_g" = { more = 120 }
[setups.f]
"front.shock.droop_travel_mm" = { less = 4 }
"""


@pytest.fixture
def six(tmp_path):
    """The demo with six setups of its own."""
    text = Path(DEMO).read_text(encoding="utf-8")
    path = tmp_path / "six.toml"
    path.write_text(text.partition("[setups.")[0] + SIX, encoding="utf-8")
    return path


def printed(capsys, *arguments):
    code = main([str(argument) for argument in arguments])
    return code, capsys.readouterr().out


def kept(monkeypatch, name, results):
    """Keep what a study gives to the overview, with what it was asked, in place of asking it twice."""
    asked = getattr(study, name)

    def noted(*arguments, **options):
        results[name] = arguments, options, asked(*arguments, **options)
        return results[name][-1]

    monkeypatch.setattr(study, name, noted)


@pytest.mark.slow
def test_a_file_alone_is_looked_at_in_fifteen_lines(capsys, six, monkeypatch):
    """Doubts, what stops it first, the first wheel, every setup, three changes, a measurement; each sentence is the study's."""
    results = {}
    kept(monkeypatch, "compare", results)
    kept(monkeypatch, "rank", results)
    code, out = printed(capsys, six)
    lines = [line for line in out.splitlines() if line]
    assert code == 0 and len(lines) == LINES
    assert lines[1].startswith("  doubts: none; ") and "It tips over first, at 61.5 deg (" in lines[2]
    assert "wheel lifts at " in lines[3]
    vehicles = [load_vehicle(six), *(load_vehicle(six, setup=name) for name in "abcdef")]
    (compared,), options, comparison = results["compare"]
    assert compared == vehicles and options == {"draws": 400, "apart": False}
    assert lines[4:10] == [f"  {d.answer.setup}: {d.answer.short}" for d in comparison.differences]
    (ranked,), _, ranking = results["rank"]
    assert ranked == vehicles[0]
    best = ranking.ready_made[:3]
    assert all(f"({item.name}): it tips" in line for item, line in zip(best, lines[10:13], strict=True))
    assert lines[13].startswith("  measure next: ") and " of the doubt about its tip-over: " in lines[13]
    assert lines[14].endswith(f"--setups base,{best[0].name}    (the best one, in full)")


def test_a_rigid_file_is_answered_too(capsys, tmp_path):
    path = tmp_path / "a.toml"
    path.write_text(vehicle_template("A"))
    code, out = printed(capsys, path)
    assert code == 0 and "It slides first, at 65.6 deg, before it would tip over" in out
    assert "would help: ride height 5 mm lower (5_mm_lower)" in out and "links and springs (level B)" in out


def test_what_does_not_stand_says_so(capsys, tmp_path):
    """Springs a hundred times too soft: no traceback, exit code 3, the reason in one line."""
    text = vehicle_template("C").replace(
        "spring_rate_n_per_mm = 0.32", "spring_rate_n_per_mm = 0.0201\nfree_length_mm = 60"
    )
    path = tmp_path / "soft.toml"
    path.write_text(text.replace("bump_travel_mm = 24", "bump_travel_mm = 80"))
    result = overview(load_vehicle(path))
    code, out = printed(capsys, path)
    assert (code == 3) == bool(result.failed) and ("no answer: " in out) == bool(result.failed)


@pytest.mark.slow
def test_document(capsys, monkeypatch):
    monkeypatch.setattr(study, "DRAWS", 40)
    code, out = printed(capsys, "overview", "--json")
    body = json.loads(out)
    assert code == 0 and body["command"] == "overview" and len(body["helps"]) == 3 and body["limit"]


def test_bare_noseload_points_the_way(capsys):
    code, out = printed(capsys)
    assert code == 2 and "noseload my-crawler.toml" in out and "noseload survey" in out
    assert "noseload new --level A my-crawler.toml" in out


def test_commands_stand_in_groups(capsys):
    from noseload.__main__ import COMMANDS, GROUPS

    assert list(GROUPS) == ["start here", "measure", "go deeper", "show"]
    named = [name for names in GROUPS.values() for name in names]
    assert sorted(named) == sorted(COMMANDS)
    code, out = printed(capsys, "--help")
    assert code == 0 and [line for line in out.splitlines() if line.removesuffix(":") in GROUPS] == [
        f"{g}:" for g in GROUPS
    ]
