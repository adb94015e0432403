"""The one module that turns symbols into functions: tapes of assignments, their derivatives, text.

A `Tape` is a list of assignments. Derivatives are taken along it (each short right-hand side by
SymPy, then the chain rule), which keeps them small. The tape becomes a graph of single operations
in which equal operations are shared, printed once as a scalar and once as an array kernel.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import accumulate, pairwise
from typing import TYPE_CHECKING, Any

import sympy as sp

if TYPE_CHECKING:
    from sympy import Expr


_WRITTEN = {"exponential": "exp", "logarithm": "log"}
_UNARY = {"sin", "cos", "tanh", "sqrt", "positive_part", "step", "magnitude", "direction", *_WRITTEN}


class Tape:
    """Assignments in order; symbols that are never assigned are inputs."""

    def __init__(self) -> None:
        self.steps: list = []
        self._known: dict = {}
        self._count = 0
        self._assigned: dict = {}

    def assign(self, expression: Expr) -> Expr:
        """Give `expression` a name (atoms stay as they are) and return the symbol."""
        expression = sp.sympify(expression)
        if expression.is_Atom:
            return expression
        if expression in self._known:
            return self._known[expression]
        symbol = sp.Symbol(f"w{self._count}", real=True)
        self._count += 1
        self.steps.append((symbol, expression))
        self._known[expression] = symbol
        self._assigned[symbol] = expression
        return symbol

    def assign_all(self, expressions: list[Expr]) -> list[Expr]:
        """Assign many expressions, sharing their common subexpressions; returns atoms, in order."""
        names = (sp.Symbol(f"w{k}", real=True) for k in iter(self._next_number, None))
        replacements, reduced = sp.cse(list(expressions), symbols=names, order="none")
        for symbol, expression in replacements:
            self.steps.append((symbol, expression))
            self._assigned[symbol] = expression
            self._known.setdefault(expression, symbol)
        return [self.assign(expression) for expression in reduced]

    def _next_number(self) -> int:
        self._count += 1
        return self._count - 1

    def derivatives(
        self, outputs: list[Expr], variables: list[Expr], *, seeds: dict[Expr, Any] | None = None
    ) -> list[list[Expr]]:
        """Derivatives of `outputs` (atoms) with respect to `variables`, as rows of atoms.

        `seeds` gives slopes {symbol: {variable: slope}} of intermediates that are known in a shorter form; then only
        what the outputs need is gone through.
        """
        variables = list(variables)
        known = {v: {v: sp.Integer(1)} for v in variables}
        steps = list(self.steps)
        if seeds is not None:
            known |= seeds
            steps = self._needed(outputs, seeds)
        for symbol, expression in steps:
            total: dict = {}
            for atom in sorted(expression.free_symbols, key=str):
                if atom in known:
                    partial = sp.diff(expression, atom)
                    if partial != 0:
                        partial = self.assign(partial)
                        for variable, inner in known[atom].items():
                            total.setdefault(variable, []).append(partial * inner)
            if total:
                known[symbol] = {v: self.assign(sp.Add(*terms)) for v, terms in total.items()}
        zero = sp.Integer(0)
        return [[known.get(output, {}).get(v, zero) for v in variables] for output in outputs]

    def _needed(self, outputs: list[Expr], seeds: dict[Expr, Any]) -> list[tuple[Expr, Expr]]:
        """Steps that the outputs are computed by, not looking behind the seeds."""
        needed, stack = set(), [output for output in outputs if output in self._assigned]
        while stack:
            symbol = stack.pop()
            if symbol not in needed and symbol not in seeds:
                needed.add(symbol)
                stack.extend(atom for atom in self._assigned[symbol].free_symbols if atom in self._assigned)
        return [(symbol, expression) for symbol, expression in self.steps if symbol in needed]


@dataclass(frozen=True)
class Kernel:
    """A function to be printed: `arguments` are (name, symbols) groups, `outputs` atoms of `tape`."""

    name: str
    summary: str
    arguments: tuple
    outputs: tuple
    tape: Tape
    groups: tuple[tuple[str, int], ...] = ()
    """Names and sizes of the parts that the outputs fall into, in order."""

    @classmethod
    def of(cls, name: str, summary: str, arguments: tuple, groups: Mapping[str, Sequence], tape: Tape) -> Kernel:
        """With outputs by the name of their part."""
        outputs = tuple(output for part in groups.values() for output in part)
        return cls(name, summary, arguments, outputs, tape, tuple((part, len(rows)) for part, rows in groups.items()))

    def rows(self) -> dict[str, tuple[int, int]]:
        """First output of each part, and the one after its last."""
        return rows_of(dict(self.groups))


def rows_of(sizes: Mapping[str, int]) -> dict[str, tuple[int, int]]:
    """First row of each of the parts that follow one another, and the one after its last."""
    ends = list(accumulate(sizes.values(), initial=0))
    return dict(zip(sizes, pairwise(ends), strict=True))


class _Graph:
    """Operations with equal ones shared; nodes are indices into `nodes`."""

    def __init__(self) -> None:
        self.nodes: list = []
        self._index: dict = {}

    def node(self, *key: int | str) -> int:
        key = self._without_minus(key)
        if isinstance(key, int):
            return key
        if key not in self._index:
            self._index[key] = len(self.nodes)
            self.nodes.append(key)
        return self._index[key]

    def _without_minus(self, key: tuple[int | str, ...]) -> tuple[int | str, ...]:
        """Take minus signs into the sums and differences around them; an existing node where one is enough."""
        operation, *operands = key
        inner: list[tuple] = [self.nodes[a] if isinstance(a, int) else (None,) for a in operands]
        if operation == "add" and inner[1][0] == "negative":
            return ("subtract", operands[0], inner[1][1])
        if operation == "add" and inner[0][0] == "negative":
            return ("subtract", operands[1], inner[0][1])
        if operation == "subtract" and inner[1][0] == "negative":
            return ("add", *sorted((operands[0], inner[1][1])))
        if operation == "negative" and inner[0][0] == "negative":
            return inner[0][1]
        if operation == "negative" and inner[0][0] == "subtract":
            return ("subtract", inner[0][2], inner[0][1])
        return key

    def convert(self, expression: Expr, bound: dict[Expr, int]) -> int:
        if expression.is_Symbol:
            return bound[expression] if expression in bound else self.node("input", expression.name)
        if expression.is_Number:
            return self.node("constant", repr(float(expression)))
        if expression.is_Add:
            return self._fold_sum(expression, bound)
        if expression.is_Mul:
            return self._fold_product(expression, bound)
        if expression.is_Pow:
            return self._power(expression, bound)
        name = type(expression).__name__
        if name == "tanh_slope":
            return self._tanh_slope(self.convert(expression.args[0], bound))
        if name in _UNARY:
            return self.node(_WRITTEN.get(name, name), self.convert(expression.args[0], bound))
        raise TypeError(f"no kernel operation for {name} in {expression}")

    def _fold_sum(self, expression: Expr, bound: dict[Expr, int]) -> int:
        positive, negative = [], []
        for term in expression.args:
            if term.could_extract_minus_sign():
                negative.append(self.convert(-term, bound))
            else:
                positive.append(self.convert(term, bound))
        # Equal operations are found more often when operands come in a fixed order.
        positive.sort()
        negative.sort()
        total = positive[0] if positive else self.node("negative", negative.pop(0))
        for term in positive[1:]:
            total = self.node("add", total, term)
        for term in negative:
            total = self.node("subtract", total, term)
        return total

    def _fold_product(self, expression: Expr, bound: dict[Expr, int]) -> int:
        numerator, denominator, sign = [], [], 1
        for factor in expression.args:
            if factor == -1:
                sign = -sign
            elif factor.is_Pow and factor.exp.is_negative:
                denominator.append(self.convert(1 / factor, bound))
            else:
                numerator.append(self.convert(factor, bound))
        numerator.sort()
        denominator.sort()
        product = self._chain("multiply", numerator) if numerator else self.node("constant", "1.0")
        if denominator:
            product = self.node("divide", product, self._chain("multiply", denominator))
        return self.node("negative", product) if sign < 0 else product

    def _chain(self, operation: str, operands: list[int]) -> int:
        total = operands[0]
        for operand in operands[1:]:
            total = self.node(operation, total, operand)
        return total

    def _tanh_slope(self, operand: int) -> int:
        """``4 z / (1 + z)^2`` with ``z = exp(-2 |x|)``: neither a difference of equal numbers nor an overflow."""
        size = self.node("magnitude", operand)
        z = self.node("exp", self.node("multiply", self.node("constant", "-2.0"), size))
        below = self.node("add", self.node("constant", "1.0"), z)
        above = self.node("multiply", self.node("constant", "4.0"), z)
        return self.node("divide", above, self.node("multiply", below, below))

    def _power(self, expression: Expr, bound: dict[Expr, int]) -> int:
        base, exponent = expression.base, expression.exp
        if exponent.is_negative:
            return self.node("divide", self.node("constant", "1.0"), self.convert(1 / expression, bound))
        if exponent == sp.Rational(1, 2):
            return self.node("sqrt", self.convert(base, bound))
        if exponent.is_Rational and exponent.q == 2:
            root = self.node("sqrt", self.convert(base, bound))
            return self._chain("multiply", [root] * int(exponent.p))
        if exponent.is_Integer:
            return self._chain("multiply", [self.convert(base, bound)] * int(exponent))
        raise TypeError(f"no kernel operation for the power {expression}")


def lower(kernel: Kernel) -> tuple:
    """Turn a kernel's tape into needed nodes in order, and the node of each output."""
    graph = _Graph()
    bound: dict = {}
    for symbol, expression in kernel.tape.steps:
        bound[symbol] = graph.convert(expression, bound)
    outputs = [graph.convert(sp.sympify(output), bound) for output in kernel.outputs]
    needed = set()
    stack = list(outputs)
    while stack:
        k = stack.pop()
        if k not in needed:
            needed.add(k)
            stack.extend(a for a in graph.nodes[k][1:] if isinstance(a, int))
    order = [k for k in range(len(graph.nodes)) if k in needed]
    return graph.nodes, order, outputs


def operation_count(kernel: Kernel) -> int:
    """Number of arithmetic operations of one evaluation."""
    nodes, order, _ = lower(kernel)
    return sum(nodes[k][0] not in ("input", "constant") for k in order)


_SCALAR = {
    "add": "({} + {})",
    "subtract": "({} - {})",
    "multiply": "({} * {})",
    "divide": "({} / {})",
    "negative": "(-{})",
    "positive_part": "({0} if {0} > 0.0 else 0.0)",
    "step": "(1.0 if {} > 0.0 else 0.0)",
    "magnitude": "abs({})",
    "direction": "(({0} > 0.0) - ({0} < 0.0))",
}


def _soon_read(nodes: list, outputs: list[int]) -> list[int]:
    """Needed nodes depth first from the last output: what is computed is soon read, so few names are held at a time."""
    order: list[int] = []
    seen, stack = set(), [(k, False) for k in outputs]
    while stack:
        k, ready = stack.pop()
        if ready:
            order.append(k)
        elif k not in seen:
            seen.add(k)
            stack.append((k, True))
            stack.extend((a, False) for a in nodes[k][1:] if isinstance(a, int))
    return order


def print_scalar(kernel: Kernel) -> str:
    """Text of the kernel for one state: tuples of floats in, one tuple of floats out."""
    nodes, _, outputs = lower(kernel)
    order = _soon_read(nodes, outputs)
    uses: dict = {}
    for k in order:
        operation, *operands = nodes[k]
        for a in operands:
            if isinstance(a, int):
                uses[a] = uses.get(a, 0) + (2 if operation in ("positive_part", "direction") else 1)
    for k in outputs:
        uses[k] = uses.get(k, 0) + 1
    text, lines = {}, []
    for k in order:
        operation, *operands = nodes[k]
        if operation in ("input", "constant"):
            text[k] = operands[0]
            continue
        form = _SCALAR.get(operation, operation + "({})")
        expression = form.format(*(text[a] for a in operands))
        exponent = _exponent(nodes, k)
        if exponent is not None:
            # A power of zero is one: most vehicles have it, and are spared the logarithm.
            expression = f"({expression} if {text[exponent]} else 1.0)"
        if uses[k] > 1 or len(expression) > 400:
            lines.append((f"v{k}", expression))
            text[k] = f"v{k}"
        else:
            text[k] = expression
    arguments = ", ".join(name for name, _ in kernel.arguments)
    head = [f"def {kernel.name}({arguments}):", f'    """{kernel.summary}"""']
    for name, symbols in kernel.arguments:
        if symbols is not None:
            head.extend(_wrap(f"    ({', '.join(s.name for s in symbols)},) = {name}"))
    given = [s.name for _, symbols in kernel.arguments if symbols is not None for s in symbols]
    named, result = _names_used_again(given, lines, f"({', '.join(text[k] for k in outputs)},)")
    return "\n".join(head + named + _wrap(f"    return {result}"))


def _exponent(nodes: list, k: int) -> int | None:
    """Node of a in ``exp(a log(b))``; None where node k is no such power."""
    if nodes[k][0] != "exp" or nodes[nodes[k][1]][0] != "multiply":
        return None
    _, first, second = nodes[nodes[k][1]]
    for a, b in ((first, second), (second, first)):
        if nodes[b][0] == "log":
            return a
    return None


_WORD = re.compile(r"(?<![\w.])[A-Za-z_]\w*")


def _names_used_again(given: list[str], lines: list[tuple[str, str]], result: str) -> tuple[list[str], str]:
    """Assignments whose names are taken again once nobody reads them: few local names are faster to reach, and warm.

    Parameters
    ----------
    given : list of str
        Names unpacked from the arguments; they too are taken again.
    lines : list of (str, str)
        Name and expression, in order.
    result : str
        Expression that is returned.
    """
    read = [set(_WORD.findall(expression)) for _, expression in lines]
    last = {name: row for row, names in enumerate(read) for name in names}
    last |= dict.fromkeys(_WORD.findall(result), len(lines))
    place = {name: name for name in given}
    free = [name for name in given if name not in last]
    count, named = 0, []

    def renamed(expression: str) -> str:
        return _WORD.sub(lambda found: place.get(found[0], found[0]), expression)

    for row, (name, expression) in enumerate(lines):
        text = renamed(expression)
        free += sorted(place[old] for old in read[row] if old in place and last[old] == row)
        if free:
            place[name] = free.pop()
        else:
            place[name], count = f"v{count}", count + 1
        named.append(f"    {place[name]} = {text}")
    return named, renamed(result)


_ARRAY = {
    "positive_part": "maximum({}, number_0_0, out={})",
    "step": "heaviside({}, number_0_0, {})",
    "magnitude": "absolute({}, {})",
    "direction": "sign({}, {})",
}


_NUMBER = re.compile(r"\bnumber_\w+")


def number_name(value: str) -> str:
    """Name of a constant in array kernels."""
    return "number_" + value.replace("-", "minus_").replace("+", "").replace(".", "_")


def numbers_of(text: str) -> list[str]:
    """Assignments of the constants that printed array kernels name: an array of no axis is taken faster than a number."""
    names = sorted(set(_NUMBER.findall(text)))
    values = [name.removeprefix("number_").replace("minus_", "-").replace("_", ".") for name in names]
    return [f"{name} = array({value})" for name, value in zip(names, values, strict=True)]


def array_line(operation: str, sources: Sequence[str], target: str) -> str:
    """Line of an array kernel that works out one operation."""
    form = _ARRAY.get(operation) or operation + "(" + "{}, " * len(sources) + "{})"
    return "    " + form.format(*sources, target)


def print_array(kernel: Kernel) -> tuple[str, int]:
    """Text of the kernel for a batch: rows in, rows written into `out`, scratch rows recycled."""
    nodes, order, outputs = lower(kernel)
    last_use = {}
    for k in order:
        for a in nodes[k][1:]:
            if isinstance(a, int):
                last_use[a] = k
    place = {}
    first_row = {}
    copies = []
    for row, k in enumerate(outputs):
        if nodes[k][0] in ("input", "constant") or k in first_row:
            copies.append((row, k))
        else:
            first_row[k] = row
    rows_of = {s.name: f"{name}[{i}]" for name, symbols in kernel.arguments if symbols for i, s in enumerate(symbols)}
    free, rows, lines = [], 0, []
    for k in order:
        operation, *operands = nodes[k]
        if operation == "input":
            place[k] = rows_of.get(operands[0], operands[0])
            continue
        if operation == "constant":
            place[k] = number_name(operands[0])
            continue
        sources = [place[a] for a in operands]
        for a in set(operands):
            if last_use[a] == k and place[a].startswith("scratch["):
                free.append(place[a])
        if k in first_row:
            place[k] = f"out[{first_row[k]}]"
        elif free:
            place[k] = free.pop()
        else:
            place[k] = f"scratch[{rows}]"
            rows += 1
        lines.append(array_line(operation, sources, place[k]))
    for row, k in copies:
        if nodes[k] != ("constant", "0.0"):
            lines.append(f"    copyto(out[{row}], {place[k]})")
    arguments = ", ".join(name for name, _ in kernel.arguments)
    head = [
        f"def {kernel.name}_batch({arguments}, out, scratch):",
        f'    """{kernel.summary} Rows of `out` that are always zero are left as they are."""',
    ]
    return "\n".join(head + lines), rows


def _wrap(line: str, width: int = 110) -> list:
    """Break a long bracketed line at commas."""
    indent, lines = " " * 8, []
    while len(line) > width:
        cut = line.rfind(", ", 0, width)
        if cut <= 0:
            break
        lines.append(line[: cut + 1])
        line = indent + line[cut + 2 :]
    return lines + [line]
