"""Picture of a trial: what was measured, beside both thresholds, the control and the prediction."""

from __future__ import annotations

import math
from textwrap import wrap

from matplotlib.axes import Axes

from noseload.model.names import shown_name
from noseload.pictures.style import FAINT, INK, PAPER, figure_for, house_look
from noseload.plain import typeset
from noseload.studies.trial.document import TrialPlan
from noseload.studies.trial.read import TrialResult
from noseload.studies.trial.rehearse import Rehearsal

MEASURED, CONTROL, PREDICTED = INK, "#2f8f83", "#b5452c"
NOTICED_BAND, MEASURABLE_BAND = "#eceff1", "#d5dbe0"
TITLE_WIDTH = 72
"""Characters of a line of the title that fit on the picture."""


@house_look
def plot_trial(result: TrialResult, ax: Axes | None = None) -> Axes:
    """Draw the intervals of a trial.

    Parameters
    ----------
    result : TrialResult
    ax : Axes, optional
        Axes to draw on; a new figure by default.

    Returns
    -------
    Axes
    """
    ax = figure_for(ax, 8.0, 4.4)
    rows = _rows(result)
    unit, plan = result.plan.kind.unit, result.plan
    reach = _reach(result, rows)
    for bound, colour in ((plan.noticeable, NOTICED_BAND), (plan.measurable, MEASURABLE_BAND)):
        ax.axvspan(-bound, bound, color=colour, linewidth=0, zorder=0)
    ax.axvline(0.0, color=INK, linewidth=0.8)
    for i, (name, colour, marker, middle, interval, inner) in enumerate(rows):
        y = -float(i)
        _interval(ax, y, interval, reach, colour, 2.0)
        if inner is not None:
            _interval(ax, y, inner, reach, colour, 5.0)
        if math.isfinite(middle):
            ax.plot(middle, y, marker, color=colour, markersize=8, markeredgecolor=PAPER, zorder=4)
        ax.annotate(
            name,
            (0.0, y),
            xycoords=("axes fraction", "data"),
            xytext=(-8, 0),
            textcoords="offset points",
            ha="right",
            va="center",
            color=colour,
            fontsize=9,
            annotation_clip=False,
        )
        ax.annotate(
            _numbers(result, middle, interval),
            (1.0, y),
            xycoords=("axes fraction", "data"),
            xytext=(8, 0),
            textcoords="offset points",
            ha="left",
            va="center",
            color=colour,
            fontsize=8.5,
            annotation_clip=False,
        )
        if colour == CONTROL and plan.control_effect is not None:
            ax.plot(plan.control_effect, y, "|", color=CONTROL, markersize=22, markeredgewidth=1.4)
            ax.annotate(
                "predicted",
                (plan.control_effect, y),
                xytext=(0, -15),
                textcoords="offset points",
                ha="center",
                va="center",
                color=CONTROL,
                fontsize=7.8,
            )
    _name_bands(ax, result)
    ax.set_xlim(-reach, reach)
    ax.set_ylim(-len(rows) + 0.4, 1.15)
    ax.set_yticks([])
    ax.spines["left"].set_visible(False)
    ax.grid(False)
    label = f"{shown_name(plan.change)} less {shown_name(plan.reference)}: {plan.kind.words}, {unit}"
    ax.set_xlabel("\n".join(wrap(label, TITLE_WIDTH)), parse_math=False)
    small = f"any difference here is smaller than {plan.kind.show(plan.noticeable)}"
    found = f"a difference of {plan.kind.show(result.analysis.main.difference, sign=True)} was measured here"
    words = {"difference": found, "both": f"{found}; {small}", "smaller": small, "undecided": "undecided"}[result.kind]
    if result.agrees is False:
        words = f"prediction and trial disagree; {words}"
    ax.set_title(
        "\n".join([*wrap(plan.context, TITLE_WIDTH), *wrap(words, TITLE_WIDTH)]), fontsize=10, parse_math=False
    )
    return ax


def _rows(result: TrialResult) -> list[tuple]:
    """Name, colour, marker, middle, interval and inner interval of each row, top first."""
    plan, analysis = result.plan, result.analysis
    main, level = analysis.main, round(100 * (1 - plan.alpha))
    rows: list[tuple] = []
    if analysis.control is not None:
        seen = "seen" if result.control_seen else "not seen"
        rows.append(
            (f"positive control\n({seen})", CONTROL, "s", analysis.control.difference, analysis.control.interval, None)
        )
    rows.append((f"measured here\n({level} %)", MEASURED, "o", main.difference, main.interval, main.one_sided))
    if analysis.same is not None:
        rows.append(("A against A", FAINT, "s", analysis.same.difference, analysis.same.interval, None))
    if result.looks is not None:
        together = result.looks.together
        rows.append(
            (
                f"{len(result.looks.earlier) + 1} looks together",
                MEASURED,
                "o",
                together.difference,
                together.interval,
                together.one_sided,
            )
        )
    if plan.prediction is not None:
        middle, margin = plan.prediction.difference, plan.prediction.margin
        name = f"prediction\n({plan.prediction.origin})"
        rows.append((name, PREDICTED, "D", middle, (middle - margin, middle + margin), None))
    return rows


def _reach(result: TrialResult, rows: list[tuple]) -> float:
    ends = [result.plan.noticeable, result.plan.measurable]
    for _, _, _, middle, interval, _ in rows:
        ends += [abs(v) for v in (middle, *interval) if math.isfinite(v)]
    return 1.12 * max(ends)


def _interval(ax: Axes, y: float, interval: tuple[float, float], reach: float, colour: str, width: float) -> None:
    low, high = (max(-2 * reach, min(2 * reach, v)) for v in interval)
    ax.plot((low, high), (y, y), color=colour, linewidth=width, solid_capstyle="butt", zorder=3)


def _numbers(result: TrialResult, middle: float, interval: tuple[float, float]) -> str:
    show = result.plan.kind.show
    if not math.isfinite(middle):
        return "not measured"
    if interval[0] == interval[1]:
        return show(middle, sign=True)
    return f"{show(middle, sign=True)}\n{show(interval[0], sign=True)} to {show(interval[1], sign=True)}"


def _name_bands(ax: Axes, result: TrialResult) -> None:
    """Name each band at its right end, above the rows."""
    show, plan = result.plan.kind.show, result.plan
    wide = sorted(((plan.noticeable, "noticed"), (plan.measurable, "measurable")))
    for k, (bound, name) in enumerate(wide):
        ax.annotate(
            f"{name} beyond {show(bound)}",
            (bound, 1.05 - 0.27 * k),
            xytext=(3, 0),
            fontsize=7.8,
            textcoords="offset points",
            ha="left",
            va="center",
            color="#5d6973",
            annotation_clip=False,
        )
        ax.plot((bound, bound), (0.95 - 0.27 * k, 1.15 - 0.27 * k), color="#5d6973", linewidth=0.8)


@house_look
def plot_power(plan: TrialPlan, ax: Axes | None = None) -> Axes:
    """Draw the power curve of a plan over its number of installations."""
    ax = figure_for(ax, 7.5, 4.2)
    curve = plan.sizing["curve"]
    counts = [point["installations"] for point in curve]
    powers = [100.0 * point["power"] for point in curve]
    ax.plot(counts, powers, "-o", color=INK, markersize=5)
    size = plan.sizing["installations"]
    here = next(point for point in curve if point["installations"] == size)
    ax.plot(size, 100.0 * here["power"], "o", color=PREDICTED, markersize=10, zorder=4)
    ax.annotate(
        f"this plan: {size} installations,\n{100 * here['power']:.0f} %, {plan.sizing['minutes']:.0f} minutes",
        (size, 100.0 * here["power"]),
        xytext=(12, -16),
        textcoords="offset points",
        color=PREDICTED,
        ha="left",
        va="top",
        fontsize=8.5,
    )
    ax.set_ylim(0.0, 102.0)
    ax.set_xlim(min(counts) - 1, max(counts) + 0.3 * (max(counts) - min(counts)) + 2)
    ax.set_xlabel("installations of the trial proper")
    ax.set_ylabel("chance to find it, %")
    difference = plan.kind.show(plan.difference, sign=True)
    who = f"{shown_name(plan.change)} against {shown_name(plan.reference)}"
    ax.set_title(f"{who}: chance to find {difference}", parse_math=False)
    return ax


@house_look
def plot_rehearsal(rehearsal: Rehearsal, ax: Axes | None = None) -> Axes:
    """Draw how often each conclusion comes out, for each truth."""
    ax = figure_for(ax, 8.0, 1.6 + 1.25 * len(rehearsal.truths))
    plan = rehearsal.plan
    looks = (
        ("right_difference", MEASURED, "a difference measured, right sign"),
        ("wrong_difference", PREDICTED, "a difference measured, false"),
        ("called_smaller", CONTROL, f"smaller than {plan.kind.show(plan.noticeable)}"),
        ("undecided", FAINT, "undecided"),
    )
    ticks = []
    for i, truth in enumerate(rehearsal.truths):
        for k, (name, colour, words) in enumerate(looks):
            if name == "right_difference" and truth.true == 0.0:
                continue
            y = -5.0 * i - k
            share, low, high = (100.0 * v for v in truth.share(name))
            ax.barh(y, share, height=0.8, color=colour)
            ax.plot((low, high), (y, y), color=PAPER, linewidth=3.2, solid_capstyle="round")
            ax.plot((low, high), (y, y), color=INK, linewidth=1.2)
            ax.annotate(
                f"{share:.0f} %  {words}",
                (max(share, high), y),
                xytext=(5, 0),
                textcoords="offset points",
                va="center",
                fontsize=8,
                color=INK,
            )
        ticks.append((-5.0 * i - 1.5, typeset(f"truth {plan.kind.show(truth.true, sign=True)}\n({truth.name})")))
    ax.set_yticks([y for y, _ in ticks], [text for _, text in ticks])
    ax.tick_params(axis="y", length=0)
    ax.set_xlim(0.0, 145.0)
    ax.set_xticks(range(0, 101, 20))
    ax.grid(False, axis="y")
    ax.set_xlabel("share of simulated trials, %")
    ax.set_title(f"What {plan.installations} installations would make you conclude")
    return ax
