"""Many punches at once: against an independent program and accurate single runs; starts, outcomes, faults."""

import json
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

import numpy as np
import pytest

from noseload.__main__ import main
from noseload.demo import demo_vehicle
from noseload.model import load_vehicle
from noseload.model.batch.kernels import BatchKernel
from noseload.model.batch.motion import BatchMotion, BatchProgram, Controls
from noseload.model.errors import ModelError
from noseload.model.generated.parameter_order import POWERS
from noseload.model.motion.programs import Program
from noseload.model.parameters import BRAKE_SPEED
from noseload.studies.climb.batch_starts import prepare_those_that_stand
from noseload.studies.pieces import shares
from noseload.studies.punch.largest_throttle import REFINED_THROTTLE, largest_throttle
from noseload.studies.punch.limits import punch_limits
from noseload.studies.punch.many import punch_many
from noseload.studies.punch.punch import punch
from noseload.studies.punch.rounds import TOLERANCE

DATA = Path(__file__).parents[1] / "data"
MEDIAN_ERROR, WORST_ERROR = 3e-4, 2e-3
"""Errors of the front load that a batch may make, as shares of its largest."""
TIME_ERROR_S = 1.1e-3
"""The independent program gives summary times to 1 ms."""
SAMPLE_S = 0.005


@pytest.fixture(scope="module")
def references():
    """Punch traces of `data/check*.json`: an independent minimal-coordinate program."""
    found = []
    for name in ("check", "check-raised"):
        for part in json.loads((DATA / f"{name}.json").read_text())["punch"]:
            found.append((load_vehicle(DATA / f"{name}.toml", drive=part["drive"]), part))
    return found


@pytest.mark.slow
def test_independent_traces(references):
    grades = [part["grade_deg"] for _, part in references]
    result = punch_many([v for v, _ in references], grade_deg=grades, sample_s=SAMPLE_S)
    errors = []
    for k, (_, part) in enumerate(references):
        front = np.array(part["front_load_n"])
        errors.append(np.abs(result.traces["front_load_n"][: front.size, k] - front).max() / front.max())
        assert result.throttle_start[k] == pytest.approx(part["throttle_start"], abs=1e-9)
        assert result.front_load_min_n[k] == pytest.approx(part["front_load_min_n"], abs=WORST_ERROR * front.max())
        assert result.front_load_min_time_s[k] == pytest.approx(part["front_load_min_time_s"], abs=TIME_ERROR_S)
        assert result.front_airborne_s[k] == pytest.approx(part["front_airborne_s"], abs=TIME_ERROR_S)
        assert result.peak_nose_up_pitch_deg[k] == pytest.approx(part["peak_nose_up_pitch_deg"], abs=2e-3)
    assert np.median(errors) < MEDIAN_ERROR and np.max(errors) < WORST_ERROR
    assert result.steps.max() <= 2800
    assert list(result.traces) == ["front_load_n", "rear_load_n", "nose_up_pitch_deg"]
    assert np.isfinite(result.traces["rear_load_n"]).all()


DRIVES = ("both", "rear", "front")
DRIVEN = {"grade_deg": (0.0, 25.0, 40.0, -15.0), "throttle": (1.0, 0.7, 0.9, 0.8), "rise_s": (0.05, 0.02, 0.2, 0.05)}


@pytest.fixture(scope="module")
def driven():
    """Four punches of each drive in one batch."""
    vehicles = [load_vehicle(DATA / "check.toml", drive=drive) for drive in DRIVES for _ in DRIVEN["grade_deg"]]
    options = {name: np.tile(values, len(DRIVES)) for name, values in DRIVEN.items()}
    return vehicles, punch_many(vehicles, **options, sample_s=SAMPLE_S, outcome=True)


@pytest.mark.slow
@pytest.mark.parametrize("drive", DRIVES)
def test_against_accurate_runs(drive, driven):
    """Every stiffness shortcut in all drives: the free wheel has its own stiff mode."""
    vehicles, result = driven
    for case in range(len(DRIVEN["grade_deg"])):
        k = DRIVES.index(drive) * len(DRIVEN["grade_deg"]) + case
        options = {name: values[case] for name, values in DRIVEN.items()}
        one = punch(vehicles[k], **options, sample_s=SAMPLE_S, tolerance="tight")
        if not one.success:
            assert result.status[k] == result.outcome[k] == "start_not_held"
            continue
        front = one.front_load_n
        assert np.abs(result.traces["front_load_n"][: front.size, k] - front).max() < WORST_ERROR * front.max()
        assert result.outcome[k] == one.summary["outcome"]
        assert result.front_airborne_s[k] == pytest.approx(one.summary["front_airborne_s"], abs=TIME_ERROR_S)
        assert result.peak_nose_up_pitch_deg[k] == pytest.approx(one.summary["peak_nose_up_pitch_deg"], abs=5e-3)


@pytest.mark.slow
def test_programs_and_starts_that_cannot_be_held():
    vehicle = load_vehicle(DATA / "check.toml", drive="rear")
    program = Program((0.05, 0.06, 0.1, 0.1), (0.5, 0.9, 0.9, 0.2))
    result = punch_many(vehicle, grade_deg=[10.0, 75.0], duration_s=0.15, program=program, sample_s=0.01)
    one = punch(vehicle, grade_deg=10.0, duration_s=0.15, program=program, sample_s=0.01, outcome=False)
    assert list(result.status) == ["ok", "start_not_held"]
    assert np.isnan(result.front_load_min_n[1]) and np.isnan(result.traces["front_load_n"][:, 1]).all()
    assert result.traces["front_load_n"][:, 0] == pytest.approx(one.front_load_n, abs=WORST_ERROR * 14.0)
    assert list(result.success) == [True, False]


@pytest.mark.slow
def test_flips_end_a_run():
    result = punch_many(demo_vehicle(), grade_deg=58.0, duration_s=1.5, outcome=True)
    assert result.outcome[0] == "flips_back" and result.outcome_time_s[0] < 1.0
    assert result.peak_nose_up_pitch_deg[0] == pytest.approx(80.0, abs=1.0)


def test_faults_are_named_all_at_once():
    with pytest.raises(ModelError, match=r"grade_deg\[1\] = 95: must lie.*throttle\[0\] = 2.*duration_s\[0\] = 0"):
        punch_many(demo_vehicle(), grade_deg=[0.0, 95.0], throttle=2.0, duration_s=0.0)
    with pytest.raises(ModelError, match=r"rise_s\[0\] = -1.*start_s\[0\] = -1"):
        punch_many(demo_vehicle(), grade_deg=0.0, rise_s=-1.0, start_s=-1.0)
    with pytest.raises(ModelError, match="sample_s: traces need one duration"):
        punch_many(demo_vehicle(), grade_deg=0.0, duration_s=[1.0, 2.0], sample_s=0.1)
    with pytest.raises(ModelError, match="sample_s = -1 s: must be above 0"):
        punch_many(demo_vehicle(), grade_deg=0.0, sample_s=-1.0)
    with pytest.raises(ModelError, match="2 vehicles with options of 3, 1, 1, 1, 1 entries"):
        punch_many([demo_vehicle()] * 2, grade_deg=[0.0, 1.0, 2.0])


def test_kernels_of_the_batch_against_the_general_ones(references):
    """The batch's own kernels hold the same rates, slopes and pulls as the kernels that are checked elsewhere."""
    fleet = prepare_those_that_stand([v for v, _ in references])[0]
    random = np.random.default_rng(4)
    cases = fleet.cases
    state = np.concatenate([np.zeros((1, cases)), fleet.starts[:8], random.normal(0.0, 0.5, (11, cases))])
    state[:9] += random.normal(0.0, 1e-3, (9, cases))
    grades, throttle, brake = random.uniform(-0.5, 0.9, cases), random.uniform(0.0, 1.0, cases), np.full(cases, 0.2)
    controls = Controls.of(*(BatchProgram([0.0], x[None]) for x in (throttle, np.ones(cases), brake)))
    motion = BatchMotion(fleet, grades, controls)
    times = np.zeros(cases)
    motion.enter(times)
    stage, second = motion.first(times, state), motion.second(times, state)
    general = BatchKernel("stiff_rates", cases)(
        list(state[:9]), list(state[9:]), throttle, np.ones(cases), brake, grades, list(fleet.parameters)
    )
    stiff = general[11 + len(POWERS) :]
    rates, slopes, rows, pulls = (
        general[:11],
        stiff[:3],
        stiff[3:25].reshape(2, 11, -1),
        stiff[25:].reshape(3, 11, -1),
    )
    assert stage.rates == pytest.approx(rates, rel=1e-10, abs=1e-9) and second == pytest.approx(
        rates, rel=1e-10, abs=1e-9
    )
    assert stage.slopes[:2] == pytest.approx(slopes[:2])
    # Where the brake brings the wheels to a stand its slope is the one from torque to zero: tanh(x) / x.
    speed = fleet["rear_motor"] * state[18] + fleet["front_motor"] * state[19]
    x = speed / BRAKE_SPEED
    stopping = x * (fleet["rear_motor"] * rates[9] + fleet["front_motor"] * rates[10]) < 0.0
    assert stopping.any() and not stopping.all()
    braking = np.where(stopping, 0.2 / BRAKE_SPEED * np.tanh(x) / x, slopes[2])
    assert stage.slopes[2] == pytest.approx(braking + fleet["stall_torque"] / fleet["no_load_speed"])
    assert stage.pulls == pytest.approx(pulls, rel=1e-10, abs=1e-9)
    along = stage.along(rates)
    assert np.stack(along[:2]) == pytest.approx(np.einsum("ikb,kb->ib", rows, rates), rel=1e-9, abs=1e-9)
    assert stage.cross()[1] == pytest.approx(np.einsum("kb,kb->b", rows[0], pulls[1]), rel=1e-8, abs=1e-8)


def test_batch_programs_follow_single_ones():
    programs = [Program((0.1, 0.2), (0.3, 1.0)), Program((0.1, 0.1, 0.3), (0.2, 0.8, 0.5)), Program((0.0,), (0.4,))]
    batch = BatchProgram.of(programs)
    assert not batch.is_constant and batch.take(np.array([2])).is_constant
    for time in (0.0, 0.05, 0.1, 0.15, 0.25, 0.5):
        start, level, slope, end = batch.pieces(np.full(3, time), np.arange(3))
        assert level + slope * (time - start) == pytest.approx([float(p.at(time)) for p in programs])
        assert (end > time).all()


@pytest.mark.slow
def test_every_change_of_outcome_is_one_in_accurate_runs():
    (limits,) = punch_limits([load_vehicle(DATA / "check.toml")], from_deg=41.0)
    assert limits.changes and all(change.within_deg <= 0.0501 for change in limits.changes)
    vehicle = load_vehicle(DATA / "check.toml")
    for change in limits.changes:
        low, high = (punch(vehicle, grade_deg=change.grade_deg + side * 0.1).summary["outcome"] for side in (-1, 1))
        assert (low, high) == (change.below, change.above)
    assert limits.first("flips_back") is not None and limits.first("slides_back") is None
    assert limits.to_dict()["changes"][0]["within_deg"] <= 0.0501


class Invented:
    """Stands in for a batch of punches: outcomes by a rule over the grade, in a rough look off by some degrees."""

    def __init__(self, rule, off=0.0):
        self.rule, self.off, self.asked = rule, off, []

    def __call__(self, vehicles, *, grade_deg, tolerance, **options):
        rough = tolerance > TOLERANCE
        self.asked.append((int(rough.sum()), int((~rough).sum())))
        self.outcome = self.status = [self.rule(g + self.off * r) for g, r in zip(grade_deg, rough, strict=True)]
        self.front_airborne_s = np.zeros(len(grade_deg))
        return self


def test_every_change_is_found_and_refined(monkeypatch):
    """Outcomes need not be monotone: an island of lifting far below the grade where it begins for good."""
    invented = Invented(lambda g: "lifts_and_returns" if 10.33 < g < 16.81 or g > 40.0 else "stays_loaded")
    monkeypatch.setattr("noseload.studies.punch.rounds.punch_many", invented)
    (limits,) = punch_limits([load_vehicle(DATA / "check.toml")])
    edges = [change.grade_deg for change in limits.changes]
    assert edges == pytest.approx([10.33, 16.81, 40.0], abs=0.026)
    assert [change.above for change in limits.changes] == ["lifts_and_returns", "stays_loaded", "lifts_and_returns"]
    # A scan, one cut of the changed steps, both sides of every change accurately.
    assert invented.asked == [(53, 0), (117, 0), (0, 6)]


@pytest.mark.parametrize("off", [-0.3, -0.06, 0.04, 1.1])
def test_what_a_rough_look_took_wrongly_is_put_right(monkeypatch, off):
    """Both changes end between two grades run accurately, a refined width apart, after few runs."""
    invented = Invented(lambda g: "lifts_and_returns" if 9.97 < g < 16.81 else "stays_loaded", off)
    monkeypatch.setattr("noseload.studies.punch.rounds.punch_many", invented)
    (limits,) = punch_limits([load_vehicle(DATA / "check.toml")])
    assert [change.grade_deg for change in limits.changes] == pytest.approx([9.97, 16.81], abs=0.026)
    assert all(change.within_deg < 0.0501 for change in limits.changes)
    assert sum(accurate for _, accurate in invented.asked) < 30


def test_no_change_is_a_result(monkeypatch):
    vehicle = load_vehicle(DATA / "check.toml")
    monkeypatch.setattr("noseload.studies.punch.rounds.punch_many", Invented(lambda g: "stays_loaded"))
    (limits,) = punch_limits([vehicle])
    assert limits.changes == () and limits.to_dict()["changes"] == "none" and limits.first("flips_back") is None
    with pytest.raises(ModelError, match="starts beyond tip-over at 57"):
        punch_limits([vehicle], from_deg=60.0)
    with pytest.raises(ModelError, match="step 0 deg"):
        punch_limits([vehicle], step_deg=0.0)


class LiftsAbove:
    """Stands in for a batch of punches: the front lifts above a throttle, and the start needs half of it."""

    @staticmethod
    def holding(vehicles, *, grade_deg):
        grades = np.asarray(grade_deg, dtype=float)
        return np.where(grades < 70.0, 0.5 * (0.6 - 0.005 * grades), np.nan)

    off = 0.0

    def __call__(self, vehicles, *, grade_deg, tolerance, throttle=1.0, outcome=False, **options):
        grades, throttle = np.broadcast_arrays(np.asarray(grade_deg, dtype=float), np.asarray(throttle, dtype=float))
        edge = 0.6 - 0.005 * grades + self.off * (tolerance > TOLERANCE)
        self.front_airborne_s = np.where(throttle > edge, 0.1, 0.0)
        self.outcome = self.status = ["lifts_and_returns" if g > 20.2 else "stays_loaded" for g in grades]
        return self


def test_limits_command(monkeypatch, capsys, tmp_path):
    monkeypatch.setattr("noseload.studies.punch.rounds.punch_many", LiftsAbove())
    monkeypatch.setattr("noseload.studies.punch.largest_throttle.holding_throttles", LiftsAbove.holding)
    rows = tmp_path / "rows.csv"
    arguments = ["limits", "--setups", "base,raised_rear_upper_mount", "--grades", "40", "75", "--csv", str(rows)]
    assert main(arguments) == 0
    text = capsys.readouterr().out
    assert "from 20.1" in text or "from 20.2" in text
    assert "lifts and comes back down" in text and "0.200" in text and "0.398" in text
    assert rows.read_text().startswith("setup,grade_deg,outcome\n")
    assert main([*arguments, "--json"]) == 0
    body = json.loads(capsys.readouterr().out)
    assert [m["setup"] for m in body["members"]] == ["base", "raised_rear_upper_mount"]
    assert body["members"][0]["changes"][0]["grade_deg"] == pytest.approx(20.2, abs=0.03)
    first, last = body["members"][0]["largest_throttle"]
    assert first["largest_throttle"] == pytest.approx(0.4, abs=0.0021) and last["largest_throttle"] is None
    assert main(["limits", "--from", "75"]) == 2
    assert "starts beyond tip-over" in capsys.readouterr().err


@pytest.mark.parametrize("off", [-0.09, -0.004, 0.005, 0.2, 0.8])
def test_throttles_that_a_rough_look_took_wrongly_are_put_right(monkeypatch, off):
    lifts = LiftsAbove()
    lifts.off = off
    monkeypatch.setattr("noseload.studies.punch.rounds.punch_many", lifts)
    monkeypatch.setattr("noseload.studies.punch.largest_throttle.holding_throttles", LiftsAbove.holding)
    (found,) = largest_throttle([load_vehicle(DATA / "check.toml")], grades_deg=[0.0, 40.0, -80.0, 75.0])
    assert found.throttles[3] is None and found.throttles[2] == 1.0
    for throttle, edge in zip(found.throttles, (0.6, 0.4), strict=False):
        assert edge - REFINED_THROTTLE <= throttle <= edge


@pytest.mark.slow
def test_largest_throttle_is_the_edge_of_lifting():
    vehicle = load_vehicle(DATA / "check.toml")
    (found,) = largest_throttle([vehicle], grades_deg=[0.0, 45.0, 56.0, 80.0])
    assert found.throttles[3] is None and found.holding[3] is None
    for grade, edge in zip(found.grades_deg[:3], found.throttles[:3], strict=True):
        lifts = [
            punch(vehicle, grade_deg=grade, throttle=min(u, 1.0), outcome=False).summary["front_airborne_s"] > 0.0
            for u in (edge - 0.005, edge + 0.01)
        ]
        assert lifts == [False, edge < 0.99]
    with pytest.raises(ModelError, match="a width of 0"):
        largest_throttle([vehicle], refined=0.0)


@pytest.mark.slow
def test_an_executor_gives_the_same_punches():
    """Cases are dealt out in turn; vehicles, programs, grip and traces go with them, through pickling too."""
    one, two = load_vehicle(DATA / "check.toml"), load_vehicle(DATA / "check-raised.toml")
    grip = Program((0.0, 0.1, 0.2), (1.0, 0.6, 1.0), "grip")
    options = {
        "grade_deg": [0.0, 10.0, 20.0, 70.0, 30.0],
        "throttle": [1.0, 0.5, 0.8, 1.0, 0.9],
        "duration_s": 0.25,
        "program": ["ramp", "step", "blip", "ramp", "hold"],
        "grip_program": [None, grip, None, None, None],
        "sample_s": 0.01,
    }
    vehicles, seen = [one, two, one, two, two], []
    alone = punch_many(vehicles, **options)
    with ProcessPoolExecutor(2) as executor:
        shared = punch_many(
            vehicles, executor=executor, progress=lambda done, total: seen.append((done, total)), **options
        )
    assert shared.status.tolist() == alone.status.tolist() and "start_not_held" in alone.status
    for name in (
        "front_load_min_n",
        "front_airborne_s",
        "rear_load_start_n",
        "throttle_start",
        "peak_nose_up_pitch_deg",
    ):
        assert getattr(shared, name) == pytest.approx(getattr(alone, name), abs=1e-6, nan_ok=True), name
    for name, trace in alone.traces.items():
        assert shared.traces[name] == pytest.approx(trace, abs=1e-6, nan_ok=True), name
    assert seen == [(3, 5), (5, 5)]
    assert [row["program"] for row in shared.to_dict()["rows"]] == options["program"]


@pytest.mark.parametrize(("cases", "count"), [(1, 1), (2, 2), (900, 2), (2000, 2), (8000, 4), (40000, 10)])
def test_few_pieces_unless_the_work_is_large(cases, count):
    assert shares(cases) == count


@pytest.mark.slow
def test_a_run_may_end_as_the_front_lifts_and_a_few_are_run_accurately():
    """Both at 10 and at 40 deg: only the second lifts; a stopped run has load 0 and a beginning of its flight."""
    vehicle, options = demo_vehicle(), {"grade_deg": [10.0, 40.0], "duration_s": 0.4}
    whole, stopped = (punch_many(vehicle, stop_at_lift=stop, **options) for stop in (False, True))
    single = punch_many(vehicle, singly_below=3, outcome=[False, True], **options)
    for run in (whole, stopped, single):
        assert (run.front_load_min_n > 0.0).tolist() == (run.front_airborne_s == 0.0).tolist() == [True, False]
        assert run.front_load_min_n[0] == pytest.approx(single.front_load_min_n[0], rel=1e-3)
    assert 0.0 < stopped.front_airborne_s[1] < 0.01 < whole.front_airborne_s[1]
    assert stopped.steps[1] < 0.8 * whole.steps[1] and single.steps[0] < 0.5 * whole.steps[0]
    assert single.outcome.tolist() == ["", "lifts_and_returns"]
    for name in ("rear_shock_shortening_mm", "front_shock_shortening_mm", "front_airborne_s"):
        assert getattr(single, name) == pytest.approx(getattr(whole, name), rel=5e-3, abs=2e-4), name


@pytest.mark.slow
def test_a_few_that_last_long_are_decided_accurately_and_others_in_the_batch():
    """Ten throttles at one grade: nothing waits for the end of another; every outcome is that of an accurate run."""
    vehicle, throttles = demo_vehicle(), np.linspace(0.3, 1.0, 12)
    many = punch_many(vehicle, grade_deg=30.0, throttle=throttles, duration_s=0.4, outcome=True)
    for k in (0, 5, 11):
        one = punch(vehicle, grade_deg=30.0, throttle=throttles[k], duration_s=0.4)
        assert many.outcome[k] == one.summary["outcome"]
        assert many.outcome_time_s[k] == pytest.approx(one.summary["outcome_time_s"], abs=1e-9)
        assert many.front_load_min_n[k] == pytest.approx(one.summary["front_load_min_n"], abs=2e-3)


@pytest.mark.slow
def test_a_punch_does_not_depend_on_its_neighbours():
    """Once the others lost a taken-back step whenever ended cases were dropped: up to 1.4 ms of time in the air."""
    vehicle, grades = load_vehicle(DATA / "check.toml"), np.linspace(0.0, 28.0, 8)
    lasting = np.array([0.1, 0.12, 0.14, 0.1, 0.25, 0.11, 0.25, 0.15])
    options = {"rise_s": 0.02, "start_s": 0.05}
    together = punch_many(vehicle, grade_deg=grades, duration_s=lasting, **options)
    kept = np.array([4, 6])
    alone = punch_many(vehicle, grade_deg=grades[kept], duration_s=lasting[kept], **options)
    assert together.steps[kept].tolist() == alone.steps.tolist()
    assert (alone.front_airborne_s > 0.0).all()
    for name in ("front_load_min_n", "rear_load_min_n", "front_airborne_s", "peak_nose_up_pitch_deg"):
        assert getattr(together, name)[kept] == pytest.approx(getattr(alone, name), abs=1e-10), name
