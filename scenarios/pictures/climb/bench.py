"""The held-wheel bench drawn: free bodies to scale, and front load, pitch, travel and link forces over torque."""

from __future__ import annotations

from collections.abc import Callable
from math import hypot, pi
from typing import TYPE_CHECKING, Any

import numpy as np
from matplotlib.patches import Arc, Circle, FancyArrowPatch, Polygon

from noseload.model.crawl.free_body import Force, axle_alone, whole_vehicle
from noseload.model.crawl.geometry import solved_pose
from noseload.model.names import shown_name
from noseload.model.parameters import LINKS
from noseload.model.vehicle import ENDS
from noseload.pictures.names import key_below
from noseload.pictures.side_view import FORCE_INK, Slope, draw_forces, draw_ground, hull, plot_vehicle
from noseload.pictures.style import (
    AXLE_INKS,
    FAINT,
    INK,
    LEAST_BANDS,
    LINK_DASHES,
    MEASURABLE_BAND,
    as_grams,
    figure_for,
    house_look,
    load_axis,
    look,
    new_figure,
)
from noseload.studies.bench.bench import BenchComparison
from noseload.studies.climb.standing import coordinates_of
from noseload.studies.thresholds import Thresholds

if TYPE_CHECKING:
    from matplotlib.axes import Axes

    from noseload.pictures.style import NotebookFigure
    from noseload.studies.bench.bench import Bench
    from noseload.studies.bench.readings import BenchReadings


COUPLE_INK = "#b5452c"
LINK_LOOKS = tuple(
    (f"{end}_{which}_link_n", f"{end} {which}", AXLE_INKS[end], LINK_DASHES[which])
    for end in ENDS
    for which in ("upper", "lower")
)


@house_look
def draw_bench(comparison: BenchComparison, row: Any, readings: Any = None) -> NotebookFigure:
    """Free bodies of the first setup at one torque, and all setups over torque.

    Parameters
    ----------
    comparison : BenchComparison
    row : BenchRow
        Of the first setup: what the free bodies show.
    readings : BenchReadings, optional
        Drawn with their errors.

    Returns
    -------
    Figure
    """
    first = comparison.members[0]
    if row.state is None:
        figure, (ax,) = new_figure(8.0, 5.0)
        _front_loads(ax, comparison, readings)
        return figure
    figure, axes = new_figure(15.0, 9.6, 2, 3, widths=(1.55, 1.0, 1.0))
    _whole(axes[0], first, row)
    _rear(axes[1], first, row)
    _lines(
        axes[2],
        comparison,
        ("rear_shock_travel_mm", "front_shock_travel_mm"),
        "shock travel, mm (longer +)",
        "travel: rear thick, front thin",
    )
    _front_loads(axes[3], comparison, readings)
    _lines(axes[4], comparison, ("nose_up_pitch_deg",), "nose up, deg", "pitch (band: cannot be measured)")
    _points(axes[4], readings, "pitch", 1.0)
    _links(axes[5], first)
    for ax in axes[:2]:
        ax.set_axis_off()
    return figure


def _couple(ax: Axes, centre: tuple[float, float], radius: float, words: str, *, above: bool = False) -> None:
    """A couple that turns the nose up: an open circle with an arrow head, counter-clockwise."""
    ax.add_patch(Arc(centre, 2 * radius, 2 * radius, theta1=60, theta2=215, color=COUPLE_INK, lw=2.0, zorder=9))
    end = 215 * pi / 180
    tip = centre[0] + radius * np.cos(end), centre[1] + radius * np.sin(end)
    tail = centre[0] + radius * np.cos(end - 0.25), centre[1] + radius * np.sin(end - 0.25)
    ax.add_patch(FancyArrowPatch(tail, tip, arrowstyle="-|>", mutation_scale=14, color=COUPLE_INK, lw=0.1, zorder=9))
    start = (centre[0] - 0.7 * radius, centre[1] + 0.72 * radius) if above else (centre[0] - radius, centre[1])
    ax.annotate(
        words,
        start,
        xytext=(-5, 3),
        textcoords="offset points",
        ha="right",
        va="bottom" if above else "center",
        fontsize=8,
        color=COUPLE_INK,
        zorder=9,
    )


def _whole(ax: Axes, bench: Any, row: Any) -> None:
    values, coordinates = bench.path.bench.values, coordinates_of(row.state)
    pose = solved_pose(values, coordinates)
    origin = pose.points["rear_contact"][0]
    span = pose.points["front_contact"][0] - origin
    draw_ground(ax, 0.0, -0.45 * span, 1.4 * span)
    plot_vehicle(pose, 0.0, ax)
    slope = Slope(0.0, origin)
    pull = row.front_traction_n
    forces = [
        Force("clamp_traction", f.point, f.vector) if f.name == "rear_traction" else f
        for f in whole_vehicle(values, coordinates, 0.0, (row.rear_load_n, row.front_load_n), (-pull, pull))
    ]
    draw_forces(ax, slope, forces)
    radius = 1e3 * pose.radii["rear"]
    centre = slope.place(pose.points["rear_wheel_centre"])
    _clamp(ax, centre, radius)
    _couple(ax, centre, 1.18 * radius, f"clamp\n{abs(row.clamp_couple_n_mm):.0f} N mm")
    if row.front_load_n <= 0.0:
        words = "front wheels free: the axle carries nothing"
    elif bench.front == "free":
        words = "front wheels free to roll (shaft out, or on rollers): nothing pulls them"
    else:
        words = {
            "free": "front geared in: play not yet taken up",
            "stuck": "front geared in, holding on the floor",
            "sliding": "front geared in, sliding at its grip",
        }[row.front_wheels]
    ax.autoscale_view()
    ax.margins(0.05)
    ax.set_title(
        f"{shown_name(bench.setup)}, torque {row.torque_n_mm:.0f} N mm, front {as_grams(row.front_load_n):.0f} g, "
        f"nose up {row.nose_up_pitch_deg:.1f} deg\n{words}"
    )


def _clamp(ax: Axes, centre: tuple[float, float], radius: float) -> None:
    """Two chocks that hold the tyre."""
    for side in (-1.0, 1.0):
        x = centre[0] + side * radius
        corners = [
            (x + side * 0.35 * radius, 0.0),
            (x - side * 0.30 * radius, 0.0),
            (x + side * 0.02 * radius, 0.72 * radius),
            (x + side * 0.35 * radius, 0.72 * radius),
        ]
        ax.add_patch(Polygon(corners, closed=True, fc="#b9aa90", ec=INK, lw=0.8, hatch="///", zorder=1.7))


def _rear(ax: Axes, bench: Any, row: Any) -> None:
    values, coordinates = bench.path.bench.values, coordinates_of(row.state)
    pose = solved_pose(values, coordinates)
    slope = Slope(0.0, pose.points["rear_contact"][0])
    centre = slope.place(pose.points["rear_wheel_centre"])
    ax.add_patch(Circle(centre, 1e3 * pose.radii["rear"], fc="#e9ecef", ec=INK, lw=1.0))
    housing = [slope.place(pose.points[f"rear_{name}_axle"]) for name in (*LINKS, "shock")] + [centre]
    ax.add_patch(Polygon(hull(housing), closed=True, fc="#cdd5db", ec=INK, lw=1.0))
    tensions = {link: getattr(row, f"rear_{link}_n") for link in LINKS}
    forces = axle_alone(values, coordinates, "rear", 0.0, row.rear_load_n, -row.front_traction_n, tensions)
    forces = [Force("clamp_traction", f.point, f.vector) if f.name == "traction" else f for f in forces]
    longest = max(hypot(*f.vector) for f in forces)
    scale = max(220.0, longest / 0.11)
    draw_forces(ax, slope, forces, scale=scale)
    _couple(ax, centre, 1.18e3 * pose.radii["rear"], f"clamp\n{abs(row.clamp_couple_n_mm):.0f} N mm", above=True)
    ax.plot([centre[0] - 100, centre[0] + 110], [0.0, 0.0], color=INK, lw=1.0)
    ax.set_aspect("equal")
    ax.autoscale_view()
    ax.margins(0.12)
    ax.set_title("rear housing and wheels cut free:\nthe torque turns the housing, links hold it")


def _front_loads(ax: Axes, comparison: BenchComparison, readings: Any, *, names: bool = True) -> None:
    """Front load over torque; the straight line is that of a rigid vehicle."""
    first = comparison.members[0]
    told = []
    for k, member in enumerate(comparison.members):
        colour, dash = look(k)
        ax.plot(member["torque_n_mm"], as_grams(member["front_load_n"]), color=colour, ls=dash)
        words = "no lift found" if member.lift is None else f"free at {member.lift.torque_n_mm:.0f} N mm"
        told.append((k, f"{shown_name(member.setup)}: {words}"))
        if member.lift is not None:
            ax.plot(
                [member.lift.torque_n_mm],
                [0.0],
                marker="o",
                ms=6,
                mfc="white",
                mec=colour,
                mew=1.4,
                clip_on=False,
                zorder=5,
            )
    _points(ax, readings, "front_load", as_grams(1.0))
    if first.stall_torque_n_mm < 1.6 * np.nanmax(first["torque_n_mm"]):
        ax.axvline(first.stall_torque_n_mm, color=FAINT, lw=1.0, ls=(0, (3, 2)))
        ax.annotate(
            "motor stalls",
            (first.stall_torque_n_mm, 0.5),
            xycoords=("data", "axes fraction"),
            xytext=(-4, 0),
            textcoords="offset points",
            rotation=90,
            ha="right",
            va="center",
            fontsize=8,
        )
    # Room for the mark of lift beside the figures of the other axis.
    low, high = ax.get_xlim()
    ax.set_xlim(low, high + 0.03 * (high - low))
    ax.set_ylim(bottom=0.0)
    ax.set_xlabel("motor torque at the wheels, N mm")
    ax.set_title("front axle load over torque")
    _band(ax, first, "front_load_n", as_grams(Thresholds().measurable_load_n), as_grams)
    load_axis(ax)
    if names:
        key_below(ax, told)


@house_look
def plot_bench_loads(comparison: Any, ax: Axes | None = None, *, readings: Any = None, names: bool = True) -> Axes:
    """Front load over torque of every setup, to lift; without `names` they stand elsewhere.

    Returns
    -------
    Axes
    """
    ax = figure_for(ax)
    _front_loads(ax, comparison, readings, names=names)
    return ax


def _points(ax: Axes, readings: Any, kind: str, size: float) -> None:
    if readings is None:
        return
    chosen = [k for k, name in enumerate(readings.kinds) if name == kind]
    if chosen:
        ax.errorbar(
            readings.torque_n_mm[chosen],
            size * readings.observed[chosen],
            yerr=2 * size * readings.errors[chosen],
            fmt="o",
            ms=3.5,
            color=FORCE_INK,
            ecolor=FORCE_INK,
            elinewidth=0.9,
            capsize=2,
            zorder=6,
        )


def _band(ax: Axes, member: Bench, name: str, half: float, convert: Callable) -> None:
    """What cannot be measured, about the first setup's curve; the axis is no narrower than it."""
    middle = convert(member[name])
    ax.fill_between(member["torque_n_mm"], middle - half, middle + half, color=MEASURABLE_BAND, lw=0, zorder=0)
    low, high = ax.get_ylim()
    lack = 0.5 * max(2.0 * LEAST_BANDS * half - (high - low), 0.0)
    ax.set_ylim(low - lack if low < 0.0 else low, high + lack)


def _lines(ax: Axes, comparison: BenchComparison, names: tuple, label: str, title: str) -> None:
    for k, member in enumerate(comparison.members):
        colour, dash = look(k)
        for place, name in enumerate(names):
            ax.plot(member["torque_n_mm"], member[name], color=colour, ls=dash, lw=1.8 - 0.8 * place)
    if names == ("nose_up_pitch_deg",):
        _band(ax, comparison.members[0], names[0], Thresholds().measurable_deg, np.asarray)
    if len(names) == 2:
        first = comparison.members[0]
        for name in names:
            ax.annotate(
                name.split("_")[0],
                (first["torque_n_mm"][-1], first[name][-1]),
                xytext=(-4, 5),
                textcoords="offset points",
                ha="right",
                fontsize=8,
            )
    ax.axhline(0.0, color=FAINT, lw=0.8)
    ax.set_xlabel("motor torque at the wheels, N mm")
    ax.set_ylabel(label)
    ax.set_title(title)


def _links(ax: Axes, bench: Bench) -> None:
    ax.axhline(0.0, color=FAINT, lw=0.8)
    torque = bench["torque_n_mm"]
    for name, _, colour, dash in LINK_LOOKS:
        ax.plot(torque, bench[name], color=colour, ls=dash)
    far = max(range(len(torque)), key=lambda k: torque[k])
    placed: list[float] = []
    span = float(np.nanmax([np.nanmax(abs(bench[n])) for n, *_ in LINK_LOOKS]))
    for name, words, colour, _ in sorted(LINK_LOOKS, key=lambda item: bench[item[0]][far]):
        height = float(bench[name][far])
        if placed and height < placed[-1] + 0.13 * span:
            height = placed[-1] + 0.13 * span
        placed.append(height)
        ax.annotate(
            words,
            (torque[far], height),
            fontsize=8,
            color=colour,
            va="center",
            ha="left",
            xytext=(torque[far] * 1.02, height),
            textcoords="data",
            annotation_clip=False,
        )
    ax.set_xlim(0.0, 1.3 * float(torque[far]))
    ax.set_xlabel("motor torque at the wheels, N mm")
    ax.set_ylabel("link force, N (tension +, compression -)")
    ax.set_title(f"{shown_name(bench.setup)}: link forces")


@house_look
def plot_bench_comparison(comparison: BenchComparison, ax: Axes | None = None) -> Axes:
    """Front load over torque of every setup; returns the axes."""
    ax = figure_for(ax, 7.0, 4.4)
    _front_loads(ax, comparison, None)
    return ax


@house_look
def plot_bench(bench: Bench, ax: Axes | None = None) -> Axes:
    """Front load over torque of one setup; returns the axes."""
    return plot_bench_comparison(BenchComparison((bench,), (), Thresholds()), ax)


@house_look
def plot_bench_readings(readings: BenchReadings, ax: Axes | None = None) -> Axes:
    """Front loads read and calculated over torque, bars of two standard errors; returns the axes."""
    ax = figure_for(ax, 7.0, 4.4)
    chosen = [k for k, kind in enumerate(readings.kinds) if kind in ("front_load", "level")]
    order = sorted(chosen, key=lambda k: readings.torque_n_mm[k])
    ax.plot(readings.torque_n_mm[order], as_grams(readings.predicted[order]), color=INK)
    ax.errorbar(
        readings.torque_n_mm[chosen],
        as_grams(readings.observed[chosen]),
        yerr=2 * as_grams(readings.errors[chosen]),
        fmt="o",
        ms=4,
        mfc="white",
        color=FORCE_INK,
        elinewidth=0.9,
        capsize=2,
    )
    ax.set_ylim(bottom=0.0)
    ax.set_xlabel("motor torque at the wheels, N mm")
    ax.set_title("bench: what was read, and what was calculated")
    load_axis(ax)
    return ax
