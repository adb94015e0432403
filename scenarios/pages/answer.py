"""The answer of the page: a headline that is the verdict, and one bar a setup between both thresholds."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from noseload.model.names import shown_name
from noseload.model.units import grams_of_force
from noseload.pictures.style import SETUP_LOOKS
from noseload.plain import typeset
from noseload.studies.verdict.intervals import from_to
from noseload.studies.verdict.sentence import NO_ANSWER, own_sentence, question

from .html import Markup, element, join, of_class, paragraph
from .words import badge, cap, signed

if TYPE_CHECKING:
    from noseload.studies.compare.compare import Comparison, Difference
    from noseload.studies.show.report import Report
    from noseload.studies.verdict.judgement import Judgement
    from noseload.studies.verdict.sentence import Answer

WIDTH, HEIGHT, EDGE = 320.0, 26.0, 4.0
"""Of the drawing of one bar: units of its own, about pixels on a phone; EDGE is kept free on both sides."""
LEAST_REACH = 1.2
"""Times what would be noticed: a bar is never shown on a narrower scale."""


def headline(report: Report) -> str:
    """The verdict in one sentence: the setup's own answer, or how many of several say yes."""
    found = [] if report.comparison is None else report.comparison.differences
    if not found:
        first = report.members[0]
        return cap(own_sentence(first.at_grade, first.sweep.limits))
    if len(found) == 1:
        answer = found[0].answer
        head = answer.sentence.split(". ")[: 1 if answer.answer == NO_ANSWER else 2]
        return f"{cap(answer.setup)}: {'. '.join(head).rstrip('.')}."
    return _of_several(found, shown_name(report.members[0].name))


def _of_several(found: Sequence[Difference], reference: str) -> str:
    said = {word: [d.answer.setup for d in found if d.answer.answer == word] for word in ("yes", "no", "undecided")}
    yes, open_ = said["yes"], said["undecided"]
    if len(yes) + len(said["no"]) + len(open_) == 0:
        return found[0].answer.sentence
    what = f"enough more load on the front axle than {reference} to be noticed"
    if len(yes) == 1:
        head = f"{cap(yes[0])} keeps {what}"
    elif yes:
        head = f"{len(yes)} of {len(found)} setups keep {what}"
    else:
        head = f"None of {len(found)} setups {'surely ' if open_ else ''}keeps {what}"
    return f"{head}." + (f" Undecided: {', '.join(open_)}." if open_ else "")


def bars(report: Report) -> Markup | None:
    """One row a setup: its answer in a word, and the difference with its interval between both thresholds."""
    if report.comparison is None:
        return None
    found = report.comparison.differences
    judgements = [_judged(report.comparison, d) for d in found]
    judged = [item for item in judgements if item is not None]
    if not judged:
        return None
    gram = grams_of_force(1.0)
    sizes = judged[0].threshold
    noticed, measured = sizes.noticed * gram, sizes.measurable * gram
    reach = max(LEAST_REACH * max(noticed, measured), *(1.05 * abs(end) * gram for j in judged for end in j.span))
    scale = _Scale(reach, measured, noticed)
    rows = [_row(k, d.answer, judgements[k - 1], scale) for k, d in enumerate(found, start=1)]
    first = shown_name(report.members[0].name)
    key = (
        f"Front axle load against {first} at {report.comparison.grade_deg:g} deg, grams as a scale reads. Dark band: cannot be measured "
        f"(within {measured:.0f} g). Light band: would not be noticed (within {noticed:.0f} g, {sizes.words}). Thin line: 95 % interval."
    )
    return of_class("div", "answer-bars", paragraph(question(first)), element("ul", *rows), of_class("p", "soft", key))


def _judged(comparison: Comparison, difference: Difference) -> Judgement | None:
    """The difference of loads against the thresholds (N); None where there is no verdict."""
    if difference.front_load_n is None or difference.answer.answer == NO_ANSWER:
        return None
    ends = difference.interval_n or (None, None)
    standing_n = comparison.members[0].at_grade.budget["standing_n"]
    return comparison.thresholds.load(difference.front_load_n, standing_n, *ends)


class _Scale:
    """Grams to places, with the bands that every bar stands on."""

    def __init__(self, reach: float, measured: float, noticed: float) -> None:
        self.reach, self.measured, self.noticed = reach, measured, noticed

    def x(self, grams: float) -> float:
        return WIDTH / 2 + (WIDTH / 2 - EDGE) * max(-1.0, min(1.0, grams / self.reach))

    def band(self, half: float, name: str) -> Markup:
        left = self.x(-half)
        return element(
            "rect",
            attributes={
                "class": name,
                "x": f"{left:.1f}",
                "y": "0",
                "width": f"{self.x(half) - left:.1f}",
                "height": f"{HEIGHT:g}",
            },
        )


def _row(k: int, answer: Answer, judged: Judgement | None, scale: _Scale) -> Markup:
    """Badge, name, answer and bar of one setup."""
    name = of_class("span", "name", answer.setup)
    if judged is None:
        return element("li", badge(k), " ", name, paragraph(answer.sentence))
    gram = grams_of_force(1.0)
    value, (low, high) = judged.value * gram, (end * gram for end in judged.span)
    told = f"{signed(value)} g" + ("" if judged.low is None else f", {typeset(from_to(low, high, 0, sign=True))} g")
    zero, end = scale.x(0.0), scale.x(value)
    noticed, measured = sorted((scale.noticed, scale.measured), reverse=True)
    drawing = element(
        "svg",
        scale.band(noticed, "noticed-band"),
        scale.band(measured, "measured-band"),
        element(
            "rect",
            attributes={
                "x": f"{min(zero, end):.1f}",
                "y": "7",
                "width": f"{max(abs(end - zero), 1.0):.1f}",
                "height": "12",
                "style": f"fill:var(--s{k % len(SETUP_LOOKS)})",
            },
        ),
        element("path", attributes={"class": "zero", "d": f"M{zero:.1f} 0V{HEIGHT:g}"}),
        None
        if judged.low is None
        else element(
            "path",
            attributes={
                "class": "whisker",
                "d": f"M{scale.x(low):.1f} 13H{scale.x(high):.1f}M{scale.x(low):.1f} 9v8M{scale.x(high):.1f} 9v8",
            },
        ),
        attributes={
            "viewBox": f"0 0 {WIDTH:g} {HEIGHT:g}",
            "role": "img",
            "aria-label": f"{told}: {judged.short_words()}",
        },
    )
    head = join((badge(k), " ", name, " ", element("strong", answer.answer), " ", of_class("span", "told", told)))
    return element("li", of_class("p", "row", head), drawing)
