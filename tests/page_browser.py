"""A headless browser for tests of pages, the same for all of them; tests are skipped where there is none."""

import shutil
import tempfile
from contextlib import contextmanager

import pytest

BROWSER = next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))), None)
DRIVER = shutil.which("chromedriver")
NASTY = "a</script><svg onload=alert(3)>'\" $x^{ &"
"""Name of a setup that would break out of the page."""
PUNCH_DEG = 40.0
GROUP = "page"
"""Tests of one group share a process, and so the report, its page and the browser."""


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
