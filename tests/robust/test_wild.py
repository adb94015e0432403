"""A few of each of what `tests/wild.py` makes (10,000 by its command), and the faults that it once found."""

from functools import cache, partial

import numpy as np
import pytest

import wild
from noseload import describe, load_vehicle, punch, sweep
from noseload.demo import DEMO
from noseload.model import parse_vehicle
from noseload.model.motion.programs import Program
from noseload.model.parameters import CREEP_SPEED
from noseload.solvers.continuation import Tracing
from noseload.solvers.curve_points import LOOSE
from noseload.solvers.errors import SolverError
from noseload.solvers.motion.exponential import StiffModes
from noseload.solvers.newton import solve
from noseload.studies.climb.creep import Climb
from noseload.studies.climb.split import overdriven_level
from noseload.studies.climb.standing import stand
from noseload.studies.levers.survey import survey, survey_chunk
from noseload.studies.punch.many import punch_many
from noseload.studies.punch.programs import first_rise

FEW, MANY = 25, 300
FAILED_SEEDS = (7, 13, 25, 28)
"""Of the first 40 surveys those that ended in 'the function is not finite at 0.5 inside the bracket'."""


@pytest.mark.parametrize("what", ["vehicles", "damage", "readings"])
def test_a_few_of_each(what, tmp_path):
    count = {"vehicles": FEW, "damage": 2 * FEW, "readings": FEW // 2}[what]
    assert not list(wild.faults(what, range(1, 1 + count), tmp_path))


@pytest.mark.parametrize("seed", [6006, 6068])
def test_readings_that_leave_a_fit_without_numbers_are_named(seed, tmp_path):
    """Damaged readings of a motor: 'SVD did not converge in Linear Least Squares', with a traceback."""
    assert not list(wild.faults("readings", [seed], tmp_path))


@pytest.mark.slow
def test_odd_surroundings(tmp_path):
    assert not list(wild.faults("environments", range(1, 13), tmp_path))


@pytest.mark.slow
def test_some_hundred_vehicles(tmp_path):
    assert not list(wild.faults("vehicles", range(1, 1 + MANY), tmp_path))


def test_the_generator_draws_what_it_says():
    vehicles = [wild.wild_vehicle(seed) for seed in range(60)]
    masses, bases = [v.mass for v in vehicles], [v.wheelbase for v in vehicles]
    assert min(masses) < 0.5 and max(masses) > 6.0 and min(bases) < 0.16 and max(bases) > 0.5
    assert {v.drive.driven_axles for v in vehicles} == {"both", "rear", "front"}
    assert any(v.drive.front_overdrive != 1.0 for v in vehicles)
    assert len({wild.damaged_text(seed) for seed in range(60)}) > 55
    assert wild.wild_document(3) == wild.wild_document(3) and wild.damaged_text(3) == wild.damaged_text(3)


@cache
def chunk(*arguments):
    """What a chunk of a survey finds, once for all tests that look at it."""
    return survey_chunk(*arguments)


@pytest.mark.slow
@pytest.mark.parametrize("seed", FAILED_SEEDS)
def test_surveys_end_for_every_seed(monkeypatch, seed):
    """A vehicle whose path has a kink of nearly 90 deg, or turns back at one, ended the whole survey (of 1,000 each)."""
    monkeypatch.setattr("noseload.studies.levers.survey.survey_chunk", chunk)
    found = survey(seed=seed)
    assert found.to_dict()["status"] == "ok" and found.statuses.count("ok") > 900


@pytest.mark.slow
def test_a_place_beside_a_sharp_kink_is_found(monkeypatch):
    """Vehicle 13 of the survey: the path's tangents at both ends of a segment stand at 88 deg."""
    from noseload.studies.levers import survey as module
    from noseload.studies.levers.survey import draw_vehicles, follow, one_of, raise_mount

    drawn = draw_vehicles(13, 0)
    found = chunk(13, 0, 45.0, 10.0, "both", 1000)
    hidden = [case for case in range(1000) if found[:, 3, case].any()]
    assert hidden
    for case in hidden:
        for raised in (False, True):
            one = one_of(drawn, case)
            climb = Climb(raise_mount(one, 10.0) if raised else one)
            # The survey's own climb of this vehicle would be the same once more.
            monkeypatch.setattr(module, "Climb", lambda _, climb=climb: climb)
            assert follow(climb.vehicle, 45.0)[0] == pytest.approx(np.degrees(climb.tip_over() or np.nan), nan_ok=True)
            for k in climb.uphill.folds():
                turn = climb.uphill.find(lambda p: p.tangent[-1], first=k, last=k + 1)
                residual, _ = climb.equilibrium.evaluate(turn.state, turn.parameter)
                assert np.abs(residual / climb.equilibrium.residual_scales).max() <= LOOSE


@pytest.mark.slow
def test_one_vehicle_that_fails_is_a_named_row_of_a_survey(monkeypatch):
    from noseload.studies.levers import survey as module

    class Failing(Climb):
        def tip_over(self, end="front"):
            raise SolverError(None, "as if")

    monkeypatch.setattr(module, "Climb", Failing)
    result = module.survey(vehicles=100, seed=13)
    assert len(result.statuses) == 100 and result.statuses.count("ok") >= 90


def fallen_vehicle():
    """A vehicle whose rear springs cannot carry it."""
    document = wild.wild_document(5)
    soft = {"spring_rate_n_per_mm": 0.001, "free_length_mm": 60.0, "stop_stiffness_n_per_mm": 0.05}
    document["rear"]["shock"] |= soft
    return parse_vehicle(document, file="fallen.toml")


@pytest.mark.slow
def test_one_vehicle_that_does_not_stand_is_a_named_row_of_a_batch():
    """`punch_many` ended for all."""
    good = wild.wild_vehicle(1)
    result = punch_many([good, fallen_vehicle(), good], grade_deg=10.0, duration_s=0.2)
    assert list(result.status) == ["ok", "does_not_stand", "ok"]
    assert np.isnan(result.front_load_min_n[1]) and result.front_load_min_n[0] == result.front_load_min_n[2]
    assert result.to_dict()["rows"][1]["front_load_start_n"] is None


def test_newton_is_not_what_a_person_reads():
    with pytest.raises(SolverError) as caught:
        stand(fallen_vehicle())
    message = str(caught.value)
    assert "wild 5 does not stand: the rear springs cannot carry it: " in message and "N/mm press them by" in message
    assert "Newton" not in message and "equation" not in message


def test_describe_says_what_can_be_said_of_a_vehicle_that_does_not_stand(capsys, tmp_path):
    from noseload.__main__ import main
    from noseload.model import write_vehicle

    fallen = fallen_vehicle()
    found = describe(fallen)
    assert found.to_dict()["status"] == "does_not_stand"
    assert sum(found.loads_n.values()) == pytest.approx(fallen.mass * 9.80665)
    file = tmp_path / "fallen.toml"
    file.write_text(write_vehicle(fallen.document))
    assert main(["describe", str(file)]) == 3
    out, err = capsys.readouterr()
    assert "the rear springs cannot carry it" in out and "assumed (the file does not say)" in out and err == ""


@pytest.mark.parametrize(("seed", "grams"), [(28, 20), (105, 20), (106, 500), (4, 100)])
def test_the_test_weight_suits_the_vehicle(seed, grams):
    """200 g on a vehicle of 290 g: 80 of 94 failures of `describe`. A weight of a kitchen, at most 7.5 % of the mass."""
    vehicle = wild.wild_vehicle(seed)
    found = describe(vehicle)
    assert 1e3 * found.test_weight == pytest.approx(grams) and found.test_weight <= 0.075 * vehicle.mass
    for end in ("rear", "front"):
        assert (end in found.sinks_mm) != (f"{end}_sink" in found.unsaid)
    assert found.modes is not None and "standing" not in found.unsaid


def test_a_check_that_cannot_be_made_leaves_the_others(capsys):
    from noseload.commands.climb.describe import _text

    text = _text(describe(wild.wild_vehicle(28)))
    assert "20 g laid on the body above the rear axle: it sinks" in text
    assert "no check with a weight above the front axle: with it the vehicle does not stand: " in text
    assert "swings" in text and "limits of a steady climb" in text


def overdriven(seed, ratio):
    document = wild.wild_document(seed)
    document["drive"] |= {"driven_axles": "both", "front_overdrive": ratio}
    return parse_vehicle(document, file="overdriven.toml")


@pytest.mark.parametrize(("seed", "ratio"), [(1, 0.56), (57, 0.519), (96, 1.731), (113, 1.701)])
def test_overdriven_vehicles_start_by_continuation_from_equal_speeds(seed, ratio):
    """Newton from the standing pose finds none of these; each is one of the motion's own steady states."""
    from noseload.model.crawl.steady import SteadyMotion

    vehicle = overdriven(seed, ratio)
    standing = stand(vehicle)
    equilibrium = SteadyMotion(standing.equilibrium, travel_speed=CREEP_SPEED)
    assert not solve(equilibrium, equilibrium.guess(standing.state, 0.0)[0], 0.0).success
    level = overdriven_level(standing, equilibrium)
    assert level.parameter == 0.0 and level.residual_norm < 1e-11
    assert Climb(vehicle, standing=standing).row(0.0).front_load_n == pytest.approx(
        equilibrium.outputs(level.state, 0.0)[0][1]
    )


@pytest.mark.parametrize(("seed", "ratio", "reached"), [(7, 0.646, 0.7603), (81, 1.39, 1.045)])
def test_an_overdrive_that_no_attitude_bears_is_named(seed, ratio, reached):
    """The curve over overdrive folds there (followed by arclength): none of these is a failure of the search."""
    vehicle = overdriven(seed, ratio)
    with pytest.raises(SolverError, match=f"with front_overdrive past {reached} .the file has {ratio}. the axles work"):
        Climb(vehicle)
    found = describe(vehicle)
    assert "check drive.front_overdrive" in found.unsaid["climb"] and found.sinks_mm


def test_what_overdriven_axles_do_to_each_other_is_said():
    """'grip needed 0.00' stood beside tractions of -5.8 and +5.8 N."""
    row = Climb(overdriven(1, 1.2)).row(0.0)
    assert row.rear_traction_n < 0.0 < row.front_traction_n and row.grip_needed < 0.1
    assert row.message.startswith("the axles work against each other by ")
    assert "the front one pulls forward, the rear one holds back (front_overdrive 1.2)" in row.message
    held = Climb(overdriven(1, 0.85)).row(0.0)
    assert "the rear one pulls forward, the front one holds back (front_overdrive 0.85)" in held.message


@pytest.mark.parametrize("seed", [124, 444])
def test_a_vehicle_that_does_not_stay_standing_is_unstable(seed, capsys):
    """Both pitch over from the measured pose: the modes of the motion, another route, grow too. Status 'ok' until now."""
    from noseload.commands.climb.sweep import unstable_lines
    from noseload.studies.climb.modes import standing_modes

    vehicle = wild.wild_vehicle(seed)
    assert not standing_modes(vehicle).stable
    rows = sweep(vehicle, step_deg=5.0).rows
    assert rows[0].status == "unstable" and rows[0].stable is False and rows[0].front_load_n > 0.0
    assert rows[0].message == "stays in this attitude only until the slightest push"
    assert unstable_lines(rows)[0].startswith("unstable at 0.00")


@pytest.mark.parametrize("seed", [9, 7])
def test_the_row_of_a_fold_is_on_the_verge(seed):
    result = sweep(wild.wild_vehicle(seed), step_deg=5.0)
    assert result.rows[-1].grade_deg == pytest.approx(result.limits.fold_grade_deg, abs=1e-9)
    assert [row.status for row in result.rows] == ["ok"] * (len(result.rows) - 1) + ["unstable"]


def test_the_fold_nose_down_is_a_limit():
    """Vehicle 318 snaps over 1.8 deg nose down; its limits told of no end there."""
    climb = Climb(wild.wild_vehicle(318))
    fold = climb.limits.fold_downhill_grade_deg
    assert fold == pytest.approx(-1.7558, abs=1e-3)
    assert climb.row(fold + 0.5).status == "ok" and climb.row(fold - 0.5).status == "beyond_fold"
    from noseload.commands.climb.sweep import limit_lines

    told = "\n".join(limit_lines(climb.limits))
    assert "nose down: fold (it snaps to another attitude) -1.76 deg" in " ".join(told.split())
    assert "nose down: the rear axle carries nothing not reached" in " ".join(told.split())
    assert "not before tip-over" not in " ".join(limit_lines(sweep(wild.wild_vehicle(9)).limits)[:1])


def test_a_path_that_ends_without_a_limit_says_where_and_why(monkeypatch):
    from noseload.studies.climb import creep as module

    vehicle = wild.wild_vehicle(1)
    monkeypatch.setattr(module, "Tracing", partial(Tracing, max_points=4))
    result = sweep(vehicle, step_deg=5.0)
    assert result.limits.first is None and result.status == "no_solution"
    assert len(result.ends) == 2 and result.to_dict()["ends"] == list(result.ends)
    assert "the climb could not be followed past" in result.ends[0] and "4 points did not reach" in result.ends[0]
    assert result.ends[1].startswith("nose down the path could not be followed past -")


def test_a_slope_that_rounding_makes_negative_is_no_slope():
    """`punch --grade 25 --from-brake --throttle 0` ended in the square root of -1e-18."""
    rows = np.array([[1.0, 0.0, 0.0], [0.0, 1.0, 0.0]])
    for slopes in ([-1e-18, 2.0], [0.0, 2.0]):
        modes = StiffModes.of(np.array(slopes), rows, rows)
        assert sorted(modes.decay) == [0.0, 2.0] and np.isfinite(modes.left).all()


@pytest.mark.parametrize("throttle", [0.0, -0.02])
@pytest.mark.slow
def test_a_brake_that_no_throttle_releases_holds(throttle):
    """It let go at 0.10 s whatever the program said."""
    demo = load_vehicle(DEMO)
    alone = punch(demo, grade_deg=25.0, throttle=throttle, start="brake", duration_s=0.4)
    assert alone.status == "ok" and np.ptp(alone.traces["speed_mm_per_s"]) < 1.0
    many = punch_many(demo, grade_deg=25.0, throttle=[throttle, 1.0], start="brake", duration_s=0.4)
    assert list(many.status) == ["ok", "ok"]
    assert many.front_load_min_n[0] == pytest.approx(alone.summary["front_load_min_n"], rel=2e-3)
    assert many.front_load_min_n[1] < 0.9 * many.front_load_min_n[0]


def test_the_brake_lets_go_as_the_throttle_first_rises():
    late = Program((0.3, 0.35), (0.0, 0.8))
    found = punch(load_vehicle(DEMO), grade_deg=25.0, program=late, start="brake", duration_s=0.5)
    speed, times = np.abs(found.traces["speed_mm_per_s"]), found.time_s
    assert speed[times < 0.3].max() < 6.0 < speed[times > 0.4].max()
    assert first_rise(Program((0.0, 0.1, 0.2, 0.3), (0.2, 0.0, 0.4, 0.4))) == pytest.approx(0.15)
    assert first_rise(Program((0.1, 0.1), (0.0, 0.5))) == 0.1
    assert first_rise(Program((0.0, 1.0), (0.5, 0.1))) is None
