"""The `--uncertainty` option: intervals in text, and what every command says of them alike."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from noseload.documents import finite_option, seed_option, table
from noseload.model.names import row_name
from noseload.model.units import grams_of_force
from noseload.studies.verdict.intervals import from_to
from noseload.studies.wheels.words import WHEEL_WORDS, wheel_words

if TYPE_CHECKING:
    from argparse import Namespace

    from noseload.commands.parser import Parser
    from noseload.model.vehicle import Vehicle
    from noseload.studies.errors.uncertainty import Interval, Uncertainty
    from noseload.studies.errors.uncertainty_wheels import WheelsUncertainty


DRAWS, SEED = 2000, 1

WORDS = (
    ("front_load_n", "front axle load", "g", grams_of_force, ".1f"),
    ("tip_over_grade_deg", "tip-over", "deg", float, ".2f"),
    ("nose_up_pitch_deg", "nose-up pitch", "deg", float, ".2f"),
)


def _milliseconds(time_s: float) -> float:
    return 1e3 * time_s


PUNCH_WORDS = (
    ("front_load_min_n", "minimum front axle load", "g", grams_of_force, ".1f"),
    ("front_airborne_s", "front in the air", "ms", _milliseconds, ".1f"),
    ("front_first_hop_s", "first hop of the front", "ms", _milliseconds, ".1f"),
    ("peak_nose_up_pitch_deg", "largest nose-up pitch", "deg", float, ".2f"),
)


def add_uncertainty(parser: Parser, *, draws: int = DRAWS) -> None:
    """Options of commands that can say how sure they are."""
    parser.add_argument(
        "--uncertainty",
        action="store_true",
        help="also 95 %% intervals, from [uncertainty] of the file or its defaults",
    )
    parser.add_argument(
        "--draws",
        type=finite_option("draws", 10, 1e6),
        default=draws,
        metavar="N",
        help=f"draws of the intervals ({draws})",
    )
    parser.add_argument("--seed", type=seed_option, default=SEED, help=f"seed of the draws ({SEED})")


def ask(options: Namespace, vehicles: list[Vehicle], grade_deg: float) -> Uncertainty | None:
    """The uncertainty of vehicles at a grade where the options ask for it, else None."""
    if not options.uncertainty:
        return None
    from noseload.studies.errors.uncertainty import uncertainty

    return uncertainty(vehicles, grade_deg=grade_deg, draws=int(options.draws), seed=options.seed)


def interval_text(result: Uncertainty | None) -> str:
    """Lines for people: each number with its interval in two parts and together, and what to measure again first."""
    if result is None:
        return ""
    grade_deg = result.setups[0].grade_deg
    lines = [
        f"how sure: 95 % intervals, seed {result.seed}, front axle load and pitch at {grade_deg:g} deg: of what was measured "
        f"({result.draws} draws), of what the model leaves out ({result.left_out_draws}), and of both together",
        *_parts_lines(result, WORDS, 2),
        "bias: how far what is left out moves the number in the middle of its draws; `noseload doubts` lists it.",
    ]
    if any(setup.alike for setup in result.setups):
        lines.append(
            "own state: each setup stands as its friction happens to hold it; alike: both driven up the same way, as trials do it."
        )
    return "\n".join(["", "", *lines, *([result.note] if result.note else [])])


PARTS_HEADER = ("setup", "number", "value", "measured", "left out: bias", "from", "to", "together: from", "to")


def _parts_lines(result: Any, numbers: tuple, advised: int) -> list[str]:
    """The table of both parts, and what to measure again first for the first numbers."""
    first, rows, advice = result.setups[0], [], []
    for setup in result.setups:
        rows += [
            _parts_row(setup.setup, words, setup.interval(name), unit, convert, form)
            for name, words, unit, convert, form in numbers
        ]
        alike = getattr(setup, "alike", {})
        for state, intervals in (("own state", setup.difference), ("alike", alike)):
            who = f"{row_name(setup.setup)} less {row_name(first.setup)}" + (f", {state}" if alike else "")
            rows += [
                _parts_row(who, words, intervals[name], unit, convert, form, "+")
                for name, words, unit, convert, form in numbers
                if intervals
            ]
    last = result.setups[-1]
    for name, words, _, _, _ in numbers[:advised]:
        advice += _advice(words, (getattr(last, "alike", {}) or last.difference).get(name) or last.interval(name))
    return [table(PARTS_HEADER, rows, align="<<>>>>>>>"), *advice]


def _parts_row(setup: str | None, words: str, item: Any, unit: str, convert: Any, form: str, sign: str = "") -> tuple:
    def show(value: float | None, mark: str = sign) -> str:
        return "-" if value is None else f"{convert(value):{mark}{form}}"

    measured, left_out = item.measured, item.left_out
    half = None if None in (measured.low, measured.high) else 0.5 * (measured.high - measured.low)
    return (
        setup,
        f"{words}, {unit}",
        show(item.value),
        "-" if half is None else f"+-{convert(half):{form}}",
        show(item.bias, "+"),
        show(left_out.low),
        show(left_out.high),
        show(item.low),
        show(item.high),
    )


def punch_interval_text(result: Any) -> str:
    """Lines for people: the numbers of a punch with their intervals, how often the front lifts, what to measure again first."""
    if result is None:
        return ""
    lines = [_heading(result), *_parts_lines(result, PUNCH_WORDS, 4)]
    for setup in result.setups:
        lifting = (
            "no draw has a start that can be held"
            if setup.share_lifting is None
            else (f"the front leaves the ground in {100 * setup.share_lifting:.3g} % of the draws{_aloft(setup)}")
        )
        lines.append(f"{row_name(setup.setup)}: {lifting}{_lost(setup)}")
    return "\n".join(["", "", *lines, result.note])


def _heading(result: Any) -> str:
    return (
        f"how sure: 95 % intervals of {result.draws} draws, seed {result.seed}: of what was measured, of what the model leaves "
        "out, and of both together"
    )


def wheels_interval_text(result: WheelsUncertainty | None) -> str:
    """The same of a punch in space: the first wheel's numbers, and by wheel how often it lifts, first, and for how long."""
    if result is None:
        return ""
    wheel = result.setups[0].first_wheel
    who, within = WHEEL_WORDS[wheel], f"within {result.time_s[-1]:g} s"
    numbers = (
        (f"{wheel}_airborne_s", f"{who} in the air {within}", "ms", _milliseconds, ".0f"),
        (f"{wheel}_load_min_n", f"minimum load of {who}", "g", grams_of_force, ".0f"),
        ("front_axle_airborne_s", f"both front wheels in the air {within}", "ms", _milliseconds, ".0f"),
        ("front_axle_load_min_n", "minimum front axle load", "g", grams_of_force, ".0f"),
        ("peak_chassis_roll_deg", "largest lean (left side up +)", "deg", float, ".1f"),
        ("peak_nose_up_pitch_deg", "largest nose-up pitch", "deg", float, ".1f"),
    )
    lines = [_heading(result), *_parts_lines(result, numbers, 2)]
    for setup in result.setups:
        lines.append(f"{setup.setup}: {_first_words(setup)}{_lost(setup)}")
        lines += [_lift_words(setup, name) for name in _by_share(setup)]
    return "\n".join(["", "", *lines, *([result.note] if result.note else [])])


def _by_share(setup: Any) -> list[str]:
    """Wheels that lift in any draw, the surest first."""
    lifting = [name for name in WHEEL_WORDS if setup.share_lifting[name]]
    return sorted(lifting, key=lambda name: (-setup.share_first[name], -setup.share_lifting[name]))


def _first_words(setup: Any) -> str:
    """Which wheel lifts first how often."""
    if None in setup.share_first.values():
        return "no draw has a start that can be held"
    none = 1.0 - sum(setup.share_first.values())
    found = sorted((item for item in setup.share_first.items() if item[1] > 0.0), key=lambda item: -item[1])
    parts = [f"{wheel_words(name)} lifts first in {100 * share:.3g} % of the draws" for name, share in found]
    if none > 0.5 / DRAWS:
        parts.append(f"no wheel lifts in {100 * none:.3g} %")
    return ", ".join(parts)


def _lift_words(setup: Any, name: str) -> str:
    """How often one wheel lifts, and how long it is up then."""
    low, high = (1e3 * time_s for time_s in setup.lifting_airborne_s[name])
    share = 100 * setup.share_lifting[name]
    return f"  {WHEEL_WORDS[name]}: in the air in {share:.3g} % of the draws, there for {from_to(low, high, 0)} ms (95 % of these)"


def _lost(setup: Any) -> str:
    count = setup.draws_without_start
    return f"; {count} draws have no start that can be held" if count else ""


def _aloft(setup: Any) -> str:
    """How long the front is in the air in the draws that lift it, where some do not: the interval over all hides it."""
    if not setup.share_lifting or setup.share_lifting == 1.0:
        return ""
    low, high = (1e3 * time_s for time_s in setup.lifting_airborne_s)
    return f", there for {from_to(low, high, 0)} ms (95 % of these)"


def _advice(words: str, item: Interval) -> list[str]:
    if not item.improve:
        return []
    first = item.improve[0]
    return [
        f"measure again first for the {words}: {first.source} ({first.limit}, {100 * first.share:.0f} % of the doubt). {first.recipe}"
    ]
