"""The page in a real browser: it fetches nothing, moves, shows the solver's numbers, can be read and driven by keys."""

import base64
import io
import re
import zlib

import numpy as np
import pytest
from PIL import Image

from noseload.pages.answer import headline
from page_browser import NASTY

pytestmark = pytest.mark.slow

LEAST_CONTRAST = 4.5
"""W3C, Web Content Accessibility Guidelines 2.1, success criterion 1.4.3."""
CONTRAST = """
const parse = (c) => { const n = c.match(/[\\d.]+/g).map(Number); return n.length < 4 ? n.concat(1) : n; };
const lum = (c) => [0, 1, 2].map((k) => { const p = c[k] / 255; return p <= 0.04045 ? p / 12.92 : ((p + 0.055) / 1.055) ** 2.4; })
  .reduce((s, p, k) => s + p * [0.2126, 0.7152, 0.0722][k], 0);
const found = [], walker = document.createTreeWalker(document.body, NodeFilter.SHOW_TEXT);
let seen = 0;
while (walker.nextNode()) {
  const node = walker.currentNode, own = node.parentElement;
  if (!node.textContent.trim() || own.closest("script,style,noscript,title,desc,[hidden]") || !own.getClientRects().length) continue;
  const style = getComputedStyle(own), ink = parse(own.closest("svg") ? style.fill : style.color);
  let paper = [255, 255, 255, 1];
  for (let e = own; e; e = e.parentElement) { const b = parse(getComputedStyle(e).backgroundColor); if (b[3] === 1) { paper = b; break; } }
  const a = lum(ink), b = lum(paper), ratio = (Math.max(a, b) + 0.05) / (Math.min(a, b) + 0.05);
  seen += 1;
  if (ratio < arguments[0]) found.push([node.textContent.trim().slice(0, 40), ratio, style.fill]);
}
return [seen, found];
"""


def shown(browser, address, width=1000, *, scheme="light", motion="no-preference"):
    """The page opened anew in a window of a width, its answer uncovered."""
    features = [{"name": "prefers-color-scheme", "value": scheme}, {"name": "prefers-reduced-motion", "value": motion}]
    browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"features": features})
    browser.execute_cdp_cmd(
        "Emulation.setDeviceMetricsOverride", {"width": width, "height": 900, "deviceScaleFactor": 1, "mobile": False}
    )
    browser.get("about:blank")
    browser.get(f"{address}#verdict")
    return browser


def test_no_console_message_and_no_request_leaves(browser, address):
    import json

    browser.get_log("performance")
    shown(browser, address)
    browser.execute_script("document.getElementById('live-punch-button').click()")
    asked = [json.loads(entry["message"])["message"] for entry in browser.get_log("performance")]
    urls = [m["params"]["request"]["url"] for m in asked if m["method"] == "Network.requestWillBeSent"]
    assert f"{address}#verdict" in urls or address in urls, "the log works"
    assert {url.partition("#")[0] for url in urls if not url.startswith(("data:", "about:"))} == {address}
    assert browser.get_log("browser") == []


def test_buttons_stand_apart(browser, address):
    """Once the three of the blind films touched: a finger's width was shared by two."""
    shown(browser, address)
    gaps = browser.execute_script(
        "return [...document.querySelectorAll('#live button + button')].map(b => "
        "[b.previousElementSibling.getBoundingClientRect(), b.getBoundingClientRect()])"
        ".filter(([a, b]) => a.width && b.width && a.top === b.top).map(([a, b]) => b.left - a.right)"
    )
    assert len(gaps) >= 2 and min(gaps) >= 5.0


def test_names_are_text(browser, address):
    shown(browser, address)
    words = browser.execute_script(
        "return [...document.querySelectorAll('#live-setup option')].map(o => o.textContent)"
    )
    assert words[-1] == NASTY
    assert browser.execute_script("return document.querySelectorAll('[onload]').length") == 0


@pytest.mark.parametrize("width", [360, 1600])
def test_nothing_overflows(browser, address, width):
    shown(browser, address, width)
    browser.execute_script("document.getElementById('live-punch-button').click()")
    assert browser.execute_script("return document.documentElement.scrollWidth") <= width
    wide = browser.execute_script(
        "return [...document.querySelectorAll('main *')].filter(e => !e.closest('.wide') && !e.parentElement.closest('svg') && e.getBoundingClientRect().right > innerWidth + 0.5).map(e => e.outerHTML.slice(0, 80))"
    )
    assert wide == []


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_text_has_contrast(browser, address, scheme):
    """Against the paper it stands on; words in drawings against the drawing's paper."""
    shown(browser, address, scheme=scheme)
    papers = browser.execute_script("return getComputedStyle(document.querySelector('section')).backgroundColor")
    assert papers == ("rgb(255, 255, 255)" if scheme == "light" else "rgb(23, 29, 35)")
    seen, poor = browser.execute_script(CONTRAST, LEAST_CONTRAST)
    assert seen > 500 and poor == []


DRAWN_WORDS = """
const found = [];
for (const word of document.querySelectorAll("svg text")) {
  const box = word.getBoundingClientRect();
  if (box.width < 2 || box.height < 2) continue;
  found.push([box.left + scrollX, box.top + scrollY, box.width, box.height, getComputedStyle(word).fill, word.textContent]);
}
const style = document.createElement("style");
style.textContent = "svg text{visibility:hidden!important}";
document.head.append(style);
return found;
"""


PARTS = np.arange(256) / 255.0
LINEAR = np.where(PARTS <= 0.04045, PARTS / 12.92, ((PARTS + 0.055) / 1.055) ** 2.4)
"""Of every value of a colour's part (Web Content Accessibility Guidelines 2.1)."""


def luminance(colours):
    """Relative luminance of colours 0..255 in the last axis."""
    return LINEAR[np.asarray(colours, dtype=int)] @ [0.2126, 0.7152, 0.0722]


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_words_in_drawings_have_contrast_with_what_lies_behind_them(browser, address, scheme):
    """As painted: areas, hatches and lines behind a word count, each pixel; most of what is behind it lets it be read."""
    shown(browser, address, scheme=scheme)
    # What is solved after the page has loaded makes it longer.
    browser.execute_async_script(
        "const done=arguments[0],look=()=>document.getElementById('live-why-saved').textContent?done():setTimeout(look,20);look()"
    )
    # A window as tall as the page: no scroll bar, so places in the page are places in the picture.
    height = browser.execute_script("return document.documentElement.scrollHeight")
    browser.execute_cdp_cmd(
        "Emulation.setDeviceMetricsOverride",
        {"width": 1000, "height": height + 200, "deviceScaleFactor": 1, "mobile": False},
    )
    # Parts that follow the size of the window are laid out anew a few frames later.
    browser.execute_async_script(
        "const done = arguments[0]; setTimeout(() => requestAnimationFrame(() => done()), 500)"
    )
    words = browser.execute_script(DRAWN_WORDS)
    painted = browser.execute_cdp_cmd("Page.captureScreenshot", {})["data"]
    pixels = np.asarray(Image.open(io.BytesIO(base64.b64decode(painted))).convert("RGB"))
    poor = []
    for left, top, wide, tall, fill, word in words:
        behind = luminance(pixels[int(top) : int(top + tall) + 1, int(left) : int(left + wide) + 1])
        ink = float(luminance([round(float(part)) for part in re.findall(r"[\d.]+", fill)[:3]]))
        ratio = (np.maximum(behind, ink) + 0.05) / (np.minimum(behind, ink) + 0.05)
        if np.median(ratio) < LEAST_CONTRAST:
            poor.append((word, fill, round(float(np.median(ratio)), 2), round(left), round(top)))
    assert len(words) > 100 and not poor, poor


def test_without_a_script_a_picture_stands_there(browser, address):
    browser.execute_cdp_cmd("Emulation.setScriptExecutionDisabled", {"value": True})
    try:
        shown(browser, address)
        assert browser.find_element("css selector", ".still figure svg").is_displayed()
        assert "where scripts are allowed" in browser.find_element("css selector", "#live noscript").text
    finally:
        browser.execute_cdp_cmd("Emulation.setScriptExecutionDisabled", {"value": False})


def printed_pages(pdf):
    """Painting operators of every page of a PDF whose streams are deflated (ISO 32000-1, 7.3.8 and 9.4.3)."""
    parts = {int(k): body for k, body in re.findall(rb"(?s)(?<!\d)(\d+) 0 obj(.*?)endobj", pdf)}
    found = []
    for body in parts.values():
        if not re.search(rb"/Type\s*/Page(?![a-z])", body):
            continue
        names = [int(k) for k in re.findall(rb"(\d+) 0 R", re.search(rb"(?s)/Contents\s*(\[.*?\]|\d+ 0 R)", body)[1])]
        painted = b""
        for name in names:
            # An object of its own: where the data end in a carriage return, the last byte is taken for the line's.
            painted += zlib.decompressobj().decompress(
                re.search(rb"(?s)stream\r?\n(.*?)\r?\nendstream", parts[name])[1]
            )
        found.append(len(re.findall(rb"(?:TJ|Tj|\bS|\bf|\bDo)\s", painted)))
    return found


def test_it_prints_as_a_report_without_empty_pages(browser, address):
    """Prose that is folded on a screen is printed; controls are not; no page is all but empty."""
    shown(browser, address)
    browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": "print"})
    try:
        seen = browser.execute_script(
            "const h=(q)=>[...document.querySelectorAll(q)].map(e=>e.getBoundingClientRect().height);"
            "return [Math.min(...h('details>:not(summary)')), Math.max(...h('button')), Math.max(...h('input'))]"
        )
    finally:
        browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"media": ""})
    assert seen[0] > 5 and seen[1:] == [0, 0]
    printed = base64.b64decode(browser.execute_cdp_cmd("Page.printToPDF", {"printBackground": False})["data"])
    pages = printed_pages(printed)
    assert len(pages) > 3 and min(pages) > 15, pages


PHONE = """
const size = (t) => parseFloat(getComputedStyle(t).fontSize) * t.getScreenCTM().a;
const texts = [...document.querySelectorAll('svg text')].filter((t) => t.getClientRects().length && t.textContent.trim());
const stage = document.getElementById('stage').getBoundingClientRect();
return {
  title: document.querySelector('h1').textContent,
  stage: [stage.top + scrollY, stage.bottom + scrollY],
  bars: document.querySelectorAll('.answer-bars li svg').length,
  small: texts.filter((t) => size(t) < 11.9).map((t) => t.textContent),
  words: texts.length,
  cut: [...document.querySelectorAll('.wide')].filter((e) => e.scrollWidth > e.clientWidth + 1).length,
  prose: [...document.querySelectorAll('#verdict>details')].filter((e) => !e.open).length,
};
"""


def test_on_a_phone_the_verdict_comes_first_then_the_drawing_then_a_bar_a_setup(browser, address, report):
    """360 by 780 pixels: the drawing within the first screen, words of drawings of 12 pixels, no table cut off."""
    browser.execute_cdp_cmd("Emulation.setEmulatedMedia", {"features": []})
    browser.execute_cdp_cmd(
        "Emulation.setDeviceMetricsOverride", {"width": 360, "height": 780, "deviceScaleFactor": 1, "mobile": True}
    )
    browser.get("about:blank")
    browser.get(address)
    covered = browser.execute_script(
        "return [document.querySelector('h1').textContent,document.getElementById('verdict').hidden]"
    )
    assert covered[0].endswith("Guess first.") and covered[1], "the answer is not given away before the guess"
    browser.execute_script("document.getElementById('live-guess-skip').click()")
    found = browser.execute_script(PHONE)
    assert found["title"] == headline(report)
    assert found["stage"][1] < 780
    assert found["bars"] == len(report.members) - 1
    assert found["small"] == [] and found["words"] > 100
    assert found["cut"] == 0 and found["prose"] == 2
