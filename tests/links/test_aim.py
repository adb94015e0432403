"""Link ends aimed at targets, and the range of front load of all linkages within building limits."""

import json
import re
from pathlib import Path

import numpy as np
import pytest

from noseload.__main__ import main
from noseload.model.errors import MissingDataError, ModelError
from noseload.model.file.reader import parse_vehicle
from noseload.model.units import GRAM, STANDARD_GRAVITY
from noseload.solvers.errors import SolverError
from noseload.studies.climb.creep import Climb
from noseload.studies.links import aim, most_load, summits
from noseload.studies.links.aim import aim_along, aim_holes
from noseload.studies.links.aim_targets import Target
from noseload.studies.links.candidates import POINTS, with_lines
from noseload.studies.links.linkages import Linkages
from noseload.studies.links.links import links
from noseload.studies.links.most_load import BuildingLimits, most_front_load
from noseload.studies.links.shock_pieces import ShockPieces
from reference_vehicle import reference_vehicle

MET = 1e-3
"""A solved target is met to a thousandth of its unit: the bracket ends at a millionth of the scan's step."""
BATCH = 2e-3
"""Batch punches: 0.9e-3 of the largest load, which is about twice the weight."""
CHECK = Path(__file__).parents[1] / "data" / "check.toml"
UPPER = "rear.upper_link.chassis_end_mm"


@pytest.fixture(scope="module")
def demo():
    return reference_vehicle()


@pytest.mark.parametrize(
    ("kind", "value", "options"),
    [
        ("anti_squat", 60.0, {}),
        ("anti_squat_textbook", 130.0, {"link_lengths": "fitted"}),
        ("tip_over", 62.0, {}),
        ("front_load", 560.0, {}),
        ("anti_squat", 50.0, {"grade_deg": 40.0, "axis": "x", "low_mm": 85.0, "high_mm": 118.0}),
    ],
)
def test_a_solved_link_end_has_what_was_aimed_at(demo, kind, value, options):
    """The setup written down with the solved point gives the target when calculated on its own."""
    result = aim_along(demo, Target(kind, value), positions=5, **options)
    assert result.met
    for solution in result.solutions:
        vehicle = with_lines(demo, solution.points_mm, link_lengths=options.get("link_lengths"))
        climb = Climb(vehicle)
        study = links(vehicle, grade_deg=result.grade_deg, travel_rows=0, climb=climb)
        there = {
            "anti_squat": 100 * study.axles["rear"].as_driven,
            "anti_squat_textbook": 100 * study.axles["rear"].textbook,
            "tip_over": np.degrees(climb.tip_over()),
            "front_load": study.row.front_load_n / (STANDARD_GRAVITY * GRAM),
        }
        assert there[kind] == pytest.approx(value, abs=MET * max(1.0, abs(value)))
    assert len(result.rows) == 5 and "gives" in result.sentences[0]


def test_anti_lift_is_aimed_with_a_front_link(demo):
    """The front upper link's chassis end sets anti-lift."""
    result = aim_along(demo, Target("anti_lift", 60.0), key="front.upper_link.chassis_end_mm", positions=3)
    assert result.solutions[0].anti_lift_as_driven_percent == pytest.approx(60.0, abs=MET * 60)


def test_a_target_out_of_reach_is_said_in_words(demo):
    """Nothing is extrapolated: the nearest position and its value are named."""
    result = aim_along(demo, Target("tip_over", 75.0), positions=5)
    assert not result.met and result.nearest in result.rows
    assert "cannot be met with z = 71.0 to 101.0 mm" in result.sentences[0]


def test_holes_are_enumerated_with_every_outcome(demo):
    """All combinations in order; a number between two of them names both sides, one beyond them cannot be met."""
    holes = {UPPER: [(108, 80), (108, 86), (108, 92)], "rear.upper_link.axle_end_mm": [(8, 87), (8, 99)]}
    result = aim_holes(demo, Target("tip_over", 61.3), holes)
    assert [row.points_mm[UPPER] for row in result.rows[::2]] == [[108.0, 80.0], [108.0, 86.0], [108.0, 92.0]]
    assert len(result.rows) == 6 and all(row.tip_over_grade_deg for row in result.rows)
    tips = sorted(row.tip_over_grade_deg for row in result.solutions)
    assert tips[0] <= 61.3 <= tips[1] and "lies between positions" in result.sentences[0]
    alone = Climb(with_lines(demo, result.rows[5].points_mm)).tip_over()
    assert result.rows[5].tip_over_grade_deg == pytest.approx(np.degrees(alone), abs=1e-9)
    beyond = aim_holes(demo, Target("anti_squat", 300.0), {UPPER: [(108, 86)]})
    assert not beyond.met and "cannot be met with the 1 positions" in beyond.sentences[0]


def test_least_squat_is_least_among_all_positions(demo):
    """Every punch of the row squats at least as much as the one named."""
    result = aim_holes(demo, Target("least_squat"), {UPPER: [(108, 76), (108, 92)]}, throttle=0.6)
    squats = [row.punch_squat_mm for row in result.rows]
    assert result.nearest.punch_squat_mm == min(squats) < max(squats)


def test_impossible_positions_stay_in_the_table(demo):
    """A hole where the links cannot close, or that puts both ends in one place, has no numbers and says why."""
    result = aim_holes(demo, Target("anti_squat", 40.0), {UPPER: [(108, 86), (700, 300), (8, 87)]}, link_lengths="kept")
    assert [row.status for row in result.rows] == ["ok", "impossible", "no_standing_pose"]
    assert "cannot close" in result.rows[1].message
    assert any("2 of 3 positions give no number" in sentence for sentence in result.sentences)
    none = aim_holes(demo, Target("anti_squat", 40.0), {UPPER: [(700, 300)]})
    assert none.nearest is None and none.sentences[0].startswith("None of the 1 positions gives")


def test_bad_questions_are_answered_with_all_faults(demo):
    """Kind, number, key, range and combinations are checked before anything is calculated."""
    with pytest.raises(ModelError, match="target 'speed' is none of"):
        aim_along(demo, Target("speed", 1.0))
    with pytest.raises(ModelError, match=r"needs a finite number; 'rear.shock' is no link end"):
        aim_along(demo, Target("tip_over"), key="rear.shock")
    with pytest.raises(ModelError, match="neither x nor z"):
        aim_along(demo, Target("tip_over", 60.0), axis="y")
    with pytest.raises(ModelError, match="is no range"):
        aim_along(demo, Target("tip_over", 60.0), low_mm=90.0, high_mm=80.0)
    with pytest.raises(ModelError, match="0 combinations"):
        aim_holes(demo, Target("tip_over", 60.0), {})
    level_a = parse_vehicle(
        {
            "wheelbase_mm": 320,
            "tyre": {"radius_mm": 60},
            "weighed": {"rear_g": 1400, "front_g": 1600, "centre_of_gravity_height_mm": 90},
        },
        file="a.toml",
    )
    with pytest.raises(ModelError, match="no link end to move"):
        aim_along(level_a, Target("tip_over", 60.0))
    with pytest.raises(MissingDataError, match="no link end to move"):
        most_front_load(level_a)


@pytest.mark.slow
def test_least_squat_along_a_coordinate(demo):
    """The finer scan around the best position can only lower the squat."""
    along = aim_along(demo, Target("least_squat"), positions=3, throttle=0.6)
    assert along.nearest.punch_squat_mm <= min(row.punch_squat_mm for row in along.rows)


# the maximum and the minimum front axle load -----------------------------------------------------------------


def test_batched_candidates_agree_with_a_climb_of_their_own(demo):
    """Front load of linkages in one batch against the same vehicles followed one by one, 1e-6 of the weight."""
    limits = BuildingLimits().filled(demo)
    candidates = Linkages(demo, limits, np.radians(40.0))
    start = np.array([c for key in POINTS for c in _point(demo, key)])
    points = start[:, None] + np.random.default_rng(4).uniform(-6, 6, (16, 12))
    points[:, 0] = start
    loads = candidates.front_loads(points)
    assert np.isfinite(loads).sum() >= 8
    for k in np.flatnonzero(np.isfinite(loads)):
        moved = {key: points[2 * i : 2 * i + 2, k].tolist() for i, key in enumerate(POINTS)}
        row = Climb(with_lines(demo, moved, link_lengths="fitted", ride_height="reset")).row(40.0)
        built = Climb(_built(demo, moved)).row(40.0)
        assert loads[k] == pytest.approx(built.front_load_n, abs=1e-6 * demo.mass * STANDARD_GRAVITY)
        # Links that fit and a ride height reset by the springs are the same vehicle.
        assert row.front_load_n == pytest.approx(built.front_load_n, abs=1e-6 * demo.mass * STANDARD_GRAVITY)


def _point(vehicle, key):
    from noseload.studies.links.candidates import point_of

    return point_of(vehicle, key)


def _built(vehicle, changes):
    from noseload.studies.links.candidates import as_built

    return as_built(vehicle, changes)


def test_building_limits_refuse_what_cannot_be_built(demo):
    """Too long, too low, too close, outside the tyre, crossing: each alone forbids a linkage."""
    limits = BuildingLimits().filled(demo)
    candidates = Linkages(demo, limits, np.radians(10.0))
    start = np.array([c for key in POINTS for c in _point(demo, key)])

    def moved(**changes):
        points = start.copy()
        for name, value in changes.items():
            end, link, side, axis = name.split("__")
            points[2 * POINTS.index(f"{end}.{link}.{side}_end_mm") + (axis == "z")] = value
        return bool(candidates.room.allowed(points[:, None])[0])

    assert moved()
    assert not moved(rear__lower_link__chassis__x=200.0)
    assert not moved(rear__lower_link__axle__z=limits.clearance - 0.1)
    assert not moved(rear__upper_link__axle__z=51.0 + limits.separation - 0.1)
    assert not moved(rear__upper_link__axle__x=-55.0)
    # The rear lower link reaching past the front one in the side view.
    assert not moved(
        rear__lower_link__chassis__x=150.0,
        rear__lower_link__chassis__z=56.0,
        front__lower_link__chassis__x=140.0,
        front__lower_link__chassis__z=56.0,
    )
    with pytest.raises(ModelError, match=r"reach 0 mm must be above 0; longest link 10 mm"):
        most_front_load(demo, limits=BuildingLimits(reach=0.0, shortest=20.0, longest=10.0), generations=1)


@pytest.mark.slow
def test_a_short_search_brackets_the_present_vehicle(demo):
    """Most and least lie on both sides of the vehicle as it is, inside the limits, and repeat with the seed."""
    result = most_front_load(demo, grade_deg=40.0, seed=5, population=16, generations=3, throttle=None)
    assert result.least.front_load_n < result.present.front_load_n < result.most.front_load_n
    assert result.load_range_n == pytest.approx(result.most.front_load_n - result.least.front_load_n)
    candidates = Linkages(demo, result.limits, np.radians(40.0))
    for extreme in (result.most, result.least):
        points = np.array([c for key in POINTS for c in extreme.points_mm[key]])
        assert candidates.room.allowed(points[:, None])[0] and extreme.row.stable
        assert candidates.front_loads(points[:, None])[0] == pytest.approx(extreme.front_load_n, rel=1e-6)
    again = most_front_load(demo, grade_deg=40.0, seed=5, population=16, generations=3, throttle=None)
    assert again.most.points_mm == result.most.points_mm
    with pytest.raises(ModelError, match="1 or more, such as 30"):
        most_front_load(demo, generations=0)
    with pytest.raises(ModelError, match="no steady crawl there"):
        most_front_load(demo, grade_deg=80.0, generations=1)


@pytest.mark.slow
def test_most_front_load_command(capsys, tmp_path):
    """A short search from the command line: range, both vehicles drawn, seed recorded."""
    picture = tmp_path / "most.png"
    arguments = [
        "aim",
        "--most-front-load",
        "--grade",
        "40",
        "--generations",
        "1",
        "--limits",
        "reach=8",
        "separation=12",
    ]
    assert main([*arguments, "--json", "--plot", str(picture), "--csv", str(tmp_path / "m.csv")]) == 0
    document = json.loads(capsys.readouterr().out)
    assert document["load_range_n"] > 0.0 and document["made_by"]["seed"] == 1
    assert document["most"]["punch"]["outcome"] and picture.stat().st_size > 20_000


@pytest.mark.slow
def test_search_in_a_punch(demo):
    """The least vehicle's front is lighter, or off the ground for longer, than the most vehicle's in the same punch."""
    result = most_front_load(demo, grade_deg=25.0, in_punch=True, throttle=0.5, population=8, generations=2)
    assert result.searched == "punch"
    least, most = ((e.punch["front_load_min_n"], -e.punch["front_airborne_s"]) for e in (result.least, result.most))
    assert least < most
    with pytest.raises(ModelError, match="needs a throttle"):
        most_front_load(demo, in_punch=True, throttle=None)


@pytest.mark.slow
def test_punches_of_a_search_alike_in_a_batch_and_alone(demo, monkeypatch):
    """The value searched for, from one batch and from accurate single runs: 2e-3 of the weight."""
    points = np.array([c for key in POINTS for c in _point(demo, key)])[:, None] + np.random.default_rng(4).uniform(
        -4, 4, (16, 5)
    )
    loads = np.array([1.0, 1.0, np.nan, 1.0, 1.0])
    alone = most_load._punched(demo, points, loads, 20.0, 1.0)
    monkeypatch.setattr(most_load, "BATCH_FROM", 1)
    batch = most_load._punched(demo, points, loads, 20.0, 1.0)
    assert np.isnan(alone[2]) and np.isnan(batch[2]) and np.isfinite(alone).sum() == 4
    assert batch == pytest.approx(alone, abs=BATCH * demo.mass * STANDARD_GRAVITY, nan_ok=True)


# command line --------------------------------------------------------------------------------------


@pytest.mark.slow
def test_command_outputs(capsys, tmp_path):
    """Text, JSON, CSV and picture; a key may be given without its unit."""
    files = [str(tmp_path / name) for name in ("aim.csv", "aim.svg", "holes.svg")]
    assert main(["aim", "--anti-squat", "60", "--positions", "3", "--csv", files[0], "--plot", files[1]]) == 0
    assert "59.98 %, built to a tenth of a mm; 60.00 % at z = 78.092 mm" in capsys.readouterr().out
    assert Path(files[0]).read_text().startswith("rear.upper_link.chassis_end_mm_x,")
    assert (
        main(
            [
                "aim",
                "--tip-over",
                "61",
                "--move",
                "rear.upper_link.axle_end",
                "--holes",
                "8,87",
                "[-2,95]",
                "--json",
                "--plot",
                files[2],
            ]
        )
        == 0
    )
    document = json.loads(capsys.readouterr().out)
    assert [row["points_mm"]["rear.upper_link.axle_end_mm"] for row in document["rows"]] == [[8.0, 87.0], [-2.0, 95.0]]
    assert Path(files[2]).read_text().startswith("<?xml")
    assert (
        main(["aim", "--anti-lift", "50", "--textbook", "--move", "front.upper_link.chassis_end", "--positions", "3"])
        == 0
    )


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (["aim"], "required"),
        (["aim", "--tip-over", "60", "--holes", "here"], "no mounting hole"),
        (["aim", "--tip-over", "60", "--move", UPPER, "--move", "rear.upper_link.axle_end"], "give --holes for each"),
        (
            ["aim", "--tip-over", "60", "--move", UPPER, "--holes", "1,2", "--holes", "3,4"],
            "one --holes for each --move",
        ),
        (["aim", "--most-front-load", "--limits", "width=3"], "no building limit"),
        (["aim", "--most-front-load", "--limits", "reach=-3"], "outside what reach can be"),
        (["aim", "--tip-over", "60", "--range", "90", "80"], "is no range"),
    ],
)
def test_usage_errors(capsys, arguments, words):
    """Exit 2, nothing on standard output, the remedy on standard error."""
    assert main(arguments) == 2
    captured = capsys.readouterr()
    assert words in captured.err and captured.out == ""


# any vehicle at all --------------------------------------------------------------------------------


def random_document(random):
    """A file with every link end and the centre of gravity anywhere plausible, and now and then implausible."""
    import tomllib

    document = tomllib.loads(CHECK.read_text())
    spread = float(random.choice([3.0, 12.0, 40.0]))
    for key in POINTS:
        end, link, side = key.split(".")
        point = document[end][link][side]
        document[end][link][side] = [round(v + random.uniform(-spread, spread), 2) for v in point]
    document["body"]["centre_of_gravity_mm"] = [round(random.uniform(60, 240), 1), round(random.uniform(70, 170), 1)]
    for end in ("rear", "front"):
        document[end]["shock"]["spring_rate_n_per_mm"] = round(random.uniform(0.1, 1.5), 3)
    document["drive"]["driven_axles"] = str(random.choice(["both", "rear", "front"]))
    return document


def try_vehicle(document, grade_deg):
    """Links and aim of one vehicle: results or errors of ours, never anything else; returns how it went."""
    try:
        vehicle = parse_vehicle(document, file="random.toml")
        study = links(vehicle, grade_deg=grade_deg, travel_rows=3)
        text = json.dumps(study.to_dict(), allow_nan=False)
        result = aim_along(vehicle, Target("anti_squat", 50.0), positions=3, grade_deg=grade_deg)
        json.dumps(result.to_dict(), allow_nan=False)
    except (ModelError, SolverError) as error:
        assert str(error)
        return "refused"
    assert text
    return "answered" if study.axles else study.status


@pytest.mark.parametrize("count", [8, pytest.param(200, marks=pytest.mark.slow)])
def test_random_vehicles_are_answered_or_refused_in_words(count):
    """Seeded random geometries through `links` and `aim`: strict JSON or an error of ours."""
    random = np.random.default_rng(20 + count)
    outcomes = [try_vehicle(random_document(random), float(random.choice([0.0, 30.0]))) for _ in range(count)]
    assert outcomes.count("answered") >= 0.5 * count


@pytest.mark.slow
def test_squat_of_many_holes_in_one_batch_and_alone(demo, monkeypatch):
    """Every hole within 0.1 mm of its accurate run, and the one named is that run's own number."""
    holes = {UPPER: [(x, z) for x in (104.0, 108.0, 112.0) for z in (80.0, 86.0, 92.0)] + [(150.0, 20.0)]}
    target = Target("least_squat")
    alone = aim_holes(demo, target, holes, grade_deg=30.0)
    monkeypatch.setattr(aim, "BATCH_FROM", 1)
    batch = aim_holes(demo, target, holes, grade_deg=30.0)
    for one, other in zip(alone.rows, batch.rows, strict=True):
        assert one.status == other.status
        assert (one.punch_squat_mm is None) == (other.punch_squat_mm is None)
        if one.punch_squat_mm is not None:
            assert other.punch_squat_mm == pytest.approx(one.punch_squat_mm, abs=0.1)
    assert batch.nearest == alone.nearest and batch.nearest.punch_squat_mm == alone.nearest.punch_squat_mm


def test_rounded_positions_are_not_told_as_exact():
    """A position is printed to a tenth of a millimetre: what it gives there is calculated there, beside where it is exact."""
    vehicle = reference_vehicle()
    result = aim_along(vehicle, Target("anti_squat", 80.0), grade_deg=40.0, positions=7)
    said = re.match(
        r"rear\.upper_link\.chassis_end at \[108\.0, ([\d.]+)\] gives anti-squat as driven ([\d.]+) %, built to a tenth of a mm; "
        r"80\.00 % at z = ([\d.]+) mm\.",
        result.sentences[0],
    )
    place, value, exact = (float(number) for number in said.groups())
    (solution,) = result.solutions
    assert exact == pytest.approx(solution.points_mm["rear.upper_link.chassis_end_mm"][1], abs=6e-4)
    holes = {"rear.upper_link.chassis_end_mm": [(108.0, place)]}
    built = aim_holes(vehicle, Target("anti_squat", 80.0), holes, grade_deg=40.0).nearest
    assert value == pytest.approx(built.anti_squat_as_driven_percent, abs=6e-3) and value != 80.0


def _linkages(vehicle, grade_deg):
    limits = BuildingLimits().filled(vehicle)
    return Linkages(vehicle, limits, np.radians(grade_deg)), np.array(
        [c for key in POINTS for c in _point(vehicle, key)]
    )


def test_each_piece_of_the_shocks_carries_what_the_climb_finds(demo):
    """On stop, spring or loose: the law of the piece a linkage is in gives the load found on the way up from level."""
    linkages, start = _linkages(demo, 55.0)
    points = start[:, None] + np.random.default_rng(2).uniform(-9, 9, (16, 24))
    loads, states = linkages.crawls(points)
    some = np.flatnonzero(np.isfinite(loads))
    pieces = ShockPieces(linkages)
    near = pieces.near(points[:, some], states[:, some])
    cases = np.repeat(some, [len(touched) for touched in near])
    kinds = [kind for touched in near for kind in touched]
    found = pieces.evaluate(points[:, cases], states[:, cases], kinds)
    limits = linkages.room.rooms(points[:, cases]).shape[0]
    inside = (found.rooms[limits : limits + 6] >= 0.0).all(axis=0)
    assert set(cases[inside]) == set(some) and some.size >= 8 and len({kinds[k] for k in np.flatnonzero(inside)}) >= 2
    assert found.values[inside] == pytest.approx(loads[cases[inside]], abs=1e-6 * demo.mass * STANDARD_GRAVITY)


WAY_UP = [-14.5, 19.4, 19.7, -3.9, -19.9, 20.0, 17.7, -19.9, 20.0, -9.0, -19.8, 20.0, 19.7, -20.0, 20.0, 0.2]
"""Toward where a search without slopes found 401.8 g at 55 deg, mm."""


@pytest.mark.slow
def test_a_climb_by_slopes_passes_one_along_the_axes(demo):
    """At 55 deg steps of 0.1 mm along the axes came to rest at 402.9 g at most, after a minute; a climb of its own confirms what slopes find."""
    linkages, start = _linkages(demo, 55.0)
    search = summits.Search(
        linkages, 1.0, start, 20.0, np.random.default_rng(1), lambda point: most_load._climbs(demo, point, 55.0)
    )
    summits.climb([search], [start[:, None] + 0.9 * np.array(WAY_UP)[:, None]], 1)
    value, point = search.best
    assert 402.9 < value / (STANDARD_GRAVITY * GRAM) < 403.7
    moved = {key: point[2 * i : 2 * i + 2].tolist() for i, key in enumerate(POINTS)}
    row = Climb(_built(demo, moved)).row(55.0)
    assert row.stable and row.front_load_n == pytest.approx(value, rel=1e-6)
