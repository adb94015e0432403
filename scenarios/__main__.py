"""The command line: finds the command's module, runs it, and turns errors into exit codes."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from argparse import Namespace
    from types import ModuleType

    from noseload.commands.parser import Parser


COMMANDS = {
    "overview": ("show", "your vehicle in fifteen lines; `noseload my-crawler.toml` does the same"),
    "new": ("measuring", "write a commented vehicle file to fill in"),
    "describe": ("climb", "what a file says: masses, pose, links, frequencies, what to check with a ruler"),
    "creep": ("climb", "loads, attitude and link forces at one grade, crawling steadily"),
    "sweep": ("climb", "steady crawl over grade, with the grades at which the climb ends"),
    "weigh": ("measuring", "centre of gravity from axle readings and the tip test"),
    "measure": ("measuring", "spring, tyre, contact, damping, motor, rotor, grip or inertia from bench readings"),
    "sheet": ("measuring", "the measuring order as a page to print"),
    "readings": ("measuring", "what was read on the board against the prediction"),
    "bench": ("climb", "rear wheels held on the level: torque against front axle load until the front is free"),
    "compare": ("climb", "setups side by side: loads, limits, what changed, and a verdict"),
    "doubts": ("climb", "what the model leaves out, in grams and degrees for this vehicle, and how to settle it"),
    "modes": ("climb", "free motions about standing and a steady crawl: frequency, damping, stable or not"),
    "punch": ("punch", "what a sudden throttle does to the front axle, over time"),
    "animate": ("show", "a punch in slow motion, or a crawl over grade, as GIF or MP4"),
    "limits": ("punch", "on which grades a punch lifts the front or flips; the throttle that keeps it down"),
    "map": ("punch", "two setups over grade and suddenness of the throttle: where the difference matters"),
    "links": ("levers", "instant centres, anti-squat and anti-lift by the textbook and as driven, over travel"),
    "explore": ("show", "a window with sliders: loads, limits and links live; saves a setup"),
    "aim": (
        "levers",
        "where to put a link end for a target; the maximum and minimum front axle load any linkage gives",
    ),
    "wheels": ("climb", "single wheels on any heading: which one lifts first, and the shafts' part in it"),
    "post": ("show", "one square picture of what a setup changes, readable on a phone"),
    "rank": ("levers", "what each number, setup and whole change buys, ranked"),
    "survey": (
        "levers",
        "a raised mount on a thousand random vehicles: how much, how often; where yours stands among them",
    ),
    "trial": ("trial", "a fair blinded trial of a setup: planned, sealed, rehearsed, read"),
    "report": ("show", "one page for everyone, and a folder to repeat it all"),
}
"""Commands: the room of `noseload.commands` that holds each, what it does."""

GROUPS = {
    "start here": ("new", "overview", "describe", "compare", "report", "trial"),
    "measure": ("sheet", "weigh", "measure", "readings"),
    "go deeper": (
        "rank",
        "doubts",
        "creep",
        "sweep",
        "wheels",
        "bench",
        "links",
        "aim",
        "modes",
        "punch",
        "limits",
        "map",
        "survey",
    ),
    "show": ("post", "animate", "explore"),
}
"""Every command in the group under which `noseload --help` lists it."""

WINDOWS = ("explore",)
"""Commands that open a window."""
INTERRUPTED = 130

OVERVIEW = """usage: noseload VEHICLE.toml                               your vehicle in fifteen lines
       noseload COMMAND [VEHICLE.toml ...] [options]      (COMMAND --help tells more)

Front axle load of a small link-suspended crawler on a steep climb: what sets it, what a setup
changes, and by how much. Without a vehicle file a demo vehicle of our own is used.
Grades are degrees, or percent as 45%.

{commands}

Exit codes: 0 done, 2 bad input, 3 no solution, 130 interrupted.
A model for small model vehicles; never a basis for driving a manned vehicle on a slope."""

NOTHING = """No vehicle file yet?  noseload new --level A my-crawler.toml    (ruler, kitchen scale, one tip angle: 15 minutes)
Have one?              noseload my-crawler.toml                   (what it does, in fifteen lines)
Just curious?          noseload survey                            (a raised mount on a thousand random vehicles)"""


def main(argv: list[str] | None = None) -> int:
    """Run one command; returns its exit code."""
    stop = _Interruption()
    stop.watch()
    code = INTERRUPTED
    try:
        from noseload.commands.terminal import plain_streams

        arguments = list(sys.argv[1:] if argv is None else argv)
        with plain_streams(spell="--json" not in arguments):
            code = _main(arguments)
        return code
    except BaseException as error:
        # Interrupted imports raise all kinds of errors of their own.
        if not stop.happened and not isinstance(error, KeyboardInterrupt):
            raise
        stop.ignore_others()
        return _complain("interrupted", INTERRUPTED)
    finally:
        stop.release(ended=argv is None and code == INTERRUPTED)


class _Interruption:
    """Ctrl-C as one `KeyboardInterrupt`, wherever it comes: also where Python would only print it and go on."""

    def __init__(self) -> None:
        self.happened = False
        self._watching = False
        self._hook = sys.unraisablehook

    def watch(self) -> None:
        """Take over Ctrl-C, if it is Python's own and this is the main thread."""
        import signal
        from threading import current_thread, main_thread

        self._watching = (
            current_thread() is main_thread() and signal.getsignal(signal.SIGINT) is signal.default_int_handler
        )
        if self._watching:
            signal.signal(signal.SIGINT, self._stop)
            sys.unraisablehook = self._unraisable

    def _stop(self, *_: Any) -> None:
        self.happened = True
        raise KeyboardInterrupt

    def _unraisable(self, unraisable: Any) -> None:
        if not isinstance(unraisable.exc_value, KeyboardInterrupt):
            self._hook(unraisable)
            return
        from _thread import interrupt_main

        interrupt_main()

    def ignore_others(self) -> None:
        """One Ctrl-C is answered; more would only cut the answer short."""
        import signal

        if self._watching:
            signal.signal(signal.SIGINT, signal.SIG_IGN)

    def release(self, *, ended: bool) -> None:
        """Give Ctrl-C back; to nobody where the program has ended by it."""
        import signal

        if self._watching:
            sys.unraisablehook = self._hook
            if not ended:
                signal.signal(signal.SIGINT, signal.default_int_handler)


def _main(arguments: list[str]) -> int:
    if sys.stdout is None:
        return _complain("standard output is closed; nothing could be printed", 2)
    if not arguments or arguments[0] in ("-h", "--help"):
        print(OVERVIEW.format(commands=_listed()) if arguments else f"{OVERVIEW.splitlines()[0]}\n\n{NOTHING}")
        return 0 if arguments else 2
    if arguments[0] == "--version":
        from .version import VERSION

        print(f"noseload {VERSION}")
        return 0
    name = arguments[0]
    if name not in COMMANDS and _is_file(name):
        return _run("overview", arguments)
    if name not in COMMANDS:
        from difflib import get_close_matches

        near = get_close_matches(name, COMMANDS, 1)
        hint = f" Did you mean '{near[0]}'?" if near else ""
        return _complain(f"no command {name!r}.{hint} `noseload --help` lists them.", 2)
    return _run(name, arguments[1:])


def _listed() -> str:
    """Commands by group, one line each."""
    width = max(map(len, COMMANDS))
    groups = [
        "\n".join([f"{title}:", *(f"  {name:<{width}}  {COMMANDS[name][1]}" for name in names)])
        for title, names in GROUPS.items()
    ]
    return "\n".join(groups)


def _is_file(word: str) -> bool:
    """Whether the first word is a vehicle file: then it is looked at as a whole."""
    import os

    return word.lower().endswith(".toml") or (not word.startswith("-") and os.path.isfile(word))


def _parser(name: str, module: ModuleType) -> Parser:
    import argparse

    from noseload.commands.parser import Parser

    parser = Parser(
        prog=f"noseload {name}",
        description=module.SUMMARY,
        epilog=f"example: {module.EXAMPLE}",
        formatter_class=lambda prog: argparse.RawDescriptionHelpFormatter(prog, max_help_position=32, width=100),
        allow_abbrev=False,
    )
    module.add_arguments(parser)
    return parser


def _run(name: str, arguments: list[str]) -> int:
    import os
    from importlib import import_module

    from noseload.commands.paths import check_paths
    from noseload.model.errors import ModelError
    from noseload.solvers.errors import SolverError

    if name not in WINDOWS:
        # Files are drawn the same whatever windows the environment names.
        os.environ["MPLBACKEND"] = "agg"
    options = None
    try:
        module = import_module(f"noseload.commands.{COMMANDS[name][0]}.{name}")
        options = _parser(name, module).parse_args(arguments)
        check_paths(options)
        if not getattr(options, "json", False):
            _tell_doubts_first(name, options)
        code = module.run(options)
        if code == 0 and not getattr(options, "json", False):
            from .commands.next_steps import next_line

            print(f"\n{next_line(name, _files(options), getattr(options, 'next_step', None))}")
        sys.stdout.flush()
        return code
    except SystemExit as stop:
        return int(stop.code or 0)
    except ModelError as error:
        _tell_doubts_of_failure(name, options)
        return _complain(str(error), 2)
    except SolverError as error:
        _tell_doubts_of_failure(name, options)
        if getattr(options, "json", False):
            from .documents import document, json_text

            print(json_text(document(name, {"status": "no_solution", "message": str(error)})), end="")
        return _complain(str(error), 3)
    except BrokenPipeError:
        # The reader of a pipe has gone; the interpreter must not complain at exit.
        sys.stdout = None
        return 0
    except OSError as error:
        return _complain(f"{error.filename or 'standard output'}: {error.strerror or error}", 2)


def _tell_doubts_first(name: str, options: Namespace) -> None:
    """Above the first line of output stands what is doubtful about the vehicle files."""
    from .commands.terminal import PlainStream

    if isinstance(sys.stdout, PlainStream):
        sys.stdout.preface = lambda: _doubts(name, options)


def _doubts(name: str, options: Namespace) -> str:
    from .commands.doubts import preface

    return preface(name, options, [file for file in _files(options) if file.lower().endswith(".toml")])


def _tell_doubts_of_failure(name: str, options: Namespace | None) -> None:
    """Above the complaint of a command that printed nothing: a doubtful value of the file is often its cause."""
    from .commands.terminal import PlainStream

    unsaid = getattr(options, "json", False) or getattr(sys.stdout, "preface", None) is not None
    if options is None or not unsaid:
        return
    if isinstance(sys.stdout, PlainStream):
        sys.stdout.preface = None
    lines = _doubts(name, options)
    if lines and sys.stderr is not None:
        try:
            print(lines, end="", file=sys.stderr)
        except BrokenPipeError:
            sys.stderr = None


def _files(options: Namespace) -> list[str]:
    """Vehicle files that were given."""
    several = getattr(options, "vehicles", None)
    # Where random vehicles are surveyed, their number bears that name.
    given = several if isinstance(several, list) else []
    one = getattr(options, "vehicle", None) or getattr(options, "file", None)
    return [str(file) for file in (*given, one) if file]


def _complain(message: str, code: int) -> int:
    try:
        print(f"noseload: {message}", file=sys.stderr, flush=True)
    except BrokenPipeError:
        # The reader has gone; the exit code still tells.
        sys.stderr = None
    return code


if __name__ == "__main__":
    sys.exit(main())
