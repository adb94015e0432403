"""Text of files as text: which characters would act on what shows them, and how they are written instead."""

import re
from textwrap import wrap

UNSAFE = re.compile("[\x00-\x08\x0b-\x1f\x7f-\x9f\u2028-\u202e\u2066-\u2069\ud800-\udfff]")
"""Control characters, escape sequences' first ones, overrides of the writing direction, and halves of characters."""
MINUS = re.compile(r"(?<![\w.\-\u00b1])-(?=\d)")
"""A hyphen that stands for a minus: before a number, after nothing that it could join (the sign for plus or minus by its
number: a name would load all names of characters)."""
UNIT = re.compile(r"(?<=\d) (?=(?:%|g|deg|mm|N|s|ms|Hz)(?![\w]))|(?<=\d N) (?=mm(?![\w]))")
"""The space between a number and its unit, which no line ends on."""
FORMULA = ("=", "+", "-", "@", "\t", "\r")
"""What a cell begins with that a spreadsheet takes for a formula."""


def escaped(text: str) -> str:
    r"""Characters written as ``\u001b``; a JSON string may hold that too."""
    units = text.encode("utf-16-be", "surrogatepass")
    return "".join(f"\\u{units[k] << 8 | units[k + 1]:04x}" for k in range(0, len(units), 2))


def shown(text: str) -> str:
    """Text whose control characters are written out."""
    return UNSAFE.sub(lambda found: escaped(found[0]), text)


def typeset(text: str) -> str:
    """Signs as print has them, for pictures and pages: a true minus before a number, one sign for plus or minus.

    Text for terminals and files keeps what every keyboard and encoding has.
    """
    return MINUS.sub("\N{MINUS SIGN}", text.replace("+-", "\N{PLUS-MINUS SIGN}"))


def lines_of(words: str, letters: int) -> list[str]:
    """Words in lines of so many letters at most, numbers beside their units; a longer word is cut."""
    return [line.replace("\N{NO-BREAK SPACE}", " ") for line in wrap(UNIT.sub("\N{NO-BREAK SPACE}", words), letters)]


def cut(words: str, letters: int) -> str:
    """Words cut where they are longer than the room for them, with an ellipsis."""
    return words if len(words) <= letters else words[: letters - 1].rstrip(" .,;:") + "\N{HORIZONTAL ELLIPSIS}"
