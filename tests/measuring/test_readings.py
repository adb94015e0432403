"""Readings on the board and time logs against predictions: verdicts, fits, refusals, coverage."""

from types import SimpleNamespace

import numpy as np
import pytest

import simulated_readings as simulated
from noseload.commands.measuring.output import demo_readings
from noseload.csv_input import ReadingsFileError, parse_readings
from noseload.demo import DEMO
from noseload.model.errors import ModelError
from noseload.model.file.reader import load_vehicle
from noseload.pictures.measuring.readings import draw_readings
from noseload.solvers.errors import SolverError
from noseload.solvers.statistics.least_squares import UndeterminedError
from noseload.studies.bench.board import held_vehicle
from noseload.studies.climb.creep import Climb
from noseload.studies.climb.rigid import RigidClimb
from noseload.studies.climb.sweep import climb_of
from noseload.studies.measuring.fitted_quantities import QUANTITIES, centre_of_gravity, changed, lines_for, quantity
from noseload.studies.measuring.readings import READINGS_LAYOUT, compare_readings, compare_with
from noseload.studies.measuring.readings_log import LOG_LAYOUT, compare_log, compare_log_with

G = 9.80665
GRADES = list(range(0, 56, 5))


@pytest.fixture(scope="module")
def demo():
    return load_vehicle(DEMO)


class RigidBoard:
    """Loads of a rigid vehicle on a grade, Jazar 2008, eq. 2.44-2.45, and its tip-over, example 46."""

    def __init__(self, vehicle):
        self.b, self.h = centre_of_gravity(vehicle)
        self.length, self.weight = vehicle.wheelbase, vehicle.mass * G

    def row(self, grade_deg):
        g = np.radians(grade_deg)
        front = self.weight * (self.b * np.cos(g) - self.h * np.sin(g)) / self.length
        return SimpleNamespace(front_load_n=front, rear_load_n=self.weight * np.cos(g) - front, status="ok")

    def kinks(self, end):
        return []

    @property
    def limits(self):
        down = -np.degrees(np.arctan2(self.length - self.b, self.h))
        return SimpleNamespace(
            tip_over_grade_deg=np.degrees(np.arctan2(self.b, self.h)), tip_over_downhill_grade_deg=down
        )


def board(rng, climb):
    return parse_readings(simulated.board(rng, lambda grade: climb.row(grade).front_load_n, GRADES), READINGS_LAYOUT)


def test_fixture_is_the_rigid_vehicle(demo):
    """The rigid board of this file is the project's rigid climb."""
    rigid, other = RigidClimb(demo), RigidBoard(demo)
    assert rigid.row(35.0).front_load_n == pytest.approx(other.row(35.0).front_load_n, rel=1e-9)


def test_own_readings_are_explained(demo):
    result = compare_with(board(np.random.default_rng(1), RigidBoard(demo)), demo, climb=RigidBoard)
    assert result.status == "explained" and "explains the readings within their error" in result.verdict[0]
    assert result.to_dict()["rows"][0]["unit"] == "n"


def test_other_height_is_not_explained_and_then_fitted(demo):
    """Readings of a vehicle 10 mm higher: refused as measured, explained once the height is fitted."""
    true = 1e3 * centre_of_gravity(demo)[1] + 10.0
    readings = board(np.random.default_rng(2), RigidBoard(changed(demo, {"cg_height": true})))
    plain = compare_with(readings, demo, climb=RigidBoard)
    assert plain.status == "not_explained"
    assert "does not explain" in plain.verdict[0] and "The largest misfit is row" in plain.verdict[1]
    fitted = compare_with(readings, demo, climb=RigidBoard, fit=["cg_height"])
    assert fitted.status == "explained"
    estimate = fitted.estimates[0]
    assert abs(estimate.value - true) < 4 * estimate.standard_error < 4.0
    assert fitted.lines["body.centre_of_gravity_mm"][-1] == pytest.approx(84 + 10 * 2750 / 1650, abs=1.0)


def test_refuses_what_the_data_cannot_determine(demo):
    """A rigid board says nothing of springs; level readings nothing of the height."""
    readings = board(np.random.default_rng(3), RigidBoard(demo))
    with pytest.raises(UndeterminedError, match="do not depend on spring_rate"):
        compare_with(readings, demo, climb=RigidBoard, fit=["cg_height", "spring_rate"])
    level = parse_readings(
        "kind, grade_deg, scale_g, repeat\nfront_load, 0.2, 1512, 1\nfront_load, 0, 1515, 2\n", READINGS_LAYOUT
    )
    with pytest.raises(UndeterminedError, match="cg_height only to"):
        compare_with(level, demo, climb=RigidBoard, fit=["cg_height"])


def test_tray_and_rear_axle(demo):
    """A tray zeroed on the level is put back; rear readings and downhill tip-overs are understood."""
    climb = RigidBoard(demo)
    rows = [
        f"rear_load, {g}, {climb.row(g).rear_load_n / G * 1e3 - 150 * (1 - np.cos(np.radians(g)))}" for g in (0, 20, 40)
    ]
    rows.append(f"tip_over_downhill, {climb.limits.tip_over_downhill_grade_deg},")
    text = "# tray_g = 150\n# zeroed_at_each_grade = no\nkind, grade_deg, scale_g\n" + "\n".join(rows) + "\n"
    result = compare_with(parse_readings(text, READINGS_LAYOUT), demo, climb=RigidBoard)
    assert result.observed == pytest.approx(result.predicted, rel=1e-9)
    assert any("no direction given" in warning for warning in result.warnings)
    text = text.replace("# tray_g = 150\n", "")
    result = compare_with(parse_readings(text, READINGS_LAYOUT), demo, climb=RigidBoard)
    assert any("tray's lighter weight" in warning for warning in result.warnings)


def test_stiction_and_outliers_are_named(demo):
    climb = RigidBoard(demo)
    rows = [
        f"front_load, {g}, {climb.row(g).front_load_n / G * 1e3 + (9 if way == 'up' else -9)}, {way}"
        for way in ("up", "down") for g in GRADES
    ]  # fmt: skip
    text = "kind, grade_deg, scale_g, direction\n" + "\n".join(rows) + "\n"
    result = compare_with(parse_readings(text, READINGS_LAYOUT), demo, climb=RigidBoard)
    assert any("going up and coming down differ" in warning for warning in result.warnings)
    text = text.replace(rows[3], rows[3].rsplit(",", 2)[0] + ", 900, up")
    result = compare_with(parse_readings(text, READINGS_LAYOUT), demo, climb=RigidBoard)
    assert any("row 5 lies" in warning for warning in result.warnings)


def test_readings_past_tip_over_are_zero(demo):
    text = "kind, grade_deg, scale_g\nfront_load, 64, 0\nrear_load, 64, 1205.5\n"
    result = compare_with(parse_readings(text, READINGS_LAYOUT), demo)
    assert result.predicted[0] == 0.0
    assert result.predicted[1] == pytest.approx(2.75 * G * np.cos(np.radians(64)), rel=1e-9)


@pytest.mark.slow
def test_demo_board_with_the_real_model(demo):
    """The demo board was drawn from the demo vehicle: explained, and its centre of gravity comes back."""
    result = compare_readings(demo_readings("board.csv"), demo, fit=["cg_height"])
    assert result.status == "explained"
    assert result.estimates[0].low < 73.6 < result.estimates[0].high
    assert set(result.curves) == {"front_load"}


def test_the_drawn_curve_keeps_its_kinks(demo):
    """Where the front coil goes loose with the rear wheels holding, the slope jumps between two grades a millionth apart."""
    held = Climb(held_vehicle(demo, "rear"))
    result = compare_readings(demo_readings("board.csv"), demo)
    ((at, name),) = result.kinks
    assert name == "front coil loose, front droop stop" and at == pytest.approx(held.kinks()[0].grade_deg, abs=1e-3)
    grade, load, _ = result.curves["front_load"]
    place = int(np.searchsorted(grade, held.kinks()[0].grade_deg))
    assert grade[place] - grade[place - 1] < 1e-5
    for k in range(1, len(grade) - 1):
        assert load[k] == pytest.approx(held.row(grade[k]).front_load_n, abs=1e-9)
    figure = draw_readings(result)
    words = [text.get_text() for text in figure.axes[0].texts]
    assert any("front droop stop" in text and f"{at:.1f} deg" in text for text in words)
    assert result.to_dict()["kinks"] == [{"grade_deg": at, "name": name}]


@pytest.mark.parametrize(
    ("row", "message"),
    [
        ("front_load, 10,", "row 3, column scale_g: empty"),
        ("tip_over, -10,", "row 3, column grade_deg: a tip-over with the nose up"),
        ("tip_over_downhill, 10,", "row 3, column grade_deg: a tip-over with the nose down"),
    ],
)
def test_row_faults(demo, row, message):
    text = "kind, grade_deg, scale_g\nfront_load, 0, 1500\n" + row + "\n"
    with pytest.raises(ReadingsFileError, match=message):
        compare_with(parse_readings(text, READINGS_LAYOUT), demo, climb=RigidBoard)


def test_unknown_quantity(demo):
    with pytest.raises(ModelError, match="'cg_hight' is not a quantity that readings can fit; did you mean cg_height"):
        quantity("cg_hight")


@pytest.mark.parametrize("name", QUANTITIES)
def test_quantities_change_what_they_say(demo, name):
    """Changing a quantity and reading it back; rates keep the standing pose, setups keep their base in step."""
    entry = quantity(name)
    value = entry.read(demo) * 1.07
    after = changed(demo, {name: value})
    if name.startswith("cg"):
        assert entry.read(after) == pytest.approx(value, rel=1e-12)
    if name == "spring_rate":
        assert after.front.shock.spring_rate == pytest.approx(1.07 * demo.front.shock.spring_rate)
    if name == "tyre_rate":
        assert after.rear.tyre.vertical_stiffness == pytest.approx(1.07 * demo.rear.tyre.vertical_stiffness)
    assert lines_for(demo, {name: value})
    raised = load_vehicle(DEMO, setup="raised_rear_upper_mount")
    assert entry.read(changed(raised, {name: value}).base) == entry.read(changed(raised.base, {name: value}))


def test_level_a_has_no_springs(tmp_path):
    path = tmp_path / "a.toml"
    path.write_text(
        'name = "a"\nwheelbase_mm = 318\n[weighed]\nrear_g = 1236\nfront_g = 1514\ncentre_of_gravity_height_mm = 74\n'
        "[tyre]\nloaded_radius_mm = 58\n", encoding="utf-8",
    )  # fmt: skip
    vehicle = load_vehicle(path)
    assert vehicle.rear.shock is None
    with pytest.raises(ModelError, match="no shocks: spring_rate cannot be fitted"):
        changed(vehicle, {"spring_rate": 1.1})
    assert set(lines_for(vehicle, {"cg_height": 75.0, "cg_fore_aft": 174.0})) == {
        "weighed.centre_of_gravity_height_mm", "weighed.front_g", "weighed.rear_g"
    }  # fmt: skip


# time logs ---------------------------------------------------------------------------------


def invented_punch(vehicle, *, grade_deg, throttle, rise_s, creep_speed_mm_per_s, duration_s):
    """A damped swing in place of the real punch."""
    time = np.arange(0.0, 1.0005, 0.001)
    after = np.maximum(time - 0.1, 0.0)
    pitch = 4.0 + 9.0 * np.exp(-6 * after) * np.sin(20 * after)
    load = 6.0 - 5.0 * np.exp(-6 * after) * np.sin(20 * after)
    traces = {"nose_up_pitch_deg": pitch, "front_load_n": load}
    return SimpleNamespace(success=True, time_s=time, traces=traces, message="")


def log_text(rng, columns, *, count=60, offset=7.3):
    time = np.linspace(-0.1, 0.9, count)
    run = invented_punch(None, grade_deg=0, throttle=1, rise_s=0, creep_speed_mm_per_s=1, duration_s=1)
    pitch = np.interp(time, run.time_s, run.traces["nose_up_pitch_deg"])
    load = np.interp(time, run.time_s, run.traces["front_load_n"])
    made = columns(pitch + rng.normal(0, 0.4, count), load / G * 1e3 + rng.normal(0, 20, count))
    head = "# grade_deg = 30\n# pitch_error_deg = 0.4\n# scale_error_g = 20\n"
    rows = zip(time + offset, *made.values(), strict=True)
    return (
        head + ", ".join(["time_s", *made]) + "\n" + "".join(", ".join(f"{v:.6f}" for v in row) + "\n" for row in rows)
    )


def log(text, punch=invented_punch):
    return compare_log_with(parse_readings(text, LOG_LAYOUT), load_vehicle(DEMO), punch=punch)


def test_log_of_pitch_and_load_finds_the_offset():
    rng = np.random.default_rng(8)
    result = log(log_text(rng, lambda pitch, load: {"nose_up_pitch_deg": pitch + 2.0, "front_g": np.maximum(load, 0)}))
    assert result.status == "explained" and len(result.channels) == 2
    offset, zero = result.estimates
    assert offset.low < 7.3 < offset.high
    assert zero.low < 2.0 < zero.high
    assert any("kitchen scales follow slowly" in warning for warning in result.warnings)
    document = result.to_dict()
    assert document["rows"] == result.rows() and document["rows"][0]["channel"] == "Nose-up pitch on the slope"


@pytest.mark.parametrize("faces_left", [False, True])
@pytest.mark.parametrize("roll_deg", [0.0, 6.0])
def test_log_from_pixels(faces_left, roll_deg):
    """Marks 400 px apart filmed from either side, camera upright or rolled: pitch comes out, plumb line used."""

    def columns(pitch, load):
        angle = np.radians(180 - pitch if faces_left else pitch) + np.radians(roll_deg)
        plumb = np.radians(90 + roll_deg)
        ones = np.ones_like(pitch)
        return {
            "rear_mark_x_px": 500 * ones, "rear_mark_y_px": 600 * ones,
            "front_mark_x_px": 500 + 400 * np.cos(angle), "front_mark_y_px": 600 - 400 * np.sin(angle),
            "plumb_bottom_x_px": 100 * ones, "plumb_bottom_y_px": 900 * ones,
            "plumb_top_x_px": 100 + 500 * np.cos(plumb) * ones, "plumb_top_y_px": 900 - 500 * np.sin(plumb) * ones,
        }  # fmt: skip

    result = log(log_text(np.random.default_rng(5), columns))
    assert result.status == "explained"
    assert result.estimates[0].value == pytest.approx(7.3, abs=0.02)
    assert result.estimates[1].value == pytest.approx(0.0, abs=0.3)


def test_log_of_another_shape_is_not_explained():
    result = log(log_text(np.random.default_rng(5), lambda pitch, load: {"nose_up_pitch_deg": 4 + 2.2 * (pitch - 4)}))
    assert result.status == "not_explained" and "does not explain" in result.verdict[0]
    assert any("difference of shape" in warning for warning in result.warnings)


def test_log_faults():
    with pytest.raises(ReadingsFileError, match="no channel with 8 readings"):
        log("# grade_deg = 30\ntime_s, front_g\n" + "".join(f"{t},\n" for t in range(9)))
    text = log_text(np.random.default_rng(5), lambda pitch, load: {"nose_up_pitch_deg": pitch})
    failing = lambda vehicle, **options: SimpleNamespace(success=False, message="no grip")  # noqa: E731
    with pytest.raises(SolverError, match="cannot start: no grip"):
        log(text, failing)


def test_demo_log_with_the_real_punch(demo):
    result = compare_log(demo_readings("punch-log.csv"), demo)
    assert result.status == "explained"
    assert result.estimates[0].value == pytest.approx(3.2, abs=0.02)
    assert climb_of(demo) is not None
