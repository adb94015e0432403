"""Words and numbers that several sections share: grams with newtons, degrees with percent, names of setups."""

from typing import Any

from noseload.documents import letter
from noseload.model.names import row_name, shown_name
from noseload.model.units import grams_of_force
from noseload.pictures.style import SETUP_LOOKS
from noseload.studies.verdict.intervals import from_to
from noseload.studies.verdict.punch_limits import OPEN

from .html import Markup, element, of_class

LIMITS = (
    ("tip_over_grade_deg", "tip-over: the front carries nothing"),
    ("grip_grade_deg", "grip: the driven wheels let go"),
    ("torque_grade_deg", "torque: the motor stalls"),
    ("hold_grade_deg", "full throttle just holds the crawl"),
    ("fold_grade_deg", "fold: it snaps to another attitude"),
    ("tip_over_downhill_grade_deg", "tip-over nose down: the rear carries nothing"),
)
FIRST_WORDS = {"tip_over": "tip-over", "grip": "grip", "torque": "motor torque", "fold": "a fold", None: "none found"}


def grams(force_n: Any, form: str = ".0f") -> str:
    """A force as a scale reads, g; a dash for none."""
    return "-" if force_n is None else f"{grams_of_force(force_n):{form}}"


def signed(value: float, digits: int = 0) -> str:
    """A number with its sign, a true minus; a zero has none."""
    size = f"{abs(value):.{digits}f}"
    return size if float(size) == 0.0 else ("+" if value > 0.0 else "\N{MINUS SIGN}") + size


def spread(ends: tuple[float, float] | None, decimals: int = 0, factor: float = 1.0, *, sign: bool = False) -> str:
    """' (597 to 640)' of ends over plausible divisions of the pull between geared axles; '' where nothing is between them."""
    if ends is None or ends[0] == ends[1]:
        return ""
    return f" ({from_to(factor * ends[0], factor * ends[1], decimals, sign=sign)})"


def spread_g(ends: tuple[float, float] | None, decimals: int = 0, *, sign: bool = False) -> str:
    """The same of forces, as a scale reads."""
    return spread(ends, decimals, grams_of_force(1.0), sign=sign)


def division_caption(found: bool) -> str:
    """What stands in brackets; '' where nothing is open."""
    return f" In brackets: {OPEN[:1].lower()}{OPEN[1:]} these are the ends." if found else ""


def badge(k: int) -> Markup:
    """Letter of a setup in its colour."""
    return element("span", letter(k), attributes={"class": "badge", "style": f"color:var(--n{k % len(SETUP_LOOKS)})"})


def named(k: int, name: str) -> Markup:
    """Letter and name of a setup, as people read it."""
    return Markup(f"{badge(k)} {of_class('span', 'name', shown_name(name))}")


def told_once(verdict: str, name: str) -> tuple[str, str]:
    """A verdict in two: what it holds for (said once for several setups), and the rest without the name that stands above it."""
    scope, found, rest = verdict.partition(f": {row_name(name)} ")
    if found and scope.startswith("Calculated"):
        return scope, cap(rest)
    return "", cap(verdict.removeprefix(f"{row_name(name)} "))


def in_code(words: str) -> Markup:
    """A key or command."""
    return of_class("code", "key", words)


def cap(words: str) -> str:
    """The same with a capital letter in front."""
    return words[:1].upper() + words[1:]
