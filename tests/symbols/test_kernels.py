"""The committed kernels against a vehicle typed by hand in NumPy, against each other and a fresh derivation."""

import importlib
import math

import numpy as np
import pytest

from kernel_states import DRIVES, N_STATES, random_state
from noseload.model.batch.kernels import PairedKernel, PairedRows, paired_numbers
from noseload.model.generated.parameter_order import PARAMETERS, STATIC_PARAMETERS
from noseload.model.symbols.codegen import numbers_of, operation_count, print_array, print_scalar
from noseload.model.symbols.derive import ARRAY_ONLY, CREEP_OUTPUTS, FAMILIES, LOSSES, OBSERVED, POWERS, derive_kernels
from numpy_vehicle import ENDS, Vehicle, complex_step, constrained, gear_rows, mass_matrix

DIRECT = 1e-12
"""Relative to the largest entry: the same formulas in another order."""
SOLVED = 1e-9
"""Relative: behind a linear system of condition number up to about 1e6 (masses of 1 kg beside 1e-6 kg m2)."""
AGREE = 1e-13
"""Relative to the largest entry of an output: scalar and array kernels print one graph, mathematics libraries differ."""
ARGUMENTS = {
    "creep": ("unknowns", "grade"),
    "creep_outputs": ("unknowns", "grade"),
    "creep_sensitivity": ("unknowns", "grade"),
    "steady": ("steady_unknowns", "grip_factor", "grade"),
    "steady_sensitivity": ("steady_unknowns", "grip_factor", "grade"),
    "rates": ("q", "u", "throttle", "grip_factor", "brake_torque", "grade"),
    "stiff_rates": ("q", "u", "throttle", "grip_factor", "brake_torque", "grade"),
    "observe": ("q", "u", "throttle", "grip_factor", "brake_torque", "grade"),
    "switches": ("q", "u"),
    "project": ("q", "u"),
    "closure": ("q", "u"),
    "tangent": ("q", "u", "tensions", "throttle", "grip_factor", "brake_torque", "grade"),
}
SHAPES = {
    "creep": 13 + 13 * 14,
    "creep_outputs": 6 + 6 * 14,
    "creep_sensitivity": 19 * len(STATIC_PARAMETERS),
    "steady": 13 + 13 * 14,
    "steady_sensitivity": 13 * len(STATIC_PARAMETERS),
    "rates": 11 + len(POWERS),
    "stiff_rates": 11 + len(POWERS) + 3 + 22 + 33,
    "observe": 11 + 4 + 2 * len(OBSERVED),
    "switches": 12,
    "project": 9 + 11 + 8,
    "closure": 4 + 44 + 4,
    "tangent": 15 * 20,
}


def kernel(flavour, name):
    """A committed kernel by name, wherever the families put it."""
    family = next(family for family, names in FAMILIES.items() if name in names)
    return getattr(
        importlib.import_module(f"noseload.model.generated.{flavour}_{family}"), name + "_batch" * (flavour == "array")
    )


@pytest.fixture(scope="module")
def states():
    return [random_state(seed) for seed in range(N_STATES)]


def run_scalar(function, name, state):
    arguments = [state[a].tolist() if isinstance(state[a], np.ndarray) else state[a] for a in ARGUMENTS[name]]
    numbers = state["parameters"].tolist()
    return np.array(
        function(*arguments, tuple(numbers if "q" in ARGUMENTS[name] else numbers[: len(STATIC_PARAMETERS)]))
    )


def committed(name, state):
    """Numbers of a committed scalar kernel."""
    return run_scalar(kernel("scalar", name), name, state)


def reference(state, law, q=None, u=None, p=None, **controls):
    """The NumPy vehicle in a state, with parts replaced."""
    known = {name: state[name] for name in ("grade", "throttle", "grip_factor", "brake_torque")}
    return Vehicle(
        state["q"] if q is None else q,
        state["u"] if u is None else u,
        state["p"] if p is None else p,
        known | controls,
        law,
    )


def close(found, expected, tolerance):
    """Agreement relative to the largest entry."""
    expected = np.asarray(expected)
    np.testing.assert_allclose(found, expected, rtol=0, atol=tolerance * max(float(np.max(np.abs(expected))), 1e-9))


# all kernels -----------------------------------------------------------------------------------


def test_states_meet_every_branch_of_the_laws(states):
    """Tyres in the air, at first touch and pressed; both stops on and off; coils loose, held and pressed; all three drives."""
    seen = [reference(state, "moving").out for state in states]
    for end in ENDS:
        depth = np.array([out[f"{end}_tyre_depth"] for out in seen])
        assert (depth < 0).any()
        assert (depth > 1e-3).any()
        for stop in ("droop", "bump"):
            over = np.array([out[f"{end}_{stop}_depth"] for out in seen])
            assert (over > 0).any()
            assert (over < 0).any()
        stretched = np.array([s["p"][f"{end}_free_length"] for s in states]) < [o[f"{end}_shock_length"] for o in seen]
        held = np.array([s["p"][f"{end}_spring_held"] for s in states]) > 0
        for both in (stretched & held, stretched & ~held, ~stretched & held, ~stretched & ~held):
            assert both.any()
        slopes = np.array([out[f"{end}_slip_slope"] for out in seen])
        assert (slopes > 10.0).any(), "on the slope of the slip law"
        assert (slopes < 1e-6).any(), "saturated"
    first_touch = [0 < out["front_tyre_depth"] < 1e-3 for out in seen]
    assert any(first_touch)
    assert {state["drive"] for state in states} == set(DRIVES)


@pytest.mark.parametrize("name", ARGUMENTS)
def test_scalar_and_array_kernels_agree(states, name):
    scalar = np.array([committed(name, state) for state in states]).T
    assert scalar.shape == (SHAPES[name], N_STATES)
    batch = kernel("array", name)
    module = importlib.import_module(batch.__module__)
    assert module.OUTPUT_ROWS[name] == SHAPES[name]
    out = np.zeros((SHAPES[name], N_STATES))
    scratch = np.full((module.SCRATCH_ROWS[name], N_STATES), np.nan)
    arguments = [np.array([state[a] for state in states]).T.copy() for a in (*ARGUMENTS[name], "parameters")]
    batch(*arguments, out, scratch)
    size = np.maximum(np.max(np.abs(scalar), axis=1, keepdims=True), 1e-9)
    np.testing.assert_allclose(out / size, scalar / size, rtol=0, atol=AGREE)


HEADS = {"creep_residual": "creep", "creep_values": "creep_outputs", "steady_residual": "steady"}
"""Kernels without slopes, and the kernel whose first rows theirs are."""


@pytest.mark.parametrize("name", HEADS)
def test_kernels_without_slopes_are_the_first_rows_to_the_last_digit(states, name):
    found = []
    for one in (name, HEADS[name]):
        batch = kernel("array", one)
        module = importlib.import_module(batch.__module__)
        out, scratch = (np.full((rows[one], N_STATES), np.nan) for rows in (module.OUTPUT_ROWS, module.SCRATCH_ROWS))
        batch(
            *(np.array([s[a] for s in states]).T.copy() for a in (*ARGUMENTS[HEADS[name]], "parameters")), out, scratch
        )
        found.append(out)
    alone, whole = found
    assert np.isfinite(alone).all() and (alone == whole[: len(alone)]).all()


def test_headers_say_how_to_regenerate():
    for family, names in FAMILIES.items():
        for flavour in ("array",) if family in ARRAY_ONLY else ("scalar", "array"):
            text = importlib.import_module(f"noseload.model.generated.{flavour}_{family}").__doc__
            assert "Written by `python -m noseload.model.symbols.derive`; do not edit." in text
            for name in names:
                assert f"{name} " in text.split("Operations:")[1]


@pytest.mark.slow
def test_fresh_derivation_gives_the_committed_numbers(states):
    """Derive all kernels again from bodies and rods; compare numbers, not text."""
    kernels, parameters = derive_kernels()
    assert tuple(s.name for s in parameters) == PARAMETERS
    array_only = {name for family in ARRAY_ONLY for name in FAMILIES[family]}
    assert {k.name for k in kernels} == set(ARGUMENTS) | array_only
    for fresh in (k for k in kernels if k.name not in array_only):
        space = {name: getattr(math, name) for name in ("sin", "cos", "tanh", "exp", "log", "sqrt")}
        exec(print_scalar(fresh), space)
        for state in states:
            close(committed(fresh.name, state), run_scalar(space[fresh.name], fresh.name, state), AGREE)
        module = importlib.import_module(kernel("scalar", fresh.name).__module__)
        assert f"{fresh.name} {operation_count(fresh)}" in " ".join(module.__doc__.split())
    for fresh in (k for k in kernels if k.name in FAMILIES["batch"]):
        found, wanted = side_by_side(fresh.name, states), plainly(fresh, states)
        assert np.isfinite(wanted).all() and (found == wanted).all()


def side_by_side(name, states):
    """A committed kernel that takes both axles side by side."""
    rows = {a: np.array([state[a] for state in states]).T for a in (*ARGUMENTS["rates"], "parameters")}
    state = [PairedRows("batch", group, N_STATES).fill(rows[a]) for group, a in (("coordinates", "q"), ("speeds", "u"))]
    inputs = [rows[a] for a in ARGUMENTS["rates"][2:]]
    return PairedKernel(name, N_STATES)(state, inputs, paired_numbers("batch", rows["parameters"]))


def plainly(fresh, states):
    """The same kernel, printed without pairs."""
    text, scratch = print_array(fresh)
    space = dict(vars(np))
    exec("\n".join(numbers_of(text)) + "\n" + text, space)
    out = np.zeros((len(fresh.outputs), N_STATES))
    arguments = (np.array([state[a] for state in states]).T.copy() for a in (*ARGUMENTS["rates"], "parameters"))
    space[f"{fresh.name}_batch"](*arguments, out, np.empty((scratch, N_STATES)))
    return out


# statics ---------------------------------------------------------------------------------------


def creep_pose(unknowns):
    return np.concatenate(([0.0], unknowns[:8]))


def statics(state, unknowns, law, grade=None, p=None):
    """Residual of the quasi-static vehicle (13) and its outputs (6), by hand."""
    grade = state["grade"] if grade is None else grade
    drives = (
        {"traction": unknowns[12]} if law == "creep" else {"spin_speed": unknowns[12], "travel_speed": unknowns[13]}
    )
    at = reference(state, law, q=creep_pose(unknowns), u=np.zeros(11), p=p, grade=grade, **drives)
    balance = at.forces + at.jacobian.T @ unknowns[8:12]
    return np.concatenate((balance[:9], at.residuals)), np.array([at.out[name] for name in CREEP_OUTPUTS])


def test_creep_residual_and_jacobian(states):
    for state in states:
        y, flat = state["unknowns"], committed("creep", state)
        residual, outputs = statics(state, y, "creep")
        close(flat[:9], residual[:9], DIRECT)
        close(flat[9:13], residual[9:], DIRECT)
        by_unknown = complex_step(
            lambda v, state=state: statics(state, v[:13], "creep", v[13])[0], [*y, state["grade"]]
        )
        close(flat[13:], by_unknown.ravel(), DIRECT)
        flat = committed("creep_outputs", state)
        close(flat[:6], outputs, DIRECT)
        by_unknown = complex_step(
            lambda v, state=state: statics(state, v[:13], "creep", v[13])[1], [*y, state["grade"]]
        )
        close(flat[6:], by_unknown.ravel(), DIRECT)


def test_creep_sensitivity(states):
    """Every parameter, those that creep does not see included (their columns are 0)."""
    for state in states[:6]:

        def both(numbers, state=state):
            return np.concatenate(
                statics(
                    state, state["unknowns"], "creep", p=state["p"] | dict(zip(STATIC_PARAMETERS, numbers, strict=True))
                )
            )

        expected = complex_step(both, state["parameters"][: len(STATIC_PARAMETERS)])
        found = committed("creep_sensitivity", state).reshape(19, len(STATIC_PARAMETERS))
        for row, wanted in zip(found, expected, strict=True):
            close(row, wanted, DIRECT)


def test_steady_residual_and_jacobian(states):
    for state in states:
        y, flat = state["steady_unknowns"], committed("steady", state)
        residual, _ = statics(state, y, "steady")
        close(flat[:9], residual[:9], DIRECT)
        close(flat[9:13], residual[9:], DIRECT)
        close(flat[13:], complex_step(lambda v, state=state: statics(state, v, "steady")[0], y).ravel(), 10 * DIRECT)


# motion ----------------------------------------------------------------------------------------


def accelerations(state):
    """Accelerations and tensions by one dense system with constraints and gears, by hand."""
    at = reference(state, "moving")
    return *constrained(
        mass_matrix(state["p"], state["inertias"]), gear_rows(state["p"]), at.jacobian, at.forces, at.gamma
    ), at


def test_rates_and_energy(states):
    for state in states:
        rates, _, at = accelerations(state)
        flat = committed("rates", state)
        close(flat[:11], rates, SOLVED)
        energy = [at.out["motor_power"], at.out["brake_loss"], *(at.losses[kind] for kind in LOSSES)]
        np.testing.assert_allclose(flat[11:], energy, rtol=1e-11, atol=1e-12)
        np.testing.assert_array_equal(committed("stiff_rates", state)[: len(flat)], flat)


def test_losses_are_never_gains(states):
    """Dampers, tyres, stops and slip only take energy (second law)."""
    for state in states:
        assert (committed("rates", state)[12:] >= -1e-12).all()


def slips_on_held_arms(state, u, held):
    """Slips of both axles at other speeds, the loads in their arms as they were: tyre damping is no part of the stiff term."""
    at = reference(state, "moving", u=u)
    grown = [state["p"][f"{end}_contact_give"] * (at.out[f"{end}_load"] - held.out[f"{end}_load"]) for end in ENDS]
    return np.array(
        [at.out[f"{end}_slip"] - at.out[f"{end}_wheel_speed"] * g for end, g in zip(ENDS, grown, strict=True)]
    )


def test_stiff_part(states):
    """Slip slopes; how slips and brake answer to a push: M^-1 rows with constraints and gears held, by hand."""
    for state in states:
        at = reference(state, "moving")
        flat = committed("stiff_rates", state)[11 + len(POWERS) :]
        expected = [at.out["rear_slip_slope"], at.out["front_slip_slope"], at.out["brake_slope"]]
        np.testing.assert_allclose(flat[:3], expected, rtol=DIRECT, atol=0.0)
        slips = complex_step(lambda u, state=state, at=at: slips_on_held_arms(state, u, at), state["u"])
        close(flat[3:25], slips.ravel(), DIRECT)
        motor = np.zeros(11)
        motor[9:] = state["p"]["rear_motor"], state["p"]["front_motor"]
        mass, gears = mass_matrix(state["p"], state["inertias"]), gear_rows(state["p"])
        pulls = [constrained(mass, gears, at.jacobian, row, np.zeros(4))[0] for row in (*slips, motor)]
        close(flat[25:], np.concatenate(pulls), SOLVED)
        mutual = slips @ np.array(pulls[:2]).T
        close(mutual, mutual.T, 1e-10)


def test_observed(states):
    for state in states:
        rates, tensions, at = accelerations(state)
        flat = committed("observe", state)
        close(flat[:11], rates, SOLVED)
        close(flat[11:15], tensions, SOLVED)
        names = [f"{end}_{name}" for name in OBSERVED for end in ENDS]
        np.testing.assert_allclose(flat[15:], [at.out[name] for name in names], rtol=1e-11, atol=1e-12)


def test_switches(states):
    for state in states:
        at = reference(state, "moving")
        names = ("tyre_depth", "raw_load", "droop_depth", "bump_depth", "coil_gap", "shock_rate")
        expected = [at.out[f"{end}_{name}"] for name in names for end in ENDS]
        np.testing.assert_allclose(committed("switches", state), expected, rtol=DIRECT, atol=1e-13)


def test_closure(states):
    for state in states:
        at, flat = reference(state, "moving"), committed("closure", state)
        close(flat[:4], at.residuals, DIRECT)
        close(flat[4:48], at.jacobian.ravel(), DIRECT)
        close(flat[48:], at.gamma, DIRECT)
        by_place = complex_step(lambda q, state=state: reference(state, "moving", q=q).residuals, state["q"])
        close(flat[4:48].reshape(4, 11)[:, :9], by_place, DIRECT)


def test_projection(states):
    """One Newton correction in the mass metric, positions and speeds; drifts as found."""
    for state in states:
        at, flat = reference(state, "moving"), committed("project", state)
        mass, gears = mass_matrix(state["p"], state["inertias"]), gear_rows(state["p"])
        drift = at.jacobian @ state["u"]
        shift, _ = constrained(mass, gears, at.jacobian, np.zeros(11), -at.residuals)
        kick, _ = constrained(mass, gears, at.jacobian, np.zeros(11), -drift)
        close(flat[:9], state["q"] + shift[:9], SOLVED)
        close(flat[9:20], state["u"] + kick, SOLVED)
        close(flat[20:24], at.residuals, DIRECT)
        close(flat[24:], drift, DIRECT)


def test_tangent(states):
    """Derivatives of f + G^T lambda and gamma by coordinates and speeds, by the complex step."""
    for state in states[:9]:

        def balance(y, state=state):
            at = reference(state, "moving", q=y[:9], u=y[9:])
            return np.concatenate((at.forces + at.jacobian.T @ state["tensions"], at.gamma))

        expected = complex_step(balance, np.concatenate((state["q"], state["u"])))
        found = committed("tangent", state).reshape(15, 20)
        for row, wanted in zip(found, expected, strict=True):
            close(row, wanted, 10 * DIRECT)


# laws at their corners ---------------------------------------------------------------------------


def load_at(state, depth, sinking):
    """Front load of the committed kernel with the front tyre pressed `depth` and sinking at `sinking`."""
    p = state["p"]
    q, u = np.array(state["q"]), np.array(state["u"])
    q[8] = u[8] = 0.0
    q[7] = p["front_tyre_radius"] - p["front_wheel_centre_z"] - depth
    u[7] = -sinking
    return committed("observe", state | {"q": q, "u": u})[15 + 1]


def test_touch_law_is_continuous_and_never_pulls(states):
    """max(0, k d + c d' min(1, d/1 mm)) for d > 0: 0 at first touch, no pull while rebounding fast."""
    state = states[0]
    stiffness, damping = state["p"]["front_tyre_stiffness"], state["p"]["front_tyre_damping"]
    assert load_at(state, -1e-4, 5.0) == 0.0
    assert load_at(state, 1e-9, 5.0) < 1e-4
    assert load_at(state, 3e-3, -100.0) == 0.0
    for depth, sinking in ((2e-3, 0.3), (5e-4, 0.3), (5e-4, -0.1), (1e-3, 0.2)):
        expected = max(0.0, stiffness * depth + damping * sinking * min(1.0, depth / 1e-3))
        assert load_at(state, depth, sinking) == pytest.approx(expected, rel=1e-10)
