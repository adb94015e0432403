"""Reads a vehicle file: text to values, every fault at once, setups over the base, frozen vehicle.

The keys, units and bounds are those of `noseload.model.file.keys`; nothing here knows a key by name that the
table could tell.
"""

from __future__ import annotations

import os
import re
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import replace
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from noseload.model.errors import ModelError, VehicleFileError
from noseload.model.names import Named
from noseload.model.vehicle import Assumption, Vehicle

from .build import Provenance, build_vehicle
from .checks import Finding, nearest, unknown_key
from .examples import untouched_doubt
from .keys import KEYS, OPEN_TABLES, RESERVED_SETUP
from .limits import DEEPEST, NESTED, depth_of, size_fault
from .setups import apply_lines, apply_setup, read_setups
from .values import Known, check_values, copy_values, flatten, sentence

if TYPE_CHECKING:
    from .ready_made import ReadyMade


LARGEST_FILE_BYTES = 1_000_000
"""A vehicle file is a few kilobytes; anything beyond this is another kind of file."""

KEPT_FILES = 4
"""Files whose vehicles are kept, the last ones read."""

MOST_SYNTAX = 20
"""Lines that are no TOML told of one file."""

EXAMPLES = 3
"""Ready-made changes named where a setup is not found."""

MOST_TOLD = 100
"""Faults told of one file."""

DRIVES = KEYS["drive.driven_axles"].choices


def load_vehicle(
    source: str | os.PathLike, *, setup: str | None = None, drive: str | None = None, text: str | None = None
) -> Vehicle:
    """Read a vehicle file.

    Parameters
    ----------
    source : str or path
        File to read; with `text`, only the name to use in messages.
    setup : str, optional
        Name of a setup of the file; None or 'base' for the file as written.
    drive : {'both', 'rear', 'front'}, optional
        Driven axles in place of the file's.
    text : str, optional
        TOML text to use instead of reading the file.

    Returns
    -------
    Vehicle
        In SI and radians, with `assumed` values, `warnings` and the SHA-256 of the file's bytes.

    Raises
    ------
    VehicleFileError
        With every fault of the file: it cannot be read, is no TOML, or says something impossible.
    ModelError
        If the file has no such setup, or `drive` is not one of the three.
    """
    _check_drive(drive)
    file = os.fspath(source)
    data = _read_bytes(file) if text is None else text.encode("utf-8")
    return _with_documents_of_its_own(_chosen(_vehicles_of(data, file), setup, drive))


def _with_documents_of_its_own(vehicle: Vehicle) -> Vehicle:
    """The same with copies of its documents, so that whoever changes them changes no vehicle that is read later."""
    base = None if vehicle.base is None else _with_documents_of_its_own(vehicle.base)
    return replace(vehicle, document=dict(copy_values(vehicle.document)), base=base)


@lru_cache(maxsize=KEPT_FILES)
def _vehicles_of(data: bytes, file: str) -> Mapping[str, Vehicle]:
    """The vehicles of a file, read once: a command takes several setups of it."""
    text = _decode(data, file)
    return _vehicles(_parse_toml(text, file), file=file, sha256=_sha256(data), text=text)


def _sha256(data: bytes) -> str:
    # hashlib loads the whole of OpenSSL; the interpreter's own implementation is there at once.
    try:
        from _sha2 import sha256
    except ImportError:
        try:
            from _sha256 import sha256
        except ImportError:
            from hashlib import sha256
    return sha256(data).hexdigest()


def _read_bytes(file: str) -> bytes:
    try:
        with open(file, "rb") as stream:
            data = stream.read(LARGEST_FILE_BYTES + 1)
    except FileNotFoundError:
        fault = "no such file; check the name, or let `noseload new --level A FILE` write one to fill in"
    except IsADirectoryError:
        fault = "is a folder; name the vehicle file in it"
    except PermissionError:
        fault = "may not be read: permission denied; check the owner of the file"
    except (OSError, ValueError) as error:
        fault = f"cannot be read: {getattr(error, 'strerror', None) or error}; check the name"
    else:
        if len(data) <= LARGEST_FILE_BYTES:
            return data
        fault = "is larger than 1 MB, so it is no vehicle file; check the name"
    raise VehicleFileError(file, [fault])


def _decode(data: bytes, file: str) -> str:
    try:
        return data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        fault = f"line {line}: byte {data[error.start]:#04x} is not UTF-8 text; save the file as UTF-8"
        raise VehicleFileError(file, [fault]) from None


def _parse_toml(text: str, file: str) -> dict:
    fault = size_fault(text)
    if fault is not None:
        raise VehicleFileError(file, [fault])
    faults: list[str] = []
    left = text
    while len(faults) < MOST_SYNTAX:
        try:
            document = tomllib.loads(left)
        except RecursionError:
            faults.append(NESTED)
            break
        except ValueError as error:
            fault, number = _syntax_fault(left, str(error))
            faults.append(fault)
            rest = _without_line(left, number)
            if rest is None:
                break
            left = rest
        else:
            if depth_of(document) > DEEPEST:
                faults.append(NESTED)
            if not faults:
                return document
            break
    raise VehicleFileError(file, faults)


def _without_line(text: str, number: int) -> str | None:
    """The text with a faulty line left empty, so that the next fault is found too; None where it is no plain line of a key."""
    lines = text.splitlines()
    line = lines[number - 1].strip() if 0 < number <= len(lines) else ""
    if not re.match(r"[A-Za-z_\"'][^\[\]{}]*$", line) or '"""' in line:
        return None
    lines[number - 1] = ""
    return "\n".join(lines)


def _syntax_fault(text: str, message: str) -> tuple[str, int]:
    """Sentence for a TOML syntax error (the line, what it says and the likeliest remedy), and the number of that line."""
    found = re.search(r"at line (\d+)", message)
    lines = text.splitlines()
    if found:
        number = int(found.group(1))
    else:
        number = len(lines) if "end of document" in message else 0
    line = lines[number - 1].strip() if 0 < number <= len(lines) else ""
    quoted = f"`{line[:60]}`: " if line else ""
    remedy = "one `key = value` a line, tables in [brackets], text in quotes"
    if re.search(r"=\s*-?\d+,\d+\s*(#|$)", line):
        remedy = "decimals take a point, not a comma"
    elif "overwrite" in message or "twice" in message or "redefine" in message:
        remedy = "the key or table is there twice; keep one"
    elif "Exceeds the limit" in message:
        message, remedy = "a number of thousands of digits", "write a plain number"
    elif "Unclosed" in message:
        remedy = "a bracket that was opened in this line or above is not closed"
    elif re.search(r"=\s*\S+\s+(mm|g|kg|N|deg)\b", line):
        remedy = "write the number alone; the unit is part of the key"
    where = f"line {number}: " if number else ""
    message = message.partition(" (at ")[0]
    return f"{where}{quoted}this is not TOML ({message}); {remedy}", number


def parse_vehicle(
    document: Mapping[str, Any],
    *,
    file: str = "vehicle",
    sha256: str = "",
    setup: str | None = None,
    drive: str | None = None,
    text: str | None = None,
    inherited: Mapping[str, Assumption] | None = None,
) -> Vehicle:
    """Build a vehicle from the plain values of a vehicle file.

    Parameters
    ----------
    document : mapping
        What a TOML reader returns for the file; never changed.
    file : str
        Name for messages.
    sha256 : str
        Hash to carry.
    setup, drive : str, optional
        As in `load_vehicle`.
    text : str, optional
        The file's text, so that faults can say the line.
    inherited : mapping, optional
        Assumptions to take over by key instead of making them anew.

    Returns
    -------
    Vehicle
        Its `document` is a copy of `document`; for a setup, with its lines applied and without `setups`.

    Raises
    ------
    VehicleFileError, ModelError
        As in `load_vehicle`.
    """
    _check_drive(drive)
    return _chosen(_vehicles(document, file=file, sha256=sha256, text=text, inherited=inherited), setup, drive)


def _check_drive(drive: str | None) -> None:
    if drive is not None and drive not in DRIVES:
        raise ModelError(f"drive = {drive!r} is none of {', '.join(DRIVES)}; use one of them")


def _chosen(vehicles: Mapping[str, Vehicle], setup: str | None, drive: str | None) -> Vehicle:
    """One of the vehicles of a file, or its base with a change made to it."""
    name = RESERVED_SETUP if setup is None else setup
    vehicle = vehicles[name] if name in vehicles else _changed(vehicles[RESERVED_SETUP], name)
    return vehicle if drive is None else _with_drive(vehicle, drive)


def _vehicles(
    document: Mapping[str, Any],
    *,
    file: str,
    sha256: str,
    text: str | None,
    inherited: Mapping[str, Assumption] | None = None,
) -> Mapping[str, Vehicle]:
    """The base of a file and its setups, by name."""
    document = dict(copy_values(document))
    raw, tables, faults = flatten(document)
    known: Known = {}
    values, doubts = check_values(raw, tables, faults, known)
    untouched = untouched_doubt(document)
    doubts += [Finding(*untouched)] if untouched else []
    setups = read_setups(document.get("setups", {}), faults, document)
    _check_open_tables(document, faults)
    if faults:
        raise _file_error(file, faults, text)
    base = build_vehicle(
        values,
        Provenance(Named(values.get("name") or _stem(file), values.get("label", "")), file, sha256),
        document,
        inherited=dict(inherited or {}),
        warnings=tuple(sentence(doubt) for doubt in doubts),
    )
    _check_changes(base, faults)
    vehicles = {RESERVED_SETUP: base}
    for lines in setups:
        changed = apply_setup(base, values, lines, faults, known)
        if changed is not None:
            vehicles[lines.name] = changed
    if faults:
        raise _file_error(file, faults, text)
    return vehicles


def _changed(base: Vehicle, name: str) -> Vehicle:
    """The vehicle with a change of its file, or a ready-made one, made to it: they go by name as setups do."""
    from .apply_changes import apply_change
    from .changes import changes_of, ready_made_change
    from .ready_made import READY_MADE

    own = {change.name: change for change in changes_of(base)}
    if name not in own and name not in READY_MADE:
        raise ModelError(f"{base.file}: {_no_such_setup(name, (*base.setups, *own), READY_MADE)}")
    change = own[name] if name in own else ready_made_change(base, name)
    if change is None:
        why = (
            "this file has no links and springs (level A)"
            if base.level == "A"
            else "there is no such part, or no room for it"
        )
        raise ModelError(f"{base.file}: {name} cannot be made: {why}; `noseload rank` lists what can")
    return apply_change(base, change)


def _no_such_setup(name: str, known: Sequence[str], ready_made: Mapping[str, ReadyMade]) -> str:
    """What stands in place of a setup that is not there: those of the file, the ready-made ones, the likeliest one meant."""
    words = {item.label: key for key, item in ready_made.items()}
    guess = nearest(name, (*known, *ready_made)) or words.get(nearest(name, words), "")
    has = f"has {', '.join(known)}" if known else "has none"
    some = ", ".join(list(ready_made)[:EXAMPLES])
    hints = [f'did you mean "{guess}"?'] if guess else []
    hints.append(
        f"ready-made changes go by name as setups do ({some} ...): `noseload rank --all` lists those for a file"
    )
    if not guess:
        hints.append(
            "leave the option out for the file as written" if known else f"or add a table [setups.{name}] to the file"
        )
    return f'there is no setup "{name}"; the file {has}; {"; ".join(hints)}'


def _with_drive(vehicle: Vehicle, drive: str) -> Vehicle:
    base = None if vehicle.base is None else _with_drive(vehicle.base, drive)
    return replace(vehicle, drive=replace(vehicle.drive, driven_axles=drive), base=base)


def _stem(file: str) -> str:
    return os.path.splitext(os.path.basename(file))[0]


def _file_error(file: str, faults: list[Finding], text: str | None) -> VehicleFileError:
    """The error with one sentence a fault, each with its line where the text has it."""
    told = faults[:MOST_TOLD]
    lines: list[int | None] = [None] * len(told)
    if text is not None:
        from .lines import find_lines

        lines = find_lines(text, [fault.key for fault in told])
    sentences = [
        f"line {line}: {sentence(fault)}" if line else sentence(fault) for fault, line in zip(told, lines, strict=True)
    ]
    if len(faults) > MOST_TOLD:
        sentences.append(f"and {len(faults) - MOST_TOLD} more like these")
    return VehicleFileError(file, sentences)


def change_vehicle(vehicle: Vehicle, changes: Mapping[str, object]) -> Vehicle:
    """The vehicle with some file values changed, in file units; setup, drive and assumed values stay.

    Parameters
    ----------
    vehicle : Vehicle
        A base vehicle or a setup; the change is made to the file as written, below the setup's own lines.
    changes : mapping of str to value
        Dotted key -> value as in the file, `{"body.mass_g": 1650}`.

    Raises
    ------
    ModelError
        If a dotted key is not known.
    VehicleFileError
        If the changed vehicle is impossible.
    """
    for dotted in changes:
        if dotted not in KEYS:
            raise ModelError(f"cannot change it: {sentence(unknown_key(dotted))}")
    source = vehicle if vehicle.base is None else vehicle.base
    document = apply_lines(source.document, changes)
    document |= {name: copy_values(source.document[name]) for name in OPEN_TABLES if name in source.document}
    return parse_vehicle(
        document,
        file=vehicle.file,
        sha256=vehicle.sha256,
        setup=vehicle.setup,
        drive=vehicle.drive.driven_axles if "drive.driven_axles" not in changes else None,
        inherited={item.key: item for item in source.assumed if item.key not in changes},
    )


def _check_open_tables(document: dict, faults: list[Finding]) -> None:
    """What [uncertainty] and [changes.NAME] say; their modules are loaded only where the file has them."""
    if "uncertainty" in document:
        from noseload.model.uncertainty import read_uncertainty

        read_uncertainty(document["uncertainty"], faults)
    if "changes" in document:
        from .changes import read_changes

        read_changes(document["changes"], faults)


def _check_changes(vehicle: Vehicle, faults: list[Finding]) -> None:
    """Faults of changes that this vehicle cannot bear: parts it lacks, more mass taken away than there is."""
    if "changes" not in vehicle.document:
        return
    from .apply_changes import apply_change
    from .changes import changes_of

    for change in changes_of(vehicle):
        try:
            apply_change(vehicle, change)
        except ModelError as error:
            faults.append(Finding(f"changes.{change.name}", str(error).partition(": ")[2]))
