"""What the measuring commands share: text of estimates, lines for the vehicle file, writing them into it."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from noseload.commands.paths import changes
from noseload.documents import table
from noseload.model.errors import ModelError
from noseload.model.file.key import value_at
from noseload.output import write_whole
from noseload.studies.measuring.measurement import rounded

if TYPE_CHECKING:
    from noseload.commands.parser import Parser
    from noseload.model.vehicle import Vehicle
    from noseload.studies.measuring.measurement import Measurement
    from noseload.studies.weighing.weigh import Weighing


def add_into(parser: Parser) -> None:
    """Option that writes the lines into a vehicle file."""
    parser.add_argument(
        "--into",
        type=changes("--into"),
        metavar="VEHICLE.toml",
        help="write the lines into this vehicle file, its comments and layout kept",
    )


def bounding_vehicle(named: str | None, into: str | None) -> Vehicle | None:
    """The vehicle whose file bounds what its readings can be: the named one, else the one written into where it reads."""
    from noseload.model.file.reader import load_vehicle

    if named is not None:
        return load_vehicle(named)
    if into is None:
        return None
    try:
        return load_vehicle(into)
    except ModelError:
        return None


def estimates_table(estimates: tuple) -> str:
    """Aligned table of estimates with 95 % intervals."""
    rows = []
    for estimate in estimates:
        span = (
            ""
            if estimate.low is None
            else " to ".join(rounded(end, estimate.standard_error)[0] for end in (estimate.low, estimate.high))
        )
        rows.append((estimate.meaning, str(estimate), span, estimate.origin))
    return table(("quantity", "value +- standard error", "95 % interval", "origin"), rows, align="<>>>")


def lines_text(lines: Any) -> str:
    """Lines as they stand in a vehicle file: tables and keys."""
    by_table: dict[str, list[str]] = {}
    for dotted, value in lines.items():
        head, _, key = dotted.rpartition(".")
        by_table.setdefault(head, []).append(f"{key} = {toml_value(value)}")
    blocks = []
    for head in sorted(by_table, key=lambda name: name != ""):
        blocks.append("\n".join(([f"[{head}]"] if head else []) + by_table[head]))
    return "\n".join(blocks)


def toml_value(value: float | list[float]) -> str:
    """A number or list of numbers as TOML."""
    if isinstance(value, (list, tuple)):
        return "[" + ", ".join(toml_value(part) for part in value) + "]"
    return f"{value:.10g}"


def updated_file(path: Path | str, lines: Any, drop: tuple[str, ...] = ()) -> str:
    """Text of a vehicle file with the lines in it and the keys of `drop` taken out.

    Raises
    ------
    ModelError
        If the file cannot be read or would no longer be a valid vehicle file.
    """
    import tomllib

    from noseload.model.file.writer import update_keys

    try:
        text = Path(path).read_text(encoding="utf-8")
    except UnicodeDecodeError:
        raise ModelError(f"{path}: not UTF-8 text; give a vehicle file") from None
    try:
        document = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        raise ModelError(f"{path}: not a TOML file ({error}); mend it first") from None
    there = {dotted: None for dotted in drop if value_at(document, dotted) is not None}
    return update_keys(text, {**there, **lines})


def write_lines(path: Path | str, lines: Any, drop: tuple[str, ...] = ()) -> None:
    """Write the lines into a vehicle file, complete or not at all, only if it then reads as a vehicle."""
    import os
    import tempfile

    from noseload.model.file.reader import load_vehicle

    text = updated_file(path, lines, drop)
    with tempfile.TemporaryDirectory() as folder:
        trial = os.path.join(folder, Path(path).name)
        Path(trial).write_text(text, encoding="utf-8")
        try:
            load_vehicle(trial)
        except ModelError as error:
            reason = str(error).replace(trial, str(path))
            raise ModelError(f"{path} was left as it is; with these lines it would not be valid: {reason}") from None
    write_whole(path, text)


def result_text(result: Measurement | Weighing, heading: str, *, lines: Any, into: str | None = None) -> str:
    """Text output of a measurement or weighing."""
    parts = [heading, f"  {_first(result.estimates)}", "", estimates_table(result.estimates)]
    for warning in result.warnings:
        parts.append(f"\nwarning: {warning}")
    if result.notes:
        parts.append("")
        parts += [f"note: {note}" for note in result.notes]
    if lines:
        parts += ["", f"written into {into}:" if into else "lines for the vehicle file:", _indented(lines_text(lines))]
    return "\n".join(parts)


def _first(estimates: tuple) -> str:
    """What was found, in one sentence: the first numbers with their 95 % intervals."""
    told = []
    for estimate in estimates[:2]:
        span = (
            ""
            if estimate.low is None
            else f" ({' to '.join(rounded(end, estimate.standard_error)[0] for end in (estimate.low, estimate.high))}, 95 %)"
        )
        told.append(f"{estimate.meaning}: {estimate}{span}")
    sentence = "; ".join(told)
    return f"{sentence[:1].upper()}{sentence[1:]}."


def recipe_text(kind: Any) -> str:
    """How a measurement is taken, with its cautions and an example file."""
    parts = [kind.title, ""]
    parts += [f"{number}. {step}" for number, step in enumerate(kind.recipe, start=1)]
    parts += ["", *(f"CAUTION: {caution}" for caution in kind.cautions)]
    for layout in kind.layouts:
        parts += ["", f"file: {layout.title}"]
        for setting in layout.settings:
            default = (
                ""
                if setting.default is None
                else f" (otherwise {setting.default:g})"
                if setting.kind == "number"
                else f" (otherwise {setting.default})"
            )
            need = "" if setting.required else "  optional" + default
            parts.append(f"  # {setting.name} = ...   {setting.meaning}{need}")
        for column in layout.columns:
            choices = f": {', '.join(c for c in column.choices if c)}" if column.choices else ""
            parts.append(f"  column {column.name}   {column.meaning}{choices}{'' if column.required else '  optional'}")
    return "\n".join(parts)


def demo_readings(name: str) -> str:
    """Path of an example file of readings."""
    return str(Path(__file__).parents[2] / "demo" / "readings" / name)


def residual_rows(result: Measurement | Weighing) -> list[dict[str, Any]]:
    """Rows for --csv: every reading beside its fit."""
    rows = []
    for trace in result.traces:
        for place, row in enumerate(trace.rows):
            rows.append({
                "trace": trace.title, "row": int(row), "x": trace.x_label, "x_value": float(trace.x[place]),
                "y": trace.y_label, "observed": float(trace.observed[place]), "fitted": float(trace.fitted[place]),
                "standard_error": float(trace.errors[place]),
            })  # fmt: skip
    return rows


def _indented(text: str) -> str:
    return "\n".join(f"  {line}" for line in text.splitlines())
