"""End of the page: the bench, what a trial would need, then method, assumptions and cautions."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from noseload.model.names import shown_name
from noseload.model.units import grams_of_force
from noseload.studies.bench.board import board_front_load
from noseload.version import VERSION

from .html import Markup, bullets, element, figure, folded, join, paragraph, section, table
from .words import grams, named

if TYPE_CHECKING:
    from noseload.studies.show.report import Report


CAUTIONS = (
    "Prop and tie the board; nobody below it; a slack catch line on the vehicle, hands off while it is powered.",
    "Fingers out of links and gears: they pinch. Eye protection with wheels in the air: lead and tape fly. Pressed springs fly.",
    "Stalls of a second at most: motors and speed controllers get hot enough to burn. Charge and store batteries as their maker says.",
    "Local rules and the makers' instructions come first. A model of small model vehicles: never a basis for driving a manned vehicle on a slope.",
)
LEFT_OUT = (
    "Side view of a vehicle on a plane slope: no roll, no torque twist, no rocks. It says nothing about a vehicle on rock.",
    "Unless the file gives them, no rolling resistance and no contact that traction moves; no air, links without mass; the motor is a straight "
    "line from stall to no load. What such things are worth for this vehicle stands with its errors, row by row.",
    "Steady crawl: traction in the limit of zero speed, all driven axles slipping alike.",
    "The rotor's axis lies lengthwise, so its spin has no part in the front-load budget.",
)
METHOD = (
    "Chassis, rear and front axle are rigid bodies in the side view; each pair of links is one rod whose force is solved with the motion. Tyres, shocks and stops are springs with damping.",
    "The crawl is solved from level upward along the curve of equilibria to where the front axle carries nothing, past grip, torque and any fold.",
    "The punch is integrated in time from the solved crawl; lift-off and touchdown are located, the energy balance is checked at the end.",
    "The front-load budget is exact: the moments of the whole vehicle about the rear contact point. Its parts add up to the front tyre load at every instant.",
)


def bench(report: Report, drawing: Any, caption: Any, over_torque: Any = ()) -> Markup:
    """The board on which every number of the crawl can be read off, and the held-wheel bench where it was calculated."""
    rows = []
    for k, member in enumerate(report.members):
        tip = member.sweep.limits.tip_over_grade_deg
        load = board_front_load(member.vehicle, report.grade_deg)
        rows.append((named(k, member.name), "-" if tip is None else f"{tip:.2f}", grams(load)))
    parts = [
        paragraph(
            "Front scale on a plate on dowels: the front axle then pulls nothing, the rear wheels hold the vehicle, and it carries in front what the table says, not "
            "what a crawl on all driven axles has; the angle of tip-over is the same. Wheels locked by the motor or tied to their own axles, nothing tied or chocked to the board. "
            "Raise the board slowly, up and down in turn: friction in joints shows as a gap."
        ),
        figure(drawing, caption),
        table(
            (
                "setup",
                "board angle at tip-over, deg",
                f"front scale at {report.grade_deg:g} deg, rear wheels holding, g",
            ),
            rows,
            caption="What the board should show, calculated; yours beside it.",
        ),
    ]
    return section("bench", "The bench", *parts, *_held_wheels(report), *over_torque)


def _held_wheels(report: Report) -> list:
    """Rear wheels held, torque raised until the front is free: what a torque does without a slope."""
    title = element("h3", "Rear wheels held, torque raised")
    if report.bench is None:
        why = next((item.why for item in report.missing if item.part == "held-wheel bench"), "it could not be solved")
        return [title, paragraph(f"Not calculated: {why}")]
    rows = []
    for k, member in enumerate(report.bench.members):
        lift, level = member.lift, member.rows[0]
        rise = (
            "-"
            if lift is None or lift.nose_up_pitch_deg is None
            else f"{lift.nose_up_pitch_deg - level.nose_up_pitch_deg:.1f}"
        )
        reached = (
            "-"
            if member.reached is None
            else f"{100 * member.throttle_at_lift:.0f} %"
            if member.reached
            else "beyond its stall torque"
        )
        rows.append(
            (named(k, member.setup), "none found" if lift is None else f"{lift.torque_n_mm:.0f}", rise, reached)
        )
    words = (
        "Level floor, rear wheels clamped, front wheels free to roll (shaft out or on rollers): the front scale falls by torque over wheelbase, and the front "
        "is free when the torque is weight times the distance of the centre of gravity from the rear axle. The links act through attitude alone here too. "
        "Stalls of a second at most: motors get hot."
    )
    return [
        title,
        paragraph(words),
        table(
            ("setup", "torque that frees the front, N mm", "nose rises by, deg", "of the motor's stall torque"),
            rows,
            caption="Held-wheel bench, calculated.",
        ),
        folded("What each setup changes on this bench", bullets([d.verdict for d in report.bench.differences]))
        if report.bench.differences
        else None,
    ]


def trial(report: Report) -> Markup:
    """Size of a fair trial."""
    need = report.trial
    if need is None:
        why = next(
            (item.why for item in report.missing if item.part == "what a trial would need"), "it could not be sized"
        )
        return section("trial", "What a trial would need", paragraph(f"Not sized: {why}."))
    size = need.sizing
    most = size.design.installations
    words = [
        f"Question: does {shown_name(need.change)} tip at another grade than {shown_name(need.reference)}? Calculated: {need.predicted_deg:+.2f} deg. Read: locked-wheel tip angle, which needs no driver.",
        f"Sized for {need.wanted_deg:+.2f} deg with a scatter of {need.scatter_deg:g} deg from one fitting of the part to the next (assumed: the repeatability you set; "
        f"measure yours), {need.repeats} readings of each fitting, averaged and never counted as more.",
    ]
    words.append(
        f"{most} installations, half of each, in an order drawn by lot and sealed before run 1: {size.minutes:.0f} minutes at "
        f"6 minutes a fitting and 2 a reading. Chance to find the difference: {100 * size.power:.0f} %; smallest p possible {size.smallest_p:.2g}."
    )
    if size.smallest_difference is not None:
        words.append(
            f"With 80 % this trial finds differences from {size.smallest_difference:.2f} deg up; smaller ones will mostly end as undecided."
        )
    rows = [
        (point.installations, f"{100 * point.power:.0f}", f"{point.smallest_p:.2g}", f"{point.minutes:.0f}")
        for point in size.curve
    ]
    command = f"noseload trial plan VEHICLE.toml --change '{need.change}' --installation-sd {need.scatter_deg:g} --out my-trial"
    return section(
        "trial",
        "What a trial would need",
        bullets([*words, *size.lost]),
        table(
            ("installations", "chance to find it, %", "smallest p", "minutes"),
            rows,
            caption="Size against the chance to find the difference, simulated.",
        ),
        paragraph("To plan and seal it: ", element("code", command)),
    )


def method(report: Report) -> Markup:
    """How it was calculated, what it leaves out, cautions."""
    lines = report.options.thresholds
    standing = report.members[0].sweep.rows[0].front_load_n or 0.0
    held = (
        f"Compared with two thresholds: measurable beyond {grams_of_force(lines.measurable_load_n):.0f} g and {lines.measurable_deg:.1f} deg (twice the "
        f"repeatability), noticed beyond {grams_of_force(lines.noticed_load_n(standing)):.0f} g ({100 * lines.noticed_share:g} % of the static front axle load) and {lines.noticed_deg:g} deg; `--repeatability` and `--noticed` set them."
    )
    files = {member.vehicle.sha256 for member in report.members if member.vehicle.sha256}
    made = f"Made by noseload {VERSION}; vehicle file SHA-256 {', '.join(sorted(files)) or 'unknown'}; draws {report.options.draws}, seed {report.options.seed}."
    return section(
        "method",
        "Method, assumptions, cautions",
        bullets([*METHOD, held]),
        element("h3", "What the model leaves out"),
        bullets(LEFT_OUT),
        element("h3", "Cautions"),
        element("div", bullets(CAUTIONS), attributes={"class": "caution"}),
        join((element("p", made, attributes={"class": "soft"}),)),
    )
