"""`noseload post`: one square picture of what a setup changes, for a phone."""

from __future__ import annotations

from typing import TYPE_CHECKING

from noseload.commands.common import load_setups, print_json
from noseload.commands.paths import add_overwrite, reads, writes
from noseload.demo import DEMO
from noseload.documents import check_plot_suffix, finite_option, grade_option
from noseload.model.errors import ModelError
from noseload.studies.show.post import gather_post
from noseload.studies.thresholds import Thresholds

if TYPE_CHECKING:
    from argparse import Namespace

    from noseload.commands.parser import Parser
    from noseload.model.vehicle import Vehicle


SUMMARY = """One square picture to post, readable on a phone: setups laid over each other to scale, front axle loads
and their difference in grams, both curves with what was measured, the sealed prediction.
The same is printed as text and kept inside the picture file, for those who cannot see it."""
EXAMPLE = "noseload post my-crawler.toml --setups base,raised --readings board.csv --out picture.png"


def add_arguments(parser: Parser) -> None:
    """Arguments of this command."""
    add = parser.add_argument
    add(
        "vehicle",
        nargs="?",
        type=reads(),
        metavar="VEHICLE.toml",
        help="vehicle file with setups (default: a demo vehicle)",
    )
    add("--setups", metavar="A,B", help="two or three setups, the first as reference (default: base and the first)")
    add("--drive", choices=("both", "rear", "front"), help="driven axles, in place of the file's")
    add(
        "--grade",
        type=grade_option(0.0, 89.0),
        metavar="DEG",
        help="grade of drawing and difference (default: a few degrees below the first tip-over)",
    )
    add(
        "--throttle",
        type=finite_option("a throttle", 0.0, 1.0),
        default=1.0,
        metavar="U",
        help="throttle of the punch beside the crawl (1)",
    )
    add(
        "--readings",
        type=reads("--readings"),
        action="append",
        default=[],
        metavar="[SETUP=]FILE",
        help="front axle loads read on the board; without a name those of the reference; may be given again",
    )
    add(
        "--trial",
        type=reads("--trial"),
        metavar="FOLDER",
        help="a sealed trial of these setups: its commitment goes on the picture",
    )
    lines = Thresholds()
    add(
        "--repeatability",
        type=finite_option("a repeatability", 0.0),
        metavar="G",
        default=lines.repeatability_g,
        help="how far a repeated reading comes back, grams (5)",
    )
    add(
        "--noticed",
        type=finite_option("a threshold", 0.0),
        metavar="PERCENT",
        default=100 * lines.noticed_share,
        help="what would be noticed, percent of the static front axle load (2)",
    )
    add(
        "--out",
        type=writes("--out"),
        metavar="FILE",
        default="post.png",
        help="the picture: .png, .svg or .pdf (post.png)",
    )
    add("--json", action="store_true", help="print one JSON document and nothing else")
    add_overwrite(parser)


def run(options: Namespace) -> int:
    """Run the command; returns the exit code."""
    check_plot_suffix(options.out, "--out")
    vehicles = _vehicles(options)
    post = gather_post(
        vehicles,
        grade_deg=options.grade,
        readings=_readings(options.readings, vehicles[0].setup),
        trial=options.trial,
        throttle=options.throttle,
        thresholds=Thresholds(repeatability_g=options.repeatability, noticed_share=options.noticed / 100.0),
        apart=options.json,
    )
    from noseload.pictures.show.post import save_post

    save_post(post, options.out)
    if options.json:
        print_json("post", {"file": options.out, **post.to_dict()}, options, vehicles)
    else:
        print(f"{post.text()}\n\n{options.out}: 1080 by 1080 pixels, this text inside")
    return 0


def _vehicles(options: Namespace) -> list[Vehicle]:
    vehicles = load_setups(options.vehicle, options.setups, drive=options.drive, most=2, compared=True)
    if len(vehicles) < 2:
        raise ModelError(
            f"post: {options.vehicle or DEMO} has nothing to compare; name a ready-made change, such as "
            "--setups 5_mm_lower (`noseload rank` lists them), or add a [setups.NAME] table"
        )
    return vehicles


def _readings(given: list[str], reference: str) -> dict[str, str]:
    """Files by setup, as `SETUP=FILE` or `FILE`."""
    files: dict[str, str] = {}
    for text in given:
        name, mark, file = text.partition("=")
        name, file = (name, file) if mark else (reference, text)
        if name in files:
            raise ModelError(f"--readings {text}: {name} has readings already ({files[name]}); put them into one file")
        files[name] = file
    return files
