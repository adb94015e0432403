"""Standard output and error as they are: text of files stays text, and any encoding takes every line."""

import contextlib
import sys
import warnings
from collections.abc import Callable, Iterator
from typing import Any

from noseload.documents import MissingLettersWarning
from noseload.plain import escaped, shown

SPELLED = {
    "±": "+-", "°": " deg", "–": "-", "—": "-", "−": "-", "‘": "'", "’": "'", "“": '"', "”": '"', "…": "...", "×": "x",
    "·": "*", "²": "2", "³": "3", "→": "->", "≤": "<=", "≥": ">=", "≈": "~", "\xa0": " ", "µ": "u", "μ": "u", "Δ": "d",
}  # fmt: skip
"""Spellings in plain ASCII of what our own texts hold."""
PROGRESS = ("\r\033[K", "\r")
"""What a line of progress may begin with on a terminal."""


def plain_text(text: str, encoding: str | None = None, *, spell: bool = True) -> str:
    """Text without control characters, and only with characters that an encoding has.

    Parameters
    ----------
    text : str
    encoding : str, optional
        None: any character can be written.
    spell : bool
        Whether a missing character may be spelled in ASCII; it is escaped otherwise.
    """
    text = shown(text)
    if encoding is None or text.isascii():
        return text
    try:
        text.encode(encoding)
        return text
    except (UnicodeEncodeError, LookupError):
        return "".join(_encodable(character, encoding, spell) for character in text)


def _encodable(character: str, encoding: str, spell: bool) -> str:
    try:
        character.encode(encoding)
        return character
    except (UnicodeEncodeError, LookupError):
        return SPELLED[character] if spell and character in SPELLED else escaped(character)


class PlainStream:
    """A text stream that writes `plain_text`; all else is that of the stream within.

    `preface` makes what is written before all else, once the first text comes: nothing where none ever does.
    """

    preface: Callable[[], str] | None = None

    def __init__(self, stream: Any, *, spell: bool = True, progress: bool = False) -> None:
        self._stream, self._spell, self._progress = stream, spell, progress

    def write(self, text: str) -> int:
        """Write text, control characters escaped."""
        if self.preface is not None and text:
            before, self.preface = self.preface(), None
            if before:
                self.write(before)
        ahead = next((mark for mark in PROGRESS if text.startswith(mark)), "") if self._progress else ""
        encoding = getattr(self._stream, "encoding", None)
        return self._stream.write(ahead + plain_text(text[len(ahead) :], encoding, spell=self._spell))

    def __getattr__(self, name: str) -> Callable:
        return getattr(self._stream, name)


@contextlib.contextmanager
def plain_streams(*, spell: bool = True) -> Iterator[None]:
    """Standard output and error as `PlainStream` while the context lasts; our own warnings become one line each."""
    output, error, show = sys.stdout, sys.stderr, warnings.showwarning
    sys.stdout = None if output is None else PlainStream(output, spell=spell)
    sys.stderr = None if error is None else PlainStream(error, progress=True)

    def one_line(message: Any, category: Any, filename: Any, lineno: Any, file: Any = None, line: Any = None) -> None:
        if issubclass(category, MissingLettersWarning):
            print(f"noseload: {message}", file=sys.stderr)
        else:
            show(message, category, filename, lineno, file, line)

    warnings.showwarning = one_line
    try:
        yield
    finally:
        # A stream that main took away (a reader that has gone) stays away.
        sys.stdout = None if sys.stdout is None else output
        sys.stderr = None if sys.stderr is None else error
        warnings.showwarning = show
