"""The live part of the page in a real browser: every control by mouse, keys and touch."""

import numpy as np
import pytest

from noseload import demo_vehicle
from noseload.model.units import grams_of_force
from noseload.pages.live.sections import link_ends
from noseload.pages.live.words import ENGLISH
from noseload.studies.climb.standing import stand
from page_browser import give, number_in, settle, severe, text_of

pytestmark = pytest.mark.slow

DRAGS = 500


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
    page.execute_script("document.getElementById('stage').scrollIntoView()")
    x, y = page.execute_script(
        "const svg=document.querySelector('#stage svg'),p=new DOMPoint(0,0).matrixTransform(svg.getScreenCTM());return [p.x,p.y]"
    )
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
            # The click of a finger comes a moment later: it once came between a key and the look at what the key did.
            settle(page)
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
    assert severe(page) == []
