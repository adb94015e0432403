"""From the plain values of a TOML reader to SI values by dotted key, with every fault and doubt."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from .build import check_weighed
from .checks import Finding, check_missing, convert_value, unknown_key
from .doubts import check_doubtful
from .geometry import check_geometry
from .keys import KEYS, OPEN_TABLES, TABLES
from .space import add_axle_readings, check_corners, check_rods, check_shafts

Known = dict[str, tuple[object, object]]
"""By dotted key a value as the file gives it, and in SI."""
MOST_SEARCHED = 50
"""Faults of a file up to which the nearest known key is searched for: a search takes milliseconds."""


PLAIN = (float, int, str, bool)
"""Most values by far: none of them is a container."""


def copy_values(value: Any) -> Any:
    """Plain TOML values, containers copied (copy.deepcopy is slower and takes anything)."""
    if type(value) in PLAIN:
        return value
    if isinstance(value, Mapping):
        return {key: copy_values(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [copy_values(item) for item in value]
    return value


def _is_same(before: object, value: object) -> bool:
    """Whether a value is the very one that was there before, or a copy of that list."""
    if isinstance(before, list) and isinstance(value, list) and len(before) == len(value):
        return all(a is b for a, b in zip(before, value, strict=True))
    return before is value


def sentence(finding: Finding) -> str:
    """A finding as one sentence for people."""
    return f"{finding.key} {finding.text}"


def flatten(document: dict) -> tuple[dict[str, object], set[str], list[Finding]]:
    """Raw values by dotted key, tables met, and faults for what no vehicle file has."""
    raw: dict[str, object] = {}
    tables: set[str] = set()
    faults: list[Finding] = []

    def walk(table: dict[str, Any], prefix: str) -> None:
        for name, value in table.items():
            dotted = prefix + name
            if "." in name or not name:
                why = f'is written in quotes ("{name}"), which makes it one name; write it without quotes'
                faults.append(Finding(dotted, why))
            elif dotted in KEYS:
                raw[dotted] = value
            elif dotted in TABLES:
                if isinstance(value, dict):
                    tables.add(dotted)
                    walk(value, dotted + ".")
                else:
                    faults.append(Finding(dotted, f"must be a table: a line [{dotted}], keys below it"))
            elif prefix or name not in OPEN_TABLES:
                fault = unknown_key(dotted, search=len(faults) < MOST_SEARCHED)
                faults.append(fault)
                if isinstance(value, dict) and fault.guess in TABLES and fault.guess not in tables:
                    # Its keys stand for those of the table that was meant: one fault, not one for each of them.
                    tables.add(fault.guess)
                    walk(value, fault.guess + ".")

    walk(document, "")
    return raw, tables, faults


def check_values(
    raw: dict, tables: set[str], faults: list[Finding], known: Known, *, kept_links: bool = False
) -> tuple[dict, list[Finding]]:
    """SI values by dotted key and doubts; faults are added to the list.

    `known` holds values of the same file that were converted before, and those that are not in it yet are added.
    """
    blamed = {fault.guess for fault in faults if fault.guess}
    values = {}
    for dotted, value in raw.items():
        before, converted = known.get(dotted, (None, None))
        if converted is None or not _is_same(before, value):
            converted = convert_value(KEYS[dotted], value, faults)
        if converted is not None:
            values[dotted] = converted
            known.setdefault(dotted, (value, converted))
    # In the order of the key table, so that the order of a file's lines never changes a result.
    values = {dotted: values[dotted] for dotted in KEYS if dotted in values}
    faults += check_missing(set(raw), tables, blamed)
    corner_faults, corner_doubts = check_corners(values)
    faults += corner_faults + check_rods(values) + check_shafts(values)
    add_axle_readings(values)
    faults += check_geometry(values, kept_links=kept_links)
    weighed_faults, weighed_doubts = check_weighed(values)
    faults += weighed_faults
    return values, check_doubtful(values) + corner_doubts + weighed_doubts
