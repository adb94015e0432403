"""Setups of a vehicle file: lines over the base, checked one by one and as the vehicle they make."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, NamedTuple

from noseload.model.names import Named, shown_name
from noseload.model.vehicle import Vehicle

from .build import Provenance, build_vehicle
from .checks import Finding, convert_value, nearest, take_label, unknown_key
from .geometry import check_loop, rod_length
from .key import value_at
from .keys import AXLES, KEYS, OPEN_TABLES, PARTS, RESERVED_SETUP, SETUP_OPTIONS
from .values import Known, check_values, copy_values, flatten, sentence


class SetupLines(NamedTuple):
    """One `[setups.NAME]` table, checked: its name with its label, raw values by dotted key, and its two words."""

    name: Named
    lines: dict[str, object]
    link_lengths: str
    ride_height: str


def read_setups(table: object, faults: list[Finding], document: Mapping[str, Any]) -> list[SetupLines]:
    """The setups of a file, their lines checked one by one; relative ones start from the file as written."""
    if not isinstance(table, dict):
        faults.append(Finding("setups", "must hold tables: a line [setups.NAME] and its changes below it"))
        return []
    found = []
    for name, content in table.items():
        path = f"setups.{name}"
        if name == RESERVED_SETUP:
            why = 'is reserved: "base" names the file as written; give the setup another name'
            faults.append(Finding(path, why))
        elif not name.strip() or not name.isprintable():
            faults.append(Finding("setups", f"holds the setup name {name!r}; use letters, digits, - and _"))
        elif not isinstance(content, dict):
            faults.append(Finding(path, f"must be a table: a line [{path}] and its changes below it"))
        else:
            found.append(_read_setup(name, content, faults, document))
    _check_shown(found, faults)
    return found


def _check_shown(setups: list[SetupLines], faults: list[Finding]) -> None:
    """Setups with labels are told apart by what people read."""
    known = {RESERVED_SETUP: RESERVED_SETUP}
    for setup in setups:
        words = shown_name(setup.name)
        other = known.setdefault(words, setup.name)
        if other != setup.name and (setup.name.label or getattr(other, "label", "")):
            faults.append(
                Finding(f"setups.{setup.name}.label", f'= "{words}" is what {other} is called; label it otherwise')
            )


def _read_setup(name: str, content: dict, faults: list[Finding], document: Mapping[str, Any]) -> SetupLines:
    path = f"setups.{name}"
    words = {}
    for option, choices in SETUP_OPTIONS.items():
        word = words[option] = content.get(option, choices[0])
        if word not in choices:
            listed = " or ".join(f'"{choice}"' for choice in choices)
            shown = f'"{word}"' if isinstance(word, str) else str(word)
            faults.append(Finding(f"{path}.{option}", f"= {shown} must be {listed}"))
    lines: dict[str, object] = {}
    _collect_lines(content, "", lines)
    label = take_label(path, lines, faults)
    checked = {}
    for dotted, value in lines.items():
        if dotted in SETUP_OPTIONS:
            continue
        full = f'{path}."{dotted}"'
        if dotted == "name":
            faults.append(Finding(full, "cannot be changed by a setup; a setup is called by its table"))
        elif dotted not in KEYS:
            unknown = unknown_key(dotted, SETUP_OPTIONS)
            faults.append(Finding(full, unknown.text))
        else:
            own: list[Finding] = []
            if isinstance(value, dict):
                value = absolute_value(document, dotted, value, own)
            if not own:
                convert_value(KEYS[dotted], value, own)
            faults += [Finding(full + fault.key.removeprefix(dotted), fault.text) for fault in own]
            if value is not None:
                checked[dotted] = value
    return SetupLines(Named(name, label), checked, words["link_lengths"], words["ride_height"])


def _collect_lines(table: dict, prefix: str, lines: dict) -> None:
    """Lines of a setup by dotted key, whether the key was written in quotes or not."""
    for name, value in table.items():
        dotted = prefix + name
        if isinstance(value, dict) and dotted not in KEYS:
            if value:
                _collect_lines(value, dotted + ".", lines)
            else:
                lines[dotted] = value
        else:
            lines[dotted] = value


def apply_setup(
    base: Vehicle, base_values: dict, setup: SetupLines, faults: list[Finding], known: Known
) -> Vehicle | None:
    """The setup's vehicle, or None with faults added; `known` as of `check_values`."""
    path = f"setups.{setup.name}"
    own: list[Finding] = []
    document = apply_lines(base.document, setup.lines)
    for dotted in setup.lines:
        table = KEYS[dotted].table
        if table.rpartition(".")[2] in PARTS and f"{table}.chassis_end_mm" not in base_values:
            own.append(Finding(dotted, f"changes a part the file does not have; add [{table}] to the file"))
    if not own:
        raw, tables, own = flatten(document)
        kept = setup.link_lengths == "kept"
        values, doubts = check_values(raw, tables, own, known, kept_links=kept)
        if kept and base.level != "A" and not own:
            own += _check_loops(base_values, values)
    if own:
        quoted = [(f'{path}."{key}"' if key in setup.lines else f"{path}: {key}", text) for key, text, _ in own]
        faults += [Finding(key, text) for key, text in quoted]
        return None
    said = set(base.warnings)
    sentences = [sentence(doubt) for doubt in doubts]
    warnings = base.warnings + tuple(f"{path}: {text}" for text in sentences if text not in said)
    origin = Provenance(base.name, base.file, base.sha256, setup.name, setup.link_lengths, setup.ride_height)
    return build_vehicle(values, origin, document, base=base, warnings=warnings)


def _check_loops(base_values: dict, values: dict) -> list[Finding]:
    paths = [f"{axle}.{part}" for axle in AXLES for part in ("lower_link", "upper_link")]
    lengths = {path: length for path in paths if (length := rod_length(base_values, path)) is not None}
    found = [check_loop(lengths, values, axle) for axle in AXLES]
    return [fault for fault in found if fault is not None]


def apply_lines(document: dict, lines: Mapping[str, Any]) -> dict:
    """Copy of a document with dotted keys set; a point of two numbers keeps the y that was there."""
    result = copy_values({name: value for name, value in document.items() if name not in OPEN_TABLES})
    for dotted, value in lines.items():
        *path, name = dotted.split(".")
        table = result
        for part in path:
            table = table.setdefault(part, {})
        before = table.get(name)
        if KEYS[dotted].kind == "point" and isinstance(before, list) and (len(before), len(value)) == (3, 2):
            value = [value[0], before[1], value[1]]
        table[name] = copy_values(value)
    return result


POINT_WORDS = {
    "forward": (0, 1.0),
    "back": (0, -1.0),
    "outward": (1, 1.0),
    "inward": (1, -1.0),
    "up": (2, 1.0),
    "down": (2, -1.0),
}
"""Word -> axis of a point (x, y, z) and its sign; a left end's y grows outward."""
NUMBER_WORDS = ("more", "less", "percent")
"""More or less by so many units, or by so many percent (negative: less)."""


def absolute_value(document: Mapping[str, Any], dotted: str, line: Mapping[str, Any], faults: list[Finding]) -> object:
    """What a relative line makes of the value that the file gives.

    Parameters
    ----------
    document : mapping
        The file as written.
    dotted : str
        A key of the file.
    line : mapping
        Such as ``{"up": 12}`` or ``{"percent": -15}``.
    faults : list of Finding
        Added to where the line cannot be followed.

    Returns
    -------
    object
        A value as the file would give it, or None with a fault added.
    """
    key = KEYS[dotted]
    words = {"point": tuple(POINT_WORDS), "number": NUMBER_WORDS}.get(key.kind)
    if words is None:
        faults.append(Finding(dotted, f"is a {key.kind}, which knows no more and less; give the value itself"))
        return None
    example = "{ up = 12 }" if key.kind == "point" else "{ more = 2 }"
    if not line:
        faults.append(Finding(dotted, f"says nothing; give a value, or a change such as {example}"))
        return None
    found = len(faults)
    for word, amount in line.items():
        if word not in words:
            guess = nearest(str(word), words)
            hint = f"did you mean {guess}?" if guess else f"it takes {', '.join(words)}"
            faults.append(Finding(f"{dotted}.{word}", f"is no way to change it; {hint}"))
        elif isinstance(amount, bool) or not isinstance(amount, int | float) or not abs(amount) < 1e9:
            faults.append(Finding(f"{dotted}.{word}", f"must be a number, such as {example}"))
    if len(faults) > found:
        return None
    value = value_at(document, dotted)
    if not _is_value(value, key.kind):
        why = "is changed against the file, which does not give it; give the value itself"
        faults.append(Finding(dotted, why))
        return None
    return _moved(dotted, value, line, faults) if key.kind == "point" else _changed(value, line)


def _is_value(value: float | list | None, kind: str) -> bool:
    numbers = value if kind == "point" else [value]
    return (
        isinstance(numbers, list)
        and len(numbers) in (1, 2, 3)
        and all(isinstance(number, int | float) and not isinstance(number, bool) for number in numbers)
    )


def _moved(dotted: str, value: Any, line: Any, faults: list) -> list[float] | None:
    point = [value[0], value[1] if len(value) == 3 else None, value[-1]]
    for word, amount in line.items():
        axis, sign = POINT_WORDS[word]
        if point[axis] is None:
            faults.append(Finding(f"{dotted}.{word}", "needs the point's y: give the point as [x, y, z] in the file"))
            return None
        point[axis] = _rounded(point[axis] + sign * amount)
    return [number for number in point if number is not None]


def _changed(value: Any, line: Any) -> float:
    value = value * (1.0 + line.get("percent", 0.0) / 100.0) + line.get("more", 0.0) - line.get("less", 0.0)
    return _rounded(value)


def _rounded(number: float) -> float:
    """Decimal numbers as people write them: 0.1 + 0.2 is 0.3."""
    return float(f"{number:.12g}")
