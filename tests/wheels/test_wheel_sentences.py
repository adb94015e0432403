"""Where the side view tips over later than a wheel lifts, every command that says tip-over says so."""

import json

import pytest

from noseload.__main__ import main
from result_makers import made

SAID = "In space the front right wheel lifts at 51.2 deg (50.0 to "
BEFORE = "10.2 deg before the side view's tip-over"


@pytest.mark.parametrize(
    "arguments", [["creep", "--grade", "55"], ["creep", "--grade", "70"], ["sweep", "--step", "30"]]
)
def test_texts_say_it(arguments, capsys):
    main(arguments)
    out = capsys.readouterr().out
    assert SAID in out and BEFORE in out


def test_links_says_where_the_first_wheel_lifts(capsys):
    assert main(["links", "--setups", "base,raised_rear_upper_mount"]) == 0
    out = capsys.readouterr().out
    assert "base: In space the front right wheel lifts at 51.2 deg (50.0 to " in out
    assert "raised_rear_upper_mount: In space the front right wheel lifts at" in out
    assert main(["links", "--json"]) == 0
    document = json.loads(capsys.readouterr().out)["single_wheels"]
    assert document["first_wheel"] == "front_right" and document["first_wheel_lift_range_deg"][0] < 51.0


def test_downhill_and_without_shafts_nothing_is_said(capsys, tmp_path):
    """Downhill another axle lifts; without shafts both wheels lift where the side view tips over."""
    assert main(["creep", "--grade", "-30"]) == 0
    assert "In space" not in capsys.readouterr().out


@pytest.mark.slow
def test_report_and_post_say_it():
    report, post = made("report"), made("post")
    for said in (report.single_wheels, report.to_dict()["single_wheels"], post.to_dict()["single_wheels"]):
        assert SAID in said and BEFORE in said
    assert post.single_wheels in post.text()
    from noseload.pages.page import report_page

    assert "In space the front right wheel lifts at 51.2 deg" in report_page(report, live=False, sections=["verdict"])
    assert json.loads(json.dumps(post.to_dict()))["single_wheels"] == post.single_wheels
