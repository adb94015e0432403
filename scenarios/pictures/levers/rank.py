"""What each lever and each whole change buys, as bars: tip-over on the left, front load on the right."""

from noseload.pictures.style import INK, as_grams, figure_for, house_look, new_figure
from noseload.studies.verdict.sentence import shown_name

GAIN, LOSS = "#2f8f83", "#b5452c"
PANELS = (
    ("tip_over_grade_deg", "tip-over grade, deg", lambda value: value, ".2f"),
    ("front_load_n", "front axle load at {grade:g} deg, g", as_grams, ".1f"),
)


@house_look
def plot_levers(result, name="tip_over_grade_deg", ax=None, *, top=14):
    """Bars of the first levers, each in the direction that raises the outcome, with the advice in words.

    Parameters
    ----------
    result : Rank
    name : str
        Outcome.
    ax : Axes, optional
    top : int

    Returns
    -------
    Axes
    """
    ax = figure_for(ax, 7.0, 5.0)
    convert, form = next((c, f) for key, _, c, f in PANELS if key == name)
    shown = result.levers[:top][::-1]
    sizes = [abs(convert(item.effects[name] or 0.0)) for item in shown]
    ax.barh(range(len(shown)), sizes, color="#5d7486", height=0.62)
    for k, (item, size) in enumerate(zip(shown, sizes, strict=True)):
        words = f"{item.advice[name]} +{size:{form}}" if item.advice[name] else "no effect"
        ax.annotate(words, (size, k), xytext=(4, 0), textcoords="offset points", va="center", fontsize=8)
    ax.set_yticks(range(len(shown)), [f"{item.label}  {item.step}" for item in shown])
    ax.set_xlim(0.0, 1.45 * max([*sizes, 1e-12]))
    _clean(ax)
    return ax


@house_look
def plot_changes(result, name="tip_over_grade_deg", ax=None):
    """Bars of setups and whole changes, gains to the right, losses hatched to the left.

    Returns
    -------
    Axes
    """
    ax = figure_for(ax, 7.0, 4.0)
    convert, form = next((c, f) for key, _, c, f in PANELS if key == name)
    shown = result.changes[::-1]
    values = [None if item.effects[name] is None else convert(item.effects[name]) for item in shown]
    reach = max([abs(v) for v in values if v is not None] + [1e-12])
    for k, value in enumerate(values):
        if value is None:
            ax.annotate("no solution", (0.0, k), xytext=(4, 0), textcoords="offset points", va="center", fontsize=8)
            continue
        ax.barh(
            k,
            value,
            height=0.62,
            color=GAIN if value > 0 else LOSS,
            hatch="" if value > 0 else "///",
            edgecolor="white",
            lw=0.0,
        )
        ax.annotate(
            f"{value:+{form}}",
            (value, k),
            xytext=(4 if value > 0 else -4, 0),
            textcoords="offset points",
            va="center",
            ha="left" if value > 0 else "right",
            fontsize=8,
        )
    ax.axvline(0.0, color=INK, lw=0.9)
    ax.set_yticks(range(len(shown)), [_short(shown_name(item.label)) for item in shown])
    ax.set_xlim(-1.3 * reach if min([v for v in values if v is not None] + [0.0]) < 0 else 0.0, 1.3 * reach)
    ax.set_ylim(-0.6, len(shown) - 0.4)
    _clean(ax)
    return ax


def _short(label, width=44):
    import textwrap

    return "\n".join(textwrap.wrap(label, width))


def _clean(ax):
    ax.grid(axis="y", visible=False)
    ax.tick_params(axis="y", length=0, labelsize=8.5)


@house_look
def draw_rank(result, *, top=14):
    """Figure: levers above, setups and whole changes below; tip-over left, front load right."""
    rows = 2 if result.changes else 1
    count = min(top, len(result.levers))
    heights = [count, 0.9 * len(result.changes) + 0.5][:rows]
    figure, axes = new_figure(14.0, 1.6 + 0.3 * sum(heights), rows, 2, heights=heights)
    for column, (name, words, _, _) in enumerate(PANELS):
        ax = plot_levers(result, name, axes[column], top=top)
        ax.set_xlabel("gain of the " + words.format(grade=result.grade_deg))
        if rows == 2:
            below = plot_changes(result, name, axes[2 + column])
            below.set_xlabel("change of the " + words.format(grade=result.grade_deg))
            if column:
                below.set_yticklabels([])
        if column:
            ax.set_yticklabels([])
    axes[0].set_title(f"{shown_name(result.setup)}: what one practical unit buys, and which way")
    if rows == 2:
        axes[2].set_title("setups and whole changes")
    return figure


@house_look
def plot_tip_over_levers(result, ax=None):
    """`plot_levers` for the tip-over grade; returns the axes."""
    ax = plot_levers(result, "tip_over_grade_deg", ax)
    ax.set_xlabel("later tip-over by one step, deg")
    ax.set_title(f"{shown_name(result.setup)}: what moves the tip-over grade")
    return ax
