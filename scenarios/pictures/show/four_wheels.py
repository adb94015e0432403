"""Four wheels from above with their loads in grams, and the one that goes first: small enough for a corner of a picture."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from matplotlib.patches import FancyBboxPatch

from noseload.pictures.style import FAINT, INK, as_grams, house_look
from noseload.studies.space.results import WHEELS
from noseload.studies.wheels.four_loads import FourLoads

if TYPE_CHECKING:
    from matplotlib.axes import Axes


SIZE = (290, 128)
"""Pixels that it takes, in a picture of 100 to the inch."""
_TYRE, _ROWS, _MIDDLES = (20, 28), {"front": 46, "rear": 80}, {"left": 118, "right": 172}
_LINES = (0, 100)


@house_look
def draw_four_wheels(ax: Axes, four: FourLoads, fontsize: float) -> Axes:
    """Draw into axes of `SIZE` pixels.

    Parameters
    ----------
    ax : Axes
    four : FourLoads
    fontsize : float
        Points.

    Returns
    -------
    Axes
    """
    width, height = SIZE
    ax.set_xlim(0, width)
    ax.set_ylim(height, 0)
    ax.set_axis_off()
    style: dict[str, Any] = {"fontsize": fontsize, "clip_on": False}
    ax.text(0, _LINES[0], f"A: each wheel at {four.grade_deg:g}\u00b0, g", va="top", **style)
    most = max(four.loads_n)
    for wheel, load in zip(WHEELS, four.loads_n, strict=True):
        end, side = wheel.split("_")
        x, y = _MIDDLES[side], _ROWS[end]
        corner = (x - _TYRE[0] / 2, y - _TYRE[1] / 2)
        # As dark as it is loaded.
        face, edge = {"fc": INK, "alpha": 0.85 * max(load, 0.0) / most, "ec": "none"}, {"fc": "none", "ec": INK}
        for style_of in (face, edge | {"lw": 3.0 if four.goes(wheel) else 1.4}):
            ax.add_patch(FancyBboxPatch(corner, *_TYRE, boxstyle="round,pad=0,rounding_size=5", **style_of))
        away = 18 if side == "right" else -18
        weight = "bold" if four.goes(wheel) else "normal"
        words: dict[str, Any] = {"ha": "left" if away > 0 else "right", "va": "center", "fontweight": weight}
        ax.text(x + away, y, f"{as_grams(load):.0f}", **words, **style)
    for y in _ROWS.values():
        ax.plot([_MIDDLES["left"] + 10, _MIDDLES["right"] - 10], [y, y], color=FAINT, lw=2.0)
    said = "no wheel lifts"
    if four.lift_deg is not None:
        low, high = four.lift_range_deg
        where = f"{four.lift_deg:.1f}" if low is None else "\u2013".join(dict.fromkeys((f"{low:.0f}", f"{high:.0f}")))
        said = f"{str(four.first_wheel).replace('_', ' ')} first, {where}\u00b0"
    ax.text(0, _LINES[1], said, va="top", **style)
    return ax
