"""A figure as SVG text, for pages that hold their drawings themselves."""

import io

from matplotlib import rc_context

from .style import RC


def svg_text(figure) -> str:
    """SVG document of a figure, text kept as text, no dates inside."""
    buffer = io.BytesIO()
    with rc_context(RC):
        figure.savefig(buffer, format="svg", metadata={"Date": None, "Creator": None, "Format": None, "Type": None})
    return buffer.getvalue().decode("utf-8")
