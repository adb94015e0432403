"""`noseload trial plan|read|rehearse`: a blinded trial of a setup, sealed before run 1."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from shlex import quote
from typing import TYPE_CHECKING, Any

from noseload.commands.common import add_output, check_output, counter
from noseload.commands.paths import reads, writes_into
from noseload.documents import finite_option, json_text, seed_option, whole_option, write_csv

from .arguments import add_plan_arguments, check_folder_alone, plan_options

if TYPE_CHECKING:
    from noseload.studies.trial.plan import PlanOptions, SealedTrial


SUMMARY = "Plan a blinded trial of a setup, seal it before run 1, read it honestly, or rehearse it first."
EXAMPLE = "noseload trial plan my-crawler.toml --change raised --installation-sd 0.2 --minutes 240 --out my-trial"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Arguments of the three actions."""
    actions = parser.add_subparsers(dest="action", required=True, metavar="plan|read|rehearse")
    plan = _action(actions, "plan", "size, draw and seal a trial", "[VEHICLE.toml]", EXAMPLE)
    plan.add_argument(
        "vehicle", nargs="?", type=reads(), metavar="VEHICLE.toml", help="vehicle file (default: a demo vehicle)"
    )
    add_plan_arguments(plan)
    plan.add_argument(
        "--after",
        type=reads("--after"),
        metavar="FOLDER",
        help="earlier trial of the same question: this is a further look",
    )
    plan.add_argument(
        "--out",
        type=writes_into("--out"),
        metavar="FOLDER",
        default="trial",
        help="folder to write (trial); never written over",
    )
    plan.add_argument("--sheets", choices=("pdf", "svg"), default="pdf", help="form of the printable sheets (pdf)")
    plan.add_argument("--size-only", action="store_true", help="say the size and seal nothing")
    add_output(plan, picture="the power curve")
    read = _action(
        actions,
        "read",
        "check the seal, open the key, say what was found",
        "[FOLDER]",
        "noseload trial read my-trial --posted 6c463de3128e... --plot result.png",
    )
    read.add_argument(
        "folder", nargs="?", type=reads(), metavar="FOLDER", help="folder of the trial (default: an invented one)"
    )
    read.add_argument(
        "--readings",
        type=reads("--readings"),
        metavar="FILE.csv",
        help="readings (default: readings.csv in the folder)",
    )
    read.add_argument("--key", type=reads("--key"), metavar="FILE.json", help="key, where it was kept elsewhere")
    read.add_argument("--posted", metavar="HEX", help="the commitment as it was posted before run 1")
    read.add_argument(
        "--earlier",
        type=reads("--earlier"),
        metavar="FOLDER",
        nargs="+",
        default=[],
        help="earlier looks, first one first",
    )
    add_output(read, picture="the intervals")
    rehearse = _action(
        actions,
        "rehearse",
        "simulate the whole trial many times",
        "[FOLDER|VEHICLE.toml]",
        "noseload trial rehearse my-trial --missing 0.05 --leak 0.3 --bias 0.5",
    )
    rehearse.add_argument(
        "vehicle",
        type=reads(),
        nargs="?",
        metavar="FOLDER|VEHICLE.toml",
        help="a planned trial, or a vehicle file with the options of `plan`",
    )
    add_plan_arguments(rehearse, shown=False)
    _add_rehearsal(rehearse)
    add_output(rehearse, picture="the conclusions")


def _action(actions: Any, name: str, words: str, what: str, example: str) -> argparse.ArgumentParser:
    """Parser of one action, its help as wide as that of the other commands."""
    return actions.add_parser(
        name,
        help=words,
        description=words[0].upper() + words[1:] + ".",
        epilog=f"example: {example}",
        usage=f"noseload trial {name} {what} [options]",
        allow_abbrev=False,
        formatter_class=lambda prog: argparse.RawDescriptionHelpFormatter(prog, max_help_position=26, width=100),
    )


def _add_rehearsal(parser: argparse.ArgumentParser) -> None:
    day = parser.add_argument_group("the day")
    day.add_argument(
        "--trials",
        type=whole_option("a number of trials", 1, 1_000_000),
        default=400,
        metavar="N",
        help="simulated trials of each truth (400)",
    )
    day.add_argument(
        "--bend",
        type=finite_option("a drift"),
        default=0.0,
        metavar="X",
        help="further drift that grows with the square of the run: its size at the end (0)",
    )
    day.add_argument(
        "--leak",
        type=finite_option("a share", 0.0, 1.0),
        default=0.0,
        metavar="P",
        help="share of installations in which the driver knows what is fitted (0)",
    )
    day.add_argument(
        "--bias",
        type=finite_option("a bias"),
        default=0.0,
        metavar="X",
        help="shift of the reading in favour of the change where they know (0)",
    )
    day.add_argument(
        "--missing",
        type=finite_option("a share", 0.0, 1.0),
        default=0.0,
        metavar="P",
        help="chance that an installation goes missing (0)",
    )
    day.add_argument(
        "--scatter-factor",
        type=finite_option("a factor", 0.0),
        default=1.0,
        metavar="F",
        help="scatter as a multiple of the plan's (1)",
    )
    day.add_argument("--seed", type=seed_option, default=1, metavar="N", help="seed of the simulated trials (1)")


def run(arguments: argparse.Namespace) -> int:
    """Run one action; returns the exit code."""
    check_output(arguments)
    return {"plan": _plan, "read": _read, "rehearse": _rehearse}[arguments.action](arguments)


def _plan(arguments: argparse.Namespace) -> int:
    from dataclasses import replace

    from noseload.studies.trial.errors import TrialPlanError
    from noseload.studies.trial.files import read_plan, write_trial
    from noseload.studies.trial.plan import plan_trial

    from .text import plan_text

    if not arguments.size_only and Path(arguments.out).exists():
        fault = "is there already, and a sealed plan is never written over; choose another name with --out"
        raise TrialPlanError(arguments.out, [fault])
    notes: list[str] = []
    options = plan_options(arguments, notes)
    if arguments.after:
        before = read_plan(arguments.after)
        options = replace(options, look=before.look + 1, earlier_commitment=before.commitment)
    trial = plan_trial(options)
    body = trial.plan.to_dict()
    if arguments.size_only:
        body = {**{k: v for k, v in body.items() if k not in ("seal", "runs")}, "status": "sized"}
    else:
        from noseload.pictures.trial.sheets import render_sheets

        write_trial(arguments.out, trial, render_sheets(trial, arguments.sheets))
        arguments.next_step = f"noseload trial rehearse {quote(arguments.out)}    (before run 1: what you would conclude, and how often wrongly)"
    _outputs(arguments, body["sizing"]["curve"], "plot_power", trial.plan)
    if arguments.json:
        print(json_text({**body, "notes": notes}), end="")
    else:
        print(plan_text(trial, None if arguments.size_only else arguments.out, notes, _others(options, trial)))
    return 0


def _others(options: PlanOptions, trial: SealedTrial) -> Any:
    """Chances of the outcomes that were not chosen; none without a vehicle to calculate them from."""
    from noseload.studies.trial.others import other_chances

    if options.vehicle_file is None:
        return ()
    return other_chances(
        options.vehicle_file,
        reference=options.reference,
        change=options.change,
        chosen=options.outcome,
        grade_deg=options.grade_deg,
        design=trial.sizing.design,
        repeats=options.repeats,
        alpha=options.alpha,
    )


def _read(arguments: argparse.Namespace) -> int:
    from noseload.demo import DEMO_TRIAL
    from noseload.studies.trial.names import VEHICLE_FILE
    from noseload.studies.trial.read import read_trial

    from .text import read_text

    result = read_trial(
        arguments.folder or DEMO_TRIAL,
        readings=arguments.readings,
        key_file=arguments.key,
        posted=arguments.posted,
        earlier=arguments.earlier,
    )
    body = result.to_dict()
    if arguments.folder and (Path(arguments.folder) / VEHICLE_FILE).exists():
        vehicle = quote(str(Path(arguments.folder) / VEHICLE_FILE))
        arguments.next_step = (
            f"noseload post {vehicle} --setups {result.plan.reference},{result.plan.change} --trial {quote(arguments.folder)}"
            "    (prediction and result in one picture)"
        )
    _outputs(arguments, body["runs"], "plot_trial", result)
    print(json_text(body) if arguments.json else read_text(result), end="" if arguments.json else "\n")
    return 0


def _rehearse(arguments: argparse.Namespace) -> int:
    from noseload.studies.trial.files import read_plan
    from noseload.studies.trial.plan import plan_trial
    from noseload.studies.trial.rehearse import RehearsalOptions, rehearse_trial

    from .text import rehearsal_text

    notes: list[str] = []
    if arguments.vehicle and Path(arguments.vehicle).is_dir():
        check_folder_alone(arguments)
        plan, drift = read_plan(arguments.vehicle), arguments.drift or None
    else:
        plan, drift = plan_trial(plan_options(arguments, notes)).plan, None
    options = RehearsalOptions(
        trials=arguments.trials,
        drift=drift,
        bend=arguments.bend,
        leak=arguments.leak,
        bias=arguments.bias,
        missing=arguments.missing,
        scatter_factor=arguments.scatter_factor,
        seed=arguments.seed,
    )
    if arguments.vehicle and Path(arguments.vehicle).is_dir():
        arguments.next_step = (
            f"noseload trial read {quote(arguments.vehicle)}    (when the runs are done and readings.csv is filled in)"
        )
    rehearsal = rehearse_trial(plan, options, progress=counter(sys.stderr, "simulated trials"))
    body = rehearsal.to_dict()
    _outputs(arguments, body["truths"], "plot_rehearsal", rehearsal)
    if arguments.json:
        print(json_text({**body, "notes": notes}), end="")
    else:
        print(rehearsal_text(rehearsal, notes))
    return 0


def _outputs(arguments: argparse.Namespace, rows: list[dict], picture: str, result: object) -> None:
    if arguments.csv:
        write_csv(arguments.csv, rows)
    if arguments.plot:
        from noseload.pictures.style import save_figure
        from noseload.pictures.trial import results as trial_picture

        save_figure(getattr(trial_picture, picture)(result).figure, arguments.plot)
