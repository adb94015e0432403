"""Kernels printed as a script for browsers, from the tapes that the Python kernels are printed from.

Names are short because a page carries the text: arguments are arrays called `a` to `h`, values count up in base 36 after a q, which begins no
word that the language keeps for itself.
"""

import json

from .codegen import Kernel, lower

SCRIPT_KERNELS = ("creep", "creep_outputs", "steady", "rates", "stiff_rates", "observe", "switches", "project")
"""What a page needs: poses, loads and the motion; slopes by parameters and whole Jacobians stay in Python."""
_DIGITS = "0123456789abcdefghijklmnopqrstuvwxyz"
_FORMS = {
    "add": "({}+{})",
    "subtract": "({}-{})",
    "multiply": "{}*{}",
    "divide": "{}/{}",
    "negative": "(-{})",
    "positive_part": "P({})",
    "step": "S({})",
    "magnitude": "abs({})",
    "direction": "sign({})",
}
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


def print_script(kernel: Kernel) -> str:
    """Text of one kernel as a member `name(...) {...}` of an object: arrays and numbers in, one array out.

    A product is written without brackets where both factors are names or calls; sums carry their own, and a quotient
    is a value of its own, so that the order of operations is that of the Python kernels.
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
    text: dict[int, str] = {}
    lines: list[str] = []
    for k in order:
        operation, *operands = nodes[k]
        if operation == "input":
            text[k] = written[operands[0]]
        elif operation == "constant":
            text[k] = _constant(operands[0])
        else:
            expression = _FORMS.get(operation, operation + "({})").format(*(text[a] for a in operands))
            if uses[k] > 1 or operation in ("multiply", "divide") or len(expression) > _LONGEST_TERM:
                # Products are rounded one by one, as in Python: a name each, or brackets where used once.
                if uses[k] == 1 and len(expression) <= _LONGEST_TERM:
                    text[k] = f"({expression})"
                else:
                    text[k] = f"q{_numeral(len(lines))}"
                    lines.append(f"{text[k]}={expression}")
            else:
                text[k] = expression
    body = f"const {','.join(lines)};" if lines else ""
    return f"{kernel.name}({','.join(names)}){{{body}return[{','.join(text[k] for k in outputs)}]}}"


_HEAD = "// Kernels. Written by `python -m noseload.model.symbols.derive`; do not edit.\n"
_NAMES = "const{sin,cos,tan,tanh,cosh,exp,sqrt,abs,sign}=Math,P=x=>x>0?x:0,S=x=>x>0?1:0;\n"


def space_script(kernels: list[Kernel], orders: dict[str, tuple]) -> str:
    """Text of the script of the vehicle in space: `SPACE`, its functions and the orders of their numbers."""
    lists = ",".join(f"{name}:{list(order)!r}" for name, order in orders.items()).replace("'", '"').replace(", ", ",")
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
