"""A vehicle as numbers for the page's script: kernel parameters by name, and where it starts from."""

from __future__ import annotations

import re
from functools import cache
from importlib.resources import files
from typing import TYPE_CHECKING, Any

from noseload.model.crawl.equilibrium import resting_pose
from noseload.model.motion.mobility import add_inertia
from noseload.model.parameters import ENDS, axle_centre
from noseload.model.vehicle import Vehicle
from noseload.studies.climb.split import own_split

if TYPE_CHECKING:
    from noseload.studies.climb.standing import Standing
    from noseload.studies.space.climb import SpaceStanding

SCRIPTS = ("solving.js", "crawl.js", "motion.js", "figures.js", "space.js")
"""Solvers in the order in which they build on each other; the kernels come before them."""
PAGE_SCRIPTS = ("view.js", "own.js", "stage.js", "move.js", "films.js", "proof.js")
"""What only a page needs, after the solvers."""


def vehicle_numbers(standing: Standing) -> dict[str, Any]:
    """What the script needs of one vehicle, SI.

    Parameters
    ----------
    standing : Standing
        Its solved standing pose.

    Returns
    -------
    dict
        `values` by kernel name, `weight` (N), `wheelbase` (m), `start` (a pose, 13), `free` and `measured` shock lengths
        (rear, front; m), `pose` (null: the springs decide), `places` of the bodies' origins in the measured pose (m), `split`
        (null: geared axles slip alike).
    """
    vehicle = standing.vehicle
    values = add_inertia(standing.values, vehicle)
    numbers = values.by_name() | {
        f"{end}_{part}_inertia": getattr(values.moving.axle(end), part)
        for end in ENDS
        for part in ("housing", "wheels", "rotor")
    }
    numbers["brake_torque"] = values.moving.drag_brake
    return {
        "values": {name: float(value) for name, value in numbers.items()},
        "weight": float(standing.weight),
        "wheelbase": float(vehicle.wheelbase),
        "start": [float(x) for x in resting_pose(vehicle, values)],
        "free": [float(x) for x in standing.free_lengths],
        "measured": [float(x) for x in standing.measured_lengths],
        "pose": None,
        "places": _places(vehicle),
        "split": _split(vehicle),
    }


def _split(vehicle: Vehicle) -> dict[str, float] | None:
    """What the law by which geared axles divide the traction changes in the numbers; None where they slip alike."""
    own = own_split(vehicle)
    if own is None:
        return None
    return {f"{end}_rolling_share": float(chi) for end, chi in zip(ENDS, own.rolling_shares, strict=True)}


def _places(vehicle: Vehicle) -> dict[str, list[float]]:
    places = {"chassis": [float(x) for x in vehicle.body.centre_of_gravity]}
    return places | {end: [float(x) for x in axle_centre(vehicle, end)] for end in ENDS}


def space_numbers_of(standing: SpaceStanding) -> dict[str, Any]:
    """What the script needs of one vehicle on four wheels, SI.

    Parameters
    ----------
    standing : SpaceStanding

    Returns
    -------
    dict
        `axles` (numbers of the axle kernel, rear and front), `masses` (kg), `driven`, `weight` (N), `wheelbase` (m),
        `state` (standing pose, 26) and `measured` shock lengths (m), `law` by which geared axles divide the traction.
    """
    numbers = standing.equilibrium.numbers
    return {
        "axles": [[float(value) for value in values] for values in numbers.ordered()],
        "masses": [float(mass) for mass in numbers.masses],
        "driven": list(numbers.driven),
        "weight": float(numbers.weight),
        "wheelbase": float(numbers.wheelbase),
        "state": [float(value) for value in standing.solution.state],
        "measured": [float(length) for length in standing.side_view.measured_lengths],
        "law": _space_law(standing),
    }


def _space_law(standing: SpaceStanding) -> dict[str, Any] | None:
    """Numbers of the law by which geared axles divide the traction; None where all driven wheels slip alike."""
    from noseload.studies.space.climb import law_of

    if own_split(standing.vehicle) is None:
        return None
    law: Any = law_of(standing)
    return {
        "width": [float(x) for x in law.width],
        "mismatch": float(law.mismatch),
        "radii": [float(x) for x in law.radii],
        "shares": [float(x) for x in law.rolling_shares],
        "rates": [float(x) for x in law.rates],
        "softness": [float(x) for x in law.softness],
    }


@cache
def live_scripts() -> str:
    """Solvers, drawings and sections as one text for the page, in a scope of their own."""
    own = [files("noseload.pages.live").joinpath(name).read_text(encoding="utf-8") for name in PAGE_SCRIPTS]
    return short_script("\n".join(("(function () {", '"use strict";', solver_script(), *own, "})();")))


_PIECE = re.compile(
    r"""(?P<text>"(?:[^"\\]|\\.)*"|'(?:[^'\\]|\\.)*')|(?P<open>`)|(?P<pattern>(?<=[(,=:])\s*/(?![/*])(?:[^/\\\n]|\\.)+/[a-z]*)"""
    r"""|(?P<comment>//[^\n]*|/\*.*?\*/)|(?P<space>\s+)|(?P<word>[\w$]+)|(?P<sign>.)""",
    re.DOTALL,
)


def short_script(script: str) -> str:
    """The same script without comments and idle space; what stands in quotes, templates and patterns stays as it is.

    A line's end stays one: where a statement ends by it, nothing else would end it.
    """
    written: list[str] = []
    place = 0
    while (found := _PIECE.match(script, place)) is not None:
        kind, piece, place = found.lastgroup, found.group(), found.end()
        if kind == "open":
            place = _end_of_template(script, found.start())
            piece = script[found.start() : place]
        elif kind == "space":
            piece = "\n" if "\n" in piece else " "
        if kind != "comment":
            written.append(piece)
    return _without_idle_space(written)


def _end_of_template(script: str, start: int) -> int:
    """Place behind a template that begins at `start`, with the templates inside its holes."""
    place, depth = start + 1, 0
    while True:
        letter = script[place]
        if letter == "\\":
            place += 2
        elif depth == 0 and letter == "`":
            return place + 1
        elif depth == 0 and script.startswith("${", place):
            depth, place = 1, place + 2
        elif depth and letter == "`":
            place = _end_of_template(script, place)
        else:
            depth += (letter == "{") - (letter == "}") if depth else 0
            place += 1


def _without_idle_space(pieces: list[str]) -> str:
    """Pieces put together; a space stays between words and between signs that would run into one."""
    text: list[str] = []
    for k, piece in enumerate(pieces):
        if piece in (" ", "\n"):
            before, after = text[-1][-1:] if text else "\n", pieces[k + 1][:1] if k + 1 < len(pieces) else ""
            if piece == "\n" and before not in "\n;{,(" and after not in ("", " ", "\n", "."):
                text.append(piece)
            elif (_in_word(before) and _in_word(after)) or (before == after and before in "+-"):
                text.append(" ")
            continue
        text.append(piece)
    return "".join(text)


def _in_word(letter: str) -> bool:
    return letter.isalnum() or letter in ("_", "$")


def live_style() -> str:
    """Style rules of the live part."""
    return files("noseload.pages.live").joinpath("live.css").read_text(encoding="utf-8")


def solver_script() -> str:
    """Kernels and solvers as one text, for a page or another engine."""
    own = [files("noseload.pages.live").joinpath(name).read_text(encoding="utf-8") for name in SCRIPTS]
    kernels = [
        files("noseload.model.generated").joinpath(name).read_text(encoding="utf-8")
        for name in ("kernels.js", "kernels_space.js")
    ]
    return "\n".join([*kernels, *own])
