"""A number and its interval against both thresholds: no word that the interval does not carry."""

import numpy as np
import pytest

from noseload.model.units import grams_of_force
from noseload.studies.compare.compare import compare
from noseload.studies.thresholds import Thresholds
from noseload.studies.verdict.judgement import Judgement, Threshold
from reference_vehicle import reference_vehicle

SIZES = Threshold(measurable=10.0, noticed=30.0)


@pytest.mark.parametrize(
    ("value", "low", "high", "words", "answer"),
    [
        (
            -0.6,
            -144.9,
            143.7,
            "undecided whether it can be measured here: 93 % of its interval is large enough",
            "undecided",
        ),
        (-0.6, -2.0, 1.0, "too small to be measured here", "no"),
        (-20.0, -28.0, -12.0, "measurable, below the default threshold of noticing", "no"),
        (
            -20.0,
            -28.0,
            -9.0,
            "undecided whether it can be measured here: 95 % of its interval is large enough, below",
            "no",
        ),
        (40.0, 31.0, 49.0, "measurable, above the default threshold of noticing", "yes"),
        (
            40.0,
            29.0,
            51.0,
            "measurable, undecided whether it would be noticed: 95 % of its interval lies above",
            "undecided",
        ),
        (-40.0, -49.0, -31.0, "measurable, above the default threshold of noticing", "no"),
        (-20.0, None, None, "measurable, below the default threshold of noticing", "no"),
        (35.0, None, None, "measurable, above the default threshold of noticing", "yes"),
    ],
)
def test_words_wait_for_the_interval(value, low, high, words, answer):
    """'-0.6 +- 144.3 g; too small to be measured' was said of a number that may be 140 g: the interval was not looked at.

    The shares are lengths: 93 % = (288.6 - 20) / 288.6, 95 % = 18 / 19 and 21 / 22.
    """
    judged = Judgement(value, SIZES, low, high)
    assert judged.size_words().startswith(words) and judged.answer == answer


def test_an_undecided_share_is_never_all_or_nothing():
    assert "99 % of its interval" in Judgement(500.0, SIZES, 9.99, 1e5).size_words()
    assert "1 % of its interval" in Judgement(0.0, SIZES, -9.0, 10.01).size_words()


def test_lopsided_intervals_are_told_from_end_to_end():
    even, uneven = Judgement(-20.0, SIZES, -28.0, -12.0), Judgement(-20.3, SIZES, -28.6, -13.5)
    assert even.interval_words(".1f", "g") == " +- 8.0 g"
    assert uneven.interval_words(".1f", "g") == " g (95 % interval from -28.6 to -13.5 g)"
    turned = uneven.in_unit(-2.0)
    assert (turned.value, turned.low, turned.high, turned.threshold.noticed) == (40.6, 27.0, 57.2, 60.0)


def test_only_given_thresholds_are_what_you_set():
    assert Thresholds().angle(2.0).size_words() == "measurable, above the default threshold of noticing"
    assert Thresholds(noticed_deg=1.5).angle(2.0).size_words() == "measurable, above what you set as noticeable"
    assert "default threshold" in Thresholds(noticed_deg=1.5).load(1.0, 10.0).size_words()


def test_words_and_interval_agree_at_random():
    """Definite words hold at both ends of the interval; undecided ones differ between two places of it."""
    random = np.random.default_rng(5)
    seen = set()
    for _ in range(2000):
        value = random.normal(0.0, 30.0)
        low, high = value - random.exponential(15.0), value + random.exponential(15.0)
        noticed = random.choice([5.0, 30.0])
        judged = Judgement(value, Threshold(10.0, noticed), low, high)
        inside = np.abs(np.append(np.linspace(low, high, 4001), 0.0 if low < 0.0 < high else low))
        for size, said in ((10.0, judged.measured), (noticed, judged.noticed)):
            found = inside >= size
            assert said is (None if found.any() and not found.all() else bool(found.all()))
        words = judged.size_words()
        seen.add((judged.measured, judged.noticed))
        assert ("undecided" in words or "% of its interval" in words) == (None in (judged.measured, judged.noticed))
        gains = np.linspace(low, high, 4001) >= noticed
        assert judged.answer == ("yes" if gains.all() else "undecided" if gains.any() else "no")
    assert len(seen) >= 7


@pytest.mark.slow
def test_verdicts_of_the_demo_look_at_their_intervals():
    """Tip-over changes by -0.64 deg, with what the model leaves out -1.2 to 0.0:
    whether that reaches 0.6 deg is open."""
    vehicles = [reference_vehicle(), reference_vehicle(setup="raised_rear_upper_mount")]
    difference = compare(vehicles, draws=400).differences[0]
    low, high = difference.interval_deg
    assert low < -0.6 < high
    assert "undecided whether it can be measured here" in difference.tip_over_verdict
    share = round(100 * (-0.6 - low) / (high - low))
    assert f"{share} % of its interval is large enough" in difference.tip_over_verdict
    low, high = map(grams_of_force, difference.interval_n)
    assert f"(95 % interval from {low:+.1f} to {high:+.1f} g)" in difference.load_verdict
    assert "; measurable, undecided whether it would be noticed" in difference.load_verdict


def test_documents_give_intervals_of_loads_in_newtons_as_the_loads_themselves():
    """They were in grams beside a difference in newtons; thresholds stay in what a scale reads."""
    vehicles = [reference_vehicle(), reference_vehicle(setup="raised_rear_upper_mount")]
    (difference,) = compare(vehicles, draws=100).to_dict()["differences"]
    assert not [key for key in difference if key.endswith("_g")]
    low, high = difference["interval_n"]
    assert low < difference["front_load_n"] < high
    lowest, highest = difference["own_state_n"]
    assert lowest < low and high < highest
