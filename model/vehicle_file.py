"""Reads a vehicle file: text to values, every fault at once, set-ups over the base, frozen vehicle.

The keys, units and bounds are those of `model.vehicle_keys`; nothing here knows a key by name that the
table could tell.
"""

from __future__ import annotations

import os
import tomllib
from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import NamedTuple

from model.errors import MissingDataError, ModelError, VehicleFileError
from model.vehicle import Assumption, Vehicle
from model.vehicle_build import Provenance, build_vehicle, check_weighed
from model.vehicle_checks import (
    Finding,
    check_doubtful,
    check_geometry,
    check_loop,
    check_missing,
    convert_value,
    nearest,
    rod_length,
    unknown_key,
)
from model.vehicle_keys import (
    AXLES,
    KEYS,
    OPEN_TABLES,
    PARTS,
    RESERVED_SETUP,
    SETUP_OPTIONS,
    TABLES,
    unit_hint,
    with_unit,
)

LARGEST_FILE_BYTES = 1_000_000
"""A vehicle file is a few kilobytes; anything beyond this is another kind of file."""

DRIVES = KEYS["drive.driven_axles"].choices


class SetupLines(NamedTuple):
    """One `[setups.NAME]` table, checked: raw values by dotted key, and its two words."""

    name: str
    lines: dict[str, object]
    link_lengths: str
    ride_height: str


def load_vehicle(
    source: str | os.PathLike, *, setup: str | None = None, drive: str | None = None, text: str | None = None
) -> Vehicle:
    """Read a vehicle file.

    Parameters
    ----------
    source : str or path
        File to read; with `text`, only the name to use in messages.
    setup : str, optional
        Name of a set-up of the file; None or 'base' for the file as written.
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
        If the file has no such set-up, or `drive` is not one of the three.
    """
    file = os.fspath(source)
    data = _read_bytes(file) if text is None else text.encode("utf-8")
    text = _decode(data, file)
    return parse_vehicle(
        _parse_toml(text, file), file=file, sha256=_sha256(data), setup=setup, drive=drive, text=text
    )


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
        fault = f"line {line}: byte {data[error.start]:#04x} is not UTF-8 text; save the file as UTF-8 in the editor"
        raise VehicleFileError(file, [fault]) from None


def _parse_toml(text: str, file: str) -> dict:
    try:
        return tomllib.loads(text)
    except RecursionError:
        fault = "brackets are nested too deeply; close them where they belong"
    except ValueError as error:
        fault = _syntax_fault(text, str(error))
    raise VehicleFileError(file, [fault])


def _syntax_fault(text: str, message: str) -> str:
    """Sentence for a TOML syntax error: the line, what it says and the likeliest remedy."""
    import re

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
    elif re.search(r"=\s*\S+\s+(mm|g|kg|N|deg)\b", line):
        remedy = "write the number alone; the unit is part of the key"
    where = f"line {number}: " if number else ""
    message = message.partition(" (at ")[0]
    return f"{where}{quoted}this is not TOML ({message}); {remedy}"


def parse_vehicle(
    document: Mapping,
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
        Its `document` is a copy of `document`; for a set-up, with its lines applied and without `setups`.

    Raises
    ------
    VehicleFileError, ModelError
        As in `load_vehicle`.
    """
    if drive is not None and drive not in DRIVES:
        raise ModelError(f"drive = {drive!r} is none of {', '.join(DRIVES)}; use one of them")
    document = _copy(document)
    raw, tables, faults = _flatten(document)
    values, doubts = _check_values(raw, tables, faults)
    setups = _read_setups(document.get("setups", {}), faults)
    _check_open_tables(document, faults)
    if faults:
        raise _file_error(file, faults, text)
    base = build_vehicle(
        values,
        Provenance(values.get("name") or _stem(file), file, sha256),
        document,
        inherited=dict(inherited or {}),
        warnings=tuple(_sentence(doubt) for doubt in doubts),
    )
    vehicles = {RESERVED_SETUP: base}
    for lines in setups:
        vehicles[lines.name] = _apply_setup(base, values, lines, faults)
    if faults:
        raise _file_error(file, faults, text)
    name = RESERVED_SETUP if setup is None else setup
    if name not in vehicles:
        raise ModelError(f"{file}: {_no_such_setup(name, base.setups)}")
    return vehicles[name] if drive is None else _with_drive(vehicles[name], drive)


def _no_such_setup(name: str, known: Sequence[str]) -> str:
    if not known:
        return f'there is no set-up "{name}": the file has none; add a table [setups.{name}]'
    guess = nearest(name, known)
    hint = f'did you mean "{guess}"?' if guess else "leave --setup out for the file as written"
    return f'there is no set-up "{name}"; the file has {", ".join(known)}; {hint}'


def _with_drive(vehicle: Vehicle, drive: str) -> Vehicle:
    base = None if vehicle.base is None else _with_drive(vehicle.base, drive)
    return replace(vehicle, drive=replace(vehicle.drive, driven_axles=drive), base=base)


def _stem(file: str) -> str:
    return os.path.splitext(os.path.basename(file))[0]


def _copy(value):
    """Plain TOML values, containers copied (copy.deepcopy is slower and takes anything)."""
    if isinstance(value, Mapping):
        return {key: _copy(item) for key, item in value.items()}
    if isinstance(value, list | tuple):
        return [_copy(item) for item in value]
    return value


def _sentence(finding: Finding) -> str:
    return f"{finding.key} {finding.text}"


def _file_error(file: str, faults: list[Finding], text: str | None) -> VehicleFileError:
    """The error with one sentence a fault, each with its line where the text has it."""
    sentences = []
    for fault in faults:
        line = None
        if text is not None:
            from model.vehicle_writer import find_line

            line = find_line(text, fault.key)
        sentences.append(f"line {line}: {_sentence(fault)}" if line else _sentence(fault))
    return VehicleFileError(file, sentences)


def _flatten(document: dict) -> tuple[dict[str, object], set[str], list[Finding]]:
    """Raw values by dotted key, tables met, and faults for what no vehicle file has."""
    raw: dict[str, object] = {}
    tables: set[str] = set()
    faults: list[Finding] = []

    def walk(table, prefix):
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
                    faults.append(Finding(dotted, f"must be a table: a line [{dotted}] and its keys below it"))
            elif prefix or name not in OPEN_TABLES:
                faults.append(unknown_key(dotted))

    walk(document, "")
    return raw, tables, faults


def _check_values(raw: dict, tables: set[str], faults: list[Finding]) -> tuple[dict, list[Finding]]:
    """SI values by dotted key and doubts; faults are added to the list."""
    blamed = {fault.text.partition("the nearest known is ")[2].partition(" (in ")[0] for fault in faults}
    values = {}
    for dotted, value in raw.items():
        converted = convert_value(KEYS[dotted], value, faults)
        if converted is not None:
            values[dotted] = converted
    # In the order of the key table, so that the order of a file's lines never changes a result.
    values = {dotted: values[dotted] for dotted in KEYS if dotted in values}
    faults += check_missing(set(raw), tables, blamed)
    faults += check_geometry(values)
    weighed_faults, weighed_doubts = check_weighed(values)
    faults += weighed_faults
    return values, check_doubtful(values) + weighed_doubts


def _read_setups(table: object, faults: list[Finding]) -> list[SetupLines]:
    """The set-ups of a file, their lines checked one by one."""
    if not isinstance(table, dict):
        faults.append(Finding("setups", "must hold tables: a line [setups.NAME] and its changes below it"))
        return []
    found = []
    for name, content in table.items():
        path = f"setups.{name}"
        if name == RESERVED_SETUP:
            why = 'is reserved: "base" names the file as written; give the set-up another name'
            faults.append(Finding(path, why))
        elif not name.strip() or not name.isprintable():
            faults.append(Finding("setups", f"holds the set-up name {name!r}; use letters, digits, - and _"))
        elif not isinstance(content, dict):
            faults.append(Finding(path, f"must be a table: a line [{path}] and its changes below it"))
        else:
            found.append(_read_setup(name, content, faults))
    return found


def _read_setup(name: str, content: dict, faults: list[Finding]) -> SetupLines:
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
    checked = {}
    for dotted, value in lines.items():
        if dotted in SETUP_OPTIONS:
            continue
        full = f'{path}."{dotted}"'
        if dotted == "name":
            faults.append(Finding(full, "cannot be changed by a set-up; a set-up is called by its table"))
        elif dotted not in KEYS:
            unknown = unknown_key(dotted)
            faults.append(Finding(full, f"= ... changes an {unknown.text}"))
        else:
            own: list[Finding] = []
            convert_value(KEYS[dotted], value, own)
            faults += [Finding(full, fault.text) for fault in own]
            checked[dotted] = value
    return SetupLines(name, checked, words["link_lengths"], words["ride_height"])


def _collect_lines(table: dict, prefix: str, lines: dict) -> None:
    """Lines of a set-up by dotted key, whether the key was written in quotes or not."""
    for name, value in table.items():
        dotted = prefix + name
        if isinstance(value, dict) and dotted not in KEYS:
            if value:
                _collect_lines(value, dotted + ".", lines)
            else:
                lines[dotted] = value
        else:
            lines[dotted] = value


def _apply_setup(
    base: Vehicle, base_values: dict, setup: SetupLines, faults: list[Finding]
) -> Vehicle | None:
    """The set-up's vehicle, or None with faults added."""
    path = f"setups.{setup.name}"
    own: list[Finding] = []
    document = _apply_lines(base.document, setup.lines)
    for dotted in setup.lines:
        table = KEYS[dotted].table
        if table.rpartition(".")[2] in PARTS and f"{table}.chassis_end_mm" not in base_values:
            own.append(Finding(dotted, f"changes a part the file does not have; add [{table}] to the file"))
    if not own:
        raw, tables, own = _flatten(document)
        values, doubts = _check_values(raw, tables, own)
        if setup.link_lengths == "kept" and base.level != "A" and not own:
            own += _check_loops(base_values, values)
    if own:
        quoted = [(f'{path}."{key}"' if key in setup.lines else f"{path}: {key}", text) for key, text in own]
        faults += [Finding(key, text) for key, text in quoted]
        return None
    known = set(base.warnings)
    sentences = [_sentence(doubt) for doubt in doubts]
    warnings = base.warnings + tuple(f"{path}: {text}" for text in sentences if text not in known)
    origin = Provenance(
        base.name, base.file, base.sha256, setup.name, setup.link_lengths, setup.ride_height
    )
    return build_vehicle(values, origin, document, base=base, warnings=warnings)


def _check_loops(base_values: dict, values: dict) -> list[Finding]:
    lengths = {
        f"{axle}.{part}": rod_length(base_values, f"{axle}.{part}")
        for axle in AXLES
        for part in ("lower_link", "upper_link")
    }
    found = [check_loop(lengths, values, axle) for axle in AXLES]
    return [fault for fault in found if fault is not None]


def _apply_lines(document: dict, lines: Mapping[str, object]) -> dict:
    """Copy of a document with dotted keys set; a point of two numbers keeps the y that was there."""
    result = _copy({name: value for name, value in document.items() if name not in OPEN_TABLES})
    for dotted, value in lines.items():
        *path, name = dotted.split(".")
        table = result
        for part in path:
            table = table.setdefault(part, {})
        before = table.get(name)
        if KEYS[dotted].kind == "point" and isinstance(before, list) and (len(before), len(value)) == (3, 2):
            value = [value[0], before[1], value[1]]
        table[name] = _copy(value)
    return result


def change_vehicle(vehicle: Vehicle, changes: Mapping[str, object]) -> Vehicle:
    """The vehicle with some file values changed, in file units; set-up, drive and assumed values stay.

    Parameters
    ----------
    vehicle : Vehicle
        A base vehicle or a set-up; the change is made to the file as written, below the set-up's own lines.
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
            raise ModelError(f"cannot change {_sentence(unknown_key(dotted))}")
    source = vehicle if vehicle.base is None else vehicle.base
    document = _apply_lines(source.document, changes)
    document |= {name: _copy(source.document[name]) for name in OPEN_TABLES if name in source.document}
    return parse_vehicle(
        document,
        file=vehicle.file,
        sha256=vehicle.sha256,
        setup=vehicle.setup,
        drive=vehicle.drive.driven_axles if "drive.driven_axles" not in changes else None,
        inherited={item.key: item for item in source.assumed if item.key not in changes},
    )


def _check_open_tables(document: dict, faults: list[Finding]) -> None:
    """Structure of [uncertainty] and [changes.NAME]; what they mean is checked where they are used."""
    uncertainty = document.get("uncertainty", {})
    if not isinstance(uncertainty, dict):
        faults.append(Finding("uncertainty", "must be a table: a line [uncertainty] and its keys below it"))
    changes = document.get("changes", {})
    if not isinstance(changes, dict):
        faults.append(Finding("changes", "must hold tables: a line [changes.NAME] and its keys below it"))
        return
    for name, content in changes.items():
        if not isinstance(content, dict):
            faults.append(Finding(f"changes.{name}", f"must be a table: a line [changes.{name}], keys below it"))


NEEDS = {
    "links": tuple(f"{axle}.{part}.{end}_end_mm" for axle in AXLES for part in PARTS[:2] for end in ("chassis", "axle")),
    "springs": tuple(
        f"{axle}.shock.{name}"
        for axle in AXLES
        for name in ("chassis_end_mm", "axle_end_mm", "spring_rate_n_per_mm")
    ),
    "motor": ("drive.stall_torque_n_mm", "drive.no_load_speed_rad_per_s"),
    "damping": tuple(f"{axle}.shock.damping_n_s_per_m" for axle in AXLES),
    "track_width": ("track_width_mm",),
}
"""What a command may need beyond level A -> keys that the file must give."""


def check_provides(vehicle: Vehicle, needs: Sequence[str], *, command: str) -> None:
    """Raise unless the vehicle file gives what a command uses; assumed values do not count.

    Parameters
    ----------
    vehicle : Vehicle
        Vehicle of any level.
    needs : sequence of str
        Names of `NEEDS`: 'links', 'springs', 'motor', 'damping', 'track_width' or any dotted key.
    command : str
        Name for the message.

    Raises
    ------
    MissingDataError
        Naming the command, the missing keys with their units, and the remedy.
    ModelError
        If a need is not known.
    """
    missing = []
    for need in needs:
        keys = NEEDS.get(need, (need,) if need in KEYS else None)
        if keys is None:
            raise ModelError(f"a command cannot need {need!r}; known are {', '.join(NEEDS)} and file keys")
        missing += [key for key in keys if _raw_value(vehicle.document, key) is None and key not in missing]
    if not missing:
        return
    level = max((KEYS[key].level or "A" for key in missing), default="A")
    listed = "\n".join(f"  {key} ({KEYS[key].unit or KEYS[key].kind}): {KEYS[key].recipe}" for key in missing)
    where = vehicle.file or vehicle.name
    raise MissingDataError(
        f"{where}: `{command}` needs {', '.join(needs)}, and this level {vehicle.level} file lacks\n{listed}\n"
        f"Add these keys; `noseload new --level {level} FILE` writes a file that has them all."
    )


def _raw_value(document: Mapping, dotted: str) -> object:
    value: object = document
    for part in dotted.split("."):
        value = value.get(part) if isinstance(value, Mapping) else None
    return value
