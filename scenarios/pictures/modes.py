"""Mode shapes: how chassis and wheels move in bounce, pitch and the other swinging motions."""

import numpy as np

from .style import FAINT, INK, house_look, look, new_figure


@house_look
def draw_modes(found):
    """One panel for each swinging motion of each state: chassis line and wheels over one swing.

    Parameters
    ----------
    found : sequence of Modes

    Returns
    -------
    Figure
    """
    swings = [[(modes, mode) for mode in modes.modes if mode.frequency_hz > 0.0] for modes in found]
    columns, rows = max(1, *map(len, swings)), len(swings)
    figure, axes = new_figure(3.4 * columns, 2.9 * rows, rows, columns)
    for ax in axes:
        ax.set_axis_off()
    for row, panels in enumerate(swings):
        for ax, (modes, mode) in zip(axes[row * columns:], panels, strict=False):
            _plot_shape(ax, mode)
            place = "standing" if modes.state == "standing" else f"crawl at {modes.grade_deg:g} deg"
            ax.set_title(f"{mode.name}, {place}", fontsize=9)
    if not any(swings):
        axes[0].text(0.5, 0.5, "no motion swings", ha="center", va="center", transform=axes[0].transAxes)
    return figure


def _plot_shape(ax, mode):
    """Chassis as a bar between the axles, wheels as circles, at both ends of the swing."""
    z, theta = mode.shape[1], mode.shape[2]
    half = 0.15
    wheels = (mode.shape[4], mode.shape[7])
    largest = max(abs(z) + half * abs(theta), *map(abs, wheels), 1e-12)
    # The moment of the swing at which most of the motion shows.
    phase = np.exp(-1j * np.angle(max((z, half * theta, *wheels), key=abs)))
    for side, (k, dash) in zip((1.0, -1.0), ((0, "-"), (1, (0, (4, 2)))), strict=True):
        colour = look(k)[0]
        heave, turn = side * (z * phase).real / largest, side * (theta * phase).real / largest
        # Nose down is positive: the front end at +half goes down with theta.
        ax.plot([-1, 1], [1.6 + 0.45 * (heave + half * turn), 1.6 + 0.45 * (heave - half * turn)], color=colour, ls=dash,
                lw=3)
        for x, wheel in zip((-1, 1), wheels, strict=True):
            ax.plot([x], [0.45 * side * (wheel * phase).real / largest], marker="o", ms=15, mfc="none", mec=colour,
                    mew=1.6)
    ax.axhline(0.0, color=FAINT, lw=0.6)
    ax.text(0.0, -0.85, f"{mode.frequency_hz:.2f} Hz, damping ratio {mode.damping_ratio:.2f}", ha="center", fontsize=8.5,
            color=INK)
    ax.set_xlim(-1.5, 1.5)
    ax.set_ylim(-1.1, 2.4)
    ax.text(-1.45, 2.25, "rear", fontsize=8, color=FAINT)
    ax.text(1.45, 2.25, "front", fontsize=8, color=FAINT, ha="right")
    ax.set_axis_off()

