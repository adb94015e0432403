"""One report, one page of it and one browser for all tests of the page: each costs more than what most tests do with it."""

import re
from pathlib import Path

import pytest

from noseload import demo_vehicle
from noseload.demo import DEMO
from noseload.model.file.reader import load_vehicle
from noseload.pages.page import report_page
from noseload.studies.errors.uncertainty import uncertainty
from noseload.studies.show import report as report_study
from noseload.studies.show.report import ReportOptions, collect
from page_browser import NASTY, PUNCH_DEG, open_browser, opened, severe


@pytest.fixture(scope="session")
def report(tmp_path_factory):
    """All setups of the demo and one whose name is meant to break out, with readings of which one is 60 g off."""
    name = NASTY.replace('"', '\\"')
    text = Path(DEMO).read_text(encoding="utf-8")
    text += f'\n[setups."{name}"]\n"rear.shock.spring_rate_n_per_mm" = 0.5\n'
    names = [None, *demo_vehicle().setups, NASTY]
    board = (Path(DEMO).parent / "readings" / "board.csv").read_text(encoding="utf-8")
    file = tmp_path_factory.mktemp("board") / "board.csv"
    spoilt, count = re.subn(r"(front_load, 30, )(\d+)(, up)", lambda m: f"{m[1]}{int(m[2]) + 60}{m[3]}", board)
    assert count == 1
    file.write_text(spoilt, encoding="utf-8")
    vehicles = [load_vehicle(DEMO, text=text, setup=name) for name in names]
    with pytest.MonkeyPatch.context() as patched:
        # Few draws and a short search: their intervals and ranges are drawn and told all the same.
        patched.setitem(uncertainty.__kwdefaults__, "left_out_draws", 40)
        patched.setattr(report_study, "GENERATIONS", 2)
        patched.setattr(report_study, "READY_MADE", 2)
        patched.setattr(report_study, "PUNCH_DRAWS", 0)
        return collect(vehicles, ReportOptions(draws=10, punch_grade_deg=PUNCH_DEG), readings=file)


@pytest.fixture(scope="session")
def html(report):
    return report_page(report)


@pytest.fixture(scope="session")
def address(html, tmp_path_factory):
    path = tmp_path_factory.mktemp("page") / "page.html"
    path.write_text(html, encoding="utf-8")
    return path.as_uri()


@pytest.fixture(scope="session")
def browser():
    with open_browser(360, 780) as found:
        yield found


@pytest.fixture
def page(browser, address):
    yield opened(browser, address)
    assert severe(browser) == []
