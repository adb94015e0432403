"""The live part of pages of other vehicles in a real browser: its numbers are those of the command line."""

import re
from dataclasses import replace

import pytest

from noseload import demo_vehicle, punch
from noseload.model.file.reader import load_vehicle
from noseload.model.units import grams_of_force
from noseload.pages.html import Markup
from noseload.pages.live.numbers import live_style
from noseload.pages.live.sections import live_part
from noseload.pages.live.words import ENGLISH
from noseload.studies.climb.creep import Climb
from noseload.studies.links.links import links
from noseload.studies.show.report import ReportMember
from noseload.studies.space.climb import stand_in_space
from noseload.studies.space.wheels import wheels_sweep
from page_browser import SHOWN_G, give, moments_balance, number_in, opened, saved_file, settle, severe, text_of, wait

pytestmark = pytest.mark.slow


def built(stall=1.0, grip=None, front_mass=0.0):
    """The demo with another motor, other tyres, or lead on its front axle."""
    demo, axles = demo_vehicle(), {}
    for end in ("rear", "front"):
        axle = getattr(demo, end)
        tyre = axle.tyre if grip is None else replace(axle.tyre, grip_coefficient=grip)
        axles[end] = replace(axle, tyre=tyre, mass=axle.mass + (front_mass if end == "front" else 0.0))
    return replace(demo, drive=replace(demo.drive, stall_torque=stall * demo.drive.stall_torque), **axles)


def page_of(report, vehicle, grade_deg, punch_deg):
    """The live part of another vehicle and a setup of it with stiffer rear springs, as a page."""
    stiffer = replace(vehicle.rear.shock, spring_rate=1.5 * vehicle.rear.shock.spring_rate)
    rear = replace(vehicle.rear, shock=stiffer)
    members = []
    for name, one in (("base", vehicle), ("stiffer", replace(vehicle, rear=rear, setup="stiffer"))):
        path = Climb(one)
        wheels_standing = stand_in_space(one, standing=path.standing)
        members.append(ReportMember(name, one, path, SweepStub(path), path.row(grade_deg), on_wheels=wheels_standing))
    own = replace(
        report, members=tuple(members), grade_deg=grade_deg, punch_grade_deg=punch_deg, rank=None, measured=None,
        most=replace(report.most, grade_deg=grade_deg),
        lift_range_deg=None,
    )  # fmt: skip
    style = f"<style>{live_style()}</style>"
    return (
        own,
        f'<!DOCTYPE html><html lang="en"><meta charset="utf-8">{style}<h1>x</h1>{live_part(own, Markup(""), None)}</html>',
    )


class SweepStub:
    """Rows and limits of a climb as far as the live part asks for them."""

    def __init__(self, path):
        self.rows, self.limits = (path.row(0.0), path.row(20.0)), path.uphill_limits


KINDS = {
    "flips": ({"stall": 2.5}, 40.0, 45.0),
    "slides": ({"grip": 0.7}, 30.0, 40.0),
    "never lifts": ({"stall": 0.5, "front_mass": 0.5}, 40.0, 20.0),
}


@pytest.mark.parametrize("kind", KINDS)
def test_sections_tell_the_numbers_of_other_vehicles(browser, report, tmp_path, kind):
    """One that flips, one that slides, one that never lifts: each section against the command line."""
    numbers, grade_deg, punch_deg = KINDS[kind]
    own, html = page_of(report, built(**numbers), grade_deg, punch_deg)
    file = tmp_path / "page.html"
    file.write_text(html, encoding="utf-8")
    page = opened(browser, file.as_uri())
    first, second = own.members
    limits = first.climb.uphill_limits
    for grade in (0.0, grade_deg, 55.0):
        give(page, "tilt", grade)
        row = first.climb.row(grade)
        assert number_in(text_of(page, "load")) == pytest.approx(grams_of_force(row.front_load_n), abs=SHOWN_G)
        expected = {"beyond_grip": f"slides from {limits.grip_grade_deg or 0:.1f} deg", "ok": "no difference"}
        assert expected.get(row.status, "stalls from") in text_of(page, "difference")
    tip = limits.tip_over_grade_deg
    assert number_in(text_of(page, "tip").removeprefix("tip-over at")) == pytest.approx(tip, abs=0.0050001)
    page.execute_script("document.getElementById('live-guess-button').click()")
    change = grams_of_force(second.at_grade.front_load_n - first.at_grade.front_load_n)
    assert number_in(text_of(page, "guess-answer")) == pytest.approx(change, abs=0.0500001)
    page.execute_script("document.getElementById('live-punch-button').click()")
    told = text_of(page, "punch-answer").split(". ")
    for member, words in zip(own.members, told, strict=True):
        run = punch(member.vehicle, grade_deg=punch_deg, throttle=own.options.throttle, rise_s=own.options.rise_s)
        if kind == "slides":
            assert not run.success and ENGLISH["slides_first"] in words
            continue
        assert ENGLISH[run.summary["outcome"]] in words
        assert run.summary["outcome"] == ("flips_back" if kind == "flips" else "stays_loaded")
        if kind == "flips":
            gap = 1e3 * (run.states[7] - member.climb.standing.values.front.tyre_radius)
            ms, mm = (float(x) for x in re.search(r"(\d+) ms in the air, (\d+) mm", words).groups())
            assert ms == pytest.approx(1e3 * run.summary["front_airborne_s"], abs=SHOWN_G)
            # The page sees the flip itself, the command line its last sample before.
            assert gap.max() - 0.5 <= mm <= gap.max() + abs(gap[-1] - gap[-2]) + 0.5
        else:
            assert ENGLISH["punch_loaded"] in words
    lifts = wheels_sweep(first.vehicle, step_deg=60.0).limits
    assert (
        f"The {lifts.first_wheel.replace('_', ' ')} wheel lifts first, at {lifts.first_wheel_lift_grade_deg:.1f} deg"
        in text_of(page, "wheels-answer")
    )
    moving_a_link_end_is_that_of_the_command_line(page, first.vehicle, own.most)
    own_numbers_are_those_of_the_file(page, grade_deg)
    moments_balance(page)
    wait(page, "return document.getElementById('live-why-saved').textContent !== ''")
    assert "differs by 0.00 g" in text_of(page, "why-saved")
    assert severe(page) == []


def moving_a_link_end_is_that_of_the_command_line(page, vehicle, most):
    """Load, what it changes and how far that is pushed, tip-over and anti-squat of a rear upper link 8 mm up at the axle."""
    grade_deg = most.grade_deg
    give(page, "tilt", grade_deg)
    page.execute_script("document.getElementById('live-move-end').value='rear_upper_link_axle'")
    give(page, "move-up", 8)
    link = vehicle.rear.upper_link
    raised = replace(link, axle_end=(*link.axle_end[:-1], link.axle_end[-1] + 0.008))
    moved = replace(vehicle, rear=replace(vehicle.rear, upper_link=raised), setup="moved", base=vehicle)
    paths = [Climb(one) for one in (moved, vehicle)]
    load, was = (grams_of_force(path.row(grade_deg).front_load_n) for path in paths)
    assert number_in(text_of(page, "load")) == pytest.approx(load, abs=SHOWN_G)
    assert number_in(text_of(page, "difference")) == pytest.approx(load - was, abs=SHOWN_G)
    score = text_of(page, "push-score")
    assert number_in(score) == pytest.approx(load - was, abs=0.0500001)
    bound = grams_of_force((most.most if load >= was else most.least).front_load_n)
    share = float(re.search(r"(\d+) %", score).group(1))
    assert share == pytest.approx(100 * abs((load - was) / (bound - was)), abs=0.5000001)
    tip = number_in(text_of(page, "tip").removeprefix("tip-over at"))
    assert tip == pytest.approx(paths[0].limits.tip_over_grade_deg, abs=0.0050001)
    figures = [links(one, grade_deg=grade_deg).axles["rear"].as_driven for one in (moved, vehicle)]
    shown = [float(found) for found in re.findall(r"(-?\d+) %", text_of(page, "move-worth"))]
    assert shown == pytest.approx([100 * figure for figure in figures], abs=SHOWN_G)
    page.execute_script("document.getElementById('live-move-back').click()")
    settle(page)


def own_numbers_are_those_of_the_file(page, grade_deg):
    """Four numbers on the page's links: load and tip-over are those of the file that the page gives."""
    for name, value in {"wheelbase": 326, "rear": 1310, "front": 1490, "height": 88}.items():
        give(page, f"own-{name}", value)
    page.execute_script("document.getElementById('live-own-linked').click()")
    words = text_of(page, "own-links")
    grams, grade, tip = (float(x) for x in re.search(r"carries (\d+) g at (\d+) deg.* at ([\d.]+) deg", words).groups())
    path = Climb(load_vehicle("my-crawler.toml", text=saved_file(page)))
    assert grade == grade_deg
    assert grams == pytest.approx(grams_of_force(path.row(grade).front_load_n), abs=SHOWN_G)
    assert tip == pytest.approx(path.limits.tip_over_grade_deg, abs=0.0050001)
