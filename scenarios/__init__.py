"""What a user runs: studies, pictures, commands and demo vehicles.

From Python::

    from noseload import load_vehicle, sweep
"""

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from noseload.model.file.reader import load_vehicle as load_vehicle
    from noseload.studies.bench.bench import bench as bench
    from noseload.studies.bench.bench import compare_bench as compare_bench
    from noseload.studies.climb.creep import creep as creep
    from noseload.studies.climb.describe import describe as describe
    from noseload.studies.climb.modes import standing_modes as standing_modes
    from noseload.studies.climb.sweep import sweep as sweep
    from noseload.studies.compare.compare import compare as compare
    from noseload.studies.compare.punch import compare_punch as compare_punch
    from noseload.studies.errors.doubts import doubts as doubts
    from noseload.studies.punch.largest_throttle import largest_throttle as largest_throttle
    from noseload.studies.punch.limits import punch_limits as punch_limits
    from noseload.studies.punch.many import punch_many as punch_many
    from noseload.studies.punch.map import punch_map as punch_map
    from noseload.studies.punch.punch import punch as punch
    from noseload.studies.punch.wheels import punch_wheels as punch_wheels
    from noseload.studies.punch.wheels_many import punch_wheels_many as punch_wheels_many
    from noseload.studies.punch.wheels_map import wheels_map as wheels_map
    from noseload.studies.show.film import creep_film as creep_film
    from noseload.studies.show.film import punch_film as punch_film
    from noseload.studies.show.post import gather_post as gather_post
    from noseload.studies.space.bench import bench_wheels as bench_wheels
    from noseload.studies.thresholds import Thresholds as Thresholds
    from noseload.studies.trial.files import write_trial as write_trial
    from noseload.studies.trial.plan import PlanOptions as PlanOptions
    from noseload.studies.trial.plan import plan_trial as plan_trial
    from noseload.studies.trial.plan import scatter_from_baseline as scatter_from_baseline
    from noseload.studies.trial.power import Scatter as Scatter
    from noseload.studies.trial.prediction import predict_difference as predict_difference
    from noseload.studies.trial.read import read_trial as read_trial
    from noseload.studies.trial.rehearse import RehearsalOptions as RehearsalOptions
    from noseload.studies.trial.rehearse import rehearse_trial as rehearse_trial
    from noseload.studies.wheels.answer import all_headings as all_headings
    from noseload.studies.wheels.answer import sweep_wheels as sweep_wheels
    from noseload.studies.wheels.answer import wheels_answer as wheels_answer

    from .demo import demo_vehicle as demo_vehicle
"""The same names for type checkers and editors."""

_HOME = {
    "load_vehicle": "noseload.model.file.reader",
    "demo_vehicle": "noseload.demo",
    "creep": "noseload.studies.climb.creep",
    "wheels_answer": "noseload.studies.wheels.answer",
    "sweep_wheels": "noseload.studies.wheels.answer",
    "all_headings": "noseload.studies.wheels.answer",
    "sweep": "noseload.studies.climb.sweep",
    "compare": "noseload.studies.compare.compare",
    "compare_punch": "noseload.studies.compare.punch",
    "describe": "noseload.studies.climb.describe",
    "doubts": "noseload.studies.errors.doubts",
    "bench": "noseload.studies.bench.bench",
    "compare_bench": "noseload.studies.bench.bench",
    "bench_wheels": "noseload.studies.space.bench",
    "punch": "noseload.studies.punch.punch",
    "punch_wheels": "noseload.studies.punch.wheels",
    "punch_wheels_many": "noseload.studies.punch.wheels_many",
    "wheels_map": "noseload.studies.punch.wheels_map",
    "gather_post": "noseload.studies.show.post",
    "punch_film": "noseload.studies.show.film",
    "creep_film": "noseload.studies.show.film",
    "punch_many": "noseload.studies.punch.many",
    "punch_limits": "noseload.studies.punch.limits",
    "largest_throttle": "noseload.studies.punch.largest_throttle",
    "punch_map": "noseload.studies.punch.map",
    "standing_modes": "noseload.studies.climb.modes",
    "Thresholds": "noseload.studies.thresholds",
    "PlanOptions": "noseload.studies.trial.plan",
    "plan_trial": "noseload.studies.trial.plan",
    "scatter_from_baseline": "noseload.studies.trial.plan",
    "Scatter": "noseload.studies.trial.power",
    "predict_difference": "noseload.studies.trial.prediction",
    "write_trial": "noseload.studies.trial.files",
    "read_trial": "noseload.studies.trial.read",
    "rehearse_trial": "noseload.studies.trial.rehearse",
    "RehearsalOptions": "noseload.studies.trial.rehearse",
}
"""Names offered here and where each lives: imported at first use, so that short commands start fast."""


def __getattr__(name: str) -> Any:
    if name not in _HOME:
        raise AttributeError(f"module 'noseload' has no attribute {name!r}; it offers {', '.join(sorted(_HOME))}")
    from importlib import import_module

    return getattr(import_module(_HOME[name]), name)


def __dir__() -> list[str]:
    return sorted([*globals(), *_HOME])
