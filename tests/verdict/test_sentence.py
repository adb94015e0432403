"""The plain sentence held word by word against the numbers it was made of."""

import re
from dataclasses import replace

import numpy as np
import pytest

from noseload.demo import DEMO
from noseload.model.file.reader import load_vehicle
from noseload.model.units import grams_of_force
from noseload.studies.compare.compare import compare
from noseload.studies.thresholds import Thresholds
from noseload.studies.verdict.sentence import Facts, answered
from random_vehicles import random_vehicle

VEHICLES = 50
G = grams_of_force(1.0)
RISE_MM = 10.0


def raised(vehicle):
    """The same vehicle with the rear upper link's axle end 10 mm higher, as a setup of it."""
    link = vehicle.rear.upper_link
    x, y, z = link.axle_end
    moved = replace(link, axle_end=(x, y, z + 1e-3 * RISE_MM))
    return replace(vehicle, rear=replace(vehicle.rear, upper_link=moved), base=vehicle, setup="raised")


def size_of(words):
    """The short words as (measured, noticed); None: undecided; either where the words do not say."""
    return {
        "undecided whether measurable": (None, "either"),
        "too small to be measured": (False, "either"),
        "noticeable": (True, True),
        "measurable, not noticeable": (True, False),
        "measurable, undecided whether noticeable": (True, None),
    }[words]


def agrees(said, low, high, size):
    """Whether a word about reaching a size holds on the whole interval."""
    if said == "either":
        return True
    reached = [abs(end) >= size for end in np.linspace(low, high, 2001)]
    if said is None:
        return any(reached) and not all(reached)
    return all(reached) if said else not any(reached)


LOAD = re.compile(
    r"At (?P<grade>[\d.]+) deg it (?:(?P<verb>adds|takes) (?P<grams>\d+) g (?:to|off) the front axle "
    r"\((?P<share>[\d.e+-]+) % of (?P<own>\d+) g\)(?:, (?P<from>[\d.]+) to (?P<to>[\d.]+) g)?|"
    r"changes the front axle load by (?P<low>[+-][\d.]+) to (?P<high>[+-][\d.]+) g): (?P<size>[a-z, ]+)\."
)
TIP = re.compile(
    r"It tips over (?:(?P<deg>[\d.]+) deg (?P<when>later|earlier)(?:, (?P<from>[\d.]+) to (?P<to>[\d.]+) deg)?|"
    r"(?P<less>[\d.]+) deg earlier to (?P<more>[\d.]+) deg later): (?P<size>[a-z, ]+)\."
)


def check(facts):
    """Every word and number of the sentence against the facts; returns the answer."""
    answer = answered(facts)
    sentence, load = answer.sentence, facts.load
    if facts.refused:
        assert answer.answer == "none" and sentence.startswith(f"No answer at {facts.grade_deg:g} deg: ")
        assert not re.search(r"\b(Yes|No|Undecided)\.", sentence)
        return answer
    low, high = load.span
    noticed, measurable = load.threshold.noticed, load.threshold.measurable
    expected = "yes" if low >= noticed else "no" if high < noticed else "undecided"
    assert answer.answer == expected and sentence.startswith(f"{expected.capitalize()}. ")
    if "as it is within 1 g" in sentence:
        assert abs(load.value) * G < 0.5 and high - low < 1.0 / G
    else:
        said = LOAD.search(sentence)
        assert said, sentence
        assert float(said["grade"]) == facts.grade_deg
        seen, felt = size_of(said["size"])
        assert agrees(seen, low, high, measurable) and agrees(felt, low, high, noticed)
        if said["verb"]:
            assert (said["verb"] == "adds") == (load.value > 0.0) and (low > 0.0 or high < 0.0)
            assert abs(float(said["grams"]) - abs(load.value) * G) <= 0.5
            assert abs(float(said["own"]) - facts.front_load_n * G) <= 0.5
            share = 100.0 * abs(load.value) / facts.front_load_n
            assert abs(float(said["share"]) - share) <= max(0.5, 0.06 * share)
            if said["from"]:
                ends = sorted((abs(low) * G, abs(high) * G))
                assert float(said["from"]) < float(said["to"])
                assert abs(float(said["from"]) - ends[0]) <= 0.5 and abs(float(said["to"]) - ends[1]) <= 0.5
        else:
            assert low <= 0.0 <= high
            assert abs(float(said["low"]) - low * G) <= 0.5 and abs(float(said["high"]) - high * G) <= 0.5
    check_tip(facts, sentence)
    return answer


def check_tip(facts, sentence):
    tip = facts.tip
    if tip is None:
        assert "tips over" not in sentence
        return
    low, high = tip.span
    if "at the same grade" in sentence:
        assert max(abs(low), abs(high)) < 0.1
        return
    said = TIP.search(sentence)
    seen, felt = size_of(said["size"])
    assert agrees(seen, low, high, tip.threshold.measurable) and agrees(felt, low, high, tip.threshold.noticed)
    if said["when"]:
        assert (said["when"] == "later") == (tip.value > 0.0) and (low > 0.0 or high < 0.0)
        assert abs(float(said["deg"]) - abs(tip.value)) <= 0.0501
    else:
        assert low <= 0.0 <= high
        assert abs(float(said["less"]) + low) <= 0.0501 and abs(float(said["more"]) - high) <= 0.0501


@pytest.mark.slow
def test_sentences_of_random_vehicles():
    """Fifty vehicles with a raised mount, with and without intervals, close to and far from both thresholds."""
    random, answers = np.random.default_rng(11), []
    for seed in range(VEHICLES):
        vehicle = random_vehicle(seed)
        pair = [vehicle, raised(vehicle)]
        result = compare(pair[::-1] if seed % 2 else pair)
        first, difference = result.members[0], result.differences[0]
        load = difference.front_load_n
        row, lines = first.at_grade, Thresholds(noticed_share=random.choice([0.001, 0.02]))
        refused = "" if None not in (load, row.front_load_n) and row.status == "ok" else "slides"
        for width in (None, 0.3, 3.0):
            span, tips = (None, None), (None, None)
            tip = difference.tip_over_grade_deg
            if width is not None and not refused:
                span = load - width * random.exponential(abs(load)), load + width * random.exponential(abs(load))
                tips = None if tip is None else tuple(tip + width * random.exponential(abs(tip)) * s for s in (-1, 1))
            facts = Facts(
                "raised",
                "base",
                row.grade_deg,
                row.front_load_n,
                None if refused else lines.load(load, row.budget["standing_n"], *span),
                None if tip is None else lines.angle(tip, *(tips or (None, None))),
                refused=refused,
            )
            answers.append(check(facts).answer)
        assert not refused, "the grade of the verdict is chosen below every limit"
        expected = replace(facts, load=Thresholds().load(load, row.budget["standing_n"]))
        assert difference.answer.answer == answered(expected).answer
        assert (difference.answer.sentence.find("Before they could tip") >= 0) == (
            {m.sweep.limits.first for m in result.members} != {"tip_over"}
        )
    assert {"yes", "no", "undecided"} <= set(answers)


@pytest.fixture(scope="module")
def slippery():
    """The demo vehicle on a slope that it slides down from 40.4 deg on (grip = tan of that), tip-over far beyond."""
    document = load_vehicle(DEMO).document
    from noseload.model.file.reader import parse_vehicle

    document = document | {"tyre": document["tyre"] | {"grip_coefficient": 0.85}}
    return [parse_vehicle(document, setup=name) for name in ("base", "raised_rear_upper_mount")]


def test_no_verdict_where_the_vehicle_cannot_be(slippery):
    """The grade was chosen by tip-over alone: a vehicle that slides at 40.4 deg (atan 0.85) was judged at 55."""
    result = compare(slippery)
    assert result.grade_deg == 35.0
    assert "Before they could tip, base slides at 40.4 deg" in result.differences[0].answer.sentence
    asked = compare(slippery, grade_deg=55.0).differences[0]
    assert asked.answer.answer == "none"
    assert "base slides from 40.4 deg on" in asked.answer.sentence
    assert asked.load_verdict.startswith("No verdict at 55 deg, which is beyond a limit of base")
    assert "would tip (but base slides at 40.4 deg" in asked.tip_over_verdict


@pytest.mark.slow
def test_rank_and_page_choose_a_grade_below_every_limit(slippery, monkeypatch):
    """Without what they rank and search: the grade alone is looked at."""
    from noseload.studies.levers import rank
    from noseload.studies.show import report

    monkeypatch.setattr(rank, "ready_vehicles", lambda vehicle: ())
    monkeypatch.setattr(report, "GENERATIONS", 1)
    assert rank.rank(slippery[0]).grade_deg == 35.0
    assert report.collect(slippery[:1], report.ReportOptions(draws=0)).grade_deg == 35.0
