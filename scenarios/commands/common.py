"""Options and steps that commands share."""

from __future__ import annotations

import contextlib
import sys
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from noseload.demo import DEMO
from noseload.documents import check_plot_suffix, document, json_text, whole_option
from noseload.model.errors import ModelError
from noseload.model.file.reader import load_vehicle
from noseload.model.names import row_name, shown_name
from noseload.output import write_whole

from .paths import add_overwrite, reads, writes

if TYPE_CHECKING:
    import argparse
    from argparse import Namespace

    from noseload.commands.parser import Parser
    from noseload.commands.pool import Pool
    from noseload.model.vehicle import Vehicle


INTERRUPTED = 130


def add_vehicle(parser: Parser, *, several: bool = False, setup: bool = True) -> None:
    """The vehicle file(s) and what may be chosen about them."""
    if several:
        parser.add_argument(
            "vehicles", nargs="*", type=reads(), metavar="VEHICLE.toml", help="vehicle files (default: a demo vehicle)"
        )
    else:
        parser.add_argument(
            "vehicle", nargs="?", type=reads(), metavar="VEHICLE.toml", help="vehicle file (default: a demo vehicle)"
        )
    if setup:
        parser.add_argument("--setup", metavar="NAME", help="a setup of the file (default: the file as written)")
    parser.add_argument("--drive", choices=("both", "rear", "front"), help="driven axles, in place of the file's")


def add_output(parser: argparse.ArgumentParser, *, picture: str = "a picture") -> None:
    """Where the results go; `picture` says what `--plot` draws."""
    parser.add_argument("--json", action="store_true", help="print one JSON document and nothing else")
    parser.add_argument("--csv", type=writes("--csv"), metavar="FILE", help="also write the rows as CSV")
    parser.add_argument(
        "--plot", type=writes("--plot"), metavar="FILE", help=f"also draw {picture}: .png, .svg or .pdf"
    )
    add_overwrite(parser)


def check_output(options: Namespace) -> None:
    """Find out before the work whether its files can be written."""
    if getattr(options, "plot", None):
        check_plot_suffix(options.plot)


def load_chosen(options: Namespace) -> Vehicle:
    """The one vehicle a command works on."""
    return load_vehicle(options.vehicle or DEMO, setup=options.setup, drive=options.drive)


def load_setups(
    file: str | None,
    wanted: str | None,
    *,
    drive: str | None = None,
    most: int | None = None,
    changes: bool = False,
    compared: bool = False,
) -> list[Vehicle]:
    """Setups of one file.

    Parameters
    ----------
    file : str or None
        None: the demo vehicle.
    wanted : str or None
        Names with commas between them, 'base' for the file as written; 'all' or None: that and every setup.
    drive : str, optional
        Driven axles, in place of the file's.
    most : int, optional
        So many of all.
    changes : bool
        Whether all the file's `[changes.NAME]` are among all; by name they can always be asked for.
    compared : bool
        A single setup is compared with the file as written.

    Returns
    -------
    list of Vehicle
    """
    file = file or DEMO
    base = load_vehicle(file, drive=drive)
    if wanted in (None, "all"):
        from noseload.model.file.changes import changes_of

        names = ["base", *base.setups, *([change.name for change in changes_of(base)] if changes else [])][:most]
    else:
        names = [name.strip() for name in wanted.split(",")]
    if compared and len(names) == 1 and names != ["base"]:
        names = ["base", *names]
    return [base if name == "base" else load_vehicle(file, setup=name, drive=drive) for name in names]


def chosen_options(options: Namespace) -> dict[str, Any]:
    """Options that shaped the numbers, for the document."""
    skip: tuple[str, ...] = (
        "vehicle",
        "vehicles",
        "files",
        "next_step",
        "json",
        "csv",
        "plot",
        "pictures",
        "setup",
        "all",
        "overwrite",
    )
    if not getattr(options, "uncertainty", True):
        skip += ("uncertainty", "draws", "seed")
    return {k: v for k, v in vars(options).items() if k not in skip and v is not None}


def print_json(
    command: str, body: dict[str, Any], options: Namespace, vehicles: list[Vehicle], *, seed: int | None = None
) -> None:
    """Print the one JSON document of a command."""
    print(json_text(document(command, body, vehicles=vehicles, options=chosen_options(options), seed=seed)), end="")


def heading(vehicle: Vehicle, what: str) -> str:
    """First line of a text output."""
    setup = "" if vehicle.setup == "base" else f", setup {row_name(vehicle.setup)}"
    return f"{shown_name(vehicle.name)}{setup}: {what}"


def counter(stream: Any, what: str) -> Any:
    """Progress as '12 of 40 punches' on a terminal; None where the stream is not one."""
    if not stream.isatty():
        return None

    def show(done: Any, total: float) -> None:
        print(f"\r{done} of {total} {what}", end="\n" if done == total else "", file=stream, flush=True)

    return show


def add_workers(parser: Parser) -> None:
    """How many processes share the work."""
    parser.add_argument(
        "--workers",
        type=whole_option("a number of processes", 1, 256),
        default=1,
        metavar="N",
        help="processes to share the work (1)",
    )


@contextlib.contextmanager
def workers(count: int) -> Iterator[Pool | None]:
    """An executor of so many processes, or None for one; Ctrl-C is left to this process, and work left over is dropped.

    Raises
    ------
    ModelError
        Fewer than one.
    """
    if count < 1:
        raise ModelError(f"--workers {count}: must be at least 1")
    if count == 1:
        yield None
        return
    from .pool import Pool

    pool = Pool(count)
    try:
        yield pool
    finally:
        pool.close()


def save_partial(command: str, body: dict[str, Any], options: Namespace, vehicles: list[Vehicle], *, name: str) -> int:
    """Keep what an interrupted command has done in NAME.partial; returns the exit code."""
    path = f"{name}.partial"
    write_whole(path, json_text(document(command, body, vehicles=vehicles, options=chosen_options(options))))
    print(f"noseload: interrupted; what was done is in {path}", file=sys.stderr)
    return INTERRUPTED
