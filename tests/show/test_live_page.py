"""The live part of the page in a real browser as a whole: its first screen, its pace, who can read it, and its size."""

from importlib.resources import files

import numpy as np
import pytest

from noseload.model.units import grams_of_force
from page_browser import NASTY, SHOWN_G, number_in, settle, text_of

pytestmark = pytest.mark.slow

FRAME_YARDS, PUNCH_YARDS = 1.5, 3.0
"""Most time of a drag and of a punch, in that of the yardstick beside them: about twice what they take (0.5 to 1.0; 1.1 to 1.4)."""
LARGEST_PAGE = 450_000
"""Bytes; the page of these tests has one setup more than the demo."""


def test_the_first_screen_answers(page, report):
    """At 360 px the drawing and the load stand within the first screens' height of the live part; nothing is wider."""
    shown = page.execute_script(
        "const r=document.getElementById('stage').getBoundingClientRect();"
        "return [r.height,document.documentElement.scrollWidth]"
    )
    assert shown[0] <= 300 and shown[1] == 360
    row = report.members[0].climb.row(report.grade_deg)
    assert number_in(text_of(page, "load")) == pytest.approx(grams_of_force(row.front_load_n), abs=SHOWN_G)


PACE = """
const done=arguments[0],slope=document.getElementById('live-tilt'),up=document.getElementById('live-move-up');
document.getElementById('live-move-end').value='rear_upper_link_axle';
const rounds=[];
const spent=(work)=>{const began=performance.now();work();return performance.now()-began;};
const yard=()=>spent(()=>{let sum=0;for(let i=0;i<400000;i++){sum+=Math.sin(1e-3*i)*Math.sqrt(i+sum*sum);}if(sum===0.5){throw sum;}});
const next=(round,k)=>{
  if(k===0){rounds.push({link:[],slope:[],yard:yard()});}
  const {link,slope:tilt}=rounds[round],tilts=k%2,input=tilts?slope:up;
  input.value=tilts?20+(7*round+k)%40:((5*round+k)%25)*0.5;input.dispatchEvent(new Event('input',{bubbles:true}));
  requestAnimationFrame((now)=>{const seen=performance.now();setTimeout(()=>{
    (tilts?tilt:link).push(seen-now);
    if(k<9){next(round,k+1);return;}
    rounds[round].punch=spent(()=>document.getElementById('live-punch-button').click())/2;
    if(round<8){next(round+1,0);}else{done(rounds);}
  },0);});};
next(0,0);"""
"""Rounds of ten drags and a punch of two setups, each round with the same plain arithmetic as its yardstick."""


def test_drags_and_punches_keep_pace_with_plain_arithmetic_on_a_slow_phone(page):
    """As ratios of one run at a sixfold throttled processor, so that neither the machine nor what else runs on it decides."""
    page.execute_cdp_cmd("Emulation.setCPUThrottlingRate", {"rate": 6})
    try:
        page.set_script_timeout(120)
        # The first round compiles.
        rounds = page.execute_async_script(PACE)[1:]
    finally:
        page.execute_cdp_cmd("Emulation.setCPUThrottlingRate", {"rate": 1})
    for key, words, mark in (
        ("link", "a link end", FRAME_YARDS),
        ("slope", "the slope", FRAME_YARDS),
        ("punch", "a punch", PUNCH_YARDS),
    ):
        yards = [np.median(one[key]) / one["yard"] for one in rounds]
        print(f"{words}: {np.median([np.median(one[key]) for one in rounds]):.1f} ms, {np.median(yards):.2f} yards")
        assert np.median(yards) < mark, words


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


def test_the_page_stays_light_and_asks_for_nothing(html):
    assert len(html.encode()) < LARGEST_PAGE
    assert "eval(" not in html and "http://" not in html.replace("http://www.w3.org", "")
