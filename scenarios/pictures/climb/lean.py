"""Tip angle of the rigid vehicle over heading."""

import numpy as np

from noseload.pictures.style import figure_for, house_look, look, new_figure


@house_look
def plot_lean(result, ax=None):
    """Tip angle over heading, with the edge it tips over.

    Parameters
    ----------
    result : Lean
    ax : Axes, optional

    Returns
    -------
    Axes
    """
    ax = figure_for(ax, 7.0, 4.4)
    headings = np.array([row.heading_deg for row in result.rows])
    parts = (
        ("rear_axle_angle_deg", "over the rear axle", 0),
        ("downhill_side_angle_deg", "over the downhill wheels", 1),
    )
    for name, words, k in parts:
        angles = np.array([np.nan if getattr(row, name) is None else getattr(row, name) for row in result.rows])
        colour, dash = look(k)
        ax.plot(headings, angles, color=colour, ls=dash, lw=1.2)
        first = np.array([row.tips_over == name.removesuffix("_angle_deg") for row in result.rows])
        ax.plot(headings, np.where(first, angles, np.nan), color=colour, lw=2.6)
        good = np.flatnonzero(np.isfinite(angles))
        at = good[0] if k == 0 else good[-1]
        ax.annotate(
            words,
            (headings[at], angles[at]),
            xytext=(6 if k == 0 else -6, 9),
            textcoords="offset points",
            color=colour,
            fontsize=8.5,
            ha="left" if k == 0 else "right",
        )
    ax.axvline(result.change_over_deg, color=look(5)[0], lw=0.9, ls=(0, (3, 2)))
    ax.annotate(
        f"sideways first from {result.change_over_deg:.0f} deg",
        (result.change_over_deg, 0.04),
        xycoords=("data", "axes fraction"),
        xytext=(5, 0),
        textcoords="offset points",
        fontsize=8.5,
    )
    ax.set_ylim(0.0, 92.0)
    ax.set_xlabel("heading, deg: 0 straight up, 90 across the slope")
    ax.set_ylabel("slope at which it tips, deg")
    ax.set_title(f"{result.setup}: rigid vehicle on a crooked line (strong: what happens first)")
    return ax


@house_look
def draw_lean(result):
    """Figure of the tip angle over heading."""
    figure, (ax,) = new_figure(7.5, 4.6)
    plot_lean(result, ax)
    return figure
