"""A figure as SVG text, for pages that hold their drawings themselves."""

from noseload.pictures.style import figure_bytes


def svg_text(figure) -> str:
    """SVG document of a figure, text kept as text, no dates inside."""
    metadata = {"Date": None, "Creator": None, "Format": None, "Type": None}
    return figure_bytes(figure, "svg", metadata=metadata, dpi="figure").decode("utf-8")
