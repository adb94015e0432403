"""What a user runs: studies, pictures, commands and demo vehicles.

From Python::

    from scenarios import load_vehicle, sweep
"""

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from model.vehicle_file import load_vehicle as load_vehicle

    from .demo import demo_vehicle as demo_vehicle
    from .studies.bench import bench as bench
    from .studies.bench import compare_bench as compare_bench
    from .studies.compare import compare as compare
    from .studies.compare_punch import compare_punch as compare_punch
    from .studies.creep import creep as creep
    from .studies.describe import describe as describe
    from .studies.film import creep_film as creep_film
    from .studies.film import punch_film as punch_film
    from .studies.modes import standing_modes as standing_modes
    from .studies.post import gather_post as gather_post
    from .studies.punch import punch as punch
    from .studies.punch_limits import largest_throttle as largest_throttle
    from .studies.punch_limits import punch_limits as punch_limits
    from .studies.punch_many import punch_many as punch_many
    from .studies.punch_map import punch_map as punch_map
    from .studies.sweep import sweep as sweep
    from .studies.thresholds import Thresholds as Thresholds
    from .studies.trial_files import write_trial as write_trial
    from .studies.trial_plan import PlanOptions as PlanOptions
    from .studies.trial_plan import plan_trial as plan_trial
    from .studies.trial_plan import scatter_from_baseline as scatter_from_baseline
    from .studies.trial_power import Scatter as Scatter
    from .studies.trial_prediction import predict_difference as predict_difference
    from .studies.trial_read import read_trial as read_trial
    from .studies.trial_rehearse import RehearsalOptions as RehearsalOptions
    from .studies.trial_rehearse import rehearse_trial as rehearse_trial
"""The same names for type checkers and editors."""

_HOME = {
    "load_vehicle": "model.vehicle_file",
    "demo_vehicle": "scenarios.demo",
    "creep": "scenarios.studies.creep",
    "sweep": "scenarios.studies.sweep",
    "compare": "scenarios.studies.compare",
    "compare_punch": "scenarios.studies.compare_punch",
    "describe": "scenarios.studies.describe",
    "bench": "scenarios.studies.bench",
    "compare_bench": "scenarios.studies.bench",
    "punch": "scenarios.studies.punch",
    "gather_post": "scenarios.studies.post",
    "punch_film": "scenarios.studies.film",
    "creep_film": "scenarios.studies.film",
    "punch_many": "scenarios.studies.punch_many",
    "punch_limits": "scenarios.studies.punch_limits",
    "largest_throttle": "scenarios.studies.punch_limits",
    "punch_map": "scenarios.studies.punch_map",
    "standing_modes": "scenarios.studies.modes",
    "Thresholds": "scenarios.studies.thresholds",
    "PlanOptions": "scenarios.studies.trial_plan",
    "plan_trial": "scenarios.studies.trial_plan",
    "scatter_from_baseline": "scenarios.studies.trial_plan",
    "Scatter": "scenarios.studies.trial_power",
    "predict_difference": "scenarios.studies.trial_prediction",
    "write_trial": "scenarios.studies.trial_files",
    "read_trial": "scenarios.studies.trial_read",
    "rehearse_trial": "scenarios.studies.trial_rehearse",
    "RehearsalOptions": "scenarios.studies.trial_rehearse",
}
"""Names offered here and where each lives: imported at first use, so that short commands start fast."""


def __getattr__(name: str) -> Any:
    if name not in _HOME:
        raise AttributeError(f"module 'scenarios' has no attribute {name!r}; it offers {', '.join(sorted(_HOME))}")
    from importlib import import_module

    return getattr(import_module(_HOME[name]), name)


def __dir__() -> list[str]:
    return sorted([*globals(), *_HOME])
