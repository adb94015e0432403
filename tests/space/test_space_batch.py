"""Many vehicles in space at once against single ones."""

import numpy as np
import pytest

from noseload.model.generated.space_order import VEHICLE_ENTRY_COLUMNS, VEHICLE_ENTRY_ROWS
from noseload.model.space.batch import BatchSpace
from noseload.model.space.equilibrium import Mismatch, kernel_places
from noseload.solvers.batch.linear import FEW
from noseload.solvers.batch.newton import solve_batch
from noseload.solvers.newton import solve
from noseload.studies.space.climb import stand_in_space
from space_samples import NAMES, vehicle

SAME = 1e-9
"""Scaled unknowns: both solved to 1e-11 of the equations' scales."""


def cases():
    """Both vehicles at ten headings on ten grades, and a standing pose to start from."""
    found = []
    for name in NAMES:
        standing = stand_in_space(vehicle(name))
        for heading, grade in zip(np.radians(np.arange(-90, 90, 18)), np.radians(np.arange(2, 22, 2)), strict=True):
            found.append((standing.equilibrium.with_(heading=heading), standing.solution.state, grade))
    return found


def of_the_whole(state, residual, jacobian):
    """Balances of the chassis replaced by the sum over the bodies, moments shifted to the chassis' centre of gravity."""
    residual, jacobian = residual.copy(), jacobian.copy()
    for k in range(2):
        forces, axle = slice(6 + 6 * k, 9 + 6 * k), 3 + 6 * k
        lever = state[axle : axle + 3] - [0.0, 0.0, state[0]]
        residual[:3] += residual[forces]
        residual[3:6] += residual[9 + 6 * k : 12 + 6 * k] + np.cross(lever, residual[forces])
        jacobian[:3] += jacobian[forces]
        jacobian[3:6] += jacobian[9 + 6 * k : 12 + 6 * k] + np.cross(lever, jacobian[forces], axisb=0, axisc=0)
        for column, way in ((axle, [1, 0, 0]), (axle + 1, [0, 1, 0]), (axle + 2, [0, 0, 1]), (0, [0, 0, -1])):
            jacobian[3:6, column] += np.cross(way, residual[forces])
    return residual, jacobian


def test_many_are_single_ones():
    equilibria, starts, grades = zip(*cases(), strict=True)
    batch = BatchSpace(equilibria)
    residual, jacobian = batch.evaluate(np.stack(starts, axis=1), np.array(grades))
    for k, (there, start, grade) in enumerate(zip(equilibria, starts, grades, strict=True)):
        alone, slopes = of_the_whole(start, *there.evaluate(start, grade))
        assert residual[:, k] == pytest.approx(alone, abs=1e-12 * np.abs(alone).max())
        assert jacobian[:, :, k] == pytest.approx(slopes, abs=1e-12 * np.abs(slopes).max())
        assert np.abs(slopes[:, :-1][~batch.pattern]).max() <= 1e-12 * np.abs(slopes).max()
    signs = batch.accept(np.stack(starts, axis=1), np.array(grades))
    assert signs.all()
    turned = np.stack(starts, axis=1)
    turned[14] += np.pi
    assert not batch.accept(turned, np.array(grades)).any()
    solution = solve_batch(batch, np.stack(starts, axis=1), np.array(grades))
    for k, (there, start, grade) in enumerate(zip(equilibria, starts, grades, strict=True)):
        state = solve(there, start, grade).raise_for_status().state
        assert solution.states[:, k] / there.scales == pytest.approx(state / there.scales, abs=SAME)


def test_residual_alone_is_that_of_both_and_leaves_the_slopes():
    equilibria, starts, grades = zip(*cases(), strict=True)
    batch, states = BatchSpace(equilibria), np.stack(starts, axis=1)
    residual, jacobian = batch.evaluate(states, np.array(grades))
    before, elsewhere = jacobian.copy(), batch.residual(states + 1e-3, np.array(grades))
    assert (batch.residual(states, np.array(grades)) == residual).all() and (jacobian == before).all()
    assert (elsewhere != residual).any()


def test_many_more_than_lapack_takes():
    """Enough cases for the elimination along all of them, each on its own grade: every one as if alone, its residual too."""
    there, start, _ = cases()[4]
    grades = np.radians(np.linspace(-12.0, 20.0, 2 * FEW))
    batch = BatchSpace([there] * grades.size)
    solution = solve_batch(batch, np.repeat(start[:, None], grades.size, axis=1), grades).raise_for_status()
    alone = np.abs(batch.evaluate(solution.states, grades)[0] / batch.residual_scales).max(axis=0)
    assert alone.max() <= 1e-11 and (alone == solution.residual_norms).all()
    plain = [
        np.abs(there.evaluate(x, g)[0] / there.residual_scales).max()
        for x, g in zip(solution.states.T, grades, strict=True)
    ]
    assert max(plain) <= 1e-11, "of the chassis too, whose balances were not solved for"
    assert solution.nfev.max() <= 4, "the last steps take the factors that are there"
    for k in range(0, grades.size, 37):
        state = solve(there, start, grades[k]).raise_for_status().state
        for axle in range(2):
            loads = [there.seen(found, axle) for found in (state, solution.states[:, k])]
            for name in ("left_load", "right_load"):
                assert loads[1][name] == pytest.approx(loads[0][name], abs=SAME)


def test_other_laws_are_refused():
    there = stand_in_space(vehicle("leaning")).equilibrium.with_(law=Mismatch((0.3, 0.3), 0.05))
    with pytest.raises(ValueError, match="slipping alike"):
        BatchSpace([there])


def test_no_entry_is_kept_from_the_evaluation_before():
    """Entries are written over, not cleared: that needs every place of an axle to be written once."""
    equilibria, starts, grades = zip(*cases(), strict=True)
    for _, _, places, *_ in kernel_places(VEHICLE_ENTRY_ROWS, VEHICLE_ENTRY_COLUMNS):
        assert len(set(places.tolist())) == len(places)
    batch, states = BatchSpace(equilibria), np.stack(starts, axis=1)
    first = batch.evaluate(states, np.array(grades))[1].copy()
    batch.evaluate(states + 1e-3, np.array(grades) + 0.1)
    assert (batch.evaluate(states, np.array(grades))[1] == first).all()
    some = [3, 7, 11]
    residual, jacobian = batch.take(some).evaluate(states[:, some], np.array(grades)[some])
    whole = batch.evaluate(states, np.array(grades))
    assert (residual == whole[0][:, some]).all() and (jacobian == whole[1][:, :, some]).all()
    assert (batch.take(some).accept(states[:, some], np.array(grades)[some])).all()
