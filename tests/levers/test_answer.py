"""What would help, word by word: 300 invented gains with and without intervals, near and far from both sizes."""

import re

import numpy as np

from noseload.model.units import grams_of_force
from noseload.studies.levers.answer import GAIN_WORDS, best_changes, gain_words, judged_gain, rank_sentence, unit_of
from noseload.studies.levers.results import GAIN, Rank, WholeChange
from noseload.studies.thresholds import Thresholds

CASES = 300
GAINS = re.compile(r"(-?[\d.]+) (deg|g|ms) (?:later|more|less)")
SPAN = re.compile(r", (-?[\d.]+) to (-?[\d.]+) (?:deg|g|ms): ")


def invented(generator):
    """A ranking of three changes with random effects, the best first."""
    by = generator.choice(list(GAIN_WORDS))
    size = {"deg": 1.0, "g": 30 * 9.80665e-3, "ms": 0.1}[unit_of(by)]
    items = []
    for k in range(3):
        effect = float(generator.normal(0.3, 1.0) * size)
        # Intervals of a load or an angle; times in the air have none.
        width = generator.exponential(0.5) * size if generator.random() < 0.7 and not by.endswith("_s") else None
        spans = {} if width is None else {by: [effect - width, effect + width * generator.random()]}
        items.append(
            WholeChange(f"change_{k}", "ready_made", f"label {k}", {by: 0.0}, {by: effect}, {}, intervals=spans)
        )
    items.sort(key=lambda item: -GAIN.get(by, 1.0) * item.effects[by])
    return Rank("base", 45.0, "fitted", by, {}, (), (), (), standing_front_n=14.0, punch_grade_deg=20.0,
                ready_made=tuple(items), thresholds=Thresholds())  # fmt: skip


def test_words_follow_the_numbers():
    """Yes, no and undecided never contradict the interval; sizes and ends are rounded numbers of the result."""
    generator, answers = np.random.default_rng(3), set()
    for _ in range(CASES):
        result = invented(generator)
        by, unit = result.by, unit_of(result.by)
        factor = {"deg": 1.0, "g": grams_of_force(1.0), "ms": 1e3}[unit] * GAIN.get(by, 1.0)
        half = 0.0501 if unit == "deg" else 0.501
        for item in result.ready_made:
            words, judged = gain_words(result, item), judged_gain(result, item)
            if words == "no change worth telling":
                assert max(map(abs, judged.span)) < 0.51
                continue
            assert abs(float(GAINS.search(words)[1]) - factor * item.effects[by]) <= half
            if by in item.intervals:
                low, high = sorted(factor * end for end in item.intervals[by])
                said = SPAN.search(words)
                assert abs(float(said[1]) - low) <= half and abs(float(said[2]) - high) <= half
            assert words.endswith(judged.short_words())
        sentence, best = rank_sentence(result), best_changes(result, 1)
        if not best:
            assert sentence.startswith("No: none of 3")
            continue
        low, high = judged_gain(result, best[0]).span
        noticed = judged_gain(result, best[0]).threshold.noticed
        expected = "Yes" if low >= noticed else "No" if high < noticed else "Undecided"
        assert sentence.startswith(f"{expected}. ") and best[0] is result.ready_made[0]
        answers.add(expected)
    assert answers == {"Yes", "No", "Undecided"}
