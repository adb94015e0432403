"""How large, long and deep a file may be that a person writes, so that absurd ones end at once."""

LONGEST_LINE = 10_000
MOST_LINES = 20_000
DEEPEST = 12
"""Tables and lists within each other; a set-up's point is three deep."""
NESTED = "brackets are nested too deeply; close them where they belong"


def size_fault(text: str) -> str | None:
    """Why a text is no file that a person wrote, or None."""
    lines = text.split("\n")
    if len(lines) > MOST_LINES:
        return f"has {len(lines)} lines; no such file has more than {MOST_LINES}: check the name"
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
