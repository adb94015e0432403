"""Kernels printed as a script for browsers, from the tapes that the Python kernels are printed from.

Names are short because a page carries the text: arguments are arrays called `a` to `h`, values count up in base 36 after a q, which begins no
word that the language keeps for itself.
"""

import json
from collections.abc import Mapping

from .codegen import Kernel, lower, rows_of

SCRIPT_KERNELS = ("creep", "creep_outputs", "steady", "rates", "stiff_rates", "observe", "switches", "project")
"""What a page needs: poses, loads and the motion; slopes by parameters and whole Jacobians stay in Python."""
_DIGITS = "0123456789abcdefghijklmnopqrstuvwxyz"
_SUM, _PRODUCT, _WHOLE = 1, 2, 3
"""How tightly a text holds together: what binds less than its neighbour wants stands in brackets."""
_SIGNS = {"add": ("+", _SUM), "subtract": ("-", _SUM), "multiply": ("*", _PRODUCT), "divide": ("/", _PRODUCT)}
_CALLS = {"positive_part": "P", "step": "S", "magnitude": "abs", "direction": "sign"}
_LONGEST_TERM = 300


def _numeral(number: int) -> str:
    text = ""
    while True:
        number, digit = divmod(number, 36)
        text = _DIGITS[digit] + text
        if not number:
            return text


def _constant(text: str) -> str:
    number = float(text)
    return str(int(number)) if number.is_integer() and abs(number) < 1e15 else repr(number)


def _inputs(kernel: Kernel) -> tuple[list[str], dict[str, str]]:
    """Short names of the arguments, and how each input symbol is written."""
    names = list("abcdefgh"[: len(kernel.arguments)])
    written: dict[str, str] = {}
    for name, (argument, symbols) in zip(names, kernel.arguments, strict=True):
        if symbols is None:
            written[argument] = name
        else:
            written |= {symbol.name: f"{name}[{k}]" for k, symbol in enumerate(symbols)}
    return names, written


def _held(text: tuple[str, int], least: int) -> str:
    """A text as it stands where at least that binding is wanted."""
    return text[0] if text[1] >= least else f"({text[0]})"


def _expression(operation: str, operands: list[tuple[str, int]]) -> tuple[str, int]:
    """Text of one operation and how tightly it binds: brackets only where the order of operations asks for them."""
    if operation in _SIGNS:
        (left, right), (sign, level) = operands, _SIGNS[operation]
        # Operations of one level go from left to right: a right side of the same level keeps its brackets.
        return f"{_held(left, level)}{sign}{_held(right, level + 1)}", level
    if operation == "negative":
        return f"-{_held(operands[0], _WHOLE)}", _SUM
    return f"{_CALLS.get(operation, operation)}({','.join(text for text, _ in operands)})", _WHOLE


def print_script(kernel: Kernel) -> str:
    """Text of one kernel as a member `name(...) {...}` of an object: arrays and numbers in, one array out.

    Values used once stand where they are used, the others have a name; the order of operations, and so the rounding,
    is that of the Python kernels.
    """
    nodes, order, outputs = lower(kernel)
    names, written = _inputs(kernel)
    uses: dict[int, int] = {}
    for k in order:
        for a in nodes[k][1:]:
            if isinstance(a, int):
                uses[a] = uses.get(a, 0) + 1
    for k in outputs:
        uses[k] = uses.get(k, 0) + 1
    text: dict[int, tuple[str, int]] = {}
    lines: list[str] = []
    for k in order:
        operation, *operands = nodes[k]
        if operation == "input":
            text[k] = written[operands[0]], _WHOLE
        elif operation == "constant":
            number = _constant(operands[0])
            text[k] = number, _SUM if number.startswith("-") else _WHOLE
        else:
            text[k] = _expression(operation, [text[a] for a in operands])
            if uses[k] > 1 or len(text[k][0]) > _LONGEST_TERM:
                name = f"q{_numeral(len(lines))}"
                lines.append(f"{name}={text[k][0]}")
                text[k] = name, _WHOLE
    body = f"const {','.join(lines)};" if lines else ""
    return f"{kernel.name}({','.join(names)}){{{body}return[{','.join(text[k][0] for k in outputs)}]}}"


_HEAD = "// Kernels. Written by `python -m noseload.model.symbols.derive`; do not edit.\n"
_NAMES = "const{sin,cos,tan,tanh,cosh,exp,log,sqrt,abs,sign}=Math,P=x=>x>0?x:0,S=x=>x>0?1:0;\n"


def space_script(kernels: list[Kernel], orders: dict[str, tuple], vectors: Mapping[str, Mapping[str, int]]) -> str:
    """Text of the script of the vehicle in space: `SPACE`, its functions and the orders and rows of their numbers."""
    rows: dict = {name: rows_of(sizes) for name, sizes in vectors.items()}
    rows["ROWS"] = {kernel.name: kernel.rows() for kernel in kernels if kernel.groups}
    lists = ",".join(f"{name}:{json.dumps(order, separators=(',', ':'))}" for name, order in (orders | rows).items())
    members = ",\n".join(print_script(kernel) for kernel in kernels)
    return f"{_HEAD}const SPACE=(()=>{{{_NAMES}return{{{lists},\n{members}}}}})();\n"


def script_module(kernels: dict[str, Kernel], parameters: list, powers: tuple[str, ...]) -> str:
    """Text of the whole script: `KERNELS`, an object of functions, and the order of their numbers.

    Parameters
    ----------
    kernels : dict of str to Kernel
        All kernels by name.
    parameters : list of Symbol
        In kernel order.
    powers : tuple of str
        Names of what `rates` gives beside the speed rates.
    """
    order = ",".join(f'"{symbol.name}"' for symbol in parameters)
    members = ",\n".join(print_script(kernels[name]) for name in SCRIPT_KERNELS)
    parts = {name: {part: list(ends) for part, ends in kernels[name].rows().items()} for name in SCRIPT_KERNELS}
    rows = json.dumps(parts, separators=(",", ":"))
    head = f"PARAMETERS:[{order}],POWERS:{len(powers)},ROWS:{rows}"
    return f"{_HEAD}const KERNELS=(()=>{{{_NAMES}return{{{head},\n{members}}}}})();\n"
