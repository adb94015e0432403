"""Names of setups in pictures: a letter in a box at the curve, and a key below the axes in which long names wrap."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from matplotlib.legend_handler import HandlerBase
from matplotlib.lines import Line2D
from matplotlib.text import Text
from matplotlib.transforms import ScaledTranslation

from noseload.documents import letter
from noseload.model.names import shown_name
from noseload.plain import lines_of

from .style import PAPER, house_look, look

if TYPE_CHECKING:
    from matplotlib.axes import Axes
    from matplotlib.legend import Legend
    from matplotlib.transforms import Transform


KEY_SIZE = 8.5
"""Points of the words of a key."""
LETTER_WIDTH = 0.54
"""Mean width of a letter, as a share of the size of the words."""
LINE_POINTS = 46.0
"""Length of the line before a badge."""
BELOW_POINTS = 38.0
"""From the axes to their key: room for the numbers and the words of the lower axis."""
BADGE = {"boxstyle": "round,pad=0.18", "fc": PAPER, "lw": 1.1}


class _Entry(HandlerBase):
    """Line and badge of one setup."""

    def __init__(self, k: int) -> None:
        super().__init__()
        self.k = k

    def create_artists(
        self,
        legend: Legend,
        orig_handle: Any,
        xdescent: float,
        ydescent: float,
        width: float,
        height: float,
        fontsize: float,
        trans: Transform,
    ) -> list[Line2D | Text]:
        """Artists of one row of a key."""
        middle = 0.5 * height - ydescent
        # A line told of its dashes says '--' whatever they are: they come from the look itself.
        colour, dash = look(self.k)
        line = Line2D([0.0, width - 16.0], [middle, middle], color=colour, ls=dash, lw=1.8)
        box = _badge_text(width - 7.0, middle, letter(self.k), colour)
        for artist in (line, box):
            artist.set_transform(trans)
        return [line, box]


def _badge_text(x: float, y: float, words: str, colour: str) -> Text:
    text = Text(x, y, words, color=colour, ha="center", va="center", fontsize=7.5, fontweight="bold")
    text.set_bbox(BADGE | {"ec": colour})
    return text


def lettered(k: int, name: str) -> str:
    """Letter and name of a setup as words: 'B: raised mount'."""
    return f"{letter(k)}: {shown_name(name)}"


def wrapped(words: str, width_points: float, size: float = KEY_SIZE) -> str:
    """Words in lines that fit a width; a word longer than a line is cut into lines too."""
    return "\n".join(lines_of(words, max(int(width_points / (LETTER_WIDTH * size)), 8)))


@house_look
def key_below(ax: Any, entries: list, *, drop: float = BELOW_POINTS, columns: int = 1, left: float = 0.0) -> Any:
    """Letter, line and words of every setup below the axes.

    Parameters
    ----------
    ax : Axes
        Of a figure in constrained layout, which makes room.
    entries : sequence of (int, str)
        Place in the order of setups, words as people read them.
    drop : float
        Points from the axes down to the key.
    columns : int
    left : float
        Where the key begins, as a share of the width of the axes.

    Returns
    -------
    Legend or None
        None where there is nothing to name.
    """
    if not entries:
        return None
    figure = ax.figure
    box = ax.get_position()
    width = (box.width * (1.0 - left) * 72.0 * figure.get_size_inches()[0]) / columns - LINE_POINTS - 30.0
    handles = [Line2D([], []) for _ in entries]
    words = [wrapped(shown_name(text), width) for _, text in entries]
    key = ax.legend(
        handles,
        words,
        handler_map={handle: _Entry(k) for handle, (k, _) in zip(handles, entries, strict=True)},
        loc="upper left",
        bbox_to_anchor=(left, 0.0),
        bbox_transform=ax.transAxes + ScaledTranslation(0.0, -drop / 72.0, figure.dpi_scale_trans),
        ncols=columns,
        frameon=False,
        fontsize=KEY_SIZE,
        handlelength=LINE_POINTS / KEY_SIZE,
        handletextpad=0.5,
        borderpad=0.0,
        borderaxespad=0.0,
        labelspacing=0.55,
        columnspacing=1.2,
    )
    return key


@house_look
def badge_at(
    ax: Axes, k: int, point: tuple[float, float], *, offset: tuple[float, float] = (0.0, 0.0), colour: str | None = None
) -> Any:
    """The letter of a setup at a point of its curve, data coordinates; `offset` in points."""
    colour = colour or look(k)[0]
    return ax.annotate(
        letter(k),
        point,
        xytext=offset,
        textcoords="offset points",
        color=colour,
        ha="center",
        va="center",
        fontsize=7.5,
        fontweight="bold",
        bbox=BADGE | {"ec": colour},
        annotation_clip=False,
        zorder=8,
    )
