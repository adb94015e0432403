"""What `noseload trial` prints for people."""

from __future__ import annotations

import math
import textwrap
from typing import Any

from noseload.documents import table

WIDTH = 108
CHECK_INSTALLATIONS = 4
"""Two pairs: the fewest in which a straight drift cancels."""


def _wrap(text: str, indent: str = "") -> str:
    return textwrap.fill(text, WIDTH, initial_indent=indent, subsequent_indent=indent)


def _share(value: float) -> str:
    return f"{100 * value:.0f} %"


def plan_text(trial: Any, folder: str | None, notes: list[str], others: Any = ()) -> str:
    """Size, power curve, what is lost, and what to do next."""
    plan, sizing = trial.plan, trial.sizing
    show, extra = plan.kind.show, plan.installations - sizing.design.installations
    lines = [
        f"{plan.vehicle_name}: blinded trial of {plan.change} against {plan.reference}",
        f"{plan.kind.words}, {plan.surface}" + ("" if plan.grade_deg is None else f", board at {plan.grade_deg:g} deg"),
        f"In {sizing.minutes:.0f} minutes it finds a true {show(plan.difference, sign=True)} with a chance of {_share(sizing.power)}.",
        "",
        *_question_lines(plan),
        "",
        f"Size: {sizing.design.installations} installations ({sizing.design.pairs} of each)"
        + (f", and {extra} for {_others(plan)}" if extra else "")
        + f", {plan.repeats} readings each (averaged, never counted as n), {sizing.minutes:.0f} minutes.",
        f"Order: {plan.order_kind.replace('_', ' ')}, one of {sizing.design.count()}; smallest p possible "
        f"{sizing.smallest_p:.3g}.",
        f"Chance to find {show(plan.difference, sign=True)}: {_share(sizing.power)}; chance to show that it is below "
        f"{show(plan.noticeable)} if there is none: {_share(sizing.power_smaller)}.",
    ]
    if plan.outcome == "pass_fail":
        lines.append(
            "WARNING: pass or fail tells very little per run; any reading in degrees or grams finds the same "
            "with a fraction of the runs."
        )
    else:
        lines.append(f"Smallest difference found with the wanted power: {show(sizing.smallest_difference)}.")
    if sizing.handbook_pairs is not None:
        lines.append(f"(A handbook's paired t test would take {2 * sizing.handbook_pairs} installations.)")
    if sizing.scatter_sd_high is not None:
        more = "more than 80" if sizing.wanted_pairs_high is None else str(2 * sizing.wanted_pairs_high)
        lines.append(
            f"The scatter is known from {plan.scatter.installations} installations only: it may be up to "
            f"{show(sizing.scatter_sd_high)} (80 %), and then takes {more} installations."
        )
    lines += [*_cost_lines(plan, sizing), "", _curve(sizing)]
    if others:
        lines += ["", *_other_lines(others, sizing)]
    if sizing.lost:
        lines += ["", "Lost by fitting it into the afternoon:", *[_wrap(line, "  ") for line in sizing.lost]]
    lines += [_wrap(note) for note in notes]
    return "\n".join([*lines, "", *_next_lines(plan, folder)])


def _cost_lines(plan: Any, sizing: Any) -> list[str]:
    """What the two checks of the trial itself cost that this plan leaves out."""
    missing = ["a positive control (--control)"] * (not plan.control_pairs) + ["A against A (--same-pairs 2)"] * (
        not plan.same_pairs
    )
    if not missing:
        return []
    minutes = CHECK_INSTALLATIONS * sizing.minutes / max(1, plan.installations)
    return [
        f"Left out: {' and '.join(missing)}; each takes {CHECK_INSTALLATIONS} installations more ({CHECK_INSTALLATIONS * plan.repeats} "
        f"readings, some {minutes:.0f} minutes) and shows whether the trial could see anything, or sees what is not there."
    ]


def _other_lines(others: Any, sizing: Any) -> list[str]:
    """The outcomes that were not chosen, at the same size."""
    rows = [
        (
            other.outcome.key,
            other.outcome.show(other.difference, sign=True) if other.difference is not None else "-",
            other.outcome.show(other.outcome.typical_scatter) if other.power is not None else "-",
            "-" if other.power is None else _share(other.power),
            other.why,
        )
        for other in others
    ]
    return [
        f"The other outcomes with {sizing.design.installations} installations, at a scatter that is typical (common practice, no source):",
        table(["outcome", "predicted", "scatter", "chance to find it", ""], rows, align="<>>><"),
    ]


def _others(plan: Any) -> str:
    parts = ["the control"] * bool(plan.control_pairs) + ["A against A"] * bool(plan.same_pairs)
    return " and ".join(parts)


def _question_lines(plan: Any) -> list[str]:
    show = plan.kind.show
    lines = [
        f"Worth finding {show(plan.difference, sign=True)}; measurable beyond {show(plan.measurable)}, noticed beyond "
        f"{show(plan.noticeable)}."
    ]
    if plan.prediction is not None:
        lines.append(f"Prediction ({plan.prediction.origin}): {show(plan.prediction.difference, sign=True)}.")
    scatter = plan.scatter
    lines.append(
        f"Scatter: {show(scatter.installation_sd)} from fitting to fitting, {show(scatter.reading_sd)} between "
        f"repeats ({scatter.words})."
    )
    if plan.control_pairs:
        lines.append(
            f"Positive control: {plan.control_words or 'a change known to work'}, predicted "
            f"{show(plan.control_effect, sign=True)}, {plan.control_pairs} pairs."
        )
    return lines


def _curve(sizing: Any) -> str:
    rows = [
        [
            f"{point.installations}",
            _share(point.power),
            f"{point.smallest_p:.3g}",
            f"{point.minutes:.0f}",
            "#" * round(30 * point.power)
            + (" <- this plan" if point.installations == sizing.design.installations else ""),
        ]
        for point in sizing.curve
    ]
    return table(["installations", "power", "smallest p", "minutes", ""], rows, align=">>>><")


def _next_lines(plan: Any, folder: str | None) -> list[str]:
    if folder is None:
        return ["Nothing was sealed (--size-only)."]
    return [
        f"Commitment (SHA-256), to post where others see it BEFORE run 1:\n  {plan.commitment}",
        "",
        f"In {folder}: plan.json, commitment.txt, readings.csv to fill in, the sheets of driver and scorer.",
        f"In {folder}/sealed, for the installer alone: key.json, the installer's sheet, fittings.csv.",
        f"Afterwards: noseload trial read {folder}",
        "",
        _wrap(
            "Caution: disconnect the battery before touching the part; keep clear of wheels and hot motors; nobody below the "
            "board. For small model vehicles, never a basis for driving a manned vehicle on a slope; local rules "
            "come first."
        ),
    ]


def read_text(result: Any) -> str:
    """Verdict and findings in the order in which a sceptic asks."""
    plan, analysis = result.plan, result.analysis
    lines = [_wrap(result.headline), ""]
    lines.append(
        _wrap(
            {
                "posted": "Seal: the files agree with the commitment that was posted.",
                "commitment.txt": "Seal: the files agree with commitment.txt in this folder; only what was posted elsewhere "
                f"shows when. Compare with it: {plan.commitment}",
            }.get(
                result.compared_with,
                f"Seal: the files agree with each other; commitment.txt is gone, and only what was posted elsewhere shows "
                f"when. Compare with it: {plan.commitment}",
            )
        )
    )
    lines += [_wrap(line) for line in (*_control_lines(result), *_main_lines(result), *_guess_lines(result))]
    if analysis.drift is not None:
        lines.append(f"Drift: {_with_interval(plan, analysis.drift.slope, analysis.drift.interval)} per installation.")
    missing = ", ".join(map(str, analysis.missing)) or "none"
    lines.append(
        _wrap(
            f"Missing runs: {missing}; {analysis.main.used} installations of the trial proper used. Rule sealed "
            f"before: {plan.exclusion_rule}"
        )
    )
    lines += [_wrap(line) for line in _look_lines(result)]
    for what, means in result.fitted_means.items():
        said = ", ".join(
            f"{name.rsplit('_', 1)[0].replace('_', ' ')} {value:.1f} {name.rsplit('_', 1)[1]}"
            for name, value in means.items()
        )
        lines.append(f"Installer's readings, {what}: {said}.")
    if result.notes:
        lines += ["", *[_wrap("! " + note) for note in result.notes]]
    return "\n".join(lines)


def _with_interval(plan: Any, value: float, interval: tuple[float, float]) -> str:
    show = plan.kind.show
    if not math.isfinite(value):
        return "not measured"
    return f"{show(value, sign=True)} ({show(interval[0], sign=True)} to {show(interval[1], sign=True)})"


def _control_lines(result: Any) -> list[str]:
    plan, control, same = result.plan, result.analysis.control, result.analysis.same
    lines = []
    if control is not None:
        few = control.smallest_p > plan.alpha
        exact = "" if few else f", exact p {control.p_exact:.3g} (smallest possible {control.smallest_p:.3g})"
        seen = "seen: this trial could see a change" if result.control_seen else "NOT seen"
        lines.append(
            f"Positive control ({plan.control_words or 'known change'}, predicted "
            f"{plan.kind.show(plan.control_effect, sign=True)}): {seen}; "
            f"{_with_interval(plan, control.difference, control.interval)}, {control.pairs} pairs{exact}."
        )
    if same is not None:
        lines.append(f"A against A: {_with_interval(plan, same.difference, same.interval)}, {same.pairs} pairs.")
    return lines


def _main_lines(result: Any) -> list[str]:
    plan, main = result.plan, result.analysis.main
    low, high = main.one_sided
    show, level = plan.kind.show, f"{100 * (1 - plan.alpha):g} %"
    within = "within" if -plan.noticeable < low and high < plan.noticeable else "not within"
    lines = [
        f"Difference, {plan.change} less {plan.reference}: {_with_interval(plan, main.difference, main.interval)}, {level}; "
        f"exact p {main.p_two_sided:.4g} over the {main.orders} orders that could have been drawn (smallest possible "
        f"{main.smallest_p:.3g}).",
        f"Two one-sided tests ({level} each): limits {show(low, sign=True)} and {show(high, sign=True)}, {within} "
        f"+-{show(plan.noticeable)}, from which on the sealed plan calls it noticeable.",
    ]
    if result.prediction_words and result.agrees:
        lines.append(result.prediction_words)
    return lines


def _guess_lines(result: Any) -> list[str]:
    lines = []
    for guess, words in (
        (result.analysis.guess_before, "Guesses before moving (was it blind?)"),
        (result.analysis.guess_after, "Guesses after the run (could it be felt?)"),
    ):
        if guess is not None:
            low, high = guess.interval
            lines.append(
                f"{words}: {guess.right} of {guess.guesses} right, p {guess.p_greater:.3g}; a guess is right with "
                f"a chance of {100 * low:.0f} to {100 * high:.0f} % ({100 * guess.confidence:g} %)."
            )
    return lines


def _look_lines(result: Any) -> list[str]:
    looks, plan = result.looks, result.plan
    if looks is None:
        if plan.look > 1:
            return [f"This is look {plan.look}: name the earlier trials with --earlier to report them together."]
        return []
    lines = [
        f"Look {i + 1}: {_with_interval(plan, r.difference, r.interval)}, p {r.p_two_sided:.4g}."
        for i, (_, r) in enumerate(looks.earlier)
    ]
    together = looks.together
    lines.append(
        f"All {looks.number} looks together: {_with_interval(plan, together.difference, together.interval)}, p "
        f"{together.p_two_sided:.4g}. With so many looks, and all together, the chance of at least one false find is up to "
        f"{100 * looks.chance_of_false_find:.0f} %."
    )
    return lines


def rehearsal_text(rehearsal: Any, notes: list[str]) -> str:
    """How often which conclusion, for each truth."""
    plan, options = rehearsal.plan, rehearsal.options
    show = plan.kind.show
    drift = plan.drift if options.drift is None else options.drift
    day = f"drift {show(drift, sign=True)} per installation"
    day += f", bend {show(options.bend, sign=True)}" if options.bend else ""
    day += f", leak {_share(options.leak)} with bias {show(options.bias, sign=True)}" if options.leak else ""
    day += f", {_share(options.missing)} missing" if options.missing else ""
    lines = [
        f"{plan.vehicle_name}: {plan.change} against {plan.reference}, {plan.installations} installations, "
        f"{options.trials} simulated trials of each truth",
        day,
        "",
    ]
    rows = []
    for name, words in (
        ("right_difference", "a difference measured, right sign"),
        ("wrong_difference", "a difference measured, false"),
        ("called_smaller", f"smaller than {show(plan.noticeable)}"),
        ("undecided", "undecided"),
        ("wrong", "concluded wrongly, any of it"),
        ("covered", "interval holds the truth"),
        ("guesses_alarm", "guesses called leaking"),
        ("prediction_refused", "prediction refused"),
        ("control_seen", "positive control seen"),
    ):
        if (name == "control_seen" and not plan.control_pairs) or (
            name == "prediction_refused" and plan.prediction is None
        ):
            continue
        cells = []
        for truth in rehearsal.truths:
            if name == "right_difference" and truth.true == 0.0:
                cells.append("-")
                continue
            share, low, high = truth.share(name)
            cells.append(f"{_share(share)} ({100 * low:.0f}-{100 * high:.0f})")
        rows.append([words, *cells])
    header = ["what you would conclude", *(f"truth {show(t.true, sign=True)}" for t in rehearsal.truths)]
    lines.append(table(header, rows))
    lines.append("\nIn brackets the 95 % range of each share, from the number of simulated trials.")
    if options.leak and options.bias:
        lines.append(
            _wrap(
                "With a leaky blind, what is measured includes the bias of whoever knows: the seal cannot help, "
                "the skirt and the closed door do."
            )
        )
    return "\n".join([*lines, *[_wrap(note) for note in notes]])
