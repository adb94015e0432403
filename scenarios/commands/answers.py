"""The plain answers of a comparison as lines of text."""

from noseload.studies.verdict.sentence import own_sentence, question, shown_name


def answer_lines(comparison):
    """The question, what the first setup does, and the answer of every other one."""
    first = comparison.members[0]
    return [
        question(shown_name(first.name)),
        f"  {shown_name(first.name)}: {own_sentence(first.at_grade, first.sweep.limits)}",
        *(f"  {difference.answer.setup}: {difference.answer.sentence}" for difference in comparison.differences),
    ]
