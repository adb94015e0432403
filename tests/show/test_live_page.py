"""The live part of the page in a real browser: every control by mouse, keys and touch; its numbers are Python's."""

import re
import urllib.parse
from dataclasses import replace
from importlib.resources import files
from math import atan2, degrees
from pathlib import Path

import numpy as np
import pytest

from noseload import demo_vehicle, punch
from noseload.demo import DEMO
from noseload.model.file.reader import load_vehicle
from noseload.model.units import grams_of_force
from noseload.pages.html import Markup
from noseload.pages.live.numbers import live_style
from noseload.pages.live.sections import link_ends, live_part
from noseload.pages.live.words import ENGLISH
from noseload.studies.climb.creep import Climb
from noseload.studies.climb.standing import stand
from noseload.studies.links.links import links
from noseload.studies.show.report import ReportMember
from noseload.studies.space.climb import stand_in_space
from noseload.studies.space.wheels import wheels, wheels_sweep
from page_browser import GROUP, NASTY

pytestmark = [pytest.mark.slow, pytest.mark.xdist_group(GROUP)]

RAISED = "raised_rear_upper_mount"
SHOWN_G = 0.5000001
"""Whole grams are shown."""
DRAGS = 500
FRAME_MS = 2 * 16.0
"""Twice the mark at a sixfold throttled processor: the machine is shared."""
PUNCH_MS = 2 * 150.0
"""The same of a punch of two setups, each by itself."""
LARGEST_PAGE = 450_000
"""Bytes; the page of these tests has one setup more than the demo."""


@pytest.fixture
def page(browser, address):
    yield opened(browser, address)
    assert [entry for entry in browser.get_log("browser") if entry["level"] == "SEVERE"] == []


def opened(browser, address):
    """A page opened anew on a phone, awake."""
    size = {"width": 360, "height": 780, "deviceScaleFactor": 1, "mobile": True}
    browser.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", size)
    browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": "", "features": []})
    browser.get("about:blank")
    browser.get_log("browser")
    browser.get(address)
    wait(browser, "return document.getElementById('live').classList.contains('awake')")
    return browser


def wait(browser, condition, seconds=10):
    from selenium.webdriver.support.ui import WebDriverWait

    return WebDriverWait(browser, seconds, poll_frequency=0.05).until(lambda b: b.execute_script(condition))


def text_of(browser, name):
    return browser.execute_script("return document.getElementById(arguments[0]).textContent", f"live-{name}")


def give(browser, name, value):
    """Set a control as a reader does: its input and change events, then the next frame."""
    browser.execute_script(
        "const e=document.getElementById(arguments[0]);e.value=arguments[1];"
        "e.dispatchEvent(new Event('input',{bubbles:true}));e.dispatchEvent(new Event('change',{bubbles:true}))",
        f"live-{name}",
        str(value),
    )
    settle(browser)


def settle(browser):
    """Wait for the next frame and for the whole climb, which follows when the hand rests."""
    browser.execute_async_script(
        "const done=arguments[0],live=document.getElementById('live');"
        "const look=()=>live.hasAttribute('data-busy')?setTimeout(look,20):done();"
        "requestAnimationFrame(()=>requestAnimationFrame(look))"
    )


def number_in(words):
    return float(re.search(r"[+\u2212-]?\d+(?:\.\d+)?", words).group().replace("\u2212", "-"))


def test_the_first_screen_answers(page, report):
    """At 360 px the drawing and the load stand within the first screens' height of the live part; nothing is wider."""
    shown = page.execute_script(
        "const r=document.getElementById('stage').getBoundingClientRect();"
        "return [r.height,document.documentElement.scrollWidth]"
    )
    assert shown[0] <= 300 and shown[1] == 360
    row = report.members[0].climb.row(report.grade_deg)
    assert number_in(text_of(page, "load")) == pytest.approx(grams_of_force(row.front_load_n), abs=SHOWN_G)


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


def test_link_ends_and_slope_by_keys_mouse_and_finger(page):
    """Arrow keys move a ring by 1 mm and the slope by half a degree; a mouse and a finger drag both."""
    from selenium.webdriver import ActionChains
    from selenium.webdriver.common.keys import Keys

    names = page.execute_script(
        "return [...document.querySelectorAll('#stage g.handle')].map(g=>g.getAttribute('aria-label'))"
    )
    assert names == [ENGLISH["slope"], *link_ends().values()]
    sizes = page.execute_script(
        "return [...document.querySelectorAll('#stage g.handle circle:first-child')].map(c=>c.getBoundingClientRect().width)"
    )
    assert min(sizes) >= 44
    rings = page.find_elements("css selector", "#stage g.handle")
    ring = rings[names.index("rear upper link, axle end")]
    page.execute_script("arguments[0].focus()", ring)
    ActionChains(page).send_keys(*[Keys.ARROW_UP] * 3, Keys.ARROW_RIGHT).perform()
    settle(page)
    assert page.execute_script("return ['up','along'].map(n=>document.getElementById('live-move-'+n).value)") == [
        "3",
        "1",
    ]
    assert "against base" in text_of(page, "difference")
    page.execute_script("arguments[0].focus()", rings[0])
    ActionChains(page).send_keys(Keys.ARROW_DOWN, Keys.ARROW_DOWN, Keys.PAGE_DOWN).perform()
    settle(page)
    assert rings[0].get_attribute("aria-valuetext") == "49.0\u00b0 (115 %)" and text_of(page, "grade").startswith(
        "49.0"
    )
    for drag in (mouse_drag, finger_drag):
        page.execute_script(
            "document.getElementById('live-move-back').click();document.getElementById('stage').scrollIntoView()"
        )
        settle(page)
        before = text_of(page, "load")
        drag(page, *middle_of(page, ring), 0, -15)
        assert text_of(page, "load") != before and "against base" in text_of(page, "difference")
        steep = number_in(text_of(page, "grade"))
        drag(page, *middle_of(page, rings[0]), 10, 25)
        assert number_in(text_of(page, "grade")) < steep - 2


def test_the_ground_itself_is_dragged_about_the_rear_contact(page):
    """A pointer that goes round the contact by an angle turns the slope by that angle, to half a degree."""
    give(page, "tilt", 30)
    place = """const svg=document.querySelector('#stage svg'),p=new DOMPoint(0,0).matrixTransform(svg.getScreenCTM());
      document.getElementById('stage').scrollIntoView();return [p.x,p.y-document.getElementById('stage').getBoundingClientRect().top*0]"""
    page.execute_script("document.getElementById('stage').scrollIntoView()")
    x, y = page.execute_script(place)
    reach, first, second = 120.0, np.radians(28.0), np.radians(38.0)
    start = (x + reach * np.cos(first), y - reach * np.sin(first))
    end = (x + reach * np.cos(second), y - reach * np.sin(second))
    assert (
        page.execute_script("return document.elementFromPoint(...arguments).getAttribute('class')", *start) == "ground"
    )
    mouse_drag(page, *start, end[0] - start[0], end[1] - start[1])
    assert number_in(text_of(page, "grade")) == pytest.approx(40.0, abs=0.5)


def middle_of(page, element):
    return page.execute_script(
        "const b=arguments[0].querySelector('.ring').getBoundingClientRect();return [b.x+b.width/2,b.y+b.height/2]",
        element,
    )


def mouse_drag(page, x, y, dx, dy):
    def event(kind, share):
        place = {"x": x + share * dx, "y": y + share * dy, "button": "left", "buttons": 1, "clickCount": 1}
        page.execute_cdp_cmd("Input.dispatchMouseEvent", {"type": kind, **place})

    event("mousePressed", 0.0)
    for k in range(1, 5):
        event("mouseMoved", 0.25 * k)
    event("mouseReleased", 1.0)
    settle(page)


def finger_drag(page, x, y, dx, dy):
    def event(kind, points):
        page.execute_cdp_cmd("Input.dispatchTouchEvent", {"type": kind, "touchPoints": points})

    event("touchStart", [{"x": x, "y": y, "id": 1}])
    for k in range(1, 5):
        event("touchMove", [{"x": x + 0.25 * k * dx, "y": y + 0.25 * k * dy, "id": 1}])
    event("touchEnd", [])
    settle(page)


CONTROLS = """
window.heard = [];
for (const kind of ['click', 'input', 'change', 'keydown']) document.getElementById('live').addEventListener(kind, (e) => heard.push(e.target.id || e.target.parentNode.getAttribute('aria-label')), true);
return [...document.querySelectorAll('#live :is(input,select,button,a,.handle)')].filter((e) => !e.disabled && e.getClientRects().length && !e.closest('.films'));
"""


def test_every_control_answers_to_mouse_touch_and_keys(page):
    """Each is met by Tab, has a role, a name and a value that is said with its unit, and a tap of either kind reaches it."""
    from selenium.webdriver import ActionChains
    from selenium.webdriver.common.keys import Keys

    page.execute_script(
        "document.getElementById('live-guess-button').click();document.getElementById('live-blind-start').click()"
    )
    controls = page.execute_script(CONTROLS)
    assert len(controls) > 35
    keys = {"range": Keys.ARROW_RIGHT, "number": Keys.ARROW_UP, "checkbox": Keys.SPACE, "select-one": Keys.ARROW_DOWN}
    for control in controls:
        kind, label = page.execute_script(
            "const e=arguments[0];return [e.type,e.labels&&e.labels.length?e.labels[0].textContent:e.getAttribute('aria-label')||e.textContent]",
            control,
        )
        assert label.strip(), control.get_attribute("outerHTML")
        assert page.execute_script("return arguments[0].tabIndex", control) >= 0
        if kind == "range":
            assert control.get_attribute("aria-valuetext"), label
        if kind == "select-one":
            page.execute_script("arguments[0].selectedIndex=0", control)
        page.execute_script("arguments[0].scrollIntoView({block:'end'});heard.length=0", control)
        box = page.execute_script(
            "const b=(arguments[0].querySelector('.ring')||arguments[0]).getBoundingClientRect();return [b.x+b.width/2,b.y+b.height/2]",
            control,
        )
        met = page.execute_script(
            "const e=document.elementFromPoint(...arguments[1]);return e===arguments[0]||arguments[0].contains(e)",
            control,
            box,
        )
        assert met or kind is None, f"something lies over {label}"
        if kind != "select-one" and met:
            # A list of choices opens a window of its own, which a test without a screen cannot touch.
            tap(page, *box)
            assert page.execute_script("return heard.length") or "handle" in (control.get_attribute("class") or ""), (
                label
            )
        page.execute_script("arguments[0].focus();heard.length=0", control)
        before = page.execute_script(
            "return [arguments[0].value,arguments[0].checked,arguments[0].getAttribute('aria-valuetext')]", control
        )
        if kind == "range" and page.execute_script("return +arguments[0].value>=+arguments[0].max", control):
            ActionChains(page).send_keys(Keys.ARROW_LEFT).perform()
        else:
            ActionChains(page).send_keys(keys.get(kind, Keys.ARROW_UP if kind is None else Keys.ENTER)).perform()
        assert page.execute_script("return heard.length"), label
        if kind in keys:
            after = page.execute_script(
                "return [arguments[0].value,arguments[0].checked,arguments[0].getAttribute('aria-valuetext')]", control
            )
            assert after != before, label


def tap(page, x, y):
    """A press of the mouse, then of a finger."""
    for kind in ("mousePressed", "mouseReleased"):
        page.execute_cdp_cmd(
            "Input.dispatchMouseEvent", {"type": kind, "x": x, "y": y, "button": "left", "clickCount": 1}
        )
    page.execute_cdp_cmd("Input.dispatchTouchEvent", {"type": "touchStart", "touchPoints": [{"x": x, "y": y, "id": 1}]})
    page.execute_cdp_cmd("Input.dispatchTouchEvent", {"type": "touchEnd", "touchPoints": []})


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
    address = page.execute_script("return document.getElementById('live-own-save').href")
    saved = urllib.parse.unquote(address.split(",", 1)[1])
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
        address = page.execute_script("return document.getElementById('live-own-save').href")
        vehicle = load_vehicle("my-crawler.toml", text=urllib.parse.unquote(address.split(",", 1)[1]))
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


def test_random_drags_never_break_the_page(page):
    """Rings and slope dragged at random: no error in the console, a load within the weight or words why there is none."""
    random = np.random.default_rng(4)
    weight = grams_of_force(stand(demo_vehicle()).weight)
    page.execute_script("document.getElementById('stage').scrollIntoView()")
    mouse_drag(page, 5, 5, 1, 1)
    program = """
    const done=arguments[arguments.length-1],steps=arguments[0],found=[],rings=[...document.querySelectorAll('#stage g.handle')];
    const put=(e,kind,x,y)=>e.dispatchEvent(new PointerEvent(kind,{clientX:x,clientY:y,pointerId:1,bubbles:true,cancelable:true}));
    const next=(k)=>{ if(k===steps.length){done(found);return;}
      const [which,dx,dy]=steps[k],ring=rings[which],b=ring.querySelector('.ring').getBoundingClientRect(),x=b.x+b.width/2,y=b.y+b.height/2;
      put(ring,'pointerdown',x,y);put(ring,'pointermove',x+dx,y+dy);
      requestAnimationFrame(()=>{setTimeout(()=>{
        found.push([document.getElementById('live-load').textContent,document.getElementById('live-difference').textContent]);
        put(ring,'pointerup',x+dx,y+dy);next(k+1);},0);});};
    next(0);"""
    rings = len(link_ends()) + 1
    steps = [[int(random.integers(rings)), *random.uniform(-25, 25, 2).tolist()] for _ in range(DRAGS)]
    page.set_script_timeout(120)
    found = page.execute_async_script(program, steps)
    assert len(found) == DRAGS
    for load, words in found:
        if load == "\u2013":
            assert words
        else:
            assert 0 <= float(load.split()[0]) <= weight + 1
    assert sum(load != "\u2013" for load, _ in found) > DRAGS / 4
    assert len({words for _, words in found}) > DRAGS / 10, "the drags did move something"
    settle(page)
    assert [entry for entry in page.get_log("browser") if entry["level"] == "SEVERE"] == []


FRAMES = """
const done=arguments[0],slope=document.getElementById('live-tilt'),up=document.getElementById('live-move-up'),times={link:[],slope:[]},punches=[];
document.getElementById('live-move-end').value='rear_upper_link_axle';
const next=(k)=>{ if(k===90){ for(let i=0;i<4;i++){const began=performance.now();document.getElementById('live-punch-button').click();punches.push((performance.now()-began)/2);} done([times.link,times.slope,punches]);return; }
  const tilts=k%2,input=tilts?slope:up;
  input.value=tilts?20+(k%40):(k%25)*0.5;input.dispatchEvent(new Event('input',{bubbles:true}));
  requestAnimationFrame((now)=>{const spent=performance.now();setTimeout(()=>{if(k>9)times[tilts?'slope':'link'].push(spent-now);next(k+1);},0);});};
next(0);"""


def test_a_drag_is_answered_within_a_frame_and_a_punch_at_once_on_a_slow_phone(page):
    """At a sixfold throttled processor by the browser's own clock: printed; of the calmest ten twice the mark is asserted,
    since other work on the machine counts too."""
    page.execute_cdp_cmd("Emulation.setCPUThrottlingRate", {"rate": 6})
    try:
        page.set_script_timeout(60)
        links_ms, slope_ms, punch_ms = page.execute_async_script(FRAMES)
    finally:
        page.execute_cdp_cmd("Emulation.setCPUThrottlingRate", {"rate": 1})
    for words, times in (("a link end", links_ms), ("the slope", slope_ms), ("a punch", punch_ms)):
        print(f"{words} at a sixfold throttled processor: median {np.median(times):.1f} ms, worst {max(times):.1f} ms")
    for times in (links_ms, slope_ms):
        assert min(np.median(times[k : k + 10]) for k in range(0, len(times), 10)) < FRAME_MS
    assert min(punch_ms) < PUNCH_MS


def test_where_motion_is_unwelcome_films_stand_until_they_are_stepped(page):
    """Nothing runs by itself; the slider of the moment steps the film by keys."""
    from selenium.webdriver import ActionChains
    from selenium.webdriver.common.keys import Keys

    page.execute_cdp_cmd(
        "Emulation.setEmulatedMedia", {"features": [{"name": "prefers-reduced-motion", "value": "reduce"}]}
    )
    drawn = "return document.querySelector('#live-punch-films .frame').getAttribute('d')"
    page.execute_script("document.getElementById('live-punch-button').click()")
    first = page.execute_script(drawn)
    page.execute_async_script("setTimeout(arguments[0],250)")
    assert page.execute_script(drawn) == first
    page.execute_script("document.querySelector('#live-punch-films input').focus()")
    ActionChains(page).send_keys(*[Keys.ARROW_RIGHT] * 12).perform()
    assert page.execute_script(drawn) != first
    assert (
        page.execute_script("return document.querySelector('#live-punch-films input').getAttribute('aria-valuetext')")
        == "0.24 s"
    )


def test_an_accessibility_checker_finds_nothing_serious(page):
    axe = pytest.importorskip("axe_core_python", reason="no accessibility checker: pip install axe-core-python")
    page.execute_script(files(axe).joinpath("axe.min.js").read_text(encoding="utf-8"))
    page.set_script_timeout(120)
    found = page.execute_async_script("const done=arguments[0];axe.run(document).then((r)=>done(r.violations))")
    serious = [
        (v["id"], [n["html"][:120] for n in v["nodes"]]) for v in found if v["impact"] in ("serious", "critical")
    ]
    assert serious == []


def test_names_with_markup_stay_text(page):
    assert NASTY in page.execute_script("return document.getElementById('live-setup').textContent")
    assert page.execute_script("return document.querySelectorAll('[onload]').length") == 0
    page.execute_script(
        "const e=document.getElementById('live-setup');e.selectedIndex=e.options.length-1;e.dispatchEvent(new Event('change'))"
    )
    settle(page)
    assert number_in(text_of(page, "load")) > 0


def test_what_lead_height_and_springs_buy_stands_beside_the_links(page, report):
    ranked = {change.name: change for change in report.rank.ready_made}
    words = page.execute_script("return [...document.querySelectorAll('#live-section-push li')].map(e=>e.textContent)")
    assert len(words) == 3
    springs = max((c for name, c in ranked.items() if "springs" in name), key=lambda c: c.effects["front_load_n"])
    for told, change in zip(words, (ranked["front_wheels_100_g"], ranked["5_mm_lower"], springs), strict=True):
        assert told.startswith(change.label) and number_in(told.rpartition(":")[2]) == pytest.approx(
            grams_of_force(change.effects["front_load_n"]), abs=SHOWN_G
        )


def test_the_page_stays_light_and_asks_for_nothing(html):
    assert len(html.encode()) < LARGEST_PAGE
    assert "eval(" not in html and "http://" not in html.replace("http://www.w3.org", "")


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
    assert [entry for entry in page.get_log("browser") if entry["level"] == "SEVERE"] == []


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
    address = page.execute_script("return document.getElementById('live-own-save').href")
    path = Climb(load_vehicle("my-crawler.toml", text=urllib.parse.unquote(address.split(",", 1)[1])))
    assert grade == grade_deg
    assert grams == pytest.approx(grams_of_force(path.row(grade).front_load_n), abs=SHOWN_G)
    assert tip == pytest.approx(path.limits.tip_over_grade_deg, abs=0.0050001)


def moments_balance(page):
    """The last line of the reader's sum of moments."""
    last = page.execute_script("return [...document.querySelectorAll('#live-why-moments td')].map(c=>c.textContent)")
    assert abs(float(last[-1].split()[0].replace("\u2212", "-"))) < 1e-4
