"""Text of the generated modules: head, imports, kernels; the orders of their numbers: names, and rows of parts."""

from __future__ import annotations

import json
import textwrap
from collections.abc import Callable, Mapping, Sequence

from .codegen import Kernel, numbers_of, operation_count, print_array, print_scalar, rows_of
from .pairs import mirrored_rows, print_paired


def _header(flavour: str, family: str, kernels: list[Kernel]) -> list[str]:
    counts = ", ".join(f"{kernel.name} {operation_count(kernel)}" for kernel in kernels)
    return [
        f'"""{flavour.capitalize()} kernels: {family}. Written by `python -m noseload.model.symbols.derive`; do not edit.',
        "",
        *fill(f"Operations: {counts}."),
        '"""',
        "",
    ]


def scalar_module(family: str, kernels: list[Kernel]) -> str:
    """Module of the kernels for one state."""
    lines = [*_header("scalar", family, kernels), "from math import cos, exp, log, sin, sqrt, tanh", ""]
    return "\n".join(lines) + "\n\n\n" + "\n\n\n".join(print_scalar(kernel) for kernel in kernels) + "\n"


def array_module(family: str, kernels: list[Kernel]) -> str:
    """Module of the kernels for many cases."""
    printed = [print_array(kernel) for kernel in kernels]
    rows = {k.name: count for k, (_, count) in zip(kernels, printed, strict=True)}
    return _array_text(family, kernels, {"SCRATCH_ROWS": rows}, [text for text, _ in printed])


def paired_module(family: str, kernels: list[Kernel], mirror: Callable[[str], str]) -> str:
    """Module of kernels for many cases that take both axles side by side; `mirror`: what a number is called at the other one."""
    printed = [print_paired(kernel, mirror) for kernel in kernels]
    rows = {
        name: {k.name: counts[place] for k, counts in zip(kernels, printed, strict=True)}
        for place, name in ((1, "SCRATCH_ROWS"), (2, "WIDE_ROWS"))
    }
    orders = {name: [s.name for s in symbols] for name, symbols in kernels[0].arguments if symbols}
    mirrored = {name: mirrored_rows(names, mirror) for name, names in orders.items()}
    return _array_text(family, kernels, rows | {"MIRRORED_ROWS": mirrored}, [text for text, *_ in printed])


def _array_text(family: str, kernels: list[Kernel], tables: Mapping[str, Mapping], texts: Sequence[str]) -> str:
    lines = [
        *_header("array", family, kernels),
        "from numpy import (absolute, add, array, copyto, cos, divide, exp, heaviside, log, maximum, multiply,",
        "                   negative, sign, sin, sqrt, subtract, tanh)",
        "",
    ]
    for name, table in (dict(tables) | {"OUTPUT_ROWS": {k.name: len(k.outputs) for k in kernels}}).items():
        lines.append(f"{name} = {{")
        for key, value in table.items():
            lines += fill(f'"{key}": {value},', indent="    ")
        lines.append("}")
    text = "\n\n\n".join(texts)
    return "\n".join([*lines, *numbers_of(text)]) + "\n\n\n" + text + "\n"


def fill(text: str, indent: str = "", width: int = 108) -> list[str]:
    """Lines of a long text."""
    return textwrap.wrap(text, width, initial_indent=indent, subsequent_indent=indent)


def order_module(
    what: str,
    names: Mapping[str, Sequence],
    kernels: Sequence[Kernel],
    *,
    joined: Mapping[str, Sequence[str]] | None = None,
    vectors: Mapping[str, Mapping[str, int]] | None = None,
) -> str:
    """Text of the module.

    Parameters
    ----------
    what : str
        What it is the order of, in words.
    names : mapping of str to sequence
        Lists of names or places.
    kernels : sequence of Kernel
        Those with named parts have their rows printed.
    joined : mapping of str to sequence of str, optional
        Lists that are others one after the other.
    vectors : mapping of str to (mapping of str to int), optional
        Parts of a vector in order and their sizes: their rows are printed under the vector's name.
    """
    lines = [f'"""Order of {what}. Written by `python -m noseload.model.symbols.derive`; do not edit."""', ""]
    for name, listed in names.items():
        lines += [f"{name} = (", *fill(", ".join(json.dumps(entry) for entry in listed) + ",", indent="    "), ")"]
    lines += [f"{name} = {' + '.join(parts)}" for name, parts in (joined or {}).items()]
    for name, sizes in (vectors or {}).items():
        lines += [f"{name} = {{", *_slices(rows_of(sizes), "    "), "}"]
    lines.append("ROWS = {")
    for kernel in kernels:
        if kernel.groups:
            lines += [f'    "{kernel.name}": {{', *_slices(kernel.rows(), "        "), "    },"]
    lines += ["}", '"""Rows of the parts that a kernel\'s outputs fall into, by kernel and part."""']
    return "\n".join(lines) + "\n"


def _slices(rows: Mapping[str, tuple[int, int]], indent: str) -> list[str]:
    """One part a line: wrapping would part a name from its rows."""
    return [f'{indent}"{part}": slice({first}, {end}),' for part, (first, end) in rows.items()]
