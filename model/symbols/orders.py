"""Prints the orders of the kernels' numbers: names, and the rows of the parts that vectors and outputs fall into."""

import json
from collections.abc import Mapping, Sequence

from .codegen import Kernel, rows_of
from .modules import fill


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
