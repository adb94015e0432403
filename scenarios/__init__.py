"""What a user runs: studies, pictures, commands and demo vehicles.

From Python::

    from scenarios import load_vehicle, sweep
"""

_HOME = {
    "load_vehicle": "model.vehicle_file",
    "demo_vehicle": "scenarios.demo",
    "creep": "scenarios.studies.creep",
    "sweep": "scenarios.studies.sweep",
    "compare": "scenarios.studies.compare",
    "describe": "scenarios.studies.describe",
    "bench": "scenarios.studies.bench",
    "compare_bench": "scenarios.studies.bench",
    "punch": "scenarios.studies.punch",
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


def __getattr__(name: str) -> object:
    if name not in _HOME:
        raise AttributeError(f"module 'scenarios' has no attribute {name!r}; it offers {', '.join(sorted(_HOME))}")
    from importlib import import_module

    return getattr(import_module(_HOME[name]), name)


def __dir__() -> list[str]:
    return sorted([*globals(), *_HOME])
