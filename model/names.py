"""Names as a vehicle file has them, which also know the words that people read in their place."""

from __future__ import annotations


class Named(str):
    """A name that compares, sorts and is written as the file has it, with an optional label for people.

    Attributes
    ----------
    label : str
        The file's `label`; '' where it gives none.
    """

    label: str

    def __new__(cls, name: str, label: str = "") -> Named:
        """The name with its label."""
        made = super().__new__(cls, name)
        made.label = label
        return made


def shown_name(name: str) -> str:
    """A vehicle's or setup's name as people read it: its label, else the name without underscores."""
    return getattr(name, "label", "") or name.replace("_", " ")


def row_name(name: str) -> str:
    """A setup's name in tables of text: its label, else the name by which commands take it."""
    return getattr(name, "label", "") or name
