"""The difference that the simulation predicts between two setups, for the outcome of a trial."""

from __future__ import annotations

import json
import math
from dataclasses import dataclass
from pathlib import Path

from noseload.model.errors import MissingDataError
from noseload.model.file.limits import NESTED
from noseload.model.units import force_of_grams, grams_of_force
from noseload.model.vehicle import Vehicle
from noseload.studies.bench.board import held_vehicle

from .errors import TrialPlanError
from .outcomes import OUTCOMES, Outcome

STANDING, STANDING_IN_GRAMS = "standing_front_load_n", "standing_front_load_g"
"""Key of the standing front axle load, and that of plans sealed before it was written in newtons."""


def standing_load_n(newtons: float | None, grams: float | None) -> float | None:
    """Standing front axle load from either key, N; None where neither stands."""
    return force_of_grams(grams) if newtons is None and grams is not None else newtons


@dataclass(frozen=True)
class Prediction:
    """What is expected before the trial: change less reference, unit of the outcome.

    Attributes
    ----------
    difference : float
    margin : float
        Half width of the range in which the prediction claims to lie; 0 where none was given.
    origin : str
        ``calculated`` (by the simulation) or ``given``.
    words : str
        How it came about.
    standing_front_load_n : float or None
        Front load of the reference on the level, N; for the default threshold.
    """

    difference: float
    margin: float = 0.0
    origin: str = "given"
    words: str = ""
    standing_front_load_n: float | None = None

    def to_dict(self, outcome: Outcome) -> dict[str, object]:
        """Plain values under unit-suffixed keys."""
        return {
            f"difference_{outcome.unit}": self.difference,
            f"margin_{outcome.unit}": self.margin,
            "origin": self.origin,
            "words": self.words,
            STANDING: self.standing_front_load_n,
        }


def predict_difference(
    vehicle_file: str,
    *,
    reference: str,
    change: str,
    outcome: str,
    grade_deg: float | None = None,
    with_margin: bool = True,
) -> Prediction:
    """Calculate the difference that a trial of two setups should find.

    Parameters
    ----------
    vehicle_file : str
        Vehicle file that holds both setups.
    reference, change : str
        Names of the setups; ``base`` is the file as written.
    outcome : str
        Key of `OUTCOMES`. ``tip_angle``: tip-over grades of the creep. ``front_scale``: front loads at
        `grade_deg`, the rear wheels holding. ``staircase``: the first of tip-over, grip and holding torque on the way up. ``airborne``: time in
        the air of a full-throttle punch at `grade_deg`.
    grade_deg : float, optional
        Grade of the board, degrees.
    with_margin : bool
        Also how far the true difference may lie from it, which takes many times as long; else the margin is 0.

    Returns
    -------
    Prediction

    Raises
    ------
    MissingDataError
        No such number for this vehicle, or an outcome that creep does not predict.
    """
    if outcome == "pass_fail":
        raise MissingDataError(
            "a share of passes is not calculated from the vehicle; give the difference worth finding with --difference"
        )
    values, front = [], None
    for name in (reference, change):
        value, standing = _outcome_of(vehicle_file, name, outcome, grade_deg)
        values.append(value)
        front = standing if front is None else front
    words = f"{'punch' if outcome == 'airborne' else 'creep'} of {change} less {reference}"
    difference, margin, reach = values[1] - values[0], 0.0, ""
    if with_margin:
        margin, reach = _margin(vehicle_file, reference, change, outcome, grade_deg, difference)
    return Prediction(difference, margin, "calculated", words + reach, front)


MARGIN_DRAWS = 300


def _margin(
    vehicle_file: str, reference: str, change: str, outcome: str, grade_deg: float | None, difference: float
) -> tuple[float, str]:
    """How far the true difference may lie from the calculated one, and where that comes from: (0, '') where not known.

    Both parts of the error together, both setups driven up the same way, as the sheets of a trial ask.
    """
    from noseload.model import load_vehicle
    from noseload.studies.errors.uncertainty import difference_ends

    vehicles = [load_vehicle(vehicle_file, setup=None if name == "base" else name) for name in (reference, change)]
    if outcome == "airborne":
        return _airborne_margin(vehicles, float(grade_deg or 0.0), difference)
    if outcome == "front_scale":
        vehicles = [held_vehicle(vehicle, "rear") for vehicle in vehicles]
    name = "front_load_n" if outcome == "front_scale" else "tip_over_grade_deg"
    (found,) = difference_ends(vehicles, grade_deg=float(grade_deg or 0.0), draws=MARGIN_DRAWS, of=(name,))
    ends = found[name]
    if None in ends:
        return 0.0, ""
    low, value, high = (grams_of_force(end) if outcome == "front_scale" else end for end in ends)
    if abs(value - difference) > SAME:
        # A climb that slides or stalls first: the interval of its tip-over says nothing of that.
        return 0.0, ""
    return max(abs(low - difference), abs(high - difference)), REACH


def _airborne_margin(vehicles: list[Vehicle], grade_deg: float, difference_ms: float) -> tuple[float, str]:
    """The same for times in the air, ms: by punches of random vehicles that share what the two setups share, and of every plausible division of the pull."""
    from noseload.studies.errors.error_group import ErrorGroup
    from noseload.studies.errors.punch_draws import odds_of, run_drawn
    from noseload.studies.punch.punch import punch
    from noseload.studies.punch.splits_range import difference_ranges

    group, asked = ErrorGroup(vehicles, punch=True), {"grade_deg": grade_deg}
    errors, sizes = group.draw(PUNCH_MARGIN_DRAWS, 1), group.draw_left_out(PUNCH_MARGIN_DRAWS, 1)
    (odds,) = odds_of(run_drawn(group.members, errors, sizes, asked), PUNCH_MARGIN_DRAWS, 1)
    if odds.front_airborne_s is None:
        return 0.0, ""
    own = [punch(vehicle, grade_deg=grade_deg, outcome=False).summary for vehicle in vehicles]
    (divided,) = difference_ranges(vehicles, asked, own)
    ends = (*odds.front_airborne_s, *divided.get("front_airborne_s", ()))
    return max(abs(1e3 * end - difference_ms) for end in ends), REACH


PUNCH_MARGIN_DRAWS = 100
REACH = "; 95 % of random vehicles within the margin, driven up alike"
SAME = 1e-3
"""Of two routes to one difference, g or deg."""


def _outcome_of(vehicle_file: str, setup: str, outcome: str, grade_deg: float | None) -> tuple[float, float | None]:
    from noseload.model import load_vehicle
    from noseload.studies.climb.creep import creep
    from noseload.studies.climb.sweep import climb_of

    vehicle = load_vehicle(vehicle_file, setup=None if setup == "base" else setup)
    standing = creep(vehicle, grade_deg=0.0).front_load_n
    if outcome == "front_scale":
        found = creep(held_vehicle(vehicle, "rear"), grade_deg=float(grade_deg or 0.0))
        if found.front_load_n is None:
            raise MissingDataError(
                f"setup '{setup}' has no front axle load at {grade_deg:g} deg ({found.status}); lower the grade"
            )
        return grams_of_force(found.front_load_n), standing
    if outcome == "airborne":
        return _airborne_ms(vehicle, setup, float(grade_deg or 0.0)), standing
    limits = climb_of(vehicle).limits
    grades = [limits.tip_over_grade_deg]
    if outcome == "staircase":
        grades += [limits.grip_grade_deg, limits.hold_grade_deg]
    reached = [grade for grade in grades if grade is not None]
    if not reached:
        raise MissingDataError(f"setup '{setup}' does not tip over on its way up; give --difference instead")
    return min(reached), standing


def _airborne_ms(vehicle: Vehicle, setup: str, grade_deg: float) -> float:
    """Time in the air of a full-throttle punch, ms; one that flips, or cannot start, has none to compare."""
    from noseload.studies.punch.punch import punch

    run = punch(vehicle, grade_deg=grade_deg)
    if not run.success:
        raise MissingDataError(f"setup '{setup}' has no punch at {grade_deg:g} deg: {run.message}; lower the grade")
    outcome = run.summary["outcome"]
    if outcome.startswith("flips"):
        raise MissingDataError(
            f"setup '{setup}' flips over in a full-throttle punch at {grade_deg:g} deg, on any board a danger; lower the grade"
        )
    return 1e3 * float(run.summary["front_airborne_s"])


def read_prediction(text: str, outcome: str) -> Prediction:
    """A prediction from a number, or from a JSON file.

    Parameters
    ----------
    text : str
        A number in the unit of the outcome, or a file with ``difference_UNIT`` and, if known,
        ``margin_UNIT``, ``words`` and ``standing_front_load_n``.
    outcome : str
        Key of `OUTCOMES`.

    Raises
    ------
    TrialPlanError
        Neither a number nor such a file.
    """
    kind = OUTCOMES[outcome]
    try:
        number = float(text)
    except ValueError:
        return _prediction_from_file(text, kind)
    if not math.isfinite(number):
        raise TrialPlanError("--predicted", [f"{text} is not a finite number of {kind.unit}"])
    return Prediction(number, words="given")


def _prediction_from_file(name: str, kind: Outcome) -> Prediction:
    try:
        document = json.loads(Path(name).read_text(encoding="utf-8"))
    except OSError as error:
        fault = f"neither a number of {kind.unit} nor a file that can be read ({error.strerror or error})"
        raise TrialPlanError(name, [fault]) from None
    except RecursionError:
        raise TrialPlanError(name, [NESTED]) from None
    except ValueError as error:
        raise TrialPlanError(name, [f"this is not JSON ({error})"]) from None
    key, margin_key = f"difference_{kind.unit}", f"margin_{kind.unit}"
    if not isinstance(document, dict) or key not in document:
        raise TrialPlanError(name, [f"'{key}' is missing: the predicted {kind.words}, change less reference"])
    faults = []
    for item in (key, margin_key, STANDING, STANDING_IN_GRAMS):
        value = document.get(item)
        number = isinstance(value, int | float) and not isinstance(value, bool) and math.isfinite(value)
        if not number and (value is not None or item == key):
            faults.append(f"'{item}' is {value!r}: it must be a number")
    if faults:
        raise TrialPlanError(name, faults)
    return Prediction(
        float(document[key]),
        margin=abs(float(document.get(margin_key) or 0.0)),
        origin=str(document.get("origin", "given")),
        words=str(document.get("words", "given")),
        standing_front_load_n=standing_load_n(document.get(STANDING), document.get(STANDING_IN_GRAMS)),
    )
