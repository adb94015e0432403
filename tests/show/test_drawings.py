"""Drawings made small for the page still show what they are of."""

import re

import numpy as np
import pytest

from noseload.pages.drawings import Drawings
from noseload.pictures.show.inline_svg import svg_text
from noseload.pictures.style import new_figure

ROUND = re.compile(r"M0 ([\d.]+)a([\d.]+) ([\d.]+) 0 1 0 0 (-[\d.]+)a\2 \3 0 1 0 0 ([\d.]+)z")


def test_markers_stay_round_and_dots_of_a_hatch_are_a_small_tile():
    """A marker of 9 points was once taken for a dot, and drawn as a speck beside its place."""
    figure, (ax,) = new_figure(3.0, 2.0)
    ax.plot([0.1, 0.2], [0.3, 0.4], marker="o", ms=9, ls="")
    ax.bar([0.7], [0.5], hatch="..", fc="white", ec="black")
    page = Drawings().inline(svg_text(figure), "title", "words")
    (pattern,) = re.findall(r"<pattern .*?</pattern>", page)
    (marker,) = ROUND.findall(page.replace(pattern, ""))
    assert [float(number) for number in marker] == [4.5, 4.5, 4.5, -9.0, 9.0]
    width, height = (float(number) for number in re.search(r'width="([^"]*)" height="([^"]*)"', pattern).groups())
    dots = re.findall(r"M(\S+) (\S+?)m-", pattern)
    assert 4 <= len(dots) <= 12 and all(float(x) <= width and float(y) <= height + 1.0 for x, y in dots)


def area_of(path):
    """Of a closed chain of straight lines, square points (Gauss's formula, memory)."""
    x, y = np.array([pair.split() for pair in " ".join(path.split()).strip("Mz ").split("L")], dtype=float).T
    return 0.5 * abs(float(np.dot(x, np.roll(y, 1)) - np.dot(y, np.roll(x, 1))))


SCREEN_SHARE = 2e-3
"""Places to a tenth of a point: areas of some hundred points' side keep that much."""


@pytest.mark.parametrize("top", [lambda x: np.full_like(x, 0.8), lambda x: np.maximum(0.3, 1.0 - x), lambda x: x])
def test_filled_areas_keep_their_corners(top):
    """Once the corners of level areas went: a rectangle of the standing load was drawn as a triangle."""
    figure, (ax,) = new_figure(4.0, 3.0)
    x = np.linspace(0.0, 1.0, 40)
    ax.fill_between(x, 0.0, top(x), color="#123456", lw=0)
    svg = svg_text(figure)
    page = Drawings().inline(svg, "title", "words")
    chain = r'd="(M[^"CQa]*z\s*)"'
    areas, shorter = (sorted(area_of(path) for path in re.findall(chain, text)) for text in (svg, page))
    assert shorter == pytest.approx(areas, rel=SCREEN_SHARE)


def test_lines_that_turn_back_keep_their_turn():
    chain = "M 0 0 L 5 0 L 9 0 L 3 0 L 3 0 L 3 4 L 3 9 L 0 9 "
    page = Drawings().inline(f'<svg viewBox="0 0 10 10"><path d="{chain}" stroke="#123456"/></svg>', "title", "words")
    assert ' d="M0 0L9 0L3 0L3 9L0 9"' in page
