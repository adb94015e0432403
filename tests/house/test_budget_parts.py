"""One table of budget parts: what is told adds up to the whole everywhere, also for a part that is invented here.

A new part used to be dropped in silence by the verdict of a comparison: six places held the list of parts.
"""

import json
import subprocess
import sys
from pathlib import Path

import pytest

from noseload.model.crawl.budget_parts import KEYS, PARTS, in_told_order, told_groups, told_parts

PROGRAM = "from invented_part import invent; invent(); from invented_program import tell; tell()"


@pytest.fixture(scope="module")
def told():
    """What each way of telling says, grams: (parts, whole), by its name."""
    done = subprocess.run(
        [sys.executable, "-c", PROGRAM], cwd=Path(__file__).parent, capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    return json.loads(done.stdout)


WAYS = (
    "creep text",
    "creep json",
    "sweep csv",
    "punch text",
    "punch json",
    "verdict",
    "page",
    "picture of a crawl",
    "picture of a sweep",
    "picture of a punch",
)


@pytest.mark.slow
def test_every_way_of_telling_is_tried(told):
    assert sorted(told) == sorted(WAYS)


@pytest.mark.slow
@pytest.mark.parametrize("way", WAYS)
def test_what_is_told_adds_up(told, way):
    for parts, whole, rounding in told[way]:
        # Each number told is rounded; their sum is off by at most half a digit a part.
        assert sum(parts) == pytest.approx(whole, abs=rounding * 0.5 * (len(parts) + 1) + 1e-6), way


def test_a_part_without_a_number_is_named():
    with pytest.raises(KeyError, match="attitude_n"):
        in_told_order({key: 0.0 for key in KEYS if key != "attitude_n"})


def test_names_words_and_looks_are_told_apart():
    for what in ("name", "words", "label", "cause_words"):
        assert len({getattr(part, what) for part in PARTS}) == len(PARTS), what
    assert len({(part.colour, part.hatch) for part in PARTS}) == len(PARTS)
    assert [part.key for part in told_parts({key: 1.0 for key in KEYS})] == list(KEYS)
    grouped = told_groups({key: 1.0 for key in KEYS})
    assert [part.key for _, parts in grouped for part in parts] == list(KEYS)
