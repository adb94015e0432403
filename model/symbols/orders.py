"""Prints the orders of the kernels' numbers: names, and the rows of the parts that outputs fall into."""

from collections.abc import Mapping, Sequence

import sympy as sp

from .codegen import Kernel
from .modules import fill


def order_module(statics: Sequence[sp.Symbol], names: Mapping[str, Sequence[str]], kernels: Sequence[Kernel]) -> str:
    """Text of the module.

    Parameters
    ----------
    statics : sequence of Symbol
        Parameters of a vehicle at rest, in kernel order.
    names : mapping of str to sequence of str
        Further lists of names; `MOBILITY` follows the statics in kernel order.
    kernels : sequence of Kernel
        Those with named parts have their rows printed.
    """
    lines = [
        '"""Order of the kernels\' numbers. Written by `python -m noseload.model.symbols.derive`; do not edit."""',
        "",
    ]
    for name, listed in ({"STATIC_PARAMETERS": [symbol.name for symbol in statics]} | dict(names)).items():
        lines += [f"{name} = (", *fill(", ".join(f'"{entry}"' for entry in listed) + ",", indent="    "), ")"]
    lines += ["PARAMETERS = STATIC_PARAMETERS + MOBILITY", "ROWS = {"]
    for kernel in kernels:
        if kernel.groups:
            # One part a line: wrapping would part a name from its rows.
            parts = [f'        "{part}": slice({first}, {end}),' for part, (first, end) in kernel.rows().items()]
            lines += [f'    "{kernel.name}": {{', *parts, "    },"]
    lines += ["}", '"""Rows of the parts that a kernel\'s outputs fall into, by kernel and part."""']
    return "\n".join(lines) + "\n"
