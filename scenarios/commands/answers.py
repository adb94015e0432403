"""The plain answers of a comparison as lines of text."""

from __future__ import annotations

from typing import TYPE_CHECKING

from noseload.model.names import shown_name
from noseload.studies.verdict.sentence import own_sentence, question

if TYPE_CHECKING:
    from noseload.studies.compare.compare import Comparison


def answer_lines(comparison: Comparison) -> list[str]:
    """The question, what the first setup does, and the answer of every other one."""
    first = comparison.members[0]
    return [
        question(shown_name(first.name)),
        f"  {shown_name(first.name)}: {own_sentence(first.at_grade, first.sweep.limits)}",
        *(f"  {difference.answer.setup}: {difference.answer.sentence}" for difference in comparison.differences),
    ]
