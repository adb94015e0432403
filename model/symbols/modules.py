"""Text of the generated modules: head, imports, kernels."""

from __future__ import annotations

import textwrap
from typing import TYPE_CHECKING

from .codegen import numbers_of, operation_count, print_array, print_scalar

if TYPE_CHECKING:
    from noseload.model.symbols.codegen import Kernel


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
    lines = [
        *_header("array", family, kernels),
        "from numpy import (absolute, add, array, copyto, cos, divide, exp, heaviside, log, maximum, multiply,",
        "                   negative, sign, sin, sqrt, subtract, tanh)",
        "",
    ]
    lines += [
        "SCRATCH_ROWS = {",
        *(f'    "{k.name}": {rows},' for k, (_, rows) in zip(kernels, printed, strict=True)),
        "}",
    ]
    lines += ["OUTPUT_ROWS = {", *(f'    "{k.name}": {len(k.outputs)},' for k in kernels), "}"]
    text = "\n\n\n".join(text for text, _ in printed)
    return "\n".join([*lines, *numbers_of(text)]) + "\n\n\n" + text + "\n"


def fill(text: str, indent: str = "", width: int = 108) -> list[str]:
    """Lines of a long text."""
    return textwrap.wrap(text, width, initial_indent=indent, subsequent_indent=indent)
