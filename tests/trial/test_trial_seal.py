"""Schedule, seal and sheets: what may be seen before the key is opened, and that nothing can be changed later."""

import hashlib
import json
import os
import random
import subprocess
import sys
from collections import Counter
from pathlib import Path

import numpy as np
import pytest

from noseload import Scatter, read_trial, write_trial
from noseload.demo import DEMO, DEMO_TRIAL
from noseload.pictures.trial import sheets as trial_sheets
from noseload.pictures.trial.sheets import (
    CAUTIONS,
    SheetFacts,
    driver_sheet,
    installer_sheet,
    render_sheets,
    scorer_sheet,
)
from noseload.solvers.statistics.orders import Design
from noseload.studies.trial.errors import SealError, TrialError, TrialFileError, TrialPlanError
from noseload.studies.trial.files import read_sealed, trial_files
from noseload.studies.trial.schedule import PARTS, SEALED, Composition, canonical, digest_parts, draw_codes, draw_key
from trial_maker import make_trial, run_trial, with_another_order

ROOT = Path(__file__).parents[2]
COMPOSITION = Composition(Design("pairs", 4), control_pairs=2, same_pairs=2)


@pytest.fixture(scope="module")
def trial():
    return make_trial(
        seed=3,
        vehicle_file=DEMO,
        vehicle_name="",
        change="raised_rear_upper_mount",
        control_pairs=2,
        control_effect=1.5,
        control_words="60 g packet",
        same_pairs=2,
    )


@pytest.fixture(scope="module")
def small():
    return make_trial(seed=3)


def change_json(path, edit):
    document = json.loads(path.read_text())
    edit(document)
    path.write_text(json.dumps(document))


# --- the schedule


@pytest.mark.parametrize("seed", range(5))
def test_every_part_is_an_order_of_its_set(seed):
    """Blocks stay together in time, so that neighbours share the drift; each part could have been drawn."""
    key = draw_key(COMPOSITION, source=random.Random(seed))
    assert Counter(key.parts) == {"main": 8, "control": 4, "same": 4}
    for part in PARTS:
        design, places = COMPOSITION.design(part), key.places(part)
        assert design.holds(tuple(key.order(part).tolist()))
        for block in np.unique(design.blocks):
            inside = places[design.blocks == block]
            assert (np.diff(inside) == 1).all()


def test_all_blocks_and_orders_come_alike():
    """First part of the day and first treatment, over seeded draws: the shares that counting gives (4 of 8
    blocks are main, a coin for the treatment), within 4.5 standard deviations."""
    source, number = random.Random(5), 2000
    keys = [draw_key(COMPOSITION, source=source) for _ in range(number)]
    for share, wanted in (
        (np.mean([key.parts[0] == "main" for key in keys]), 0.5),
        (np.mean([key.parts[0] == "control" for key in keys]), 0.25),
        (np.mean([key.arms[0] for key in keys]), 0.5),
        (np.mean([key.holes[0] == "set 1" for key in keys]), 0.5),
        (np.mean([int(key.salt, 16) & 1 for key in keys]), 0.5),
    ):
        assert abs(share - wanted) < 4.5 * np.sqrt(wanted * (1 - wanted) / number)


def test_the_order_comes_from_the_entropy_of_the_system(monkeypatch):
    """No seed reaches it: every byte of a key is drawn from `os.urandom`, and two plans alike differ."""
    import secrets

    asked = []
    monkeypatch.setattr(secrets, "SystemRandom", lambda: asked.append(1) or random.SystemRandom())
    first, second = (draw_key(Composition(Design("free", 6))) for _ in range(2))
    assert len(asked) == 2 and first.salt != second.salt
    assert len(bytes.fromhex(first.salt)) * 8 == 128


def test_codes_differ_and_know_nothing_of_the_order():
    codes = draw_codes(80, random.Random(2))
    assert len(set(codes)) == 80 and all(len(code) == 2 and code.isupper() for code in codes)


# --- the seal


def test_commitment_covers_everything_named(trial):
    """By hand with hashlib: SHA-256 of salt, name, zero byte and canonical text of each part, then of all digests."""
    plan, key = trial.plan.to_dict(), trial.key.to_dict()
    salt = bytes.fromhex(key["salt"])
    named = {name: {e: plan[e] for e in entries} for name, entries in SEALED.items()}
    assert set(named) == {"vehicle_file", "prediction", "threshold", "primary_outcome", "stop_rule", "exclusion_rule"}
    inside = {e for entries in SEALED.values() for e in entries} | {"seal"}
    named |= {"plan": {k: v for k, v in plan.items() if k not in inside}, "key": key}
    parts = {
        name: hashlib.sha256(
            salt
            + name.encode()
            + b"\0"
            + json.dumps(value, sort_keys=True, separators=(",", ":"), ensure_ascii=False).encode()
        ).hexdigest()
        for name, value in named.items()
    }
    assert plan["seal"]["parts"] == parts
    text = json.dumps(parts, sort_keys=True, separators=(",", ":")).encode()
    assert trial.plan.commitment == hashlib.sha256(text).hexdigest()
    assert plan["vehicle"]["sha256"] == hashlib.sha256(Path(DEMO).read_bytes()).hexdigest()


def test_same_order_with_another_salt_is_another_commitment(trial):
    """Without the salt all orders of the set could be tried; every digest in the plan carries it."""
    plan, key = trial.plan.to_dict(), trial.key.to_dict()
    one, other = digest_parts(plan, key), digest_parts(plan, {**key, "salt": "00" * 16})
    assert not set(one.values()) & set(other.values())
    unsalted = {hashlib.sha256(canonical(key)).hexdigest(), hashlib.sha256(canonical(plan["vehicle"])).hexdigest()}
    assert not unsalted & set(one.values())


def tampered_key(folder):
    change_json(
        folder / "sealed/key.json",
        lambda d: d["runs"].__setitem__(
            slice(None), [{**run, "arm": 1 - run["arm"]} if run["part"] == "main" else run for run in d["runs"]]
        ),
    )


def tampered_salt(folder):
    change_json(folder / "sealed/key.json", lambda d: d.update(salt="00" * 16))


def tampered_vehicle(folder):
    path = folder / "vehicle.toml"
    path.write_text(path.read_text().replace("mass_g = 1650", "mass_g = 1651"))


def tampered_sha(folder):
    change_json(folder / "plan.json", lambda d: d["vehicle"].update(sha256="0" * 64))


def entry(table, name, value):
    return lambda folder: change_json(folder / "plan.json", lambda d: (d[table] if table else d).update({name: value}))


def everything_resealed(folder):
    """The cheat who holds the key makes a seal that fits: only what was posted tells."""
    from noseload.studies.trial.schedule import seal

    plan, key = (json.loads((folder / name).read_text()) for name in ("plan.json", "sealed/key.json"))
    plan["thresholds"]["noticeable_deg"] = 3.0
    del plan["seal"]
    (folder / "plan.json").write_text(json.dumps(seal(plan, key)))


TAMPERED = {
    "key": (tampered_key, SealError, r"the order \(key.json\) is not what was sealed before run 1"),
    "salt": (tampered_salt, SealError, "belongs to another trial, or its salt was changed"),
    "vehicle": (tampered_vehicle, SealError, "vehicle.toml is not the vehicle file that was sealed"),
    "vehicle gone": (lambda f: (f / "vehicle.toml").unlink(), SealError, "vehicle.toml is missing"),
    "sha": (tampered_sha, SealError, "the vehicle file named in plan.json is not what was sealed"),
    "noticeable": (entry("thresholds", "noticeable_deg", 3.0), SealError, "a threshold or the error rate is not"),
    "alpha": (entry("thresholds", "alpha", 0.2), SealError, "a threshold or the error rate is not"),
    "prediction": (entry("prediction", "difference_deg", -0.5), SealError, "the prediction is not what was sealed"),
    "outcome": (entry("primary_outcome", "outcome", "staircase"), SealError, "the primary outcome is not"),
    "surface": (entry("primary_outcome", "surface", "rock"), SealError, "the primary outcome is not"),
    "stop rule": (entry(None, "stop_rule", "when it looks good"), SealError, "the stop rule is not"),
    "exclusion": (entry(None, "exclusion_rule", "the low ones"), SealError, "the exclusion rule is not"),
    "look": (entry(None, "look", 2), SealError, r"something else in plan.json .* is not"),
    "control": (entry("control", "effect_deg", 0.1), SealError, r"something else in plan.json .* is not"),
    "commitment": (entry("seal", "commitment", "0" * 64), SealError, "the commitment in plan.json is not"),
    "no key": (lambda f: (f / "sealed/key.json").unlink(), TrialFileError, "key.json: 1 fault:\n  cannot be read"),
    "key is no key": (
        lambda f: (f / "sealed/key.json").write_text("{}"),
        TrialFileError,
        "this is not the key of a trial",
    ),
    "plan is no JSON": (lambda f: (f / "plan.json").write_text("plan"), TrialFileError, "this is not JSON"),
    "plan is a list": (lambda f: (f / "plan.json").write_text("[]"), TrialFileError, "not a JSON object"),
    "plan of something else": (
        lambda f: (f / "plan.json").write_text('{"schema": 1}'),
        TrialFileError,
        "this is not the plan of a trial",
    ),
    "plan with holes": (
        lambda f: change_json(
            f / "plan.json",
            lambda d: (d.pop("stop_rule"), d["thresholds"].update(alpha="x"), d["design"].update(pairs=0)),
        ),
        TrialFileError,
        r"(?s)3 faults.*'thresholds.alpha' is 'x'.*'design.pairs' is 0: it must be a whole.*'stop_rule' is missing",
    ),
    "plan with a run too few": (
        lambda f: change_json(f / "plan.json", lambda d: d["runs"].pop()),
        TrialFileError,
        "'runs' holds 15 runs, the design 16",
    ),
    "runs out of order": (
        lambda f: change_json(f / "plan.json", lambda d: d["runs"].reverse()),
        TrialFileError,
        "runs numbered from 1, each with its code",
    ),
}


@pytest.mark.parametrize("name", TAMPERED)
def test_tampering_is_named_and_nothing_is_judged(trial, tmp_path, name):
    tamper, kind, message = TAMPERED[name]
    folder = run_trial(tmp_path / "t", trial, 58.0 + 0.1 * np.arange(16))
    read_trial(folder, posted=f" {trial.plan.commitment.upper()}\n")
    tamper(folder)
    before = sorted(p.name for p in tmp_path.rglob("*"))
    with pytest.raises(kind, match=message):
        read_trial(folder)
    assert sorted(p.name for p in tmp_path.rglob("*")) == before


def test_several_faults_are_named_at_once(trial, tmp_path):
    folder = run_trial(tmp_path / "t", trial, 58.0 + 0.1 * np.arange(16))
    tampered_key(folder), tampered_vehicle(folder), entry("thresholds", "noticeable_deg", 3.0)(folder)
    with pytest.raises(SealError, match="3 faults"):
        read_trial(folder)


def test_only_the_posted_number_tells_a_new_seal(trial, tmp_path):
    folder = run_trial(tmp_path / "t", trial, 58.0 + 0.1 * np.arange(16))
    everything_resealed(folder)
    with pytest.raises(
        SealError, match=f"commitment.txt says {trial.plan.commitment[:16]}..., which is not the sealed"
    ):
        read_trial(folder)
    (folder / "commitment.txt").write_text(json.loads((folder / "plan.json").read_text())["seal"]["commitment"] + "\n")
    assert read_trial(folder).plan.noticeable == 3.0
    assert read_trial(folder).compared_with == "commitment.txt"
    with pytest.raises(SealError, match=f"posted commitment {trial.plan.commitment[:16]}... is not the sealed"):
        read_trial(folder, posted=f" {trial.plan.commitment}\n")


def test_an_order_that_could_not_be_drawn_is_refused(trial, tmp_path):
    """A seal over a chosen order is as good as any other seal; the set of orders still tells some of them."""
    from noseload.studies.trial.schedule import seal

    folder = run_trial(tmp_path / "t", trial, 58.0 + 0.1 * np.arange(16))

    def all_changes_last(document):
        main = [run for run in document["runs"] if run["part"] == "main"]
        for k, run in enumerate(main):
            run["arm"] = int(k >= 3)

    change_json(folder / "sealed/key.json", all_changes_last)
    plan, key = (json.loads((folder / name).read_text()) for name in ("plan.json", "sealed/key.json"))
    del plan["seal"]
    sealed = seal(plan, key)
    (folder / "plan.json").write_text(json.dumps(sealed))
    (folder / "commitment.txt").write_text(sealed["seal"]["commitment"])
    with pytest.raises(TrialFileError, match="order of the part 'main' could not have been drawn"):
        read_trial(folder)


def test_example_trial_is_whole():
    plan, key = read_sealed(DEMO_TRIAL, posted=Path(DEMO_TRIAL, "commitment.txt").read_text().split()[0])
    assert plan.installations == len(key.parts) == 16
    assert Path(DEMO_TRIAL, "vehicle.toml").read_bytes() == Path(DEMO).read_bytes()


# --- the folder


def test_folder_is_written_whole_or_not_at_all(trial, tmp_path, monkeypatch):
    folder = write_trial(tmp_path / "deep" / "t", trial)
    assert os.stat(folder / "sealed/key.json").st_mode & 0o077 == 0
    with pytest.raises(TrialPlanError, match="is there already, and a sealed plan is never written over"):
        write_trial(folder, trial)
    (tmp_path / "file").write_text("")
    with pytest.raises(TrialPlanError, match="cannot be written"):
        write_trial(tmp_path / "file" / "t", trial)

    def full(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "write_bytes", full)
    with pytest.raises(TrialPlanError, match="cannot be written: No space left"):
        write_trial(tmp_path / "second", trial)
    assert sorted(p.name for p in tmp_path.iterdir()) == ["deep", "file"]


# --- the sheets


def open_files(trial, form):
    """Everything that driver and scorer are given, by name."""
    files = trial_files(trial, render_sheets(trial, form))
    return {name: data for name, data in files.items() if not name.startswith("sealed/")}


def without_seal(data):
    document = json.loads(data)
    del document["seal"]
    return json.dumps(document)


@pytest.mark.parametrize(
    ("form", "keys"),
    [("svg", 2), pytest.param("svg", 3, marks=pytest.mark.slow), pytest.param("pdf", 2, marks=pytest.mark.slow)],
)
def test_no_open_byte_depends_on_the_order(small, trial, form, keys, monkeypatch):
    """Several keys for one plan: every file of driver and scorer is the same byte for byte, apart from the salted
    digests; the clock is moved too, so that no date can hide in them. The installer's sheet must differ."""
    trial = trial if keys > 2 else small
    trials = [trial, *(with_another_order(trial, seed) for seed in range(20, 19 + keys))]
    assert len({t.key.arms for t in trials}) > 1 and len({t.plan.commitment for t in trials}) == keys
    reference = None
    for k, each in enumerate(trials):
        monkeypatch.setenv("SOURCE_DATE_EPOCH", str(1_500_000_000 + 86_400 * k))
        files = open_files(each, form)
        assert {"plan.json", "commitment.txt", "readings.csv"} < set(files)
        files["plan.json"] = without_seal(files["plan.json"])
        files["commitment.txt"] = files["commitment.txt"].replace(each.plan.commitment.encode(), b"")
        reference = reference or files
        assert files == reference
    installers = {str(installer_sheet(t.plan, t.key)) for t in trials}
    assert len(installers) == len({(t.key.parts, t.key.arms, t.key.holes) for t in trials}) > 1


@pytest.mark.slow
def test_sheets_carry_no_date_no_maker_and_no_name(small):
    trial = small
    for form in ("pdf", "svg"):
        for name, data in render_sheets(trial, form).items():
            for mark in (b"CreationDate", b"ModDate", b"Producer", b"<dc:date>", b"matplotlib.org"):
                assert mark not in data, (name, mark)
            if name.startswith("sealed/"):
                continue
            for secret in (trial.key.salt, *trial.key.holes, trial.plan.change, trial.plan.commitment):
                assert secret.encode() not in data, (name, secret)


@pytest.mark.slow
def test_another_process_makes_the_same_sheets():
    """Hash seeds and object addresses leave no trace either."""
    program = (
        "import sys, hashlib; sys.path[:0] = ['tests']; from trial_maker import make_trial, with_another_order;"
        "from noseload.pictures.trial.sheets import render_sheets;"
        "t = with_another_order(make_trial(), int(sys.argv[1]));"
        "print([hashlib.sha256(d).hexdigest() for n, d in sorted(render_sheets(t, 'svg').items()) if '/' not in n])"
    )
    done = subprocess.run(
        [sys.executable, "-c", program, "7"],
        capture_output=True,
        text=True,
        check=True,
        cwd=ROOT,
        env={**os.environ, "PYTHONHASHSEED": "7"},
    )
    here = sorted(render_sheets(make_trial(), "svg").items())
    assert done.stdout.strip() == str([hashlib.sha256(d).hexdigest() for n, d in here if "/" not in n])


def test_open_facts_hold_only_what_the_plan_says_openly(trial):
    """The sheets are drawn from these fields and nothing else: no key is in reach of the two functions."""
    facts = SheetFacts.of(trial.plan)
    assert set(facts.__dataclass_fields__) == {"outcome", "how", "unit", "surface", "grade", "repeats", "codes"}
    assert facts == SheetFacts.of(with_another_order(trial, 9).plan)
    words = str(driver_sheet(facts)) + str(scorer_sheet(facts))
    assert "drive up, or raise the board, in one go and never back" in words
    for secret in (trial.plan.change, "base", *trial.key.holes, "positive control", "pouch"):
        assert secret not in words


def test_sheets_have_room_for_what_must_be_written(trial):
    """Titles of the columns, cautions on every sheet, and the rules of the room."""
    facts = SheetFacts.of(trial.plan)
    driver, scorer, installer = driver_sheet(facts), scorer_sheet(facts), installer_sheet(trial.plan, trial.key)
    titles = {
        name: " ".join(title.replace("\n", " ") for title, _ in sheet.columns)
        for name, sheet in (("driver", driver), ("scorer", scorer), ("installer", installer))
    }
    for wanted in ("guess before moving", "guess after"):
        assert wanted in titles["driver"]
    for wanted in ("run", "reading 3 deg", "battery voltage V", "board angle deg", "tape brushed"):
        assert wanted in titles["scorer"]
    for wanted in ("holes", "ride height mm", "pinion angle deg", "begin", "end", "loosened and tightened"):
        assert wanted in titles["installer"]
    for sheet in (driver, scorer, installer):
        assert set(CAUTIONS) < set(sheet.paragraphs) and len(sheet.rows) == 16
        assert sum(width for _, width in sheet.columns) <= sheet.size[0] - 2 * trial_sheets.MARGIN + 1e-9
    text = " ".join(installer.paragraphs)
    for wanted in ("leave the room", "BOTH sides", "6 minutes each time", "same weight", "skirt"):
        assert wanted in text
    named = [
        word
        for word in (trial.plan.change, trial.plan.reference, "reference", "positive control")
        if word in str(installer)
    ]
    assert not named


def test_installers_sheet_says_what_the_key_says(trial):
    """Row by row: holes of the change only where the key has it, packet only in the control's runs."""
    sheet = installer_sheet(trial.plan, trial.key)
    for row, part, arm in zip(sheet.rows, trial.key.parts, trial.key.arms, strict=True):
        assert row[2] == trial.key.holes[int(part == "main" and arm == 1)]
        assert row[3] == ("in" if (part, arm) == ("control", 1) else "empty")


@pytest.mark.slow
@pytest.mark.parametrize("pairs", [14, 40])
def test_long_trials_fill_pages_to_the_foot(pairs):
    """No row is lost and none leaves its page (80 runs of twenty readings on A4)."""
    trial = make_trial(pairs=pairs, repeats=20, scatter=Scatter(0.5, 0.1))
    facts = SheetFacts.of(trial.plan)
    for sheet in (driver_sheet(facts), scorer_sheet(facts), installer_sheet(trial.plan, trial.key)):
        pages = trial_sheets.draw_sheet(sheet)
        codes = [
            text.get_text() for page in pages for text in page.axes[0].texts if text.get_text() in trial.plan.codes
        ]
        assert codes == list(trial.plan.codes)
        for page in pages:
            lowest = max(text.get_position()[1] for text in page.axes[0].texts)
            assert lowest < sheet.size[1] - trial_sheets.MARGIN / 2


def test_money_in_a_name_is_no_formula():
    """Text typed by a user with dollar signs once looked like a formula to the drawing library."""
    trial = make_trial(
        surface="board for $5, tape $_{", control_pairs=2, control_effect=1.0, control_words="$\\lead{ for $2"
    )
    assert b"<svg" in render_sheets(trial, "svg")["driver.svg"]


def test_unknown_form_of_sheet(trial):
    from noseload.model.errors import ModelError

    with pytest.raises(ModelError, match="as pdf or svg, not 'doc'"):
        render_sheets(trial, "doc")


def test_errors_are_the_users(trial):
    """Each is an input error of the command line (exit 2)."""
    from noseload.model.errors import ModelError

    assert issubclass(SealError, TrialError) and issubclass(TrialError, ModelError)
