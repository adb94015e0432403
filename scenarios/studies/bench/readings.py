"""Readings of a held-wheel bench against the prediction: by torque, by a lever on a scale, or by the front scale alone."""

from __future__ import annotations

import os
import re
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from noseload.csv_input import Column, Layout, Readings, read_readings
from noseload.model.errors import ModelError
from noseload.model.units import force_of_grams, grams_of_force
from noseload.solvers.roots import bracketed_root
from noseload.solvers.statistics.correlated import chi_square_of, covariance_of, deleted_misfits
from noseload.solvers.statistics.least_squares import CONTRADICTION_LEVEL, chi_square_chance
from noseload.studies.measuring.common_errors import GAUGE_ZERO, SCALE_GAIN, gain
from noseload.studies.measuring.measurement import answer_without, off_the_others
from noseload.studies.measuring.plausible import implausible, off_predicted
from noseload.studies.measuring.vehicle_bounds import vehicle_bounds
from noseload.studies.result import Result

from .bench import Bench

if TYPE_CHECKING:
    from os import PathLike


_SETTINGS = (
    Column("level_front_g", "front scale before any torque", low=0, above=True),
    Column("scale_error_g", "standard error of one scale reading", low=0, above=True, default=3.0, required=False),
    Column("pitch_error_deg", "standard error of one pitch reading", low=0, above=True, default=0.3, required=False),
    SCALE_GAIN,
    replace(GAUGE_ZERO, meaning="standard error of the standing pitch that all others count from, alike in every row"),
)
_FRONT = Column("front_g", "scale under the front axle", low=0)
_MORE = (
    Column("nose_up_pitch_deg", "how far the nose has risen from standing", low=-60, high=80, required=False),
    Column(
        "direction", "torque going up or coming down", "word", choices=("up", "down", ""), default="", required=False
    ),
    Column("repeat", "number of the repeat", low=0, default=1.0, required=False),
)
BY_SCALE = Layout(
    title="Held-wheel bench, torque read off the front scale",
    settings=_SETTINGS,
    columns=(_FRONT, Column("nose_up_pitch_deg", _MORE[0].meaning, low=-60, high=80), *_MORE[1:]),
    identity=("front_g", "direction", "repeat"),
    least_rows=2,
)
BY_LEVER = Layout(
    title="Held-wheel bench, rear wheels held by a lever on a scale",
    settings=(
        *_SETTINGS,
        Column("lever_arm_mm", "from the wheel axis to where the lever rests on its scale", low=0, above=True),
        Column(
            "lever_arm_error_mm", "standard error of that arm, alike in every row", low=0, default=1.0, required=False
        ),
        Column(
            "lever_gain_error_percent",
            "the same of the scale under the lever (0, and the other too, where one scale read both)",
            low=0,
            default=0.5,
            required=False,
        ),
    ),
    columns=(_FRONT, Column("lever_g", "scale under the lever, zeroed with the lever on it", low=0), *_MORE),
    identity=("lever_g", "direction", "repeat"),
    least_rows=2,
)
BY_TORQUE = Layout(
    title="Held-wheel bench with measured torque",
    settings=(
        *_SETTINGS,
        Column("torque_error_n_mm", "standard error of one torque", low=0, default=50.0, required=False),
    ),
    columns=(_FRONT, Column("torque_n_mm", "motor torque at the wheels", low=0), *_MORE),
    identity=("torque_n_mm", "direction", "repeat"),
    least_rows=2,
)
BENCH_LAYOUTS = (BY_SCALE, BY_LEVER, BY_TORQUE)


@dataclass(frozen=True)
class BenchReadings(Result):
    """Readings beside the prediction; arrays of shape (n,), one entry for each number read.

    Attributes
    ----------
    kinds : tuple of str
        'level', 'front_load' (N) or 'pitch' (deg).
    rows : ndarray
        Row of the file; 0 for the level reading.
    torque_n_mm : ndarray
        Measured, or read off the front scale.
    observed, predicted, errors : ndarray
    chance : float
        Of a misfit this large or larger if the model is right.
    """

    picture = "climb.bench.plot_bench_readings"

    file: str
    torque_from: str
    kinds: tuple
    rows: np.ndarray
    torque_n_mm: np.ndarray
    observed: np.ndarray
    predicted: np.ndarray
    errors: np.ndarray
    chi_square: float
    chance: float
    verdict: tuple
    warnings: tuple = ()
    status: str = field(default="explained")

    def to_dict(self) -> dict[str, Any]:
        """Keys of the JSON document."""
        rows = [
            {
                "kind": k,
                "row": int(r),
                "torque_n_mm": t,
                "observed": o,
                "predicted": p,
                "standard_error": e,
                "unit": "deg" if k == "pitch" else "n",
            }
            for k, r, t, o, p, e in zip(
                self.kinds,
                self.rows,
                *(a.tolist() for a in (self.torque_n_mm, self.observed, self.predicted, self.errors)),
                strict=True,
            )
        ]
        return {
            "file": self.file,
            "torque_from": self.torque_from,
            "rows": rows,
            "chi_square": self.chi_square,
            "chance": self.chance,
            "verdict": list(self.verdict),
            "warnings": list(self.warnings),
            "status": self.status,
        }


def compare_bench_readings(path: str | os.PathLike, bench: Bench) -> BenchReadings:
    """Hold the readings of a bench against the prediction.

    Parameters
    ----------
    path : str or Path
        CSV or TOML; see `BENCH_LAYOUTS`.
    bench : Bench
        The prediction, for the same front wheels.

    Raises
    ------
    ReadingsFileError
        With every fault of the file.
    ModelError
        The bench has no torque at lift, or pitch is asked of a vehicle without links.
    """
    return compare_bench_with(read_readings(path, _layout_of(path)), bench)


def compare_bench_with(readings: Readings, bench: Bench) -> BenchReadings:
    """Like `compare_bench_readings`, from readings already read."""
    if bench.lift is None:
        raise ModelError(f"--readings: nothing to hold them against: {bench.message}")
    if bench.lift.nose_up_pitch_deg is None and readings.title == BY_SCALE.title:
        raise ModelError(
            "--readings: with the front scale alone the check lies in the pitch, and this file has no links "
            "(level A); add links and shocks, or measure the torque too (torque_n_mm, or lever_g)"
        )
    bounds = vehicle_bounds(bench.path.vehicle)
    found = _compare(readings, bench)

    def again(rest: Readings) -> tuple[str, tuple[str, ...]]:
        other = _compare(rest, bench)
        return f"the chance of such a misfit is {other.chance:.2g}, with it {found.chance:.2g}", ()

    loads = np.isin(found.kinds, ("level", "front_load"))
    slips = [
        *implausible(readings, {}, bounds),
        *off_predicted("front_g", "g", grams_of_force(found.observed[loads]), grams_of_force(found.predicted[loads])),
    ]
    return replace(found, warnings=(*slips, *found.warnings, *answer_without(found.warnings, readings, again)))


def _compare(readings: Readings, bench: Bench) -> BenchReadings:
    torque, error, source = _torques(readings, bench)
    level = force_of_grams(readings.settings["level_front_g"])
    scale = force_of_grams(readings.settings["scale_error_g"])
    found = [("level", 0, 0.0, level, bench.rows[0].front_load_n, scale, (gain(readings.settings) * level, 0.0, 0.0))]
    for place in range(len(readings)):
        found += _entries(readings, bench, place, torque[place], error[place], source)
    kinds, rows, torques, observed, predicted, errors, effects = zip(*found, strict=True)
    arrays = [np.array(a, dtype=float) for a in (torques, observed, predicted, errors)]
    covariance = covariance_of(arrays[3], np.array(effects, dtype=float))
    misfits = arrays[1] - arrays[2]
    chi_square = chi_square_of(misfits, covariance)
    chance = float(chi_square_chance(chi_square, len(kinds)))
    status = "explained" if chance >= CONTRADICTION_LEVEL else "not_explained"
    scaled = status != "explained"
    sizes = deleted_misfits(misfits, covariance, scaled=scaled)
    at, seen, calculated, spread = arrays
    return BenchReadings(
        readings.file,
        source,
        kinds,
        np.array(rows),
        at,
        seen,
        calculated,
        spread,
        chi_square,
        chance,
        tuple(_verdict(kinds, rows, arrays, chi_square, chance, source)),
        tuple(off_the_others(sizes, len(kinds) - 1.0 if scaled else np.inf, readings, np.array(rows))),
        status,
    )


def _layout_of(path: str | PathLike) -> Layout:
    """The layout a file means, by the torque named among its columns; the reader finds all faults."""
    try:
        text = Path(path).read_text(encoding="utf-8-sig")
    except (OSError, UnicodeDecodeError):
        return BY_SCALE
    named = re.search(r"^[^#\n]*\b(torque|lever)_?(?!arm)", text, flags=re.M)
    return BY_SCALE if named is None else {"torque": BY_TORQUE, "lever": BY_LEVER}[named.group(1)]


def _torques(readings: Readings, bench: Bench) -> tuple:
    """Torque of each row and its own standard error, N mm, and where it comes from."""
    settings = readings.settings
    if readings.title == BY_TORQUE.title:
        return readings["torque_n_mm"], np.full(len(readings), settings["torque_error_n_mm"]), "torque_n_mm"
    scale = force_of_grams(settings["scale_error_g"])
    if readings.title == BY_LEVER.title:
        push = force_of_grams(readings["lever_g"])
        return push * settings["lever_arm_mm"], np.full(len(readings), scale * settings["lever_arm_mm"]), "lever_g"
    drop = force_of_grams(settings["level_front_g"] - readings["front_g"])
    wheelbase = bench.rows[0].wheelbase_mm
    return drop * wheelbase, np.full(len(readings), 1.414 * scale * wheelbase), "front_g"


def _torque_share(readings: Readings) -> float:
    """By how much, in proportion, all torques of a lever are off together: its arm and its scale."""
    settings = readings.settings
    if readings.title != BY_LEVER.title:
        return 0.0
    return float(
        np.hypot(settings["lever_arm_error_mm"] / settings["lever_arm_mm"], 0.01 * settings["lever_gain_error_percent"])
    )


def _entries(readings: Readings, bench: Any, place: int, torque: float, error: float, source: str) -> list:
    """Numbers read in a row: kind, row, torque, read, calculated, own error, and what one standard error does that is alike in
    all rows: the front scale's gain, the torques' common share, the standing pitch."""
    row, settings = int(readings.rows[place]), readings.settings
    scale_error, pitch = force_of_grams(settings["scale_error_g"]), readings["nose_up_pitch_deg"][place]
    load = force_of_grams(readings["front_g"][place])
    heavier, stronger, found = gain(settings) * load, torque * _torque_share(readings), []
    at = _torque_of_load(bench, load) if source == "front_g" else torque
    wheelbase = bench.rows[0].wheelbase_mm
    if source != "front_g":
        slope = 1.0 / wheelbase if at < bench.lift.torque_n_mm else 0.0
        own = float(np.hypot(scale_error, slope * error))
        effects = (heavier, slope * stronger, 0.0)
        found.append(("front_load", row, torque, load, _state(bench, at).front_load_n, own, effects))
    # An axle that carries nothing any more tells no pitch: it may be anywhere above the floor.
    here = _state(bench, at)
    if np.isfinite(pitch) and here.nose_up_pitch_deg is not None and at <= bench.lift.torque_n_mm:
        step = 0.01 * bench.lift.torque_n_mm
        near = _state(bench, at - step if at > step else at + step)
        slope = (near.nose_up_pitch_deg - here.nose_up_pitch_deg) / (near.torque_n_mm - here.torque_n_mm)
        rise = here.nose_up_pitch_deg - bench.rows[0].nose_up_pitch_deg
        own = float(np.hypot(settings["pitch_error_deg"], slope * error))
        # Read off the front scale, a load too large stands for a torque too small.
        effects = (
            slope * wheelbase * heavier if source == "front_g" else 0.0,
            -slope * stronger,
            settings[GAUGE_ZERO.name],
        )
        found.append(("pitch", row, torque, pitch, rise, own, effects))
    return found


def _state(bench: Any, torque_n_mm: float) -> Any:
    """The bench at a torque; at lift for more."""
    if torque_n_mm >= bench.lift.torque_n_mm:
        return bench.lift
    row = bench.path.row(max(torque_n_mm, 0.0))
    if row.front_load_n is None:
        raise ModelError(f"--readings: no prediction at {torque_n_mm:.0f} N mm: {row.message}")
    return row


def _torque_of_load(bench: Any, load: float) -> float:
    """Torque at which the front carries a load, N mm: the pose is compared where the scale reads the same."""
    if load >= bench.rows[0].front_load_n:
        return 0.0
    if load <= 0.0:
        return bench.lift.torque_n_mm
    end = bench.lift.torque_n_mm

    def excess(torque: Any) -> Any:
        return _state(bench, torque).front_load_n - load

    return bracketed_root(excess, 0.0, end, excess(0.0), excess(end))


def _verdict(
    kinds: tuple[str, ...], rows: tuple, arrays: list[np.ndarray], chi_square: float, chance: float, source: str
) -> list[str]:
    _, observed, predicted, errors = arrays
    numbers = f"chi-square {chi_square:.1f} for {len(kinds)}, a chance of {chance:.2g}"
    word = "explains" if chance >= CONTRADICTION_LEVEL else "does not explain"
    sentences = [f"As measured, the model {word} the readings of the bench within their error ({numbers})."]
    if chance < CONTRADICTION_LEVEL:
        worst = int(np.argmax(np.abs((observed - predicted) / errors)))
        unit, size = (" deg", 1.0) if kinds[worst] == "pitch" else (" g", grams_of_force(1.0))
        where = (
            "the level reading" if kinds[worst] == "level" else f"row {rows[worst]} ({kinds[worst].replace('_', ' ')})"
        )
        sentences.append(
            f"The largest misfit is {where}: read {size * observed[worst]:.1f}{unit}, calculated "
            f"{size * predicted[worst]:.1f}{unit}."
        )
    if source == "front_g":
        sentences.append(
            "The torque is read off the front scale itself, so the check lies in the level reading and the pitch: "
            "the torque at lift would read W b of the standing vehicle whatever the pose."
        )
    return sentences
