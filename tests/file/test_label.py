"""Labels: what people read in place of long names, in texts and pictures; commands and documents keep the names."""

import json
import pickle

import pytest

from noseload.__main__ import main
from noseload.model import load_vehicle, write_vehicle
from noseload.model.names import row_name, shown_name
from noseload.studies.levers.whole import whole_vehicles
from vehicle_text import CHECK, changed, faults_of, read

LONG = "rear_springs_that_are_a_good_deal_softer_than_those_of_the_file"
TEXT = (
    CHECK.read_text()
    + f"""
[setups.{LONG}]
label = "soft rear"
"rear.shock.spring_rate_n_per_mm" = {{ percent = -20 }}
[changes.lead]
label = "weights in front"
add_g = 100
at = "front_wheels"
"""
)


def labelled():
    return 'label = "checked"\n' + TEXT


@pytest.mark.parametrize(("setup", "words"), [(LONG, "soft rear"), ("lead", "weights in front"), (None, "base")])
def test_labels_are_read_and_names_stay(setup, words):
    vehicle = read(labelled(), setup=setup)
    again = pickle.loads(pickle.dumps(vehicle))
    assert (shown_name(again.name), shown_name(again.setup)) == ("checked", words)
    assert again.setup == (setup or "base") and json.dumps(again.setup) == f'"{setup or "base"}"'
    assert load_vehicle("x.toml", text=write_vehicle(vehicle), setup=setup).setup == vehicle.setup
    assert "label" not in vehicle.document.get("setups", {})


def test_names_without_a_label_are_read_without_underscores_and_told_as_they_are():
    assert shown_name("one_two") == "one two" and row_name("one_two") == "one_two"


@pytest.mark.parametrize(
    ("label", "told"),
    [('""', "must be words in one line"), ("3", "is a number but must be text"), (f'"{"x" * 41}"', "41 letters"),
     ('"base"', "is what base is called")],
)  # fmt: skip
def test_what_is_no_label_is_refused(label, told):
    (fault,) = faults_of(changed('"soft rear"', label, labelled()))
    assert fault.split(": ")[-1].startswith(f"setups.{LONG}.label ") and told in fault


def test_texts_show_labels_and_documents_names(tmp_path, capsys):
    file = tmp_path / "mine.toml"
    file.write_text(labelled(), encoding="utf-8")
    assert main(["compare", str(file), "--setups", f"base,{LONG}", "--step", "10", "--json"]) == 0
    assert f'"setup": "{LONG}"' in capsys.readouterr().out
    assert main(["compare", str(file), "--setups", f"base,{LONG}", "--step", "10"]) == 0
    said = capsys.readouterr().out
    assert "checked: 2 setups" in said and "soft rear" in said
    assert LONG not in said.split("next:")[0]


def test_the_ranking_names_setups_as_all_else_does():
    """Once the picture of `rank` had the name of a setup where every other had its label."""
    told = [label for _, kind, label, _ in whole_vehicles(read(labelled())) if kind == "setup"]
    assert "setup soft rear" in told and not any(LONG in label for label in told)
