"""A figure as SVG text, for pages that hold their drawings themselves."""

from __future__ import annotations

from typing import TYPE_CHECKING

from noseload.pictures.style import figure_bytes

if TYPE_CHECKING:
    from matplotlib.figure import Figure


def svg_text(figure: Figure) -> str:
    """SVG document of a figure, text kept as text, no dates inside."""
    metadata = {"Date": None, "Creator": None, "Format": None, "Type": None}
    return figure_bytes(figure, "svg", metadata=metadata, dpi="figure").decode("utf-8")
