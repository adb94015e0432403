"""Drawings made small for the page still show what they are of."""

import re

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
