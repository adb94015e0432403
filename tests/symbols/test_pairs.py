"""Kernels that take both axles side by side: the same numbers as the plain array kernel, to the last digit."""

import numpy as np
import sympy as sp

from noseload.model.symbols.codegen import Kernel, Tape, print_array
from noseload.model.symbols.pairs import mirrored_rows, print_paired

CASES = 5


def at_the_other(name):
    return name.translate(str.maketrans("rf", "fr")) if name[-2:] in ("_r", "_f") else name


def toy():
    """Pairs that read shared numbers, cross from axle to axle, are outputs beside each other or apart, or read by none alike."""
    x_r, x_f, k_r, k_f, m, t, only_r = symbols = sp.symbols("x_r x_f k_r k_f m t only_r", real=True)
    tape = Tape()
    pull = [tape.assign(k * sp.sin(x) / m) for k, x in ((k_r, x_r), (k_f, x_f))]
    crossed = [tape.assign(k * x + t) for k, x in ((k_r, x_f), (k_f, x_r))]
    whole = tape.assign(pull[0] + pull[1])
    outputs = [
        *pull,
        crossed[1],
        whole,
        crossed[0],
        *(tape.assign(whole * p * c + sp.cos(t)) for p, c in zip(pull, crossed, strict=True)),
        tape.assign(pull[0] * only_r),
        pull[0],
        x_f,
    ]
    arguments = (("state", list(symbols[:2])), ("t", None), ("numbers", [k_r, k_f, m, only_r]))
    return Kernel("toy", "Toy.", arguments, tuple(outputs), tape)


def run(text, *arguments):
    names = {name: getattr(np, name) for name in ("add", "copyto", "cos", "divide", "multiply", "sin", "subtract")}
    exec(text, names)
    names["toy_batch"](*arguments)


def test_same_numbers_as_the_plain_kernel():
    kernel, rng = toy(), np.random.default_rng(5)
    (plain, scratch), (paired, rows, wide) = print_array(kernel), print_paired(kernel, at_the_other)
    state, t, numbers = (
        rng.uniform(0.5, 2.0, (2, CASES)),
        rng.uniform(0.5, 2.0, CASES),
        rng.uniform(0.5, 2.0, (4, CASES)),
    )
    mirrored = [mirrored_rows(names, at_the_other) for names in (["x_r", "x_f"], ["k_r", "k_f", "m", "only_r"])]
    assert mirrored == [(1, 0), (1, 0, 2, 3)]
    both = [list(np.hstack([r, r[list(order)]])) for r, order in zip((state, numbers), mirrored, strict=True)]
    wanted, found = np.full((2, len(kernel.outputs), CASES), np.nan)
    run(plain, list(state), t, list(numbers), list(wanted), list(np.empty((scratch, CASES))))
    room = np.full((wide, 2 * CASES), np.nan)
    neighbours = [found[k : k + 2].reshape(-1) for k in range(len(found) - 1)]
    halves = list(room.reshape(-1, CASES)), list(room.reshape(wide, 2, CASES))
    rooms = (list(found), neighbours, list(np.full((rows, CASES), np.nan)), list(room), *halves)
    run(paired, list(state), t, list(numbers), *both, rooms)
    assert np.isfinite(wanted).all() and (found == wanted).all()
    assert paired.count("\n") < plain.count("\n")
