"""One meaning a word: ride height, attitude, tension and compression."""

import pytest

from noseload.__main__ import main
from noseload.demo import DEMO
from noseload.model.file.apply_changes import apply_change
from noseload.model.file.changes import Change
from noseload.model.file.reader import load_vehicle, parse_vehicle
from noseload.pictures.climb.creep import draw_creep
from noseload.studies.climb.creep import Climb
from noseload.studies.climb.stance import standing_measures

SECOND_ORDER_MM = 0.02
"""A change sets heights by pitch to first order: 2 mm over 318 mm turns points 20 mm high by (2/318)^2 20 / 2 mm at most."""


@pytest.mark.parametrize(("key", "rear", "front"), [("rear_", 2.0, 0.0), ("front_", 0.0, 2.0), ("", 2.0, 2.0)])
def test_ride_height_is_that_over_the_axle(key, rear, front):
    """`compare` measured the lower link's chassis end, `rank` and [changes] a point over the axle (-0.6 against -1.0 mm)."""
    demo = load_vehicle(DEMO)
    changed = apply_change(demo, Change("up", {f"{key}ride_height_by_mm": 2e-3}))
    before, after = (standing_measures(Climb(v)) for v in (demo, changed))
    moved = [after[f"{end}_ride_height_mm"] - before[f"{end}_ride_height_mm"] for end in ("rear", "front")]
    assert moved == pytest.approx([rear, front], abs=SECOND_ORDER_MM)


def test_attitude_is_not_all_that_links_do(capsys):
    """Springs twice as stiff, the same links: another attitude part; so the words may not give it to the links alone."""
    document = load_vehicle(DEMO).document
    stiff = {
        end: document[end]
        | {
            "shock": document[end]["shock"]
            | {"spring_rate_n_per_mm": 2 * document[end]["shock"]["spring_rate_n_per_mm"]}
        }
        for end in ("rear", "front")
    }
    parts = [Climb(parse_vehicle(d)).row(45.0).budget["attitude_n"] for d in (document, document | stiff)]
    assert abs(parts[1]) < 0.7 * abs(parts[0])
    assert main(["creep", "--grade", "45"]) == 0
    out = capsys.readouterr().out
    assert "all that links do" not in out and "springs, stops and tyres are in it too" in out


def test_the_axle_cut_free_names_tension_and_compression():
    """Both links 'pull away from it' was said of a lower link in compression: -23 N."""
    climb = Climb(load_vehicle(DEMO))
    row = climb.row(45.0)
    assert row.rear_upper_link_n > 0.0 > row.rear_lower_link_n
    figure = draw_creep([(climb, row)])
    titles = [ax.get_title(loc="left") for ax in figure.axes]
    assert "rear axle cut free: upper link in tension, lower in compression" in titles
