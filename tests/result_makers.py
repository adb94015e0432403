"""One result of every kind, made by name from the demo: what tests of all results run over."""

import re
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory
from unittest import mock

import numpy as np

from noseload import compare, compare_punch, creep, demo_vehicle, describe, punch, standing_modes, sweep
from noseload.commands.measuring.output import demo_readings
from noseload.demo import DEMO, DEMO_TRIAL
from noseload.model import load_vehicle
from page_browser import NASTY, PUNCH_DEG

RAISED = "raised_rear_upper_mount"


@cache
def demo(setup=None):
    return demo_vehicle(setup=setup)


def _weighing():
    from noseload.studies.weighing.weigh import weigh

    return weigh(demo_readings("weighing.csv"))


def _measured(what, name):
    from noseload.studies.measuring.measurements import measure

    return measure(what, demo_readings(name))


def _compare_punch():
    return compare_punch(compare([demo(), demo(RAISED)], step_deg=5.0), grade_deg=15.0, draws=20)


def _readings():
    from noseload.studies.measuring.readings import compare_readings

    return compare_readings(demo_readings("board.csv"), demo())


def _log():
    from noseload.studies.measuring.readings_log import compare_log

    return compare_log(demo_readings("punch-log.csv"), demo())


def _links():
    from noseload.studies.links.links import links

    return links(demo(), grade_deg=30.0)


def _wheels():
    from noseload.studies.wheels.answer import wheels_answer

    return wheels_answer(demo(), grade_deg=45.0)


def _wheel_sweep():
    from noseload.studies.wheels.answer import sweep_wheels

    return sweep_wheels(demo(), step_deg=5.0)


def _lift_uncertainty():
    from noseload.studies.wheels.lift_uncertainty import lift_uncertainty

    return lift_uncertainty(demo(), draws=20)


def _wheel_levers():
    from noseload.studies.wheels.levers import rank_wheels

    return rank_wheels(demo())


def _headings():
    from noseload.studies.wheels.answer import all_headings

    return all_headings(demo(), step_deg=45.0)


def _rank():
    from noseload.studies.levers.rank import rank

    return rank(demo())


def _aim():
    from noseload.studies.links.aim import aim_along
    from noseload.studies.links.aim_targets import Target

    return aim_along(demo(), Target("anti_squat", 60.0), positions=5)


def _most():
    from noseload.studies.links.most_load import most_front_load

    return most_front_load(demo(), population=8, generations=2)


def _latest_lift():
    from noseload.studies.links.latest_lift import latest_wheel_lift

    return latest_wheel_lift(demo())


def _survey():
    from noseload.studies.levers.survey import survey

    return survey(vehicles=40)


def _survey_wheels():
    from noseload.studies.levers.survey_wheels import survey_wheels

    return survey_wheels(vehicles=20)


def _uncertainty():
    from noseload.studies.errors.uncertainty import uncertainty

    return uncertainty([demo(), demo(RAISED)], grade_deg=30.0, draws=50, left_out_draws=50)


def _doubts():
    from noseload import doubts

    return doubts([demo(), demo(RAISED)], grade_deg=30.0, draws=20, left_out_draws=40)


def _promise():
    from noseload.studies.links.promise import promise

    return promise(demo(), positions=5)


def _map():
    from noseload import punch_map

    return punch_map(
        [demo(), demo(RAISED)], grades_deg=np.array([20.0, 30.0]), rises_s=np.array([0.02, 0.2]), duration_s=0.3
    )


def _limits():
    from noseload import punch_limits

    return punch_limits([demo()], from_deg=20.0, step_deg=20.0, refined_deg=20.0)[0]


def _throttle():
    from noseload import largest_throttle

    return largest_throttle([demo()], grades_deg=[20.0, 40.0], duration_s=0.3, refined=0.1)[0]


def _many():
    from noseload import punch_many

    return punch_many(demo(), grade_deg=[10.0, 30.0, 70.0], throttle=1.0, duration_s=0.3, sample_s=0.1)


def _wheels_punch():
    from noseload import punch_wheels

    return punch_wheels(demo(), grade_deg=30.0, duration_s=0.3)


def _bench():
    from noseload.studies.bench.bench import bench

    return bench(demo(), step_n_mm=1000.0)


def _benches():
    from noseload.studies.bench.bench import compare_bench

    return compare_bench([demo(), demo(RAISED)], step_n_mm=1000.0)


def _bench_wheels():
    from noseload.studies.space.bench import bench_wheels

    return bench_wheels(demo())


def _bench_readings():
    from noseload.studies.bench.readings import compare_bench_readings

    return compare_bench_readings(demo_readings("bench.csv"), _bench())


def _report():
    """All setups of the demo and one whose name is meant to break out, with readings of which one is 60 g off."""
    from noseload.studies.errors.uncertainty import uncertainty
    from noseload.studies.show import report

    name = NASTY.replace('"', '\\"')
    text = Path(DEMO).read_text(encoding="utf-8")
    text += f'\n[setups."{name}"]\n"rear.shock.spring_rate_n_per_mm" = 0.5\n'
    vehicles = [load_vehicle(DEMO, text=text, setup=setup) for setup in (None, *demo().setups, NASTY)]
    board = Path(demo_readings("board.csv")).read_text(encoding="utf-8")
    spoilt, count = re.subn(r"(front_load, 30, )(\d+)(, up)", lambda m: f"{m[1]}{int(m[2]) + 60}{m[3]}", board)
    assert count == 1
    few = {"GENERATIONS": 2, "READY_MADE": 2, "PUNCH_DRAWS": 0}
    with (
        # Few draws and a short search: their intervals and ranges are drawn and told all the same.
        mock.patch.dict(uncertainty.__kwdefaults__, left_out_draws=40),
        mock.patch.multiple(report, **few),
        TemporaryDirectory() as folder,
    ):
        file = Path(folder, "board.csv")
        file.write_text(spoilt, encoding="utf-8")
        return report.collect(vehicles, report.ReportOptions(draws=10, punch_grade_deg=PUNCH_DEG), readings=file)


def _post():
    from noseload.studies.show.post import gather_post

    return gather_post(
        [demo(), demo(RAISED)], readings={"base": demo_readings("board.csv")}, trial=DEMO_TRIAL, draws=40
    )


def _film():
    from noseload.studies.show.film import creep_film

    return creep_film([demo(), demo(RAISED)], from_deg=50.0, degrees_per_second=20.0)


def _punch_uncertainty():
    from noseload.studies.errors.uncertainty_punch import punch_uncertainty

    return punch_uncertainty([demo()], {"grade_deg": 20.0, "duration_s": 0.3}, draws=20)


def _wheels_uncertainty():
    """With errors of a handful of numbers, the side view's and those it does not see."""
    from noseload.studies.errors.uncertainty_wheels import wheels_uncertainty

    known = ("length_mm", "mass_g", "inertia_percent", "spring_rate_percent", "other_percent", "tyre_stiffness_percent")
    lines = [f"{key} = 0" for key in known]
    lines += [
        '"rear.shock.chassis_end_mm" = 2',
        '"body.roll_inertia_kg_mm2" = 900',
        '"rear.shock.spring_rate_n_per_mm" = 0.05',
    ]
    text = Path(DEMO).read_text(encoding="utf-8") + "\n[uncertainty]\n" + "\n".join(lines) + "\n"
    car = load_vehicle("errors.toml", text=text)
    return wheels_uncertainty([car], {"grade_deg": 35.0, "duration_s": 0.2}, draws=20)


def _trial(what):
    from noseload import RehearsalOptions, read_trial, rehearse_trial

    result = read_trial(DEMO_TRIAL)
    if what == "rehearsal":
        return rehearse_trial(result.plan, RehearsalOptions(trials=20, seed=1))
    return result if what == "read" else result.plan


def _wheels_map():
    from noseload import wheels_map

    return wheels_map([demo()], grades_deg=[20.0, 30.0], rises_s=[0.05])


def _wheels_many():
    from noseload import punch_wheels_many

    return punch_wheels_many(demo(), grade_deg=[20.0, 80.0], duration_s=0.3)


def _wheels_compared():
    from noseload.studies.compare.wheels_punch import compare_wheels_punch

    return compare_wheels_punch([demo(), demo(RAISED)], grade_deg=20.0, draws=0)


def _wheel_throttle():
    from noseload.studies.punch.wheels_map import largest_wheel_throttle

    return largest_wheel_throttle(demo(), grades_deg=[30.0])


MAKERS = {
    "creep": lambda: creep(demo(), grade_deg=45.0),
    "sweep": lambda: sweep(demo(), step_deg=5.0),
    "compare": lambda: compare([demo(), demo(RAISED)], step_deg=5.0),
    "describe": lambda: describe(demo()),
    "punch": lambda: punch(demo(), grade_deg=35.0, duration_s=0.3),
    "punch_wheels": _wheels_punch,
    "wheels_map": _wheels_map,
    "wheels_compared": _wheels_compared,
    "wheels_many": _wheels_many,
    "wheel_throttle": _wheel_throttle,
    "modes": lambda: standing_modes(demo()),
    "links": _links,
    "wheels": _wheels,
    "wheel_sweep": _wheel_sweep,
    "headings": _headings,
    "wheel_levers": _wheel_levers,
    "lift_uncertainty": _lift_uncertainty,
    "weigh": _weighing,
    "readings": _readings,
    "many": _many,
    "spring": lambda: _measured("spring", "spring-rear.csv"),
    "damping": lambda: _measured("damping", "damping-rear.csv"),
    "trial": lambda: _trial("read"),
    "plan": lambda: _trial("plan"),
    "bench": _bench,
    "benches": _benches,
    "bench_wheels": _bench_wheels,
    "bench_readings": _bench_readings,
    "report": _report,
    "compare_punch": _compare_punch,
    "post": _post,
    "punch_uncertainty": _punch_uncertainty,
    "wheels_uncertainty": _wheels_uncertainty,
    "film": _film,
    "rank": _rank,
    "aim": _aim,
    "most_load": _most,
    "latest_lift": _latest_lift,
    "survey": _survey,
    "survey_wheels": _survey_wheels,
    "uncertainty": _uncertainty,
    "doubts": _doubts,
    "promise": _promise,
    "map": _map,
    "limits": _limits,
    "largest_throttle": _throttle,
    "log": _log,
    "rehearsal": lambda: _trial("rehearsal"),
}
SLOW = (
    "wheels_uncertainty",
    "latest_lift",
    "wheels_map",
    "wheels_compared",
    "wheels_many",
    "wheel_throttle",
    "survey_wheels",
    "punch_wheels",
    "rank",
    "aim",
    "most_load",
    "survey",
    "uncertainty",
    "promise",
    "map",
    "limits",
    "largest_throttle",
    "log",
    "rehearsal",
    "punch_uncertainty",
    "many",
    "trial",
    "benches",
    "bench_readings",
    "report",
    "compare",
    "compare_punch",
    "describe",
    "post",
    "film",
)


@cache
def made(name):
    return MAKERS[name]()
