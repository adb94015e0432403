"""Arguments of `noseload trial` and the plan options they stand for."""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from noseload.commands.paths import reads
from noseload.documents import finite_option, whole_option

if TYPE_CHECKING:
    from noseload.studies.trial.plan import PlanOptions
    from noseload.studies.trial.power import Scatter
    from noseload.studies.trial.prediction import Prediction


ORDERS = ("balanced_pairs", "pairs", "mirrored", "free")
OUTCOMES = ("tip_angle", "front_scale", "staircase", "airborne", "pass_fail")


FINER = (
    "--vehicle-name",
    "--surface",
    "--measurable",
    "--noticeable",
    "--pass-share",
    "--drift",
    "--repeats",
    "--alpha",
    "--power",
    "--swap-minutes",
    "--run-minutes",
    "--order",
    "--control",
    "--control-effect",
    "--control-pairs",
    "--same-pairs",
    "--holes",
)
"""Options of a plan that have a usable default: told by `--help-all`, so that `--help` fits one screen."""


class _HelpAll(argparse.Action):
    """Print the help with every option in it, and end; what the short help leaves out is kept here."""

    def __init__(self, option_strings: list[str], dest: str, help: str | None = None) -> None:
        super().__init__(option_strings, argparse.SUPPRESS, nargs=0, default=argparse.SUPPRESS, help=help)
        self.finer: list[tuple[argparse.Action, str | None]] = []

    def __call__(
        self,
        parser: argparse.ArgumentParser,
        namespace: argparse.Namespace,
        values: str | Sequence | None,
        option_string: str | None = None,
    ) -> None:
        for action, words in self.finer:
            action.help = words
        parser.print_help()
        parser.exit()


def add_plan_arguments(parser: argparse.ArgumentParser, *, shown: bool = True) -> None:
    """Everything that shapes a plan; shared by `plan`, which explains it, and `rehearse`, which points there."""
    more = _HelpAll(
        ["--help-all"], "help_all", help="also surface, thresholds, error rates, order, control, holes; and exit"
    )
    if shown:
        parser._add_action(more)
    before = len(parser._actions)
    _add_plan_arguments(parser)
    for action in parser._actions[before:]:
        if not shown or set(action.option_strings) & set(FINER):
            more.finer.append((action, action.help))
            action.help = argparse.SUPPRESS


def _add_plan_arguments(parser: argparse.ArgumentParser) -> None:
    number = finite_option
    question = parser.add_argument_group("the question")
    question.add_argument("--change", metavar="NAME", help="setup on trial (default: the only one in the file)")
    question.add_argument("--reference", metavar="NAME", default="base", help="what it is compared with (base)")
    question.add_argument("--vehicle-name", metavar="TEXT", default="", help="vehicle, where there is no file")
    question.add_argument(
        "--outcome",
        choices=OUTCOMES,
        default="tip_angle",
        metavar="KIND",
        help="tip_angle (locked wheels, needs no driver; the default), front_scale (at a fixed grade), "
        "staircase (steepest grade passed, half degrees), airborne (time in the air after a punch, ms), pass_fail (tells little)",
    )
    question.add_argument("--surface", metavar="TEXT", default="board with grip tape", help="part of every verdict")
    question.add_argument("--grade", type=number("a grade", -89.0, 89.0), metavar="DEG", help="grade of the board")
    question.add_argument(
        "--difference",
        type=number("a difference"),
        metavar="X",
        help="difference worth finding, change less reference (the predicted one)",
    )
    question.add_argument(
        "--predicted",
        type=reads("--predicted"),
        metavar="X|FILE",
        help="prediction to seal: number, or JSON with difference_UNIT, margin_UNIT (calculated)",
    )
    question.add_argument(
        "--measurable", type=number("a threshold", 0.0), metavar="X", help="what can be measured here"
    )
    question.add_argument("--noticeable", type=number("a threshold", 0.0), metavar="X", help="what would be noticed")
    size = parser.add_argument_group("the size")
    size.add_argument(
        "--baseline",
        type=reads("--baseline"),
        metavar="FILE.csv",
        help="runs of one setup: columns installation, reading",
    )
    size.add_argument(
        "--installation-sd", type=number("a scatter", 0.0), metavar="X", help="scatter from fitting to fitting"
    )
    size.add_argument("--reading-sd", type=number("a scatter", 0.0), metavar="X", help="scatter of repeats (0)")
    size.add_argument(
        "--pass-share", type=number("a share", 0.0, 1.0), default=0.5, metavar="P", help="passes expected (0.5)"
    )
    size.add_argument("--drift", type=number("a drift"), default=0.0, metavar="X", help="drift per installation (0)")
    size.add_argument(
        "--repeats",
        type=whole_option("a number of readings", 1, 100),
        default=3,
        metavar="K",
        help="readings of one installation, averaged (3)",
    )
    size.add_argument(
        "--alpha", type=number("an error rate", 0.0, 1.0), default=0.05, metavar="P", help="error rate (0.05)"
    )
    size.add_argument(
        "--power", type=number("a power", 0.0, 1.0), default=0.8, metavar="P", help="chance to find it (0.8)"
    )
    size.add_argument("--minutes", type=number("a time", 0.0), metavar="T", help="the afternoon")
    size.add_argument("--swap-minutes", type=number("a time", 0.0), default=6.0, metavar="T", help="one fitting (6)")
    size.add_argument("--run-minutes", type=number("a time", 0.0), default=2.0, metavar="T", help="one reading (2)")
    size.add_argument(
        "--pairs",
        type=whole_option("a number of pairs", 1, 1000),
        metavar="N",
        help="take this many installations of each setup",
    )
    size.add_argument("--order", choices=ORDERS, metavar="KIND", help=f"{', '.join(ORDERS)} (by size)")
    more = parser.add_argument_group("control and holes")
    more.add_argument("--control", metavar="TEXT", default="", help="positive control: a change known to work")
    more.add_argument("--control-effect", type=number("an effect"), metavar="X", help="its predicted effect")
    more.add_argument(
        "--control-pairs",
        type=whole_option("a number of pairs", 0, 1000),
        metavar="N",
        help="its pairs, an even number (2 with --control)",
    )
    more.add_argument(
        "--same-pairs",
        type=whole_option("a number of pairs", 0, 1000),
        default=0,
        metavar="N",
        help="pairs of A against A, an even number (0)",
    )
    more.add_argument(
        "--holes",
        nargs=2,
        metavar=("REF", "CHANGE"),
        default=("", ""),
        help="what the installer's sheet calls the two, without their meaning",
    )


def check_folder_alone(arguments: argparse.Namespace) -> None:
    """Refuse options of a plan beside a folder whose plan is sealed; only the drift of the day may differ.

    Raises
    ------
    TrialPlanError
    """
    from noseload.studies.trial.errors import TrialPlanError

    parser = argparse.ArgumentParser()
    _add_plan_arguments(parser)
    defaults = vars(parser.parse_args([]))
    given = [name for name, value in defaults.items() if name != "drift" and getattr(arguments, name) != value]
    if given:
        options = ", ".join(f"--{name.replace('_', '-')}" for name in given)
        raise TrialPlanError(
            arguments.vehicle, [f"its plan is sealed and decides {options}; leave them out, or name a vehicle"]
        )


def plan_options(arguments: argparse.Namespace, notes: list[str]) -> PlanOptions:
    """`PlanOptions` from the command line; what a user should know is added to `notes`.

    Raises
    ------
    ModelError
        The vehicle file, the baseline or the prediction cannot be used.
    """
    from noseload.demo import DEMO
    from noseload.studies.trial.plan import PlanOptions

    file = arguments.vehicle or (None if arguments.vehicle_name else DEMO)
    change = arguments.change or _only_setup(file)
    pairs = arguments.control_pairs
    return PlanOptions(
        change=change,
        vehicle_file=file,
        vehicle_name=arguments.vehicle_name,
        reference=arguments.reference,
        outcome=arguments.outcome,
        surface=arguments.surface,
        grade_deg=arguments.grade,
        difference=arguments.difference,
        prediction=_prediction(arguments, file, change, notes),
        measurable=arguments.measurable,
        noticeable=arguments.noticeable,
        scatter=_scatter(arguments),
        repeats=arguments.repeats,
        pass_share=arguments.pass_share,
        drift=arguments.drift,
        alpha=arguments.alpha,
        power=arguments.power,
        minutes=arguments.minutes,
        swap_minutes=arguments.swap_minutes,
        run_minutes=arguments.run_minutes,
        pairs=arguments.pairs,
        order_kind=arguments.order,
        control_pairs=(2 if arguments.control else 0) if pairs is None else pairs,
        control_effect=arguments.control_effect,
        control_words=arguments.control,
        same_pairs=arguments.same_pairs,
        reference_holes=arguments.holes[0],
        change_holes=arguments.holes[1],
    )


def _only_setup(file: str | None) -> str:
    from noseload.model import load_vehicle
    from noseload.studies.trial.errors import TrialPlanError

    if file is None:
        raise TrialPlanError("the plan", ["name the setup on trial with --change"])
    setups = load_vehicle(file).setups
    if len(setups) != 1:
        known = f"the file has {', '.join(setups)}" if setups else f"{Path(file).name} has no [setups.NAME]"
        raise TrialPlanError("the plan", [f"name the setup on trial with --change ({known})"])
    return setups[0]


def _prediction(arguments: argparse.Namespace, file: str | None, change: str, notes: list[str]) -> Prediction | None:
    from noseload.model.errors import MissingDataError
    from noseload.studies.trial.outcomes import OUTCOMES as KINDS
    from noseload.studies.trial.prediction import predict_difference, read_prediction

    if arguments.predicted is not None:
        return read_prediction(arguments.predicted, arguments.outcome)
    if file is None or (KINDS[arguments.outcome].needs_grade and arguments.grade is None):
        return None
    try:
        return predict_difference(
            file, reference=arguments.reference, change=change, outcome=arguments.outcome, grade_deg=arguments.grade
        )
    except MissingDataError as error:
        if arguments.difference is None:
            raise
        notes.append(f"No prediction is sealed: {error}")
        return None


def _scatter(arguments: argparse.Namespace) -> Scatter | None:
    from noseload.studies.trial.plan import scatter_from_baseline
    from noseload.studies.trial.power import Scatter
    from noseload.studies.trial.readings import read_baseline

    if arguments.baseline is not None:
        words = f"baseline runs, {Path(arguments.baseline).name}"
        return scatter_from_baseline(read_baseline(arguments.baseline), words=words)
    if arguments.installation_sd is None and arguments.reading_sd is None:
        return None
    return Scatter(arguments.installation_sd or 0.0, arguments.reading_sd or 0.0)
