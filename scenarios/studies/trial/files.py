"""Files of a trial: the folder written complete or not at all, the plan and the key read back and checked."""

from __future__ import annotations

import csv
import hashlib
import io
import json
import os
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from noseload.model.file.limits import NESTED
from noseload.output import write_folder

from .document import TrialPlan
from .errors import SealError, TrialFileError, TrialPlanError
from .names import COMMITMENT_FILE, FITTINGS_FILE, KEY_FILE, PLAN_FILE, READINGS_FILE, SEALED_FOLDER, VEHICLE_FILE
from .plan import SealedTrial
from .schedule import PARTS, TrialKey, broken_parts

SEALED_WORDS = {
    "key": "the order (key.json)",
    "vehicle_file": "the vehicle file named in plan.json",
    "prediction": "the prediction",
    "threshold": "a threshold or the error rate",
    "primary_outcome": "the primary outcome",
    "stop_rule": "the stop rule",
    "exclusion_rule": "the exclusion rule",
    "plan": "something else in plan.json (design, runs, control, scatter, sizing or look)",
    "commitment": "the commitment in plan.json",
}


def reading_columns(repeats: int) -> list[str]:
    """Columns of the sheet of readings."""
    readings = [f"reading_{i + 1}" for i in range(repeats)]
    return [
        "run",
        "code",
        *readings,
        "pack_voltage_v",
        "board_angle_deg",
        "tape_brushed",
        "guess_before",
        "guess_after",
        "struck_out",
    ]


FITTING_COLUMNS = ["run", "code", "ride_height_mm", "pinion_angle_deg", "swap_minutes"]
"""Columns of the installer's own readings; kept apart because they can tell the setups apart."""


def trial_files(trial: SealedTrial, sheets: Mapping[str, bytes] | None = None) -> dict[str, bytes]:
    """All files of a trial, by name within its folder.

    Parameters
    ----------
    trial : SealedTrial
    sheets : mapping of str to bytes, optional
        Printable sheets by file name, see `noseload.pictures.trial.sheets.render_sheets`.
    """
    plan = trial.plan
    files = {
        PLAN_FILE: _json(plan.to_dict()),
        COMMITMENT_FILE: commitment_text(plan).encode(),
        READINGS_FILE: _blank_csv(reading_columns(plan.repeats), plan.codes),
        KEY_FILE: _json(trial.key.to_dict()),
        FITTINGS_FILE: _blank_csv(FITTING_COLUMNS, plan.codes),
        **(sheets or {}),
    }
    if trial.vehicle_bytes is not None:
        files[VEHICLE_FILE] = trial.vehicle_bytes
    return files


def write_trial(folder: str | os.PathLike, trial: SealedTrial, sheets: Mapping[str, bytes] | None = None) -> Path:
    """Write the folder of a trial complete or not at all.

    Raises
    ------
    TrialPlanError
        The folder is there already (a sealed plan is never written over), or cannot be written.
    """
    target = Path(folder)
    if target.exists():
        fault = "is there already, and a sealed plan is never written over; choose another name with --out"
        raise TrialPlanError(str(folder), [fault])
    try:
        write_folder(target, trial_files(trial, sheets), private=[SEALED_FOLDER])
    except OSError as error:
        raise TrialPlanError(str(folder), [f"cannot be written: {error.strerror or error}"]) from None
    return target


def commitment_text(plan: TrialPlan) -> str:
    """What to post before run 1."""
    return (
        f"{plan.commitment}\n\n"
        "Post the line above where others can see it and its time, before run 1.\n"
        "It is the SHA-256 commitment to the order (salted), the vehicle file, the prediction, the thresholds,\n"
        "the primary outcome, the stop rule, the exclusion rule and the rest of plan.json.\n"
    )


def _json(value: object) -> bytes:
    return (json.dumps(value, indent=2, ensure_ascii=False, allow_nan=False) + "\n").encode()


def _blank_csv(columns: list[str], codes: tuple[str, ...]) -> bytes:
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(columns)
    for run, code in enumerate(codes, start=1):
        writer.writerow([run, code, *[""] * (len(columns) - 2)])
    return text.getvalue().encode()


def read_plan(folder: str | os.PathLike) -> TrialPlan:
    """The plan in a trial's folder, unchecked against its seal.

    Raises
    ------
    TrialFileError
    """
    path = Path(folder) / PLAN_FILE
    return TrialPlan.from_dict(_read_json(path), where=str(path))


def read_sealed(
    folder: str | os.PathLike, *, key_file: str | os.PathLike | None = None, posted: str | None = None
) -> tuple[TrialPlan, TrialKey]:
    """Plan and key of a trial, checked against what was sealed before run 1.

    Parameters
    ----------
    folder : path
    key_file : path, optional
        Key file, where it is kept elsewhere.
    posted : str, optional
        The commitment as posted.

    Raises
    ------
    TrialFileError
        A file is missing or is not what it should be.
    SealError
        Naming every part that is not what was sealed.
    """
    plan_path = Path(folder) / PLAN_FILE
    key_path = Path(key_file) if key_file is not None else Path(folder) / KEY_FILE
    document, key_document = _read_json(plan_path), _read_json(key_path)
    key = _key_from(key_document, str(key_path))
    plan = TrialPlan.from_dict(document, where=str(plan_path))
    broken = broken_parts(document, key_document)
    if len(broken) == len(SEALED_WORDS) - 1:
        fault = f"nothing matches the seal: {key_path.name} belongs to another trial, or its salt was changed"
        raise SealError(str(folder), [fault])
    faults = [f"{SEALED_WORDS[name]} is not what was sealed before run 1" for name in broken]
    if posted is not None and posted.strip().lower() != plan.commitment:
        faults.append(f"the posted commitment {posted.strip()[:16]}... is not the sealed {plan.commitment[:16]}...")
    kept = kept_commitment(folder)
    if kept is not None and kept != plan.commitment:
        faults.append(f"{COMMITMENT_FILE} says {kept[:16]}..., which is not the sealed {plan.commitment[:16]}...")
    vehicle = Path(folder) / VEHICLE_FILE
    if plan.vehicle_sha256 is not None:
        if not vehicle.exists():
            faults.append(f"{VEHICLE_FILE} is missing; put back the vehicle file as it was sealed")
        elif hashlib.sha256(vehicle.read_bytes()).hexdigest() != plan.vehicle_sha256:
            faults.append(f"{VEHICLE_FILE} is not the vehicle file that was sealed before run 1")
    if faults:
        raise SealError(str(folder), faults)
    _check_key(plan, key, str(key_path))
    return plan, key


def kept_commitment(folder: str | os.PathLike) -> str | None:
    """The commitment in the folder's own commitment.txt; None where that file is not there.

    Raises
    ------
    TrialFileError
    """
    path = Path(folder) / COMMITMENT_FILE
    try:
        words = path.read_text(encoding="utf-8").split()
    except FileNotFoundError:
        return None
    except (OSError, UnicodeDecodeError) as error:
        raise TrialFileError(str(path), [f"cannot be read: {getattr(error, 'strerror', None) or error}"]) from None
    return words[0].lower() if words else ""


def _read_json(path: Path) -> dict:
    try:
        value = json.loads(path.read_text(encoding="utf-8"))
    except RecursionError:
        raise TrialFileError(str(path), [NESTED]) from None
    except OSError as error:
        raise TrialFileError(str(path), [f"cannot be read: {error.strerror or error}"]) from None
    except ValueError as error:
        raise TrialFileError(str(path), [f"this is not JSON ({error})"]) from None
    if not isinstance(value, dict):
        raise TrialFileError(str(path), ["this is not a JSON object"])
    return value


def _key_from(document: Mapping[str, Any], where: str) -> TrialKey:
    try:
        salt, holes, runs = document["salt"], document["holes"], document["runs"]
        if document["command"] != "trial key" or len(bytes.fromhex(salt)) != 16:
            raise ValueError
        parts = tuple(run["part"] for run in runs)
        arms = tuple(run["arm"] for run in runs)
        if [run["run"] for run in runs] != list(range(1, len(runs) + 1)):
            raise ValueError
        if not set(parts) <= set(PARTS) or not set(arms) <= {0, 1}:
            raise ValueError
        return TrialKey(salt, parts, arms, (str(holes["reference"]), str(holes["change"])))
    except (KeyError, TypeError, ValueError):
        fault = "this is not the key of a trial: it needs a salt of 128 bits, holes, and runs numbered from 1"
        raise TrialFileError(where, [fault]) from None


def _check_key(plan: TrialPlan, key: TrialKey, where: str) -> None:
    for part in PARTS:
        design = plan.composition.design(part)
        order = key.order(part)
        size = 0 if design is None else design.installations
        if order.size != size or (design is not None and not design.holds(tuple(order.tolist()))):
            raise TrialFileError(where, [f"the order of the part '{part}' could not have been drawn for this plan"])
