"""Small trials for tests: planned with a seeded source, filled in as two people would."""

import csv
import random
from dataclasses import replace

import numpy as np

from noseload import PlanOptions, Scatter, plan_trial, write_trial
from noseload.studies.trial.document import TrialPlan
from noseload.studies.trial.plan import SealedTrial
from noseload.studies.trial.prediction import Prediction
from noseload.studies.trial.schedule import draw_key, seal

BASIC = PlanOptions(
    change="raised",
    vehicle_name="bench vehicle",
    difference=0.8,
    scatter=Scatter(0.3, 0.1),
    pairs=4,
    prediction=Prediction(0.8, margin=0.3),
)
"""Four installations of each setup, tip angle, one of 70 orders; invented numbers."""
NOISE = np.array([0.05, -0.1, 0.12, 0.0, -0.06, 0.09, -0.02, 0.04])
"""What eight installations read beside their tip angle, deg; invented."""


def make_trial(options=BASIC, *, seed=1, **changes):
    """A sealed trial whose order comes from `seed`."""
    return plan_trial(replace(options, **changes), source=random.Random(seed))


def with_another_order(trial, seed):
    """The same plan sealed with another key: order, salt and holes drawn anew."""
    key = draw_key(trial.plan.composition, source=random.Random(seed))
    document = {k: v for k, v in trial.plan.to_dict().items() if k != "seal"}
    plan = TrialPlan.from_dict(seal(document, key.to_dict()))
    return SealedTrial(plan, key, trial.sizing, trial.vehicle_bytes)


def effects_of(trial, change, control=0.0):
    """What each run reads above the reference, by what was fitted."""
    effects = {("main", 1): change, ("control", 1): control}
    return np.array([effects.get(fitted, 0.0) for fitted in zip(trial.key.parts, trial.key.arms, strict=True)])


def rows_of(trial, means, **columns):
    """Rows of the readings as typed: header first; `columns` holds one cell a run."""
    header = ["run", "code", *(f"reading_{k + 1}" for k in range(trial.plan.repeats)), *columns]
    rows = [header]
    for i, (code, mean) in enumerate(zip(trial.plan.codes, means, strict=True)):
        cells = ["" if np.isnan(mean) else f"{mean:.3f}"] * trial.plan.repeats
        rows.append([str(i + 1), code, *cells, *(values[i] for values in columns.values())])
    return rows


def save_rows(path, rows):
    """Write rows as CSV."""
    with open(path, "w", newline="", encoding="utf-8") as file:
        csv.writer(file, lineterminator="\n").writerows(rows)
    return path


def run_trial(folder, trial, means, **columns):
    """The folder of a trial with its readings filled in."""
    write_trial(folder, trial)
    save_rows(folder / "readings.csv", rows_of(trial, means, **columns))
    return folder
