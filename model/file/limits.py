"""What a person can write and a model vehicle can have: size and depth of a file, bounds of its numbers."""

from .key import Key

LONGEST_LINE = 10_000
MOST_LINES = 5_000
DEEPEST = 12
"""Tables and lists within each other; a setup's point is three deep."""
NESTED = "brackets are nested too deeply; close them where they belong"


def size_fault(text: str, most_lines: int = MOST_LINES) -> str | None:
    """Why a text is no file that a person or a logger wrote, or None."""
    lines = text.split("\n")
    if len(lines) > most_lines:
        return f"has {len(lines)} lines; no such file has more than {most_lines}: check the name"
    for number, line in enumerate(lines, start=1):
        if len(line) > LONGEST_LINE:
            return f"line {number}: is {len(line)} characters long; no such file has more than {LONGEST_LINE}: check the name"
    return None


def depth_of(document: object) -> int:
    """Tables and lists within each other, counted no further than one beyond `DEEPEST`."""
    level, depth = [document], 0
    while level and depth <= DEEPEST:
        depth += 1
        inner = [item.values() if isinstance(item, dict) else item for item in level if isinstance(item, dict | list)]
        level = [value for items in inner for value in items if isinstance(value, dict | list)]
    return depth


REACH = {"": 20.0, "mm": 10.0, "g": 20.0, "kg mm2": 1000.0, "N/mm": 100.0, "rad/s": 20.0}
"""File unit -> how many times the usual range of 1:10 vehicles that of any model vehicle reaches, each way."""
FARTHEST = 100.0
"""The same of other units."""
FARTHEST_MM = 5000.0
"""Distance from the datum of any point of a model vehicle, mm."""


def bounds_of(key: Key) -> tuple[float, float]:
    """Least and most that a model vehicle can have of a number, in the file's unit: far beyond the usual range."""
    reach = REACH.get(key.unit, FARTHEST)
    return key.usual[0] / reach if key.above else key.least, min(key.most, key.usual[1] * reach)
