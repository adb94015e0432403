"""The committed axle kernels: derived afresh, slopes by differences, many cases at once, formulas typed by hand."""

import types

import numpy as np
import pytest

from noseload.model.generated import array_space, scalar_space, space_order
from noseload.model.space.equilibrium import SpaceEquilibrium, rotation_of
from noseload.model.space.parameters import space_numbers
from noseload.model.symbols.codegen import rows_of as rows_of_parts
from noseload.model.symbols.derive_space import (
    COLUMNS,
    EQUATION_PARTS,
    UNKNOWN_PARTS,
    derive_axle_in_vehicle,
    derive_space_kernels,
)
from noseload.model.symbols.modules import array_module, scalar_module
from noseload.studies.climb.standing import stand
from space_samples import NAMES, rows_of, state_of, vehicle

AGREE = 1e-13
"""Relative to the largest entry: one graph printed twice."""
DIFFERENCE = 1e-7
"""Scaled: central differences of step 1e-6."""
BY_HAND = 1e-11
"""N and N m: the same formulas in another order."""


def crooked(name, seed):
    """An equilibrium and a crooked state of it: tyres pressed, blocks, a heading."""
    rng = np.random.default_rng(seed)
    car = vehicle(name)
    numbers = space_numbers(car, stand(car).free_lengths)
    there = SpaceEquilibrium(numbers, heading=0.3, blocks=(0.002, 0.0, 0.0, 0.001), held=(0.4, -0.2))
    rows = rows_of(name, "creep")
    state = state_of(rows[seed % len(rows)]) + 0.1 * rng.uniform(-1, 1, 26) * there.scales
    return there, state


def slices(rows):
    return {part: slice(*bounds) for part, bounds in rows.items()}


def test_a_fresh_derivation_gives_the_committed_kernels():
    kernels, entries = derive_space_kernels()
    names = {}
    exec(scalar_module("space", kernels), names)
    fresh = types.ModuleType("fresh")
    assert tuple(i for i, _ in entries) == space_order.ENTRY_ROWS
    assert tuple(j for _, j in entries) == space_order.ENTRY_COLUMNS
    many, others = derive_axle_in_vehicle(kernels[0].arguments, COLUMNS)
    assert tuple(others) == tuple(zip(space_order.VEHICLE_ENTRY_ROWS, space_order.VEHICLE_ENTRY_COLUMNS, strict=True))
    assert {k.name: slices(k.rows()) for k in (*kernels, *many) if k.groups} == space_order.ROWS
    assert slices(rows_of_parts(UNKNOWN_PARTS)) == space_order.UNKNOWN_ROWS
    assert slices(rows_of_parts(EQUATION_PARTS)) == space_order.EQUATION_ROWS
    exec(array_module("space", many), fresh.__dict__)
    there, state = crooked("leaning", 3)
    for k in range(2):
        arguments = there.arguments(state.tolist(), k)
        for name in ("axle", "axle_seen"):
            assert names[name](*arguments) == getattr(scalar_space, name)(*arguments)
        for kernel in many:
            given = [[np.array([number]) for number in part] for part in (*arguments, (0.1, -0.2, -4.0))]
            np.testing.assert_array_equal(filled(array_space, kernel.name, given), filled(fresh, kernel.name, given))


def filled(module, kernel, arguments):
    """Output rows of an array kernel, not a number where none is written."""
    cases = arguments[0][0].size
    out, scratch = (np.full((rows[kernel], cases), np.nan) for rows in (module.OUTPUT_ROWS, module.SCRATCH_ROWS))
    getattr(module, f"{kernel}_batch")(*arguments, list(out), list(scratch))
    return out


@pytest.mark.parametrize("name", NAMES)
def test_many_cases_are_single_ones(name):
    cases = [crooked(name, seed) for seed in range(6)]
    arguments = [there.arguments(state.tolist(), seed % 2) for seed, (there, state) in enumerate(cases)]
    stacked = [list(np.array([call[part] for call in arguments]).T.copy()) for part in range(6)]
    for column, call in zip(filled(array_space, "axle_seen", stacked).T, arguments, strict=True):
        alone = np.array(scalar_space.axle_seen(*call))
        assert column == pytest.approx(alone, abs=AGREE * np.abs(alone).max())


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("seed", range(6))
def test_slopes_are_those_of_the_residual(name, seed):
    there, state = crooked(name, seed)
    grade, scales = 0.5, np.append(there.scales, 1.0)
    _, jacobian = there.evaluate(state, grade)
    for k in range(27):
        step = np.zeros(27)
        step[k] = 1e-6 * scales[k]
        ahead, behind = (there.evaluate(state + s * step[:26], grade + s * step[26])[0] for s in (1, -1))
        wrong = ((ahead - behind) / 2e-6 - jacobian[:, k] * scales[k]) / there.residual_scales
        assert np.abs(wrong).max() < DIFFERENCE


def _wrenches_by_hand(there, state, k):
    """Force and moment on chassis and axle, typed again with matrices."""
    values, place = there.numbers.axles[k], 3 + 6 * k
    chassis = rotation_of(("y", state[1]), ("x", state[2]))
    origin, base = state[place : place + 3], np.array([0.0, 0.0, state[0]])
    turn = rotation_of(("z", state[place + 3]), ("x", state[place + 4]), ("y", state[place + 5]))

    def point(part, end, mirror=1.0, shift=0.0):
        x, y, z = (values[f"{part}_{end}_{axis}"] for axis in "xyz")
        return np.array([x, mirror * y + shift, z])

    on_chassis, on_axle = np.zeros(6), np.zeros(6)

    def pull(start, stop, force):
        on_axle[:3] += force
        on_axle[3:] += np.cross(turn @ stop, force)
        on_chassis[:3] -= force
        on_chassis[3:] -= np.cross(chassis @ start, force)

    for i in range(4):
        start, stop = point(f"rod_{i + 1}", "chassis"), point(f"rod_{i + 1}", "axle")
        line = origin + turn @ stop - base - chassis @ start
        pull(start, stop, -state[15 + 4 * k + i] * line / values[f"rod_{i + 1}_length"])
    for mirror in (1.0, -1.0):
        start, stop = (point("shock", e, mirror, values[f"shock_{e}_shift"]) for e in ("chassis", "axle"))
        line = origin + turn @ stop - base - chassis @ start
        length = np.linalg.norm(line)
        short = values["free_length"] - length
        push = values["spring_rate"] * (short if values["spring_held"] else max(0.0, short))
        push += values["stop_stiffness"] * (
            max(0.0, values["shortest"] - length) - max(0.0, length - values["longest"])
        )
        pull(start, stop, push * line / length)
    axis, normal = turn[:, 1], np.array([0.0, 0.0, 1.0])
    upright = np.sqrt(1.0 - axis[2] ** 2)
    down = -(normal - axis[2] * axis) / upright
    along = np.cross(axis, normal) / np.linalg.norm(np.cross(axis, normal))
    torque = there.held[k]
    for side, mirror in enumerate((1.0, -1.0)):
        place_in_axle = [values["wheel_x"], values["wheel_y"] + mirror * values["half_track"], values["wheel_z"]]
        centre = origin + turn @ place_in_axle
        radius = (centre[2] - there.blocks[2 * k + side]) / upright
        contact = centre + radius * down
        load = values["tyre_stiffness"] * max(0.0, values["tyre_radius"] - radius) / upright
        force = load * (normal + values["grip"] * state[23] * along + state[24 + k] * np.cross(normal, along))
        on_axle[:3] += force
        on_axle[3:] += np.cross(contact - origin, force)
        torque += radius * load * values["grip"] * state[23]
    on_axle[3:] += values["shaft_share"] * torque * chassis[:, 0] - there.held[k] * axis
    on_chassis[3:] -= values["shaft_share"] * torque * chassis[:, 0]
    return np.concatenate([on_chassis, on_axle])


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("seed", range(4))
def test_forces_by_hand(name, seed):
    there, state = crooked(name, seed)
    for k in range(2):
        out = np.array(scalar_space.axle(*there.arguments(state.tolist(), k)))
        assert out[:12] == pytest.approx(_wrenches_by_hand(there, state, k), abs=BY_HAND)
