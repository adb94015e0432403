"""`noseload links` from the command line: text, JSON, CSV and pictures of ordinary and odd linkages."""

import json
from pathlib import Path

import pytest

from noseload.__main__ import main
from noseload.model.errors import MissingDataError
from noseload.model.file.reader import load_vehicle, parse_vehicle
from noseload.studies.links.links import links, place_word

CHECK = str(Path(__file__).parents[1] / "data" / "check.toml")
DEMO = Path(__file__).parents[2] / "scenarios" / "demo" / "demo.toml"
FITTED = 1e-9
"""mm; parallel links of equal length stay parallel but for rounding."""


def parallel_vehicle():
    """The demo vehicle with level, parallel rear links and a front instant centre on the outer side."""
    import tomllib

    document = tomllib.loads(DEMO.read_text())
    document.pop("setups")
    document["rear"]["lower_link"] |= {"chassis_end_mm": [118, 58], "axle_end_mm": [8, 58]}
    document["rear"]["upper_link"] |= {"chassis_end_mm": [118, 88], "axle_end_mm": [8, 88]}
    document["front"]["upper_link"] |= {"chassis_end_mm": [208, 100], "axle_end_mm": [308, 82]}
    document["front"]["lower_link"] |= {"chassis_end_mm": [208, 66], "axle_end_mm": [308, 58]}
    return parse_vehicle(document, file="parallel.toml")


def test_text_marks_which_figure_is_which(capsys):
    """Both figures in the table and the key below it."""
    assert main(["links"]) == 0
    out = capsys.readouterr().out
    assert "anti-squat | anti-lift, textbook, %" in out and "anti-squat | anti-lift, as driven, %" in out
    assert "Signs:" in out and "over the travel" in out


def test_json_says_which_figure_is_which(capsys, tmp_path):
    """Keys with units, both rules explained in the document, rows of travel in the CSV file."""
    csv = tmp_path / "travel.csv"
    assert main(["links", CHECK, "--grade", "30", "--json", "--csv", str(csv)]) == 0
    document = json.loads(capsys.readouterr().out)
    assert set(document["figures"]) == {"textbook", "as_driven"}
    assert {
        "anti_squat_textbook_percent",
        "anti_squat_as_driven_percent",
        "instant_centre_mm",
        "swing_arm_length_mm",
    } <= set(document["rear"])
    assert "anti_lift_as_driven_percent" in document["front"]
    assert len(csv.read_text().splitlines()) == 1 + 2 * 25


@pytest.mark.slow
def test_several_set_ups_on_one_page_and_picture(capsys, tmp_path):
    """`--setups all` takes the base and every setup of the file."""
    picture = tmp_path / "links.svg"
    assert main(["links", str(DEMO), "--setups", "all", "--grade", "40", "--json", "--plot", str(picture)]) == 0
    document = json.loads(capsys.readouterr().out)
    assert [d["setup"] for d in document["setups"]] == ["base", *load_vehicle(DEMO).setups]
    text = picture.read_text()
    for words in ("instant centre", "100 % as driven", "100 % by the textbook", "raised and reset"):
        assert words in text
    assert main(["links", str(DEMO), "--setups", "all", "--setup", "base"]) == 2


def test_parallel_links_and_outer_centres_are_ordinary():
    """Centre at infinity: no length, but an angle and a figure; the front one lies on its outer side. Both can be drawn."""
    study = links(parallel_vehicle(), travel_rows=9)
    rear, front = study.to_dict()["rear"], study.to_dict()["front"]
    assert rear["instant_centre"] == "at_infinity" and rear["instant_centre_mm"] is None
    assert rear["swing_arm_length_mm"] is None and rear["swing_arm_angle_deg"] == pytest.approx(0.0, abs=1e-6)
    assert rear["anti_squat_textbook_percent"] == pytest.approx(0.0, abs=1e-6)
    assert front["instant_centre"] == "outward" and front["swing_arm_length_mm"] < 0.0
    # Equal parallel links carry the housing without turning it (parallelogram).
    turns = [row.turn for row in study.travel["rear"].rows]
    assert turns == pytest.approx([0.0] * len(turns), abs=FITTED)
    from noseload.pictures.links.links import plot_construction

    for end, place in (("rear", "at infinity"), ("front", "outer side")):
        words = [" ".join(t.get_text().split()) for t in plot_construction([study], end).get_legend().get_texts()]
        assert any(place in text for text in words)


def test_words_for_odd_places():
    """Above the contact and links in one line have words of their own."""
    from noseload.model.links.link_geometry import side_view_of

    above = side_view_of("rear", ((0.1, 0.05), (0.05, 0.06), (0.1, 0.09), (0.05, 0.08)), (0.0, 0.0), 0.06)
    line = side_view_of("rear", ((0.0, 0.05), (0.1, 0.05), (0.02, 0.05), (0.12, 0.05)), (0.0, 0.0), 0.06)
    assert (place_word(above), place_word(line)) == ("above_contact", "undefined")


def test_past_tip_over_exit_3_and_level_a_exit_2(capsys, tmp_path):
    """No pose: nulls and exit 3. No links in the file: a sentence and exit 2."""
    assert main(["links", CHECK, "--grade", "80", "--json"]) == 3
    assert json.loads(capsys.readouterr().out)["status"] == "beyond_tip_over"
    assert main(["links", CHECK, "--grade", "80"]) == 3
    capsys.readouterr()
    file = tmp_path / "a.toml"
    file.write_text(
        "wheelbase_mm = 320\n[tyre]\nradius_mm = 60\n[weighed]\nrear_g = 1400\nfront_g = 1600\n"
        "centre_of_gravity_height_mm = 90\n"
    )
    for arguments in (["links", str(file)], ["links", str(file), "--promise"]):
        assert main(arguments) == 2
        captured = capsys.readouterr()
        assert "level A" in captured.err and captured.out == ""
    with pytest.raises(MissingDataError, match="level A"):
        links(load_vehicle(file))
