"""A headless browser for tests of pages, the same for all of them, and how a page is read and set; skipped where there is none."""

import re
import shutil
import tempfile
import urllib.parse
from contextlib import contextmanager

import pytest

BROWSER = next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))), None)
DRIVER = shutil.which("chromedriver")
NASTY = "a</script><svg onload=alert(3)>'\" $x^{ &"
"""Name of a setup that would break out of the page."""
PUNCH_DEG = 40.0
SHOWN_G = 0.5000001
"""Whole grams are shown."""


@contextmanager
def open_browser(width, height, *, touch=True):
    """A browser with a window of a phone's size, closed afterwards."""
    webdriver = pytest.importorskip("selenium.webdriver", reason="no browser driver: pip install .[browser]")
    if not (BROWSER and DRIVER):
        pytest.skip("no chromium and chromedriver on this machine")
    from selenium.webdriver.chrome.service import Service

    with tempfile.TemporaryDirectory() as profile:
        options = webdriver.ChromeOptions()
        options.binary_location = BROWSER
        words = "headless no-sandbox disable-gpu no-first-run disable-background-networking disable-component-update"
        for word in (*words.split(), "disable-sync", f"user-data-dir={profile}"):
            options.add_argument(f"--{word}")
        options.set_capability("goog:loggingPrefs", {"browser": "ALL", "performance": "ALL"})
        driver = webdriver.Chrome(options=options, service=Service(DRIVER))
        try:
            size = {"width": width, "height": height, "deviceScaleFactor": 1, "mobile": touch}
            driver.execute_cdp_cmd("Emulation.setDeviceMetricsOverride", size)
            driver.execute_cdp_cmd("Emulation.setTouchEmulationEnabled", {"enabled": touch})
            yield driver
        finally:
            driver.quit()


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


def severe(browser):
    """Errors that the page has told since they were last asked for."""
    return [entry for entry in browser.get_log("browser") if entry["level"] == "SEVERE"]


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


def saved_file(page):
    """Text of the file of a reader's own numbers that the page gives."""
    address = page.execute_script("return document.getElementById('live-own-save').href")
    return urllib.parse.unquote(address.split(",", 1)[1])


def moments_balance(page):
    """The last line of the reader's sum of moments."""
    last = page.execute_script("return [...document.querySelectorAll('#live-why-moments td')].map(c=>c.textContent)")
    assert abs(float(last[-1].split()[0].replace("\u2212", "-"))) < 1e-4
