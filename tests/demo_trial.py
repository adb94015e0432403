"""The example trial sealed again for the demo file as it is: `python tests/demo_trial.py`.

Order, salt, codes, fittings and readings (invented) stay; prediction, size and seal follow the file.
"""

import shutil
import sys
import tempfile
from pathlib import Path


def main():
    """Write plan, vehicle and commitment of the example trial from the demo file."""
    from noseload import PlanOptions, Scatter, plan_trial, predict_difference, write_trial
    from noseload.demo import DEMO, DEMO_TRIAL
    from noseload.studies.trial.document import TrialPlan
    from noseload.studies.trial.files import read_sealed
    from noseload.studies.trial.plan import SealedTrial
    from noseload.studies.trial.schedule import seal

    before, key = read_sealed(DEMO_TRIAL)
    options = PlanOptions(
        change=before.change,
        vehicle_file=DEMO,
        surface=before.surface,
        prediction=predict_difference(DEMO, reference=before.reference, change=before.change, outcome=before.outcome),
        scatter=Scatter(before.scatter.installation_sd, before.scatter.reading_sd),
        pairs=before.pairs,
        control_pairs=before.control_pairs,
        control_effect=before.control_effect,
        control_words=before.control_words,
        reference_holes=key.holes[0],
        change_holes=key.holes[1],
    )
    drawn = plan_trial(options)
    document = {**drawn.plan.to_dict(), "runs": before.to_dict()["runs"]}
    del document["seal"]
    plan = TrialPlan.from_dict(seal(document, key.to_dict()))
    with tempfile.TemporaryDirectory() as folder:
        written = write_trial(Path(folder) / "trial", SealedTrial(plan, key, drawn.sizing, drawn.vehicle_bytes))
        for name in ("plan.json", "vehicle.toml", "commitment.txt"):
            shutil.copy(written / name, Path(DEMO_TRIAL) / name)


if __name__ == "__main__":
    sys.path.insert(0, str(Path(__file__).parent.parent))
    main()
