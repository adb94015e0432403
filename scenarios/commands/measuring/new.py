"""`noseload new`: writes a commented vehicle file to fill in."""

import argparse
import os

from noseload.commands.paths import creates
from noseload.model.errors import ModelError
from noseload.model.file.template import LEVELS, vehicle_template
from noseload.output import write_whole

SUMMARY = "write a vehicle file to fill in, with a measuring recipe at every key"
EXAMPLE = "noseload new --level A crawler.toml"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Declare the options of the command."""
    parser.add_argument("file", type=creates("FILE"), metavar="FILE", help="file to write, for instance crawler.toml")
    parser.add_argument(
        "--level",
        type=str.upper,
        choices=LEVELS,
        default="A",
        help="A (default): ruler, scale, one tip angle; B: links and springs too; C: motor and damping too",
    )
    parser.add_argument("--force", action="store_true", help="write over a file that is there")


def run(arguments: argparse.Namespace) -> int:
    """Write the file; 0 when done.

    Raises
    ------
    ModelError
        If the file is there already and `--force` is not given, or cannot be written.
    """
    file = arguments.file
    if os.path.lexists(file) and not arguments.force:
        raise ModelError(f"{file}: is there already and stays as it is; name another file or add --force")
    write_whole(file, vehicle_template(arguments.level))
    print(f"{file}: a level {arguments.level} vehicle file with example numbers; put your own readings in,")
    print(f"then check it with: noseload describe {file}")
    return 0
