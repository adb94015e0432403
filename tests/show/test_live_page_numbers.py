"""The live part of the page in a real browser: each section's numbers are those of the command line."""

import re
import urllib.parse
from dataclasses import replace
from math import atan2, degrees
from pathlib import Path

import numpy as np
import pytest

from noseload import demo_vehicle, punch
from noseload.demo import DEMO
from noseload.model.file.reader import load_vehicle
from noseload.model.units import grams_of_force
from noseload.studies.climb.creep import Climb
from noseload.studies.links.links import links
from noseload.studies.space.wheels import wheels, wheels_sweep
from page_browser import SHOWN_G, give, moments_balance, number_in, saved_file, settle, text_of, wait

pytestmark = pytest.mark.slow


def test_tilting_gives_the_loads_of_the_command_line(page):
    path = Climb(demo_vehicle())
    for grade in (0.0, 20.0, 45.5, 60.0):
        give(page, "tilt", grade)
        row = path.row(grade)
        assert number_in(text_of(page, "load")) == pytest.approx(grams_of_force(row.front_load_n), abs=SHOWN_G)
        parts = page.execute_script("return [...document.querySelectorAll('#live-bars output')].map(o=>o.textContent)")
        expected = [grams_of_force(row.budget[part]) for part in ("standing_n", "grade_n", "attitude_n")]
        expected.append(grams_of_force(row.front_load_n))
        assert [number_in(words) for words in parts] == pytest.approx(expected, abs=SHOWN_G)
        shares = page.execute_script(
            "return ['left','grade_n','attitude_n'].map(c=>+document.querySelector(`#live-bars rect.${c}`).getAttribute('width'))"
        )
        losses = [-min(0.0, row.budget[part]) for part in ("grade_n", "attitude_n")]
        whole = row.front_load_n + sum(losses)
        assert shares == pytest.approx([100 * x / whole for x in (row.front_load_n, *losses)], abs=0.011)
    give(page, "tilt", 70)
    assert text_of(page, "load") == "\u2013" and "past tip-over" in text_of(page, "difference")


def moved_vehicle(lines):
    text = Path(DEMO).read_text(encoding="utf-8") + "\n[setups.moved]\n" + lines
    return load_vehicle(DEMO, text=text, setup="moved")


def test_a_moved_link_end_gives_load_tip_over_and_anti_squat(page, report):
    """By number fields; the words on size are those of the thresholds."""
    base = demo_vehicle()
    x, z = base.rear.upper_link.axle_end[0], base.rear.upper_link.axle_end[-1]
    page.execute_script("document.getElementById('live-move-end').value='rear_upper_link_axle'")
    give(page, "move-up", 12)
    changed = moved_vehicle(f'"rear.upper_link.axle_end_mm" = [{1e3 * x!r}, {1e3 * z + 12.0!r}]\n')
    path, before = Climb(changed), Climb(base)
    row, was = path.row(report.grade_deg), before.row(report.grade_deg)
    change = grams_of_force(row.front_load_n - was.front_load_n)
    assert number_in(text_of(page, "load")) == pytest.approx(grams_of_force(row.front_load_n), abs=SHOWN_G)
    assert number_in(text_of(page, "difference")) == pytest.approx(change, abs=SHOWN_G)
    assert number_in(text_of(page, "tip").removeprefix("tip-over at")) == pytest.approx(
        path.limits.tip_over_grade_deg, abs=0.005
    )
    figures = [links(v, grade_deg=report.grade_deg).axles["rear"].as_driven for v in (changed, base)]
    shown = [float(found) for found in re.findall(r"(-?\d+) %", text_of(page, "move-worth"))]
    assert shown == pytest.approx([100 * figure for figure in figures], abs=SHOWN_G)
    page.execute_script("document.getElementById('live-move-back').click()")
    settle(page)
    assert text_of(page, "difference") == "no difference"


def test_guessing_shows_the_answer_beside_the_guess(page, report):
    give(page, "guess", -60)
    page.execute_script("document.getElementById('live-guess-button').click()")
    first, second = (member.climb.row(report.grade_deg).front_load_n for member in report.members[:2])
    answer = text_of(page, "guess-answer")
    assert number_in(answer) == pytest.approx(grams_of_force(second - first), abs=0.05000001)
    assert "\u221260 g" in answer and page.find_elements("css selector", "#live-guess-scale svg")


def test_a_punch_ends_as_that_of_the_command_line(page, report):
    give(page, "punch-grade", 40)
    give(page, "punch-throttle", 0.8)
    page.execute_script("document.getElementById('live-punch-button').click()")
    answer = text_of(page, "punch-answer")
    for member in report.members[:2]:
        summary = punch(member.vehicle, grade_deg=40, throttle=0.8).summary
        told = answer[answer.index(member.name.replace("_", " ")) :].split(". ")[0]
        airborne = (
            f"{1e3 * summary['front_airborne_s']:.0f} ms" if summary["front_airborne_s"] else "stays on the ground"
        )
        assert airborne in told, (told, summary)
    assert len(page.find_elements("css selector", "#live-punch-films svg")) == 2


def test_the_first_wheel_to_lift_and_what_moves_it(page, report):
    """The words on grade, wheel and twist are those of the command line; springs move them; past the lift no load stands."""
    member = report.members[0]
    words = text_of(page, "wheels-answer")
    limits = wheels_sweep(member.vehicle, step_deg=60.0).limits
    bare = wheels_sweep(member.vehicle, step_deg=60.0, shafts=False).limits
    assert f"The {limits.first_wheel.replace('_', ' ')} wheel lifts first" in words
    lifts = [float(x) for x in re.findall(r"([\d.]+) deg", words)]
    assert lifts[0] == pytest.approx(limits.first_wheel_lift_grade_deg, abs=0.05000001)
    assert lifts[1] == pytest.approx(bare.first_wheel_lift_grade_deg, abs=0.05000001)
    row = wheels(member.vehicle, grade_deg=40.0)
    assert f"differ by {grams_of_force(abs(row.twist_n)):.0f} g each way" in words
    give(page, "wheels-rear", 2)
    wait(page, f"return document.getElementById('live-wheels-answer').textContent !== {words!r}")
    stiff = replace(member.vehicle.rear.shock, spring_rate=2.0 * member.vehicle.rear.shock.spring_rate)
    built = replace(member.vehicle, rear=replace(member.vehicle.rear, shock=stiff))
    moved = wheels_sweep(built, step_deg=60.0).limits.first_wheel_lift_grade_deg
    shown = number_in(text_of(page, "wheels-answer").partition("at ")[2])
    assert shown == pytest.approx(moved, abs=0.05000001) and shown > lifts[0]
    give(page, "wheels-rear", 1)
    give(page, "wheels-grade", 70)
    wait(page, "return document.getElementById('live-wheels-answer').textContent.includes('Past the first lift')")


def test_films_can_be_told_apart_against_chance(page):
    """Ten answers; the interval is the exact one of the library."""
    from scipy.stats import binomtest

    page.execute_script("document.getElementById('live-blind-start').click()")
    for _ in range(10):
        page.execute_script("document.getElementById('live-blind-first').click()")
    words = text_of(page, "blind-answer")
    right = int(words.split()[0])
    interval = binomtest(right, 10).proportion_ci(0.95)
    low, high = (float(x) for x in re.search(r"is (\d+) to (\d+) %", words).groups())
    assert (low, high) == pytest.approx((100 * interval.low, 100 * interval.high), abs=SHOWN_G)
    assert page.execute_script("return document.getElementById('live-blind-first').disabled")


def test_own_numbers_give_a_tip_over_a_check_and_a_file(page, tmp_path):
    numbers = {"wheelbase": 301, "rear": 1310, "front": 1490, "height": 88}
    for name, value in numbers.items():
        give(page, f"own-{name}", value)
    distance = 301 * 1490 / 2800
    assert number_in(text_of(page, "own-answer").removeprefix("Tips over at")) == pytest.approx(
        degrees(atan2(distance, 88)), abs=0.05000001
    )
    kept = urllib.parse.parse_qs(urllib.parse.urlsplit(page.current_url).fragment)
    assert kept == {name: [str(value)] for name, value in numbers.items()}
    saved = saved_file(page)
    page.execute_cdp_cmd("Browser.setDownloadBehavior", {"behavior": "allow", "downloadPath": str(tmp_path)})
    page.execute_script("document.getElementById('live-own-save').click()")
    there = tmp_path / "my-crawler.toml"
    for _ in range(100):
        if there.exists() and there.stat().st_size:
            break
        page.execute_async_script("setTimeout(arguments[0],50)")
    assert there.read_text(encoding="utf-8") == saved, "what the browser puts on the disk"
    vehicle = load_vehicle("my-crawler.toml", text=saved)
    assert (vehicle.level, 1e3 * vehicle.wheelbase) == ("A", pytest.approx(301))
    from noseload import creep, sweep

    assert sweep(vehicle).limits.tip_over_grade_deg == pytest.approx(degrees(atan2(distance, 88)), abs=1e-9)
    grade, grams = re.search(r"at (\d+) deg .* read (\d+) g", text_of(page, "own-check")).groups()
    read = creep(vehicle, grade_deg=float(grade)).front_load_n
    assert float(grams) == pytest.approx(grams_of_force(read), abs=SHOWN_G)
    give(page, "own-height", -3)
    assert "not those of a vehicle" in text_of(page, "own-answer")
    assert page.execute_script("return document.getElementById('live-own-save').hidden")


def test_own_numbers_on_the_page_s_links_follow_the_link_ends_and_reach_the_command_line(page, report):
    """What the page says is what the command line makes of the file that the page gives; the address keeps the links."""
    for name, value in {"wheelbase": 326, "rear": 1310, "front": 1490, "height": 88}.items():
        give(page, f"own-{name}", value)
    page.execute_script("document.getElementById('live-own-linked').click()")
    told = []
    for up in (0, 8):
        page.execute_script("document.getElementById('live-move-end').value='rear_upper_link_axle'")
        give(page, "move-up", up)
        words = text_of(page, "own-links")
        grams, grade, tip = (
            float(x) for x in re.search(r"carries (\d+) g at (\d+) deg.* at ([\d.]+) deg", words).groups()
        )
        vehicle = load_vehicle("my-crawler.toml", text=saved_file(page))
        path = Climb(vehicle)
        assert vehicle.level == "B" and grade == report.grade_deg
        assert grams == pytest.approx(grams_of_force(path.row(grade).front_load_n), abs=SHOWN_G)
        assert tip == pytest.approx(path.limits.tip_over_grade_deg, abs=0.0050001)
        told.append(words)
    assert told[0] != told[1]
    kept = urllib.parse.parse_qs(urllib.parse.urlsplit(page.current_url).fragment)
    assert kept["links"] == ["1"] and kept["rear_upper_link_axle"] == ["0,8"]
    page.execute_script("document.getElementById('live-move-back').click()")
    settle(page)


def test_the_browser_repeats_the_saved_loads_and_its_moments_balance(page):
    wait(page, "return document.getElementById('live-why-saved').textContent !== ''")
    assert "differs by 0.00 g" in text_of(page, "why-saved")
    moments_balance(page)


def test_measured_points_stand_over_the_curve_and_misses_are_red(page, report):
    """Heights against the curve's own scale; the one reading that was spoilt is the one that is red."""
    wait(page, "return document.querySelector('#live-why-chart svg') !== null")
    found = report.measured
    loads = np.array([kind == "front_load" for kind in found.kinds])
    missed = np.abs(found.observed - found.predicted)[loads] > 2 * found.errors[loads]
    words = text_of(page, "why-measured")
    assert missed.sum() >= 1 and f"{loads.sum() - missed.sum()} of {loads.sum()} readings" in words
    circles = page.execute_script(
        "return [...document.querySelectorAll('#live-why-chart .reading')].map(g=>[g.classList.contains('missed'),"
        "Number(g.querySelector('circle').getAttribute('cy')),getComputedStyle(g).fill])"
    )
    assert [red for red, _, _ in circles] == missed.tolist()
    heights = np.array([y for _, y, _ in circles])
    slope = np.polyfit(grams_of_force(found.observed[loads]), heights, 1)
    assert np.abs(np.polyval(slope, grams_of_force(found.observed[loads])) - heights).max() < 0.06, "tenths of a pixel"
    fills = {fill for red, _, fill in circles if red}
    assert fills == {"rgb(195, 22, 28)"} and fills.isdisjoint({fill for red, _, fill in circles if not red})


def test_what_lead_height_and_springs_buy_stands_beside_the_links(page, report):
    ranked = {change.name: change for change in report.rank.ready_made}
    words = page.execute_script("return [...document.querySelectorAll('#live-section-push li')].map(e=>e.textContent)")
    assert len(words) == 3
    springs = max((c for name, c in ranked.items() if "springs" in name), key=lambda c: c.effects["front_load_n"])
    for told, change in zip(words, (ranked["front_wheels_100_g"], ranked["5_mm_lower"], springs), strict=True):
        assert told.startswith(change.label) and number_in(told.rpartition(":")[2]) == pytest.approx(
            grams_of_force(change.effects["front_load_n"]), abs=SHOWN_G
        )
