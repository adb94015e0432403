"""The search for the steepest grade of a punch whose front axle stays down, on invented loads with known limits."""

from types import SimpleNamespace

import numpy as np
import pytest

from noseload.studies.levers.rank_punch import FINE, LimitSearch

STEEPEST = 60.0
PARABOLA_DEG = 2e-3
"""Third order of the invented loads over half a degree."""


def invented(load_of):
    """Stands in for a batch of punches; a vehicle is a number that the load knows."""

    def many(vehicles, *, grade_deg, **options):
        loads = np.array([load_of(v, g) for v, g in zip(vehicles, grade_deg, strict=True)])
        many.asked += len(vehicles)
        held = np.isfinite(loads)
        return SimpleNamespace(
            status=np.where(held, "ok", "start_not_held"),
            front_load_min_n=np.where(held, np.maximum(loads, 0.0), np.nan),
            front_airborne_s=np.zeros(len(vehicles)),
        )

    many.asked = 0
    return many


def searched(load_of, vehicles):
    """Limits found, and how many punches were asked."""
    many, search = invented(load_of), LimitSearch(vehicles, STEEPEST)

    def loads(cases):
        return np.nan_to_num(many(cases[0], grade_deg=cases[1]).front_load_min_n)

    search.bracket(loads(search.first_cases()))
    for some in (np.flatnonzero(search.which == 0), np.flatnonzero(search.which > 0)):
        search.settle(some, loads(search.cases(some)), many)
    return search.limits, many.asked


def test_a_falling_load_is_followed_to_zero():
    """Limits anywhere in a step of the scan, just above and below its grades too; the load bends on its way."""
    limits = np.array([-14.01, -13.99, 3.7, 21.9, 22.0, 22.1, 23.66, 57.3])
    for turn in range(limits.size):
        # The first is searched otherwise than the rest.
        turned = np.roll(limits, turn)
        found, asked = searched(lambda limit, g: 1.5 * (limit - g) + 0.02 * (limit - g) ** 2, turned)
        assert found == pytest.approx(turned, abs=PARABOLA_DEG)
        assert asked < 30 * limits.size + 90


def test_where_the_start_is_no_longer_held_the_limit_is_halved():
    """The load does not go to zero: it is 2 N where the crawl is last held."""
    found, _ = searched(lambda limit, g: 2.0 + 0.1 * (limit - g) if g < limit else np.nan, [20.4, 31.0])
    assert found == pytest.approx([20.4, 31.0], abs=0.5 * FINE)


def test_lifted_everywhere_and_nowhere():
    found, _ = searched(lambda limit, g: limit - g, [-30.0, 90.0])
    assert np.isnan(found[0]) and found[1] == STEEPEST
