"""`noseload trial` as typed: documents, exit codes, files written complete or not at all, pictures, a whole afternoon."""

import argparse
import csv
import json
import random
import re
import secrets
from pathlib import Path

import numpy as np
import pytest

from noseload.__main__ import main
from noseload.commands.trial import arguments as trial_arguments
from noseload.demo import DEMO
from trial_maker import make_trial, run_trial

PLAN = [
    "trial",
    "plan",
    "--vehicle-name",
    "mine",
    "--change",
    "raised",
    "--difference",
    "0.8",
    "--installation-sd",
    "0.3",
]


def run(capsys, *arguments):
    code = main([str(a) for a in arguments])
    out = capsys.readouterr()
    return code, out.out, out.err


def test_size_only_writes_nothing(capsys, tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    code, out, _ = run(capsys, *PLAN, "--size-only", "--json")
    body = json.loads(out)
    assert (code, body["schema"], body["command"], body["status"]) == (0, 1, "trial plan", "sized")
    assert "seal" not in body and body["prediction"] is None
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize(
    ("more", "message"),
    [
        (["--installation-sd", "0"], "scatter of 0 deg is not believable"),
        (["--minutes", "30"], "30 minutes hold 2 installations"),
        (["--plot", "x.bmp"], "must end in .png"),
        (["--baseline", "none.csv"], "none.csv: 1 fault:\n  cannot be read"),
        (["--predicted", "none.json"], "neither a number of deg nor a file"),
        (["--after", "none"], "cannot be read"),
    ],
)
def test_what_cannot_be_planned_writes_nothing(capsys, tmp_path, monkeypatch, more, message):
    monkeypatch.chdir(tmp_path)
    code, out, err = run(capsys, *PLAN, *more)
    assert (code, out) == (2, "") and message in err and "Traceback" not in err
    assert list(tmp_path.iterdir()) == []


def test_a_reading_with_faults_writes_nothing(capsys, tmp_path):
    trial = make_trial(seed=4)
    folder = run_trial(tmp_path / "t", trial, np.linspace(58, 59, 8), setup=["raised"] * 8)
    code, out, err = run(
        capsys, "trial", "read", folder, "--csv", tmp_path / "o.csv", "--plot", tmp_path / "o.png", "--json"
    )
    assert (code, out) == (2, "") and "column 'setup' is unblinded" in err
    assert [p.name for p in tmp_path.iterdir()] == ["t"]


def test_a_sealed_plan_decides_what_is_rehearsed(capsys, tmp_path):
    trial = make_trial(seed=4)
    folder = run_trial(tmp_path / "t", trial, np.linspace(58, 59, 8))
    code, out, err = run(capsys, "trial", "rehearse", folder, "--pairs", "9", "--alpha", "0.2")
    assert (code, out) == (2, "") and "its plan is sealed and decides --alpha, --pairs" in err
    code, out, _ = run(capsys, "trial", "rehearse", folder, "--trials", "20", "--drift", "0.1", "--json")
    body = json.loads(out)
    assert (code, body["command"], len(body["truths"])) == (0, "trial rehearse", 2)
    assert body["made_by"]["options"]["drift"] == 0.1 and {"share_wrong", "share_covered"} < set(body["truths"][0])


@pytest.mark.parametrize("action", ["plan", "read", "rehearse"])
def test_help_of_each_action_ends_with_an_example(capsys, action):
    code, out, _ = run(capsys, "trial", action, "--help")
    lines = out.rstrip().splitlines()
    assert code == 0 and lines[-1].startswith(f"example: noseload trial {action}")
    assert len(lines) <= 40


def test_help_all_explains_every_option_of_a_plan(capsys):
    """The short help leaves out options with usable defaults; each has its words in the long one, none in neither."""
    parser = argparse.ArgumentParser()
    trial_arguments._add_plan_arguments(parser)
    options = {action.option_strings[0] for action in parser._actions[1:]}
    told = {}
    for which in ("--help", "--help-all"):
        code, out, _ = run(capsys, "trial", "plan", which)
        assert code == 0
        told[which] = set(re.findall(r"^  (--[a-z-]+)", out, flags=re.M))
    assert options <= told["--help-all"] and told["--help"] < told["--help-all"]
    assert options - told["--help"] == set(trial_arguments.FINER)


@pytest.mark.parametrize("action", ["read", "rehearse"])
def test_misspelt_options_are_errors(capsys, action):
    assert run(capsys, "trial", action, "--posed", "x")[0] == 2


@pytest.mark.slow
@pytest.mark.usefixtures("drawn_letters")
def test_an_afternoon_of_two_people(capsys, tmp_path, monkeypatch):
    """Baseline, plan with the predicted difference, sheets, readings typed in with the true effect, read, look again.

    The order is drawn from a seed: a real draw now and then lets the scatter hide the effect (one of 43).
    """
    monkeypatch.setattr(secrets, "SystemRandom", lambda: random.Random(3))
    monkeypatch.chdir(tmp_path)
    Path("mine.toml").write_bytes(Path(DEMO).read_bytes())
    Path("base.csv").write_text(
        "installation,reading\n1,58.2\n1,58.1\n2,58.6\n2,58.5\n3,58.0\n3,58.3\n4,58.4\n4,58.4\n"
    )
    question = ["trial", "plan", "mine.toml", "--change", "raised_rear_upper_mount", "--baseline", "base.csv"]
    code, out, err = run(
        capsys,
        *question,
        "--minutes",
        "200",
        "--control",
        "packet",
        "--control-effect",
        "1.4",
        "--holes",
        "hole_2",
        "hole_4",
        "--out",
        "day",
        "--plot",
        "power.png",
        "--csv",
        "power.csv",
        "--json",
    )
    assert code == 0, err
    plan = json.loads(out)
    assert plan["prediction"]["origin"] == "calculated"
    assert plan["thresholds"]["difference_deg"] == plan["prediction"]["difference_deg"] < 0
    names = {p.name for p in Path("day").rglob("*") if p.is_file()}
    assert names == {
        "plan.json",
        "commitment.txt",
        "readings.csv",
        "vehicle.toml",
        "driver.pdf",
        "scorer.pdf",
        "installer.pdf",
        "key.json",
        "fittings.csv",
    }
    assert Path("power.png").stat().st_size > 5000 and "power" in Path("power.csv").read_text()
    posted = Path("day/commitment.txt").read_text().split()[0]
    code, _, err = run(capsys, "trial", "read", "day")
    assert code == 2 and "there is no reading in this file" in err
    assert "never written over" in run(capsys, *question, "--out", "day")[2]

    rng = np.random.default_rng(1)
    fitted = [(r["part"], r["arm"]) for r in json.loads(Path("day/sealed/key.json").read_text())["runs"]]
    with open("day/readings.csv", newline="") as file:
        rows = list(csv.reader(file))
    for row, what in zip(rows[1:], fitted, strict=True):
        level = 58.4 + {("main", 1): -0.65, ("control", 1): 1.4}.get(what, 0.0) + rng.normal(0, 0.08)
        row[2:5] = [f"{level + rng.normal(0, 0.05):.2f}" for _ in range(3)]
    with open("day/readings.csv", "w", newline="") as file:
        csv.writer(file).writerows(rows)
    for suffix in ("png", "svg", "pdf"):
        code, out, err = run(
            capsys, "trial", "read", "day", "--posted", posted, "--plot", f"r.{suffix}", "--csv", "r.csv"
        )
        assert code == 0, err
    assert "the files agree with the commitment that was posted" in " ".join(out.split())
    assert "was measured here" in " ".join(out.split()) and "seen: this trial could see a change" in " ".join(
        out.split()
    )
    assert Path("r.csv").read_text().startswith("run,code,part,fitted,mean_deg\n1,")
    assert "next: noseload post day/vehicle.toml --setups base,raised_rear_upper_mount --trial day  " in out
    assert "what you set" not in out
    code, out, _ = run(capsys, *question, "--pairs", "4", "--after", "day", "--out", "more", "--json")
    body = json.loads(out)
    assert code == 0 and (body["look"], body["earlier_commitment"]) == (2, posted)
    code, out, _ = run(capsys, "trial", "rehearse", "more", "--trials", "20", "--plot", "s.png")
    assert code == 0 and "concluded wrongly" in out and Path("s.png").exists()
    assert "next: noseload trial read more  " in out
