"""Prints array kernels in which what the rear and the front axle have alike is worked out side by side, in one call.

A call of NumPy on few cases costs what the call itself costs. A wide row holds a number of the rear axle of all cases and
then the front axle's; each operation is the same as in the plain array kernel, so that results are the same to the last digit.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from .codegen import Kernel, array_line, lower, number_name

_EITHER_WAY = ("add", "multiply")
"""Operations whose operands may change places without a change of the result."""


def mirrored_rows(names: Sequence[str], mirror: Callable[[str], str]) -> tuple[int, ...]:
    """Place of what each number is to the other axle; its own where the other axle has none."""
    place = {name: k for k, name in enumerate(names)}
    return tuple(place.get(mirror(name), k) for k, name in enumerate(names))


def print_paired(kernel: Kernel, mirror: Callable[[str], str]) -> tuple[str, int, int]:
    """Text of the kernel, and how many scratch rows and wide rows it takes.

    Parameters
    ----------
    kernel : Kernel
    mirror : callable
        Name of what a number is called at the other axle.
    """
    printer = _Printer(kernel, mirror)
    lines = printer.lines()
    arguments = [name for name, _ in kernel.arguments]
    arguments += [f"both_{name}" for name, symbols in kernel.arguments if symbols]
    head = [
        f"def {kernel.name}_batch({', '.join(arguments)}, rooms):",
        f'    """{kernel.summary} Rows of `out` that are always zero are left as they are."""',
        "    out, both_out, scratch, wide, half, twice = rooms",
    ]
    return "\n".join(head + lines), printer.rows, printer.wide_rows


class _Printer:
    """Where each node's value stands, alone and beside its mirror image, while the lines are written."""

    def __init__(self, kernel: Kernel, mirror: Callable[[str], str]) -> None:
        self.nodes, self.order, self.outputs = lower(kernel)
        self.other = self._images(mirror)
        self.groups = {s.name: (name, i) for name, symbols in kernel.arguments for i, s in enumerate(symbols or ())}
        self.row: dict[int, int] = {}
        for row, k in enumerate(self.outputs):
            if self._is_step(k):
                self.row.setdefault(k, row)
        self.left: dict[int, bool] = {}
        """Of the two of a pair, which stands first; what has no pair is missing."""
        self.alone: dict[int, str] = {}
        self.beside: dict[int, str] = {}
        self.slots: dict[int, int] = {}
        self.copies: dict[int, int] = {}
        self.free: list[str] = []
        self.free_wide: list[int] = []
        self.rows = self.wide_rows = 0

    def _is_step(self, k: int) -> bool:
        return self.nodes[k][0] not in ("input", "constant")

    def _operands(self, k: int) -> list[int]:
        """Nodes that a step reads."""
        return [a for a in self.nodes[k][1:] if isinstance(a, int)] if self._is_step(k) else []

    def _images(self, mirror: Callable[[str], str]) -> dict[int, int]:
        """Each node's mirror image, where the kernel has one; its own where both axles share it."""

        def key(operation: str, *operands: Any) -> tuple[Any, ...]:
            return (operation, *(sorted(operands) if operation in _EITHER_WAY else operands))

        known = {key(*self.nodes[k]): k for k in self.order}
        found: dict[int, int | None] = {}
        for k in self.order:
            operation, *operands = self.nodes[k]
            if operation == "constant":
                found[k] = k
            elif operation == "input":
                found[k] = known.get(("input", mirror(operands[0])))
            else:
                images: list[Any] = [found[a] if isinstance(a, int) else a for a in operands]
                found[k] = None if None in images else known.get(key(operation, *images))
        return {k: image for k, image in found.items() if image is not None and found[image] == k}

    def _steps(self) -> list[tuple[int, ...]]:
        """Steps in an order in which all that each reads is there: pairs together, others alone."""
        steps: list[tuple[int, ...]] = []
        done: set[int] = set()

        def take(k: int) -> None:
            if k in done:
                return
            pair = tuple(sorted({k, self.other.get(k, k)}))
            done.update(pair)
            for each in pair:
                for a in filter(self._is_step, self._operands(each)):
                    take(a)
            steps.append(pair)

        for k in filter(self._is_step, self.order):
            take(k)
        return steps

    def _place_inputs(self) -> None:
        for k in self.order:
            operation, *operands = self.nodes[k]
            if operation == "constant":
                self.alone[k] = self.beside[k] = number_name(operands[0])
            elif operation == "input":
                name = operands[0]
                group, i = self.groups.get(name, (name, None))
                self.alone[k] = name if i is None else f"{group}[{i}]"
                image = self.other.get(k)
                if i is None or image is None:
                    continue
                if image != k:
                    # The first of a group is the rear axle's.
                    self.left[k] = k == min(k, image, key=lambda a: self.groups[self.nodes[a][1]][1])
                if self.left.get(k, True):
                    self.beside[k] = f"both_{group}[{i}]"

    def _turned(self, pair: tuple[int, ...]) -> tuple[int, ...]:
        """A pair with the one first whose operands stand first."""
        sides = [self.left[a] for a in self._operands(pair[0]) if a in self.left]
        pair = pair if not sides or sides[0] else pair[::-1]
        self.left |= {pair[0]: True, pair[1]: False}
        return pair

    def _is_wide(self, pair: tuple[int, ...]) -> bool:
        """Whether all operands can stand side by side."""
        return len(pair) == 2 and all(self.left.get(a, self.other.get(a) == a) for a in self._operands(pair[0]))

    def lines(self) -> list[str]:
        """The kernel's lines."""
        self._place_inputs()
        plan = [pair if len(pair) == 1 else self._turned(pair) for pair in self._steps()]
        wide = [self._is_wide(pair) for pair in plan]
        last: dict[int, int] = {}
        for step, pair in enumerate(plan):
            last |= {a: step for each in pair for a in self._operands(each)}
        last |= {k: len(plan) for k in self.outputs}
        lines: list[str] = []
        for step, pair in enumerate(plan):
            lines += self._wide_line(pair) if wide[step] else []
            sources = [[self.alone[a] for a in self._operands(k)] for k in pair]
            side_by_side = [self.beside[a] for a in self._operands(pair[0])] if wide[step] else []
            target = "" if len(pair) == 1 else self._room_of(pair)
            self._release(pair, step, last)
            if len(pair) == 1:
                self.alone[pair[0]] = self._row_of(pair[0])
            if wide[step]:
                lines.append(array_line(self.nodes[pair[0]][0], side_by_side, target))
            else:
                for k, given in zip(pair, sources, strict=True):
                    lines.append(array_line(self.nodes[k][0], given, self.alone[k]))
            lines += [
                f"    copyto({self._out(k)}, {self.alone[k]})"
                for k in pair
                if self.row.get(k) is not None and self.alone[k] != self._out(k)
            ]
        for row, k in enumerate(self.outputs):
            if self.row.get(k) != row and self.nodes[k] != ("constant", "0.0"):
                lines.append(f"    copyto(out[{row}], {self.alone[k]})")
        return lines

    def _out(self, k: int) -> str:
        return f"out[{self.row[k]}]"

    def _wide_line(self, pair: tuple[int, ...]) -> list[str]:
        """Lines that put what both axles share beside itself, where the step reads it."""
        lines = []
        for a in self._operands(pair[0]):
            if a not in self.beside:
                self.copies[a] = slot = self._slot()
                self.beside[a] = f"wide[{slot}]"
                lines.append(f"    copyto(twice[{slot}], {self.alone[a]})")
        return lines

    def _slot(self) -> int:
        if self.free_wide:
            return self.free_wide.pop()
        self.wide_rows += 1
        return self.wide_rows - 1

    def _room_of(self, pair: tuple[int, ...]) -> str:
        """A wide row for a pair, among the outputs where they are neighbours."""
        first, second = (self.row.get(k) for k in pair)
        if first is not None and second == first + 1:
            self.alone |= {k: self._out(k) for k in pair}
            self.beside[pair[0]] = f"both_out[{first}]"
        else:
            slot = self._slot()
            self.slots[pair[0]] = slot
            self.alone |= {k: f"half[{2 * slot + side}]" for side, k in enumerate(pair)}
            self.beside[pair[0]] = f"wide[{slot}]"
        return self.beside[pair[0]]

    def _row_of(self, k: int) -> str:
        if k in self.row:
            return self._out(k)
        if self.free:
            return self.free.pop()
        self.rows += 1
        return f"scratch[{self.rows - 1}]"

    def _release(self, pair: tuple[int, ...], step: int, last: dict[int, int]) -> None:
        """Give back the rows of what no later step reads."""
        for a in {a for k in pair for a in self._operands(k)}:
            if last[a] == step and a in self.copies:
                self.free_wide.append(self.copies.pop(a))
            if a in self.left:
                first = a if self.left[a] else self.other[a]
                if first in self.slots and max(last.get(b, -1) for b in (first, self.other[first])) == step:
                    self.free_wide.append(self.slots.pop(first))
            elif last[a] == step and self.alone[a].startswith("scratch["):
                self.free.append(self.alone[a])
