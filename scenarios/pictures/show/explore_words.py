"""Words of the window with sliders: loads, limits, link figures and a punch, as short as they must be there."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from noseload.model.vehicle import ENDS
from noseload.pictures.style import as_grams
from noseload.studies.climb.results import LIMIT_WORDS
from noseload.studies.climb.split import split_range
from noseload.studies.verdict.intervals import from_to

if TYPE_CHECKING:
    from noseload.studies.climb.results import Limits
    from noseload.studies.links.links import AxleLinks
    from noseload.studies.punch.punch import PunchResult
    from noseload.studies.show.explore import Explored


def load_words(found: Explored, before: Any) -> tuple[str, str]:
    """Front load, with its difference to the file's, and all other loads, a line each; dashes where there is no crawl."""
    row = found.row if found.solved else None

    def said(name: str, form: str, unit: str) -> str:
        value = None if row is None else getattr(row, name)
        return "-" if value is None else f"{value:{form}} {unit}".rstrip()

    def load(name: str) -> Any:
        value = None if row is None else getattr(row, name)
        return "-" if value is None else f"{as_grams(value):.0f} g ({value:.2f} N)"

    front = load("front_load_n")
    if row is not None and found.state.changes_vehicle and before.front_load_n is not None:
        front += f", {as_grams(row.front_load_n - before.front_load_n):+.1f} g"
    lines = [
        f"rear axle {load('rear_load_n')}",
        f"nose up {said('nose_up_pitch_deg', '.2f', 'deg')} against the slope",
        f"shocks (longer +): rear {said('rear_shock_travel_mm', '+.1f', 'mm')}, front {said('front_shock_travel_mm', '+.1f', 'mm')}",
        f"grip needed {said('grip_needed', '.2f', '')}, torque {said('wheel_torque_n_mm', '.0f', 'N mm')}",
    ]
    for end in ENDS:
        lines.append(
            f"{end} links (tension +): upper {said(f'{end}_upper_link_n', '+.1f', 'N')}, "
            f"lower {said(f'{end}_lower_link_n', '+.1f', 'N')}"
        )
    if row is not None:
        state = "stable" if row.stable else "NOT stable: a small push makes it leave this attitude"
        lines.append(state if row.status == "ok" else f"{row.status.replace('_', ' ')}: {row.message}"[:64])
    return f"front axle {front}", "\n".join(lines)


def division_words(found: Explored) -> str:
    """Ends of the front load over plausible divisions of the pull between geared axles; '' where nothing is open."""
    if not found.solved or found.climb is None:
        return ""
    ends = split_range(found.climb, found.state.grade_deg)
    if ends is None:
        return ""
    span = from_to(as_grams(ends[0]), as_grams(ends[1]), 0)
    return f"of the file's division of the pull; others: front {span} g"


def limit_words(limits: Limits | None, *, downhill: bool = True) -> Any:
    """Grades at which the climb ends, a line each; that of going down waits until a slider is let go."""
    if limits is None:
        return "-"
    said = []
    for key, words in LIMIT_WORDS:
        angle = getattr(limits, key)
        if key == "fold_downhill_grade_deg" and angle is None:
            continue
        later = not downhill and key == "tip_over_downhill_grade_deg"
        first = "   <- first" if key == f"{limits.first}_grade_deg" else ""
        said.append(f"{words:<24}{'...' if later else 'not reached' if angle is None else f'{angle:6.2f} deg'}{first}")
    return "\n".join(said)


def link_words(axles: dict[str, AxleLinks]) -> str:
    """Anti-squat and anti-lift of the pose, as driven and as the textbook has it, and where the lines meet."""
    if not axles:
        return "-"
    lines = []
    for end, name in (("rear", "anti-squat"), ("front", "anti-lift")):
        axle = axles[end]
        driven, book = ("-" if v is None else f"{100 * v:.0f} %" for v in (axle.as_driven, axle.textbook))
        length = axle.view.arm_length
        arm = "links parallel" if length is None else f"swing arm {1e3 * length:.0f} mm"
        lines.append(f"{end} {name} {driven} as driven, textbook {book}")
        lines.append(f"   {arm}, housing {-np.degrees(axle.housing_turn):+.1f} deg nose up from standing")
    return "\n".join(lines)


def punch_words(run: PunchResult) -> str:
    """The outcome of a punch in a few words."""
    summary = run.summary
    air = summary["front_airborne_s"]
    flown = f", {1e3 * air:.0f} ms in the air" if air else ""
    flips = next((event.name for event in run.events if event.name.startswith("flips")), "")
    if flips:
        return f"{flips.replace('_', ' ').upper()} over at {run.time_s[-1]:.2f} s"
    return f"minimum front axle load {as_grams(max(summary['front_load_min_n'], 0.0)):.0f} g{flown}"
