"""No interval is told as a number to itself, and no value stands outside its own interval without a word."""

import re

import numpy as np
import pytest

from noseload.studies.climb.results import Limits
from noseload.studies.verdict.first import limit_sentence
from noseload.studies.verdict.intervals import from_to, with_interval

LIMITS = Limits(60.0, None, None, None, None, 0, 60.0, None, None, "tip_over")


@pytest.mark.parametrize(
    ("low", "high", "decimals", "sign", "said"),
    [
        (0.66, 0.72, 1, False, "0.66 to 0.72"),
        (0.66, 0.76, 1, False, "0.7 to 0.8"),
        (-0.021, 0.012, 0, True, "-0.02 to +0.01"),
        (3.0, 3.0, 1, False, "3.0"),
        (-0.0001, 0.0001, 1, True, "+0.0"),
    ],
)
def test_ends_are_told_apart_where_there_is_anything_between_them(low, high, decimals, sign, said):
    assert from_to(low, high, decimals, sign=sign) == said


def test_a_thousand_intervals_never_say_a_number_to_itself():
    rng = np.random.default_rng(3)
    for low, width in zip(rng.normal(0.0, 30.0, 1000), 10.0 ** rng.uniform(-4, 2, 1000), strict=True):
        for decimals in (0, 1):
            first, *last = from_to(low, low + width, decimals, sign=True).split(" to ")
            assert not last or float(first) < float(last[0])


def test_a_value_outside_its_own_interval_is_told_as_calculated():
    """A tip-over of 60.0 deg beside "57.4 to 59.9 deg": what the model leaves out lies on one side."""
    said = limit_sentence(LIMITS, 57.4, 59.9)
    assert (
        said == "It tips over first, at a calculated 60.0 deg (with what the model leaves out 57.4 to 59.9 deg, 95 %)."
    )
    assert limit_sentence(LIMITS, 57.4, 60.04) == "It tips over first, at 60.0 deg (57.4 to 60.0 deg, 95 %)."
    for value in np.linspace(50.0, 60.0, 41):
        outside = not 52.0 <= round(value, 1) <= 58.0
        assert ("calculated" in with_interval(value, 52.0, 58.0, 1, "deg")) == outside
    assert re.fullmatch(r"60\.0 deg", with_interval(60.0, None, None, 1, "deg"))
