"""What every study prints alike: JSON documents, CSV rows, aligned text, units for people."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from math import isfinite, radians, tan
from typing import TYPE_CHECKING, Any

from noseload.model.errors import ModelError
from noseload.model.units import grams_of_force

from .output import write_whole
from .plain import FORMULA, shown
from .version import VERSION

if TYPE_CHECKING:
    from noseload.model.vehicle import Vehicle


SCHEMA = 1
INPUT_ERROR, NO_SOLUTION = 2, 3


class MissingLettersWarning(UserWarning):
    """A picture holds letters that its font cannot draw."""


def outcome_words(outcome: str, summary: dict[str, float | str] | None = None) -> str:
    """How a punch ends, for people.

    Parameters
    ----------
    outcome : str
        Name, as in JSON documents.
    summary : mapping, optional
        Of the punch; names the axle that left the ground.

    Returns
    -------
    str
        A verb with its subject, or what the vehicle does.
    """
    flown = [end for end in ("front", "rear") if summary and summary.get(f"{end}_airborne_s")]
    one = f"the {flown[0]}" if len(flown) == 1 else "an axle"
    lifts = "both axles lift and come back down" if len(flown) == 2 else f"{one} lifts and comes back down"
    return {
        "stays_loaded": "no axle leaves the ground",
        "lifts_and_returns": lifts,
        "airborne_at_end": f"{one} is still in the air at the end",
        "wheel_up_at_end": "goes on with a wheel in the air",
        "flips_back": "flips over backward",
        "flips_forward": "flips over forward",
        "rolls_over": "rolls over sideways",
        "slides_back": "slides back down the slope",
        "start_not_held": "the crawl cannot be held",
        "undecided": "not followed to its end",
    }.get(outcome, str(outcome).replace("_", " "))


def wheels_outcome_words(outcome: str) -> str:
    """How a punch in space ends, for people: what leaves the ground there is a wheel."""
    return {
        "stays_loaded": "no wheel leaves the ground",
        "lifts_and_returns": "all four wheels are down again",
        "airborne_at_end": "an axle or a side is still in the air at the end",
    }.get(outcome) or outcome_words(outcome)


LETTERS = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"


def letter(k: int) -> str:
    """Short name of the k-th setup in drawings and tables: A, B, ... Z, A2, ..."""
    return LETTERS[k % len(LETTERS)] + (str(k // len(LETTERS) + 1) if k >= len(LETTERS) else "")


def document(
    command: str,
    body: dict[str, Any],
    *,
    vehicles: list[Vehicle] | tuple = (),
    options: dict[str, Any] | None = None,
    seed: int | None = None,
) -> dict[str, Any]:
    """A JSON document: schema, command, the body's keys, and what made it.

    Parameters
    ----------
    command : str
    body : dict
        Keys with units; must hold `status`.
    vehicles : sequence of Vehicle
    options : dict, optional
        Command line options that shaped the numbers.
    seed : int, optional

    Returns
    -------
    dict
    """
    files = [{"file": v.file, "sha256": v.sha256 or None, "setup": v.setup} for v in vehicles]
    return framed(command, body, files=files, options=options, seed=seed)


def framed(
    command: str,
    body: Mapping[str, Any],
    *,
    files: Sequence[Mapping[str, Any]] = (),
    options: Mapping[str, Any] | None = None,
    seed: int | None = None,
    version: str = VERSION,
) -> dict[str, Any]:
    """As `document`, of vehicle files that are known by name and checksum alone.

    Parameters
    ----------
    command : str
    body : mapping
    files : sequence of mapping
        `file`, `sha256`, `setup`.
    options : mapping, optional
    seed : int, optional
    version : str
        Of the program that made what the document is about.
    """
    made_by = {
        "program": "noseload",
        "version": version,
        "vehicles": [dict(file) for file in files],
        "options": dict(options or {}),
        "seed": seed,
    }
    return {"schema": SCHEMA, "command": command, **body, "made_by": made_by}


def json_text(body: dict[str, Any]) -> str:
    """Strict JSON text; a number that is not finite is an error of ours, never 'NaN'."""
    import json

    return json.dumps(plain(body), indent=1, allow_nan=False, ensure_ascii=False) + "\n"


def plain(value: Any) -> Any:
    """Plain Python values: arrays to lists, NumPy numbers to floats, not-a-number to None."""
    if isinstance(value, dict):
        return {k: plain(v) for k, v in value.items()}
    if isinstance(value, (list, tuple)):
        return [plain(v) for v in value]
    if hasattr(value, "tolist"):
        return plain(value.tolist())
    if isinstance(value, float) and not isfinite(value):
        return None
    return value


def is_table(value: Any) -> bool:
    """Whether a value is a list of rows by key."""
    return isinstance(value, list | tuple) and bool(value) and all(isinstance(row, Mapping) for row in value)


def flatten(row: Mapping[str, Any], prefix: str = "") -> dict[str, Any]:
    """One flat dict of a nested one: `budget` with `grade_n` becomes `budget_grade_n`."""
    flat: dict = {}
    for key, value in row.items():
        if isinstance(value, dict):
            flat |= flatten(value, f"{prefix}{key}_")
        else:
            flat[f"{prefix}{key}"] = value
    return flat


def _cell(value: float | str) -> float | str:
    """A cell that a spreadsheet shows as it is: words of a file that would count as a formula there begin with '."""
    if value is None:
        return ""
    if not isinstance(value, str):
        return value
    text = shown(value)
    if text[:1] not in FORMULA:
        return text
    try:
        float(text)
    except ValueError:
        return f"'{text}"
    return text


def csv_text(rows: Sequence) -> str:
    """CSV text of rows (dicts, nested or flat) that share their keys; empty where there is no number."""
    import csv
    import io

    flat = [flatten(plain(row)) for row in rows]
    buffer = io.StringIO()
    names = list(dict.fromkeys(name for row in flat for name in row))
    writer = csv.DictWriter(buffer, fieldnames=names, lineterminator="\n", restval="")
    writer.writerow({name: _cell(name) for name in names})
    writer.writerows({k: _cell(v) for k, v in row.items()} for row in flat)
    return buffer.getvalue()


def write_csv(path: str, rows: Sequence) -> None:
    """Write rows as CSV, complete or not at all."""
    write_whole(path, csv_text(rows))


def table(header: Sequence[str], rows: list, *, align: str | None = None) -> str:
    """Aligned text: `header` and `rows` of strings; numbers to the right, first column to the left."""
    cells = [list(header), *[list(row) for row in rows]]
    widths = [max(len(row[k]) for row in cells) for k in range(len(header))]
    align = align or "<" + ">" * (len(header) - 1)
    lines = ["  ".join(f"{c:{a}{w}}" for c, a, w in zip(row, align, widths, strict=True)).rstrip() for row in cells]
    return "\n".join([lines[0], "  ".join("-" * w for w in widths), *lines[1:]])


def grams(force_n: Any) -> str:
    """'644 g' as a kitchen scale would read; a dash for no number."""
    return "-" if force_n is None else f"{grams_of_force(force_n):z.0f} g"


def load(force_n: Any) -> str:
    """'644 g (6.31 N)'; a dash for no number."""
    return "-" if force_n is None else f"{grams(force_n)} ({force_n:z.2f} N)"


def signed_load(force_n: float) -> str:
    """'+14 g (+0.14 N)'."""
    return "-" if force_n is None else f"{grams_of_force(force_n):+z.0f} g ({force_n:+z.2f} N)"


def grade(angle_deg: float) -> str:
    """'45.00 deg (100 %)'; a dash for no grade."""
    if angle_deg is None:
        return "-"
    return f"{angle_deg:z.2f} deg ({100 * tan(radians(angle_deg)):z.0f} %)"


def number(value: float | None, form: str = ".2f") -> str:
    """A number in the given form, never with a minus before a zero; a dash for none."""
    return "-" if value is None else f"{value:{form.replace('.', 'z.', 1)}}"


def finite_option(name: str, low: float | None = None, high: float | None = None) -> Callable:
    """An argparse type: a finite number, with bounds named in the message."""
    import argparse

    def convert(text: str) -> float:
        try:
            value = float(text)
        except ValueError:
            raise argparse.ArgumentTypeError(f"{text!r} is not a number for {name}") from None
        if not isfinite(value) or (low is not None and value < low) or (high is not None and value > high):
            bounds = f"from {low:g} to {high:g}" if None not in (low, high) else f"of {low:g} or more"
            raise argparse.ArgumentTypeError(f"{text} is outside what {name} can be: {bounds}")
        return value

    return convert


def grade_option(low: float, high: float) -> Callable:
    """An argparse type: a grade in degrees, or in percent as '45%'; bounds are degrees."""
    from math import atan, degrees

    in_degrees = finite_option("a grade", low, high)

    def convert(text: str) -> float:
        text = text.strip()
        if not text.endswith("%"):
            return in_degrees(text.removesuffix("deg"))
        percent = finite_option("a grade in percent", -1e6, 1e6)(text[:-1])
        return in_degrees(repr(degrees(atan(0.01 * percent))))

    return convert


def whole_option(name: str, low: float, high: float) -> Callable:
    """An argparse type: a whole number, with bounds named in the message."""
    import argparse

    def convert(text: str) -> int:
        try:
            value = int(text)
        except ValueError:
            raise argparse.ArgumentTypeError(f"{text[:40]!r} is not a whole number for {name}") from None
        if not low <= value <= high:
            raise argparse.ArgumentTypeError(f"{text} is outside what {name} can be: from {low:,} to {high:,}")
        return value

    return convert


seed_option = whole_option("a seed", 0, 2**63 - 1)


def check_plot_suffix(path: str, option: str = "--plot") -> None:
    """Refuse early what could not be drawn at the end."""
    if not str(path).lower().endswith((".png", ".svg", ".pdf")):
        raise ModelError(f"{option} {path}: the picture's name must end in .png, .svg or .pdf")
