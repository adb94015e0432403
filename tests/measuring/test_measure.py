"""Bench measurements: what was put in comes out, and what lies outside the law is named."""

import numpy as np
import pytest

import simulated_readings as simulated
from noseload.csv_input import ReadingsFileError, parse_readings
from noseload.demo import DEMO
from noseload.model.errors import ModelError
from noseload.studies.measuring.measurement import rounded
from noseload.studies.measuring.measurements import WHAT, measure, measurement_kind

G = 9.80665
READINGS = DEMO.parent / "readings" if hasattr(DEMO, "parent") else None


def fit(what, text):
    kind = measurement_kind(what)
    return kind.fit(parse_readings(text, kind.layouts))


def demo_file(name):
    from pathlib import Path

    import noseload.demo

    return Path(noseload.demo.__file__).parent / "readings" / name


class Quiet:
    """A generator without noise, for exact readings."""

    def normal(self, mean=0.0, spread=1.0, size=None):
        return mean if size is None else np.full(size, mean)

    def uniform(self, low, high):
        return 0.5 * (low + high)


@pytest.mark.parametrize(
    ("what", "simulate", "truth"),
    [
        ("spring", simulated.spring, {"spring_rate_n_per_mm": 0.40, "dry_friction_n": 0.06}),
        ("tyre", simulated.tyre, {"vertical_stiffness_n_per_mm": 3.4, "loaded_radius_mm": 58.0}),
        (
            "damping",
            simulated.falling_weight,
            {"damping_n_s_per_m": 11.0, "compression_dry_friction_n": 0.06, "extension_damping_n_s_per_m": 5.5},
        ),
        ("damping", simulated.bounce, {"damping_n_s_per_m": 9.0, "ride_rate_n_per_mm": 0.36}),
        (
            "motor",
            simulated.motor,
            {
                "stall_torque_n_mm": 7400.0,
                "no_load_speed_rad_per_s": 31.0,
                "rotor_inertia_kg_mm2": 6200.0,
                "rolling_resistance_torque_n_mm": 120.0,
            },
        ),
        ("grip", simulated.grip, {"grip_coefficient": 2.4, "sliding_grip_coefficient": 2.1}),
        ("contact", simulated.rolling, {"rolling_resistance": 0.028}),
        ("contact", simulated.give, {"lengthwise_stiffness_n_per_mm": 5.0, "contact_offset_share": 0.7}),
        ("contact", simulated.rolled, {"rolling_radius_share": 0.6, "rolling_radius_mm": 62.0}),
        ("contact", simulated.slipping, {"slip_stiffness": 14.0, "slip_stiffness_exponent": 0.8}),
        ("inertia", simulated.bifilar, {"pitch_inertia_kg_mm2": 15200.0}),
        ("inertia", simulated.pivot, {"pitch_inertia_kg_mm2": 15200.0}),
        ("inertia", simulated.two_pivots, {"pitch_inertia_kg_mm2": 15200.0, "near_pivot_distance_mm": 30.0}),
    ],
)
def test_exact_readings_give_the_truth(what, simulate, truth):
    """Readings worked out without noise, printed to 8 digits."""
    result = fit(what, simulate(Quiet()))
    for key, value in truth.items():
        assert result[key].value == pytest.approx(value, rel=2e-5)
    assert result.recipe and result.lines
    assert all(trace.fitted.shape == trace.observed.shape for trace in result.traces)


def test_a_straight_tyre_read_exactly_has_its_free_radius():
    """Heights good to a thousandth of a millimetre tell the exponent, whatever is thought of tyres beforehand."""
    text = simulated.tyre(Quiet()).replace("hub_height_error_mm = 0.15", "hub_height_error_mm = 0.001")
    assert fit("tyre", text)["radius_mm"].value == pytest.approx(58.0 + 1.375 * G / 3.4, abs=1e-3)


def test_every_kind_has_recipe_cautions_and_a_demo_file():
    for what in WHAT:
        kind = measurement_kind(what)
        assert len(kind.recipe) >= 3 and kind.cautions
        for name in kind.demo:
            result = measure(what, demo_file(name))
            document = result.to_dict()
            assert document["what"] == what and document["lines"]
            assert all(np.isfinite(value) for value in result.lines.values())


def test_demo_readings_agree_with_the_demo_vehicle():
    """Within four standard errors, as they were drawn from it."""
    expected = {
        ("spring", "spring-rear.csv"): ("spring_rate_n_per_mm", 0.40),
        ("spring", "spring-front.csv"): ("spring_rate_n_per_mm", 0.46),
        ("tyre", "tyre.csv"): ("vertical_stiffness_n_per_mm", 3.4),
        ("damping", "damping-rear.csv"): ("damping_n_s_per_m", 11.0),
        ("motor", "motor.csv"): ("stall_torque_n_mm", 7400.0),
        ("rotor", "rotor.csv"): ("rotor_inertia_kg_mm2", 6200.0),
        ("grip", "grip.csv"): ("grip_coefficient", 2.4),
        ("contact", "contact-rolling.csv"): ("rolling_resistance", 0.028),
        ("contact", "contact-give.csv"): ("contact_offset_share", 0.7),
        ("contact", "contact-radius.csv"): ("rolling_radius_share", 0.6),
        ("contact", "contact-slip.csv"): ("slip_stiffness", 14.0),
        ("inertia", "inertia-bifilar.csv"): ("pitch_inertia_kg_mm2", 15200.0),
        ("inertia", "inertia-pivot.csv"): ("pitch_inertia_kg_mm2", 15200.0),
    }
    for (what, name), (key, value) in expected.items():
        estimate = measure(what, demo_file(name))[key]
        assert abs(estimate.value - value) < 4 * estimate.standard_error


def warnings_of(what, text):
    return " | ".join(fit(what, text).warnings)


def test_spring_outside_the_law():
    rows = "".join(f"{x}, {100 + 12 * x + 0.6 * x * x}\n" for x in range(0, 24, 3))
    assert "rate changes along the travel" in warnings_of("spring", "compression_mm, scale_g\n" + rows)
    rng = np.random.default_rng(3)
    rows = "".join(
        f"{x}, {100 + 20 * x + side * 40 + rng.normal()}, {word}\n"
        for side, word in ((1, "loading"), (-1, "unloading"))
        for x in range(0, 24, 4)
    )
    assert "dry friction of 0.39" in warnings_of("spring", "compression_mm, scale_g, direction\n" + rows)
    rows = "".join(f"{x}, {100 + 20 * x + rng.normal()}\n" for x in range(0, 40, 2)) + "41, 1000\n"
    assert "row 22 lies" in warnings_of("spring", "compression_mm, scale_g\n" + rows)


def test_spring_counts_shocks():
    text = simulated.spring(Quiet())
    one = fit("spring", text.replace("number_of_shocks = 2", "number_of_shocks = 1"))
    assert one["spring_rate_n_per_mm"].value == pytest.approx(0.20, rel=1e-5)
    both = fit("spring", text.replace('"rear"', '"both"'))
    assert set(both.lines) == {"rear.shock.spring_rate_n_per_mm", "front.shock.spring_rate_n_per_mm"}


def test_tyre_that_stiffens():
    rows = "".join(f"{w}, {58 - 2.9e-3 * w + 4e-7 * w * w}\n" for w in range(0, 2500, 300))
    assert "the tyre stiffens" in warnings_of("tyre", "# standing_load_g = 1300\nadded_g, hub_height_mm\n" + rows)


def test_damping_outside_the_law():
    assert "one-way valve" in warnings_of("damping", simulated.falling_weight(np.random.default_rng(2), one_way=3.0))
    only = simulated.falling_weight(Quiet())
    only = "\n".join(line for line in only.splitlines() if "extension" not in line)
    assert "only compression was measured" in warnings_of("damping", only)
    text = "# sprung_mass_g = 700\n# motion_ratio = 0.9\nhalf_swing, time_s, peak_mm\n"
    rows = [(k, 0.4 + 0.14 * k, 24.0 - 4.6 * k + 0.02 * (-1) ** k) for k in range(6)]
    text += "".join(f"{k}, {t}, {a}\n" for k, t, a in rows)
    assert "constant amount rather than a constant share" in warnings_of("damping", text)
    rng = np.random.default_rng(9)
    sticky = dict(simulated.TRUTH, friction=0.4)
    rows = [
        ("compression", w, simulated.fall_time(0.022, w * 1e-3, 5.5, sticky["friction"]) + rng.normal(0, 5e-4), n)
        for w in (80, 120, 250)
        for n in (1, 2, 3)
    ]
    text = "direction, weight_g, distance_mm, time_s, repeat\n"
    text += "".join(f"{d}, {w}, 22, {t}, {n}\n" for d, w, t, n in rows)
    assert "dry friction of 0.3977" in warnings_of("damping", text)


def test_motor_traps():
    """Spinning wheels, a crooked throttle, grip not given."""
    text = simulated.motor(np.random.default_rng(5), acts_as=0.38)
    found = warnings_of("motor", text)
    assert "needed a grip of" in found and "wheels spun" in found
    assert "throttle 0.5 acts as 0.38" in found
    without = "\n".join(line for line in text.splitlines() if "grip" not in line)
    assert "look at the film for spinning wheels" in warnings_of("motor", without)
    result = fit("motor", text)
    assert result["air_throttle_50_percent_acts_as"].value == pytest.approx(0.38, abs=0.01)
    assert any("a linear motor would have the same" in note for note in result.notes)


def test_motor_inertia_not_told_from_zero():
    text = simulated.motor(np.random.default_rng(5), noise=14.0)
    assert "not told from zero" in warnings_of("motor", text)


def test_grip_traps():
    rows = "".join(f"{n}, {6600 - 150 * n}, {5000}\n" for n in range(1, 8))
    head = "# load_g = 2750\nrepeat, peak_pull_g, sliding_pull_g\n"
    assert "the peak readings drift by" in warnings_of("grip", head + rows)
    rows = "1, 6000, 7000\n2, 6100, 7100\n3, 6050, 7050\n"
    assert "sliding pull exceeds the peak" in warnings_of("grip", head + rows)
    rows = "1, 6000,\n2, 6100,\n3, 6050,\n"
    assert "fewer than 3 sliding pulls" in warnings_of("grip", head + rows)


def crawled(exponent, scatter_mm, loads=(0, 1500)):
    """Ten turns on a radius of 59 mm against pulls: slip of 14 at the vehicle's 2750 g, growing as the load to `exponent`; typed here."""
    rows, sign = [], 1
    for added in loads:
        stiffness = 14.0 * ((2750 + added) / 2750) ** (exponent - 1.0)
        for pull in (0, 500, 1000):
            for repeat in (1, 2):
                lost = 2.2 * np.arctanh(pull / (2750 + added) / 2.2) / stiffness
                rows.append(f"{added}, {pull}, {3707.0 * (1.0 - lost) + sign * scatter_mm}, {repeat}")
                sign = -sign
    return "# load_g = 2750\nadded_g, pull_g, way_mm, repeat\n" + "\n".join(rows) + "\n"


def test_how_slip_stiffness_grows_with_the_load_is_written_where_it_is_known():
    """Uniform between 0.6 and 1 it has a standard deviation of 0.115: what is known no better, or lies outside, is told, not written."""
    key = "tyre.slip_stiffness_exponent"
    sure = fit("contact", crawled(0.7, 0.5))
    assert sure["slip_stiffness_exponent"].value == pytest.approx(0.7, abs=0.01) and sure.lines[key] == pytest.approx(
        0.7, abs=0.02
    )
    vague = fit("contact", crawled(0.7, 6.0))
    assert vague["slip_stiffness_exponent"].standard_error > 0.4 / np.sqrt(12.0) and key not in vague.lines
    assert any("known no better than that of any tyre (0.6 to 1)" in warning for warning in vague.warnings)
    steep = fit("contact", crawled(1.6, 0.5))
    assert key not in steep.lines and any("outside what tyres have" in warning for warning in steep.warnings)
    assert {"tyre.slip_stiffness"} == set(vague.lines) == set(steep.lines)


def test_three_loads_and_one():
    """Three are laid on one line of their logarithms; one says nothing of it, and why."""
    many = fit("contact", crawled(0.8, 0.3, loads=(500, 1000, 2000)))
    assert many["slip_stiffness_exponent"].value == pytest.approx(0.8, abs=0.02)
    assert many["slip_stiffness"].value == pytest.approx(14.0, rel=0.01), (
        "of the vehicle's own weight, which was not crawled at"
    )
    one = fit("contact", crawled(0.8, 0.3, loads=(0,)))
    assert [e.key for e in one.estimates] == ["slip_stiffness"] and "the same again with mass on top does" in " ".join(
        one.notes
    )
    rows = "\n".join(row for row in crawled(0.8, 0.3).splitlines() if not row.startswith(("1500, 500", "1500, 1000")))
    with pytest.raises(
        ReadingsFileError, match="one value with added_g = 1500; the lost way there needs a crawl without a pull"
    ):
        fit("contact", rows + "\n")


def test_grip_from_sliding_angle():
    """All wheels locked, mu = tan(angle)."""
    result = fit("grip", "repeat, slide_grade_deg\n1, 50\n2, 51\n3, 52\n")
    assert result["grip_coefficient"].value == pytest.approx(np.tan(np.radians(51)), rel=1e-9)


def test_inertia_of_the_whole_vehicle():
    """A vehicle hung whole: axles subtracted by Steiner's rule give the body's inertia back."""
    position, height = 481320 / 2750, 202400 / 2750
    body = (0.178, 0.084)
    centre = (position * 1e-3, height * 1e-3)
    whole = 15200e-6 + 1.65 * ((body[0] - centre[0]) ** 2 + (body[1] - centre[1]) ** 2)
    for mass, place, own in ((0.510, (0.0, 0.058), 585e-6), (0.590, (0.318, 0.058), 610e-6)):
        whole += own + mass * ((place[0] - centre[0]) ** 2 + (place[1] - centre[1]) ** 2)
    period = np.sqrt(16 * np.pi**2 * 1.2 * whole / (2.75 * G * 0.2**2))
    settings = (
        f"# part = vehicle\n# mass_g = 2750\n# thread_spacing_mm = 200\n# thread_length_mm = 1200\n"
        f"# centre_x_mm = {position}\n# centre_height_mm = {height}\n# wheelbase_mm = 318\n"
        "# wheel_centre_height_mm = 58\n# rear_axle_mass_g = 510\n# front_axle_mass_g = 590\n"
        "# rear_axle_inertia_kg_mm2 = 585\n# front_axle_inertia_kg_mm2 = 610\n"
    )
    rows = f"swings, time_s, repeat\n20, {20 * period}, 1\n20, {20 * period}, 2\n20, {20 * period}, 3\n"
    result = fit("inertia", settings + rows)
    assert result["pitch_inertia_kg_mm2"].value == pytest.approx(15200, rel=1e-6)
    with pytest.raises(ReadingsFileError, match="needs the settings rear_axle_inertia_kg_mm2 to subtract"):
        fit("inertia", settings.replace("# rear_axle_inertia_kg_mm2 = 585\n", "") + rows)


def test_inertia_fixture_and_wheel_pair():
    period = np.sqrt(16 * np.pi**2 * 1.0 * (470e-6 + 50e-6) / (0.35 * G * 0.1**2))
    text = (
        "# part = rear_wheel_pair\n# mass_g = 300\n# fixture_mass_g = 50\n# fixture_inertia_kg_mm2 = 50\n"
        "# thread_spacing_mm = 100\n# thread_length_mm = 1000\nswings, time_s, repeat\n"
        f"5, {5 * period}, 1\n5, {5 * period}, 2\n20, {20 * period}, 3\n"
    )
    result = fit("inertia", text)
    assert result["wheel_pair_inertia_kg_mm2"].value == pytest.approx(470, rel=1e-6)
    assert set(result.lines) == {"rear.wheel_pair_inertia_kg_mm2"}
    assert any("fewer than 10 swings" in warning for warning in result.warnings)
    assert any("no amplitude given" in note for note in result.notes)


def test_inertia_traps():
    text = simulated.pivot(np.random.default_rng(1)).replace(
        "pivot_distance_error_mm = 0.5", "pivot_distance_error_mm = 40"
    )
    assert "most comes from the pivot's distance" in warnings_of("inertia", text)
    periods = {"near": 0.9200, "far": 0.9105}
    rows = "".join(
        f"{name}, 20, {20 * t + d}, 0, {n}\n" for name, t in periods.items() for n, d in enumerate((-0.05, 0, 0.05))
    )
    head = "# mass_g = 1650\n# pivot_separation_mm = 200\n# pivots = opposite_sides\n"
    head += "pivot, swings, time_s, amplitude_deg, repeat\n"
    assert "the two periods are nearly alike" in warnings_of("inertia", head + rows)
    text = simulated.bifilar(np.random.default_rng(1)).replace(", 2, ", ", 30, ")
    assert "amplitudes above 20 deg" in warnings_of("inertia", text)


def test_rotor():
    text = "# armature_mass_g = 80\n# armature_diameter_mm = 22\n# scale_gain_error_percent = 0\nmotor_turns, wheel_turns\n120, 3\n"
    weighed = fit("rotor", text)
    assert weighed["rotor_inertia_kg_mm2"].low == pytest.approx(0.65 * 7744, rel=1e-6)
    assert weighed["rotor_inertia_kg_mm2"].origin == "measured"
    guessed = fit("rotor", simulated.ROTOR)
    assert guessed["rotor_inertia_kg_mm2"].origin == "assumed"
    text = simulated.ROTOR.replace("195, 5, 2", "220, 5, 2")
    assert "were both wheels of the axle turning" in warnings_of("rotor", text)


SPRING = "compression_mm, scale_g\n"
FALL = "direction, weight_g, distance_mm, time_s, repeat\n"
BOUNCE = "# sprung_mass_g = 700\n# motion_ratio = 0.9\nhalf_swing, time_s, peak_mm, repeat\n"
MOTOR = (
    "# mass_g = 2750\n# rolling_radius_mm = 58\n# driven_wheels_inertia_kg_mm2 = 900\n"
    "run, surface, throttle, time_s, wheel_angle_deg\n"
)


def film(run, surface, throttle=1, slope=1000, count=30, constant=0.05, step=0.02):
    times = np.arange(count) * step
    angle = slope * (times - constant * (1 - np.exp(-times / constant)))
    return "".join(f"{run}, {surface}, {throttle}, {t}, {a}\n" for t, a in zip(times, angle, strict=True))


@pytest.mark.parametrize(
    ("what", "text", "message"),
    [
        ("spring", SPRING + "0, 400\n5, 300\n10, 200\n15, 100\n", "scale_g falls as compression_mm grows"),
        ("spring", "compression_mm, scale_g, repeat\n0, 1, 1\n0, 2, 2\n5, 3, 1\n5, 4, 2\n", "has 2 different values"),
        (
            "tyre",
            "# standing_load_g = 9\nadded_g, hub_height_mm\n0, 50\n9, 51\n20, 52\n30, 53\n",
            "does not fall as added_g",
        ),
        (
            "damping",
            FALL + "".join(f"compression, 100, 20, 0.12, {n}\n" for n in range(4)),
            "4 rows with 1 different weight_g",
        ),
        (
            "damping",
            FALL + "".join(f"compression, {100 + n}, 20, 0.01, {n}\n" for n in range(4)),
            "shorter than a free fall",
        ),
        (
            "damping",
            BOUNCE + "".join(f"{n % 2}, {n}, 5, {n}\n" for n in range(4)),
            "fewer than 3 different turning points",
        ),
        ("damping", BOUNCE + "".join(f"{n}, {n}, {5 + n}, 1\n" for n in range(4)), "peak_mm does not fall"),
        ("damping", BOUNCE + "".join(f"{n}, {9 - n}, {9 - n}, 1\n" for n in range(4)), "time_s does not grow"),
        ("motor", MOTOR + film(1, "air"), "no film with surface ground at throttle 1"),
        ("motor", MOTOR + film(1, "air", constant=0.08) + film(2, "ground"), "is not longer than in the air"),
        ("motor", MOTOR + film(1, "air", slope=-100) + film(2, "ground"), "wheel_angle_deg does not grow"),
        ("motor", MOTOR + film(1, "air").replace("air", "ground", 1) + film(2, "ground"), "run 1 has another surface"),
        ("motor", MOTOR + film(1, "air", count=4) + film(2, "ground"), "too few frames"),
        (
            "motor",
            MOTOR + film(1, "air") + film(2, "ground", count=30, constant=0.5),
            "end before the speed has settled",
        ),
        ("grip", "# load_g = 2750\nrepeat, peak_pull_g\n1, 6000\n2, 6100\n", "too few readings: 2"),
        ("rotor", "motor_turns, wheel_turns\n120, 3\n", "no size of the motor"),
        (
            "inertia",
            simulated.bifilar(Quiet())
            .replace("part_offset", "x")
            .replace("thread_length_mm = 1200", "thread_length_mm = 1")
            .replace(", 2, ", ", 30, "),
            "thread_length_mm is too short",
        ),
        (
            "inertia",
            simulated.pivot(Quiet()).replace("pivot_distance_mm = 120", "pivot_distance_mm = 620"),
            "the inertia comes out as",
        ),
        (
            "inertia",
            "\n".join(
                line
                for line in simulated.two_pivots(Quiet()).splitlines()
                if not line.startswith("far") or line.endswith("1")
            ),
            "one reading; at least 2 repeats",
        ),
    ],
)
def test_faults_of_readings(what, text, message):
    with pytest.raises(ReadingsFileError, match=message):
        fit(what, text)


def test_unknown_measurement():
    with pytest.raises(ModelError, match="no measurement called 'sprnig'; did you mean spring"):
        measurement_kind("sprnig")
    with pytest.raises(KeyError):
        fit("spring", simulated.spring(Quiet()))["none"]


def test_rounding_follows_the_error():
    assert rounded(15201.3, 56.2) == ("15201", "56")
    assert rounded(7384.0, 480.0) == ("7380", "480")
    assert rounded(0.39214, 0.00572) == ("0.3921", "0.0057")
    assert rounded(3.0, None) == ("3", "")
    assert rounded(float("nan"), 1.0) == ("unknown", "")
