"""One report, one page of it and one browser for all tests of the page: each costs more than what most tests do with it."""

import pytest

from noseload.pages.page import report_page
from page_browser import open_browser, opened, severe
from result_makers import made


@pytest.fixture(scope="session")
def report():
    """The one that all tests of results look at."""
    return made("report")


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
