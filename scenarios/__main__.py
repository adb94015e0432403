"""The command line: finds the command's module, runs it, and turns errors into exit codes."""

import sys

from noseload.model.errors import ModelError
from noseload.solvers.errors import SolverError

COMMANDS = {
    "new": ("measuring", "write a commented vehicle file to fill in"),
    "describe": ("climb", "what a file says: masses, pose, links, frequencies, what to check with a ruler"),
    "creep": ("climb", "loads, attitude and link forces at one grade, crawling steadily"),
    "sweep": ("climb", "creep over grade, with the grades at which the climb ends"),
    "weigh": ("measuring", "centre of gravity from axle readings and the tip test"),
    "measure": ("measuring", "spring, tyre, damping, motor, rotor, grip or inertia from bench readings"),
    "sheet": ("measuring", "the measuring order as a page to print"),
    "readings": ("measuring", "what was read on the board against the prediction"),
    "bench": ("climb", "rear wheels held on the level: torque against front load until the front is free"),
    "compare": ("climb", "set-ups side by side: loads, limits, what changed, and a verdict"),
    "modes": ("climb", "free motions about standing and a steady crawl: frequency, damping, stable or not"),
    "punch": ("punch", "what a sudden throttle does to the front axle, over time"),
    "animate": ("show", "a punch in slow motion, or a crawl over grade, as GIF or MP4"),
    "limits": ("punch", "on which grades a punch lifts the front or flips; the throttle that keeps it down"),
    "map": ("punch", "two set-ups over grade and suddenness of the throttle: where the difference matters"),
    "links": ("levers", "instant centres, anti-squat and anti-lift as the book says and as driven, over travel"),
    "explore": ("show", "a window with sliders: loads, limits and links live; saves a set-up"),
    "aim": ("levers", "where to put a link end for a target; the most and least front load any linkage gives"),
    "lean": ("climb", "the rigid vehicle on a crooked line, a side slope, or with its front wheels on a step"),
    "post": ("show", "one square picture of what a set-up changes, readable on a phone"),
    "rank": ("levers", "what each number, set-up and whole change buys, ranked"),
    "survey": ("levers", "a raised mount on a thousand drawn vehicles: how much, how often, at worst"),
    "trial": ("trial", "a fair blinded trial of a set-up: planned, sealed, rehearsed, read"),
    "report": ("show", "one page for everyone, and a folder to repeat it all"),
}
"""Commands in the order in which a tuner meets them: the room of `noseload.commands` that holds each, what it does."""

OVERVIEW = """usage: noseload COMMAND [VEHICLE.toml ...] [options]      (COMMAND --help tells more)

Front axle load of a small link-suspended crawler on a steep climb: what sets it, what a set-up
changes, and by how much. Without a vehicle file a demo vehicle of our own is used.

{commands}

Exit codes: 0 done, 2 bad input, 3 no solution, 130 interrupted.
A model for small model vehicles; never a basis for driving a manned vehicle on a slope."""


def main(argv=None):
    """Run one command; returns its exit code."""
    arguments = list(sys.argv[1:] if argv is None else argv)
    if not arguments or arguments[0] in ("-h", "--help"):
        width = max(map(len, COMMANDS))
        print(OVERVIEW.format(commands="\n".join(f"  {name:<{width}}  {text}" for name, (_, text) in COMMANDS.items())))
        return 0 if arguments else 2
    if arguments[0] == "--version":
        from .version import VERSION

        print(f"noseload {VERSION}")
        return 0
    name = arguments[0]
    if name not in COMMANDS:
        from difflib import get_close_matches

        near = get_close_matches(name, COMMANDS, 1)
        hint = f" Did you mean '{near[0]}'?" if near else ""
        return _complain(f"no command {name!r}.{hint} `noseload --help` lists them.", 2)
    return _run(name, arguments[1:])


def _run(name, arguments):
    import argparse
    from importlib import import_module

    module = import_module(f"noseload.commands.{COMMANDS[name][0]}.{name}")
    parser = argparse.ArgumentParser(
        prog=f"noseload {name}",
        description=module.SUMMARY,
        epilog=f"example: {module.EXAMPLE}",
        formatter_class=lambda prog: argparse.RawDescriptionHelpFormatter(prog, max_help_position=32, width=100),
        allow_abbrev=False,
    )
    module.add_arguments(parser)
    try:
        options = parser.parse_args(arguments)
    except SystemExit as stop:
        return int(stop.code or 0)
    try:
        code = module.run(options)
        if code == 0 and not getattr(options, "json", False):
            from .commands.next_steps import next_line

            print(f"\n{next_line(name, _files(options))}")
        sys.stdout.flush()
        return code
    except ModelError as error:
        return _complain(str(error), 2)
    except SolverError as error:
        if getattr(options, "json", False):
            from .documents import document, json_text

            print(json_text(document(name, {"status": "no_solution", "message": str(error)})), end="")
        return _complain(str(error), 3)
    except BrokenPipeError:
        # The reader of a pipe has gone; the interpreter must not complain at exit.
        sys.stdout = None
        return 0
    except OSError as error:
        return _complain(f"{error.filename or 'file'}: {error.strerror or error}", 2)
    except KeyboardInterrupt:
        return _complain("interrupted", 130)


def _files(options):
    """Vehicle files that were given."""
    given = getattr(options, "vehicles", None) or [getattr(options, "vehicle", None)]
    return [str(file) for file in given if file]


def _complain(message, code):
    try:
        print(f"noseload: {message}", file=sys.stderr, flush=True)
    except BrokenPipeError:
        # The reader has gone; the exit code still tells.
        sys.stderr = None
    return code


if __name__ == "__main__":
    sys.exit(main())
