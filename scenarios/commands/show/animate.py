"""`noseload animate`: a punch over time, or a crawl over grade, as a film."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

from noseload.commands.common import counter, load_setups, print_json
from noseload.commands.paths import add_overwrite, reads, writes
from noseload.documents import finite_option, grade_option
from noseload.model.errors import ModelError
from noseload.model.names import shown_name
from noseload.model.units import grams_of_force
from noseload.studies.climb.split import PLAUSIBLE_PERCENT
from noseload.studies.verdict.intervals import from_to

if TYPE_CHECKING:
    from argparse import Namespace

    from noseload.commands.parser import Parser
    from noseload.model.vehicle import Vehicle
    from noseload.studies.punch.splits_range import PunchRange
    from noseload.studies.show.film import Film


SUMMARY = """A film (GIF, or MP4 where ffmpeg is installed): the vehicle to scale with its forces, the front axle load and what it
is made of, over a punch in slow motion or, with --creep, over a slope that grows steeper."""
EXAMPLE = "noseload animate my-crawler.toml --grade 35 --setups base,raised --out punch.gif"


ONE_LAW = "how geared axles divide the pull is open; the film is of the file's own law, and `noseload sweep` has the range over others"


def add_arguments(parser: Parser) -> None:
    """Arguments of this command."""
    add = parser.add_argument
    add("vehicle", nargs="?", type=reads(), metavar="VEHICLE.toml", help="vehicle file (default: a demo vehicle)")
    add("--setups", metavar="A,B", default="base", help="setups laid over each other (default: the file as written)")
    add("--side-by-side", action="store_true", help="setups beside each other instead")
    add("--drive", choices=("both", "rear", "front"), help="driven axles, in place of the file's")
    add("--out", type=writes("--out"), metavar="FILE", required=True, help="the film: .gif or .mp4")
    add(
        "--frames-per-second",
        type=finite_option("a frame rate", 1.0, 60.0),
        default=20.0,
        metavar="N",
        help="frames a second (20); a GIF keeps 1, 2, 4, 5, 10, 20, 25 or 50",
    )
    punch = parser.add_argument_group("punch")
    add = punch.add_argument
    add("--grade", type=grade_option(-89.0, 89.0), default=35.0, metavar="DEG", help="grade in degrees (35)")
    add(
        "--throttle", type=finite_option("a throttle", -1.0, 1.0), default=1.0, metavar="U", help="throttle reached (1)"
    )
    add(
        "--rise",
        type=finite_option("a time in seconds", 0.0),
        default=0.05,
        metavar="S",
        help="rise of the throttle, s (0.05)",
    )
    add(
        "--duration", type=finite_option("a time in seconds", 0.001), default=1.0, metavar="S", help="time shown, s (1)"
    )
    add(
        "--slow",
        type=finite_option("a slow-motion factor", 0.1, 1000.0),
        default=5.0,
        metavar="FACTOR",
        help="how many times slower than real time (5)",
    )
    add("--wheels", action="store_true", help="in space: from the side and from behind, every wheel's load")
    creep = parser.add_argument_group("crawl over grade")
    add = creep.add_argument
    add("--creep", action="store_true", help="a steady crawl while the slope grows steeper")
    add("--from", dest="from_deg", type=grade_option(-89.0, 89.0), default=0.0, metavar="DEG", help="first grade (0)")
    add("--to", dest="to_deg", type=grade_option(-89.0, 89.0), metavar="DEG", help="last grade (the last tip-over)")
    add(
        "--degrees-per-second",
        type=finite_option("degrees a second", 0.1, 1000.0),
        default=10.0,
        metavar="DEG",
        help="how fast the slope turns on the screen (10)",
    )
    parser.add_argument("--json", action="store_true", help="print one JSON document and nothing else")
    add_overwrite(parser)


def run(options: Namespace) -> int:
    """Run the command; returns the exit code."""
    from noseload.pictures.show.film import check_film_file, save_film
    from noseload.studies.show.film import creep_film, punch_film

    check_film_file(options.out, options.frames_per_second)
    vehicles = load_setups(options.vehicle, options.setups, drive=options.drive)
    if options.wheels:
        return _wheels(options, vehicles)
    if options.creep:
        film = creep_film(
            vehicles,
            from_deg=options.from_deg,
            to_deg=options.to_deg,
            degrees_per_second=options.degrees_per_second,
            frames_per_second=options.frames_per_second,
        )
    else:
        film = punch_film(
            vehicles,
            grade_deg=options.grade,
            throttle=options.throttle,
            rise_s=options.rise,
            duration_s=options.duration,
            slow=options.slow,
            frames_per_second=options.frames_per_second,
        )
    save_film(film, options.out, side_by_side=options.side_by_side, progress=counter(sys.stderr, "frames"))
    if options.json:
        print_json("animate", {"file": options.out, **film.to_dict()}, options, vehicles)
    else:
        print(film_text(film, options.out))
    return 0


def _lighter(file: str) -> str:
    """That the same film is lighter as MP4, where this one is a GIF."""
    if not file.lower().endswith(".gif"):
        return ""
    return "\nan MP4 of it has a quarter of the size: --out " + file[:-4] + ".mp4 (needs ffmpeg)"


def film_text(film: Film, file: str) -> str:
    """What was written, and what happens in it."""
    speed = "" if film.slow is None else f", {film.slow:g} times slower than real time"
    unit = "s" if film.kind == "punch" else "deg"
    return (
        f"{file}: {'; '.join(shown_name(t.setup) for t in film.tracks)}; {film.title}\n"
        f"{len(film.places)} frames from {film.places[0]:g} to {film.places[-1]:g} {unit}{speed}, {film.frames_per_second:g} a "
        f"second, the last held; {film.duration_s:.2f} s in all{_lighter(file)}\n{_what_is_seen(film)}"
    )


def _what_is_seen(film: Film) -> str:
    """What happens to every setup in the film, a sentence each."""
    lines = [ONE_LAW] if film.geared and film.kind == "creep" else []
    ranges = film.ranges or (None,) * len(film.tracks)
    for track, spread in zip(film.tracks, ranges, strict=True):
        seen = [k for k in range(len(track.places)) if track.solved(k)]
        loads, pitches = track.loads_n[1, seen], track.nose_up_pitch_deg[seen]
        if film.kind == "creep":
            ends = f"from {grams_of_force(loads[0]):.0f} to {grams_of_force(loads[-1]):.0f} g"
            told = f"its front axle load goes {ends} by {track.places[seen[-1]]:g} deg, the nose {pitches[-1]:.1f} deg up on the slope"
        else:
            aloft = 1e3 * float((loads <= 0.0).mean()) * float(track.places[seen[-1]] - track.places[seen[0]])
            least = (
                f"keeps at least {grams_of_force(loads.min()):.0f} g"
                if aloft == 0.0
                else f"is in the air for {aloft:.0f} ms"
            )
            told = f"the front axle {least}, the nose reaches {pitches.max():.1f} deg up on the slope"
        lines.append(f"{shown_name(track.setup)}: {told}{_over_laws(spread)}.")
    return "\n".join(lines)


def _over_laws(spread: PunchRange | None) -> str:
    """Ends over plausible divisions of the pull, where another would show otherwise; '' where nothing is open."""
    if spread is None:
        return ""
    (least, most), (short, long) = (
        [grams_of_force(end) for end in spread.front_load_min_n],
        [1e3 * end for end in spread.front_airborne_s],
    )
    air = "never in the air" if long == 0.0 else f"in the air for {from_to(short, long, 0)} ms"
    return (
        f" (over {PLAUSIBLE_PERCENT[0]:+g} to {PLAUSIBLE_PERCENT[1]:+g} % faster front wheels {air}, minimum load "
        f"{from_to(least, most, 0)} g)"
    )


def _wheels(options: Namespace, vehicles: list[Vehicle]) -> int:
    """A film of one setup's punch in space."""
    if options.creep or len(vehicles) > 1:
        raise ModelError("animate: --wheels shows one setup's punch; leave --creep out and name one setup")
    from noseload.pictures.show.film import check_film_file, save_film
    from noseload.pictures.show.wheels_film import WheelsFilmView
    from noseload.studies.show.wheels_film import wheels_film

    check_film_file(options.out, options.frames_per_second)
    film = wheels_film(
        vehicles[0],
        grade_deg=options.grade,
        throttle=options.throttle,
        rise_s=options.rise,
        duration_s=options.duration,
        slow=options.slow,
        frames_per_second=options.frames_per_second,
    )
    save_film(film, options.out, progress=counter(sys.stderr, "frames"), view=WheelsFilmView(film))
    told = film.to_dict()
    if options.json:
        print_json("animate", {"file": options.out, **told}, options, vehicles)
    else:
        slow = f"{film.slow:g} times slower than real time, {film.frames_per_second:g} a second, the last held"
        print(
            f"{options.out}: {shown_name(vehicles[0].setup)}; throttle to {options.throttle:g} in {options.rise:g} s at "
            f"{options.grade:g} deg, four wheels\n{told['frames']} frames, {slow}; {film.duration_s:.2f} s in "
            f"all{_lighter(options.out)}\n{told['sentence']}"
            + ("" if film.spread is None else f"\n{film.spread.sentence()}")
        )
    return 0
