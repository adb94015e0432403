"""SVG of a finished picture made fit for a page: ids of its own, words for those who cannot see, colours by variable."""

import re
from itertools import pairwise
from typing import Any

from noseload.pictures.style import SETUP_LOOKS

from .colours import DARK_PAPER, LIGHT_PAPER, line_on_dark, on_dark, readable
from .html import Markup, text

BAND = "#dfe4e8"
"""Darkest of the plain bands that words of a drawing may stand on; what can be read there can be read on the paper."""
LINES = {colour for colour, _ in SETUP_LOOKS}
"""Colours that tell setups apart, as lines."""
NAMED = {"white": "#ffffff", "black": "#000000"}
COLOUR = re.compile(r"(fill|stroke):\s*(#[0-9a-fA-F]{6}|white|black)")
PATH = re.compile(r' d="([^"]*)"')
ROUND = re.compile(
    r"M (\S+) (\S+) (?:C(?: \S+){6} )C(?: \S+){4} (\S+) \S+ (?:C(?: \S+){6} )C(?: \S+){4} (\S+) (\S+) (?:C(?: \S+){6} ){4}z"
)
"""A circle as the drawing program writes it: eight curves from its lowest point; sideways after two, its highest after four."""
DOT = re.compile(r"M([^ ]+) ([^ a]+)a[^Ma]+a[^Ma]+z")
"""The same in a shortened path."""
SQUARE = "m-.35 0v-.8h.7v.8z"
"""What stands for a dot of a hatch: nobody can tell it from a circle at its size."""
PATTERN = re.compile(r"<pattern .*?</pattern>", re.S)
LINES_ALONE = re.compile(r"M \S+ \S+ (?:L \S+ \S+ ){2,}")
NUMBER = re.compile(r"-?\d+\.\d+(?:e[-+]?\d+)?")
ATTRIBUTE = re.compile(r'(?<![-\w])(fill|stroke)="(#[0-9a-fA-F]{6}|white|black)"')


def _short_path(data: str) -> str:
    """The same path to a tenth of a point, which no screen can tell from it."""
    rounded = NUMBER.sub(lambda m: f"{round(float(m.group()), 1):g}", data)
    rounded = LINES_ALONE.sub(lambda m: _without_idle_points(m.group()), " ".join(rounded.split()) + " ")
    path = ROUND.sub(_two_arcs, rounded)
    return re.sub(r" ?([MLCQZza]) ?", r"\1", path).strip()


def _two_arcs(circle: re.Match[str]) -> str:
    """A circle of eight curves as two half turns."""
    x, low, side, middle, high = map(float, circle.groups())
    if x != middle:
        return circle.group()
    height = round(low - high, 1)
    half = f"a {round(abs(side - x), 1):g} {abs(height) / 2:g} 0 1 0 0"
    return f"M {x:g} {low:g} {half} {-height:g} {half} {height:g} z"


def _without_idle_points(chain: str) -> str:
    """A chain `M x y L x y ...` without the points that lie on a level or upright line between their neighbours.

    The neighbour before is the last point kept: a corner that stands twice would otherwise be taken out with its twin.
    """
    points = [tuple(point.split()) for point in chain[1:].split("L")]
    kept = points[:1]
    for point, onward in pairwise(points[1:]):
        if not _idle(kept[-1], point, onward):
            kept.append(point)
    return "M " + " L ".join(f"{x} {y}" for x, y in [*kept, points[-1]]) + " "


def _idle(before: tuple[str, ...], point: tuple[str, ...], onward: tuple[str, ...]) -> bool:
    """Whether a point lies on the level or upright line from the one before it to the one after it, turning back nowhere."""
    if point == before:
        return True
    for axis in (0, 1):
        if before[axis] == point[axis] == onward[axis]:
            start, here, end = (float(p[1 - axis]) for p in (before, point, onward))
            return min(start, end) <= here <= max(start, end)
    return False


def _short_drawing(body: str) -> str:
    """The same drawing in fewer characters: a tenth of a point for places, no turn by nothing, no group of nothing."""
    body = re.sub(r' transform="rotate\(-?0 [^"]*\)"', "", body)
    body = re.sub(r' (x|y)="(-?\d+\.\d+)"', lambda m: f' {m.group(1)}="{round(float(m.group(2)), 1):g}"', body)
    body = re.sub(r'style="([^"]*)"', lambda m: 'style="' + re.sub(r"([:;,]) ", r"\1", m.group(1)) + '"', body)
    body = re.sub(r'<path d="M(\S+ \S+)L\1"[^>]*/>', "", body)
    body = re.sub(r">\s+<", "><", body)
    while True:
        shorter = re.sub(r"<g></g>|<g/>", "", body)
        shorter = re.sub(r"<g>((?:<(?:use|path|text)\b[^<>]*/>)|(?:<text\b[^<>]*>[^<>]*</text>))</g>", r"\1", shorter)
        if shorter == body:
            return body
        body = shorter


def _small_tile(pattern: str) -> str:
    """A hatch of dots by the few of them that repeat, as squares; other patterns as they are."""
    dots = DOT.findall(pattern)
    if not dots or len(dots) != pattern.count("M"):
        return pattern
    across, down = (sorted({float(dot[k]) for dot in dots}) for k in (0, 1))
    if min(len(across), len(down)) >= 3:
        # Every other row is set off by half the distance of the dots.
        width, height = across[2] - across[0], down[2] - down[0]
        dots = [(x, y) for x, y in dots if float(x) <= across[2] and float(y) <= down[2]]
        size = rf'\1 width="{width:g}" height="{height:g}"'
        pattern = re.sub(r'(<pattern [^>]*) width="[^"]*" height="[^"]*"', size, pattern)
    path = "".join(f"M{x} {y}{SQUARE}" for x, y in dots)
    return re.sub(r' d="[^"]*"', f' d="{path}"', pattern)


class Drawings:
    """Takes in drawings one after the other and gathers the colours they use."""

    def __init__(self) -> None:
        self.count = 0
        self.shapes: set = set()
        self.words: set = set()

    def inline(self, svg: str, title: str, description: str) -> Markup:
        """One drawing for the page.

        Parameters
        ----------
        svg : str
            Document as the drawing program writes it.
        title, description : str
            What it is and what it shows, read aloud in its place.
        """
        self.count += 1
        mark = f"d{self.count}"
        body = re.sub(
            r"<\?xml.*?\?>|<!DOCTYPE.*?>|<metadata>.*?</metadata>|<defs>\s*<style.*?</style>\s*</defs>|<!--.*?-->",
            "",
            svg,
            flags=re.S,
        ).strip()
        body = self._own_ids(body, mark)
        body = re.sub(r"<text\b.*?</text>", lambda m: self._recolour(m.group(), self.words, "t"), body, flags=re.S)
        body = self._recolour(body, self.shapes, "c")
        body = re.sub(r"'DejaVu Sans'[^;\"]*", "var(--sans)", body)
        body = PATH.sub(lambda m: f' d="{_short_path(m.group(1))}"', body)
        body = PATTERN.sub(lambda m: _small_tile(m.group()), _short_drawing(body))
        return Markup(self._head(body, mark, title, description))

    @staticmethod
    def _own_ids(body: Any, mark: str) -> Any:
        used = set(re.findall(r'(?:href="|url\()#([^")]+)', body))
        body = re.sub(r' id="([^"]+)"', lambda m: f' id="{mark}-{m.group(1)}"' if m.group(1) in used else "", body)
        return re.sub(r'((?:href="|url\()#)', rf"\g<1>{mark}-", body)

    @staticmethod
    def _recolour(body: Any, register: Any, kind: str) -> Any:
        def swap(match: Any, form: str) -> str:
            colour = NAMED.get(match.group(2), match.group(2)).lower()
            register.add(colour)
            return form.format(match.group(1), f"var(--{kind}-{colour[1:]})")

        body = COLOUR.sub(lambda m: swap(m, "{}: {}"), body)
        return ATTRIBUTE.sub(lambda m: swap(m, 'style="{}: {}"'), body)

    @staticmethod
    def _head(body: Any, mark: str, title: str, description: str) -> Any:
        width, height = re.findall(r'viewBox="0 0 ([\d.]+) ([\d.]+)"', body)[0]
        head = (
            f'<svg xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink" viewBox="0 0 {width} {height}" '
            f'role="img" aria-labelledby="{mark}-title {mark}-desc" style="--drawn: {float(width):.0f}px">'
            f'<title id="{mark}-title">{text(title)}</title><desc id="{mark}-desc">{text(description)}</desc>'
        )
        return re.sub(r"<svg\b[^>]*>", lambda _: head, body, count=1)

    def rules(self) -> str:
        """Style rules that give every colour used its value on light and on dark paper."""
        light = [f"--c-{c[1:]}:{c}" for c in sorted(self.shapes)] + [
            f"--t-{c[1:]}:{readable(readable(c, LIGHT_PAPER), BAND)}" for c in sorted(self.words)
        ]
        dark = [f"--c-{c[1:]}:{line_on_dark(c) if c in LINES else on_dark(c)}" for c in sorted(self.shapes)] + [
            f"--t-{c[1:]}:{readable(readable(on_dark(c), DARK_PAPER), on_dark(BAND))}" for c in sorted(self.words)
        ]
        return (
            f":root{{{';'.join(light)}}}\n@media screen and (prefers-color-scheme: dark){{:root{{{';'.join(dark)}}}}}"
        )
