"""Plan a blinded trial of two setups: size it, draw its order, seal it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from pathlib import Path

from noseload.model.units import grams_of_force
from noseload.solvers.statistics.distributions import variance_parts
from noseload.solvers.statistics.orders import KINDS, Source

from .document import TrialPlan, sizing_to_dict
from .errors import TrialPlanError
from .outcomes import NOTICEABLE_SHARE_OF_FRONT_LOAD, OUTCOMES, Outcome
from .power import Scatter
from .prediction import Prediction
from .schedule import Composition, TrialKey, draw_codes, draw_key, seal
from .sizing import LARGEST_PAIRS, Afternoon, Question, Sizing, find_size

STOP_RULE = (
    "All {installations} installations are done in the order of the sheets, then the trial ends. Nobody opens the "
    "key before the last reading is entered. If the trial has to end earlier, the installations not done count as "
    "missing. Further runs are a new sealed plan, reported apart and together with the number of looks."
)
EXCLUSION_RULE = (
    "The scorer may strike out an installation only before the key is opened, only for something seen on the day "
    "(board moved, part loose, battery below its limit, wrong holes reported by the installer), and writes the reason. "
    "An installation with fewer than {least} of its {repeats} readings counts as missing. {missing} No reading is "
    "left out for its size."
)
MISSING_RULES = {
    "free": "A missing installation is left out.",
    "pairs": "A missing installation takes the other one of its pair with it.",
    "balanced_pairs": "A missing installation takes the other one of its pair with it.",
    "mirrored": "A missing installation takes its block of four with it.",
}


@dataclass(frozen=True)
class PlanOptions:
    """What the two people decide before the trial.

    Attributes
    ----------
    change : str
        Setup on trial; `reference` is what it is compared with (``base``: the file as written).
    vehicle_file : str or None
        Vehicle file, copied into the trial and sealed.
    vehicle_name : str
        For the report, where there is no file.
    outcome : str
        Key of `OUTCOMES`.
    surface : str
        What the trial is run on; part of every verdict.
    grade_deg : float or None
        Grade of the board, degrees, where the outcome needs one.
    difference : float or None
        Difference worth finding, change less reference, unit of the outcome; None: the predicted one.
    prediction : Prediction or None
    measurable, noticeable : float or None
        Thresholds, unit of the outcome; None: the defaults of the outcome.
    scatter : Scatter or None
        Needed except for pass or fail.
    repeats : int
        Readings per installation.
    pass_share : float
        Share of passes expected of the reference (pass or fail only).
    drift : float
        Straight drift expected from one installation to the next, unit of the outcome.
    alpha, power : float
        Error rate; wanted chance to find the difference.
    minutes, swap_minutes, run_minutes : float
        The afternoon (None: open), one fitting of the part, one reading.
    pairs : int or None
        Size of the trial, where it is not to be calculated.
    order_kind : str or None
        Kind of order, see `noseload.solvers.statistics.orders.Design`.
    control_pairs, control_effect, control_words
        Positive control: its pairs (even), its predicted effect, what it is.
    same_pairs : int
        Pairs of A against A (even).
    reference_holes, change_holes : str
        What the installer's sheet calls the two; empty: set 1 and set 2.
    look : int
        1, or the number of this plan in a row of plans on the same question.
    earlier_commitment : str or None
        Commitment of the plan before.
    """

    change: str
    vehicle_file: str | None = None
    vehicle_name: str = ""
    reference: str = "base"
    outcome: str = "tip_angle"
    surface: str = "board with grip tape"
    grade_deg: float | None = None
    difference: float | None = None
    prediction: Prediction | None = None
    measurable: float | None = None
    noticeable: float | None = None
    scatter: Scatter | None = None
    repeats: int = 3
    pass_share: float = 0.5
    drift: float = 0.0
    alpha: float = 0.05
    power: float = 0.8
    minutes: float | None = None
    swap_minutes: float = 6.0
    run_minutes: float = 2.0
    pairs: int | None = None
    order_kind: str | None = None
    control_pairs: int = 0
    control_effect: float | None = None
    control_words: str = ""
    same_pairs: int = 0
    reference_holes: str = ""
    change_holes: str = ""
    look: int = 1
    earlier_commitment: str | None = None


@dataclass(frozen=True)
class SealedTrial:
    """A trial ready to run: the open plan, the secret key, and the size behind them."""

    plan: TrialPlan
    key: TrialKey
    sizing: Sizing
    vehicle_bytes: bytes | None = field(default=None, repr=False)
    """The vehicle file as sealed."""


def plan_trial(options: PlanOptions, *, source: Source | None = None, seed: int = 1) -> SealedTrial:
    """Size, draw and seal a trial.

    Parameters
    ----------
    options : PlanOptions
    source : Source, optional
        Source of the order; the system's entropy by default. Anything else is for tests.
    seed : int
        Seed of the simulated trials behind the powers (it has no part in the order).

    Returns
    -------
    SealedTrial

    Raises
    ------
    TrialPlanError
        With every option that cannot be used, or an afternoon too short for any trial.
    VehicleFileError, ModelError
        The vehicle file cannot be used, or has no such setup.
    """
    vehicle_bytes, name, sha256 = _read_vehicle(options)
    faults = check_options(options)
    if faults:
        raise TrialPlanError("the plan", faults)
    question, afternoon = _question(options), _afternoon(options)
    sizing = find_size(question, afternoon, pairs=options.pairs, seed=seed)
    composition = Composition(sizing.design, options.control_pairs, options.same_pairs)
    holes = (options.reference_holes, options.change_holes) if options.reference_holes else None
    key = draw_key(composition, holes=holes, source=source)
    outcome = OUTCOMES[options.outcome]
    plan = TrialPlan(
        vehicle_name=name,
        vehicle_file=Path(options.vehicle_file).name if options.vehicle_file else None,
        vehicle_sha256=sha256,
        reference=options.reference,
        change=options.change,
        outcome=options.outcome,
        surface=options.surface,
        grade_deg=options.grade_deg if outcome.needs_grade else None,
        repeats=options.repeats,
        difference=question.difference,
        measurable=_measurable(options),
        noticeable=question.noticeable,
        alpha=options.alpha,
        prediction=options.prediction,
        order_kind=sizing.design.kind,
        pairs=sizing.design.pairs,
        control_pairs=options.control_pairs,
        control_effect=options.control_effect if options.control_pairs else None,
        control_words=options.control_words,
        same_pairs=options.same_pairs,
        scatter=question.scatter,
        drift=options.drift,
        pass_share=options.pass_share,
        codes=draw_codes(composition.installations, source),
        stop_rule=STOP_RULE.format(installations=composition.installations),
        exclusion_rule=EXCLUSION_RULE.format(
            least=least_readings(options.repeats), repeats=options.repeats, missing=MISSING_RULES[sizing.design.kind]
        ),
        swap_minutes=options.swap_minutes,
        sizing=sizing_to_dict(sizing, outcome),
        look=options.look,
        earlier_commitment=options.earlier_commitment,
        seed=seed,
    )
    return SealedTrial(TrialPlan.from_dict(seal(plan.to_dict(), key.to_dict())), key, sizing, vehicle_bytes)


def least_readings(repeats: int) -> int:
    """Readings an installation must have to count: half of them, rounded up."""
    return math.ceil(repeats / 2)


def _read_vehicle(options: PlanOptions) -> tuple[bytes | None, str, str | None]:
    if options.vehicle_file is None:
        return None, options.vehicle_name, None
    from noseload.model import load_vehicle

    for setup in (options.reference, options.change):
        vehicle = load_vehicle(options.vehicle_file, setup=None if setup == "base" else setup)
    return Path(options.vehicle_file).read_bytes(), vehicle.name, vehicle.sha256


def _question(options: PlanOptions) -> Question:
    difference = options.difference
    if difference is None and options.prediction is not None:
        difference = options.prediction.difference
    return Question(
        OUTCOMES[options.outcome],
        float(difference or 0.0),
        float(_noticeable(options) or 0.0),
        options.scatter or Scatter(0.0, words="shares alone"),
        repeats=options.repeats,
        alpha=options.alpha,
        power=options.power,
        drift=options.drift,
        pass_share=options.pass_share,
        order_kind=options.order_kind,
    )


def _afternoon(options: PlanOptions) -> Afternoon:
    others = 2 * (options.control_pairs + options.same_pairs)
    return Afternoon(options.minutes, options.swap_minutes, options.run_minutes, others)


def _measurable(options: PlanOptions) -> float:
    given = options.measurable
    return OUTCOMES[options.outcome].measurable if given is None else given


def _noticeable(options: PlanOptions) -> float | None:
    if options.noticeable is not None:
        return options.noticeable
    outcome = OUTCOMES[options.outcome]
    if outcome.noticeable is None and options.prediction is not None:
        standing = options.prediction.standing_front_load_n
        return None if standing is None else NOTICEABLE_SHARE_OF_FRONT_LOAD * grams_of_force(standing)
    return outcome.noticeable


def check_options(options: PlanOptions) -> list[str]:
    """Everything that cannot be used about the options, a sentence each."""
    if options.outcome not in OUTCOMES:
        return [f"outcome '{options.outcome}' is unknown; choose one of {', '.join(OUTCOMES)}"]
    outcome = OUTCOMES[options.outcome]
    return [*_name_faults(options, outcome), *_size_faults(options), *_number_faults(options, outcome)]


def _name_faults(options: PlanOptions, outcome: Outcome) -> list[str]:
    faults = []
    if not options.change or options.change == options.reference:
        faults.append(f"the change on trial must differ from the reference '{options.reference}'")
    if not options.vehicle_file and not options.vehicle_name:
        faults.append("name the vehicle: a vehicle file, or --vehicle-name")
    if not options.surface.strip():
        faults.append("name the surface: a result holds for that surface only")
    if bool(options.reference_holes) != bool(options.change_holes):
        faults.append("name the holes of both setups, or of neither")
    elif options.reference_holes and options.reference_holes == options.change_holes:
        faults.append(f"both setups cannot use the same holes '{options.reference_holes}'")
    for holes in (options.reference_holes, options.change_holes):
        named = [name for name in (options.reference, options.change) if name.lower() in holes.lower()]
        faults += [f"holes '{holes}' name setup '{name}': the installer would know what it is" for name in named]
    if outcome.needs_grade and options.grade_deg is None:
        faults.append(f"the outcome {outcome.words} needs the grade of the board in degrees (--grade)")
    if options.order_kind is not None and options.order_kind not in KINDS:
        faults.append(f"order kind '{options.order_kind}' is unknown; choose one of {', '.join(KINDS)}")
    return faults


def _size_faults(options: PlanOptions) -> list[str]:
    faults = []
    if not 1 <= options.repeats <= 20:
        faults.append(f"{options.repeats} repeats: take 1 to 20 readings per installation")
    if options.pairs is not None and not 2 <= options.pairs <= LARGEST_PAIRS:
        faults.append(f"{options.pairs} pairs: take 2 to {LARGEST_PAIRS}")
    if options.order_kind == "mirrored" and options.pairs is not None and options.pairs % 2:
        faults.append(f"mirrored blocks hold two pairs: {options.pairs} pairs is odd")
    for name, pairs in (("control", options.control_pairs), ("A against A", options.same_pairs)):
        if pairs % 2 or not 0 <= pairs <= 10:
            faults.append(f"{pairs} pairs of {name}: take 0, 2, 4, ... 10, so that a straight drift cancels")
    if options.look < 1:
        faults.append(f"look {options.look}: the first plan is look 1")
    return faults


def _scatter_faults(scatter: float, outcome: Outcome) -> list[str]:
    """A scatter that no reading of this kind has was given in the unit of another."""
    low, high = outcome.scatters
    if low <= scatter <= high:
        return []
    return [
        f"a scatter of {scatter:g} {outcome.unit} is not that of {outcome.words} ({low:g} to {high:g} {outcome.unit}); "
        f"--installation-sd and --reading-sd are in {outcome.unit} for this outcome"
    ]


def _number_faults(options: PlanOptions, outcome: Outcome) -> list[str]:
    unit, faults = outcome.unit, []
    if options.difference is None and options.prediction is None:
        faults.append(f"give the difference worth finding in {unit} (--difference), or a prediction to take it from")
    elif _question(options).difference == 0.0:
        faults.append(f"a difference of 0 {unit} cannot be sized; give the difference worth finding (--difference)")
    if _noticeable(options) is None:
        faults.append(f"give the difference that would be noticed, in {unit} (--noticeable)")
    if options.scatter is None and outcome.key != "pass_fail":
        faults.append(f"give the scatter: baseline runs in a CSV (--baseline), or --installation-sd in {unit}")
    elif outcome.key != "pass_fail" and options.scatter is not None and not options.scatter.of_mean(1) > 0.0:
        faults.append(f"a scatter of 0 {unit} is not believable: give --installation-sd and --reading-sd as measured")
    elif options.scatter is not None:
        faults += _scatter_faults(options.scatter.of_mean(1), outcome)
    if options.control_pairs and not options.control_effect:
        faults.append(f"a positive control needs its predicted effect in {unit} (--control-effect)")
    if outcome.key == "pass_fail" and not 0.0 < options.pass_share < 1.0:
        faults.append(f"a share of passes of {options.pass_share:g} must lie between 0 and 1")
    elif outcome.key == "pass_fail" and not 0.0 <= options.pass_share + _question(options).difference <= 1.0:
        faults.append(
            f"{options.pass_share:g} and a difference of {_question(options).difference:g} leave the range 0 to 1"
        )
    for name, value, low, high in (
        ("--alpha", options.alpha, 0.0, 0.5),
        ("--power", options.power, 0.0, 1.0),
        ("--minutes", options.minutes, 0.0, 1e5),
        ("--swap-minutes", options.swap_minutes, 0.0, 1e4),
        ("--run-minutes", options.run_minutes, 0.0, 1e4),
        ("--measurable", _measurable(options), 0.0, 1e6),
        ("--noticeable", _noticeable(options), 0.0, 1e6),
        ("--grade", options.grade_deg, -90.0, 90.0),
        ("--drift", options.drift, -1e6, 1e6),
        ("--control-effect", options.control_effect, -1e6, 1e6),
        ("--difference", options.difference, -1e6, 1e6),
    ):
        if value is not None and not low < value < high:
            faults.append(f"{name} is {value:g}: it must lie between {low:g} and {high:g}")
    return faults


def scatter_from_baseline(groups: Sequence[Sequence[float]], *, words: str = "baseline runs") -> Scatter:
    """Scatter from baseline runs of one setup.

    Parameters
    ----------
    groups : sequence of sequences of float
        Readings of each installation (a fitting of the same part), unit of the outcome.
    words : str
        Where they come from.

    Raises
    ------
    TrialPlanError
        Fewer than three installations: the scatter from fitting to fitting is the one that counts.
    """
    if len(groups) < 3:
        fault = (
            f"{len(groups)} installations say too little of the scatter from one fitting to the next; take 3 or more"
        )
        raise TrialPlanError(words, [fault])
    parts = variance_parts(groups)
    if math.isnan(parts.within_sd):
        return Scatter(parts.mean_sd, 0.0, parts.groups, words)
    return Scatter(parts.between_sd, parts.within_sd, parts.groups, words)
