"""Readings that lie off what all others say, and fits whose law has a kink."""

import numpy as np
import pytest

from noseload.model.errors import ModelError
from noseload.solvers.statistics.least_squares import fit_linear, fit_nonlinear
from noseload.studies.measuring.measurements import measure

EVENINGS = 400


def spring_file(path, scale_g):
    rows = [f"{x}, {g:.2f}" for x, g in zip(range(2, 2 + len(scale_g)), scale_g, strict=True)]
    path.write_text("compression_mm, scale_g\n" + "\n".join(rows) + "\n", encoding="utf-8")
    return path


def test_a_reading_that_is_far_off_is_named_and_both_answers_are_given(tmp_path):
    """1,000 g off in 11 rows: within its own fit it lies 2.5 standard errors off, root (n - p) at most."""
    rng = np.random.default_rng(3)
    scale = 40.0 * np.arange(2, 13) + rng.normal(0.0, 1.0, 11)
    clean = measure("spring", spring_file(tmp_path / "clean.csv", scale))
    assert not any("lies" in warning for warning in clean.warnings)
    scale[3] += 1000.0
    found = measure("spring", spring_file(tmp_path / "off.csv", scale))
    (named,) = [warning for warning in found.warnings if "lies" in warning]
    row = clean.traces[0].rows[3]
    assert f" {row} lies" in named and "what all other readings say" in named
    (both,) = [warning for warning in found.warnings if warning.startswith("without")]
    assert f" {row}: spring_rate_n_per_mm is 0.78" in both and f"with it {found.estimates[0]}" in both


def test_what_a_wild_reading_hides_is_told_without_it(tmp_path):
    """A progressive spring: its curvature drowns beside one wild reading."""
    steps = np.arange(2, 14)
    scale = 30.0 * steps + 1.5 * steps**2
    assert any("progressive" in w for w in measure("spring", spring_file(tmp_path / "bent.csv", scale)).warnings)
    scale = scale + np.where(steps == 6, 900.0, 0.0)
    told = measure("spring", spring_file(tmp_path / "hidden.csv", scale)).warnings
    assert any(w.startswith("without") and "progressive" in w for w in told)


def test_deleted_residuals_are_those_of_fits_without_the_reading():
    """Externally studentised residuals by their definition: each reading against the fit of all others."""
    rng = np.random.default_rng(8)
    design = np.stack([np.ones(9), np.linspace(0.0, 4.0, 9)], axis=-1)
    seen = design @ [3.0, 1.5] + rng.normal(0.0, 0.3, 9)
    found = fit_linear(design, seen, ["a", "b"]).deleted_residuals()
    for k in range(9):
        rest = np.arange(9) != k
        other = fit_linear(design[rest], seen[rest], ["a", "b"])
        error = np.sqrt(other.scatter**2 + design[k] @ other.covariance @ design[k])
        assert found[k] == pytest.approx((seen[k] - design[k] @ other.values) / error, rel=1e-9)


@pytest.mark.parametrize("stated", [None, 0.3])
def test_honest_evenings_are_seldom_doubted(stated):
    """The worst reading is named by chance in one evening of a hundred, whatever the number of readings."""
    from scipy.special import stdtr

    rng, named = np.random.default_rng(5), 0
    for _ in range(EVENINGS):
        n = rng.integers(5, 15)
        design = np.stack([np.ones(n), rng.uniform(0.0, 4.0, n)], axis=-1)
        fit = fit_linear(design, design @ [3.0, 1.5] + rng.normal(0.0, 0.3, n), ["a", "b"], errors=stated)
        sizes = np.abs(fit.deleted_residuals())
        freedom = fit.deleted_freedom if np.isfinite(fit.deleted_freedom) else 1e9
        named += n * 2.0 * stdtr(freedom, -np.nanmax(sizes)) < 0.01
    assert named <= 11, "binomial, 4 expected: more than 11 come by chance once in 1,000"


@pytest.mark.parametrize("start", [0.2, 0.9, 1.4, 3.0])
def test_a_minimum_on_a_kink_is_a_minimum(start):
    """Chi-square falls to the kink from both sides, 1.25 there: the residual leans on the slopes and the fit has settled."""

    def law(p):
        return np.array([p[0], 10.0 * max(0.0, p[0] - 1.0)])

    fit = fit_nonlinear(law, np.array([1.5, -1.0]), [start], ["a"], scales=[1.0], errors=1.0, bounds=([0.0], [5.0]))
    assert fit.value("a") == pytest.approx(1.0, abs=1e-3) and fit.chi_square == pytest.approx(1.25, abs=0.03)


def test_opposite_pins_that_are_conjugate_get_their_sentence(tmp_path):
    """H. Kater's reversible pendulum (1818): pins at l and k^2 / l swing alike whatever k, so no inertia follows."""
    mass, inertia, near = 1.65, 0.0152, 0.05
    far = inertia / mass / near
    rng, rows = np.random.default_rng(4), []
    for pivot, distance in (("near", near), ("far", far)):
        period = 2.0 * np.pi * np.sqrt((inertia + mass * distance**2) / (mass * 9.80665 * distance))
        rows += [f"{pivot}, 20, {20 * period + rng.normal(0.0, 0.1):.3f}, {k}" for k in (1, 2, 3)]
    path = tmp_path / "pins.csv"
    head = f"# mass_g = 1650\n# pivot_separation_mm = {1e3 * (near + far):.1f}\n# pivots = opposite_sides\n"
    path.write_text(head + "pivot, swings, time_s, repeat\n" + "\n".join(rows) + "\n", encoding="utf-8")
    with pytest.raises(ModelError, match=r"Kater's pendulum.*move one pin"):
        measure("inertia", path)


def named_once(warnings, row):
    """The one sentence that names that row, and the one that gives both answers."""
    (named,) = [warning for warning in warnings if " lies " in warning and not warning.startswith("without")]
    (both, *_) = [warning for warning in warnings if warning.startswith("without")]
    assert named.startswith(f"row {row} lies") and "what all other readings say" in named
    return both


def test_a_weighing_names_the_row_and_gives_both_answers():
    """25 g too much on one of twelve lifts moves the height by 0.4 mm; without it the truth comes back."""
    import evenings
    from noseload.studies.weighing.weigh import weigh_readings

    readings, truth = evenings.weighing(np.random.default_rng(2), by_height=False)
    assert not any(" lies " in warning for warning in weigh_readings(readings).warnings)
    readings["rear_g"][5] += 25.0
    found = weigh_readings(readings)
    both = named_once(found.warnings, readings.rows[5])
    assert "centre_of_gravity_height_mm is" in both and f"with it {found['centre_of_gravity_height_mm']}" in both
    told = float(both.split("centre_of_gravity_height_mm is ")[1].split(" ")[0])
    assert abs(told - truth["centre_of_gravity_height_mm"]) < 0.8


@pytest.mark.parametrize("fit", [(), ("cg_height",)])
def test_the_board_names_the_row_and_gives_both_answers(fit):
    """40 g too much at 30 deg: with nothing fitted both chances, else both heights."""
    from noseload.commands.measuring.output import demo_readings
    from noseload.csv_input import read_readings
    from noseload.demo import DEMO
    from noseload.model.file.reader import load_vehicle
    from noseload.model.units import grams_of_force
    from noseload.studies.climb.rigid import RigidClimb
    from noseload.studies.measuring.readings import compare_with
    from noseload.studies.measuring.readings_layout import READINGS_LAYOUT

    vehicle = load_vehicle(DEMO)
    readings = read_readings(demo_readings("board.csv"), READINGS_LAYOUT)
    climb = RigidClimb(vehicle)
    for place, (kind, grade) in enumerate(zip(readings["kind"], readings["grade_deg"], strict=True)):
        if kind == "front_load":
            readings["scale_g"][place] = grams_of_force(climb.row(grade).front_load_n) + 2.0 * (-1) ** place
        else:
            readings["grade_deg"][place] = climb.limits.tip_over_grade_deg
    readings["scale_g"][6] += 40.0
    both = named_once(compare_with(readings, vehicle, fit=fit, climb=RigidClimb).warnings, readings.rows[6])
    assert ("centre_of_gravity_height_mm is" if fit else "the chance of such a misfit is") in both


def test_the_bench_names_the_row():
    from noseload import bench
    from noseload.commands.measuring.output import demo_readings
    from noseload.csv_input import read_readings
    from noseload.demo import DEMO
    from noseload.model.file.reader import load_vehicle
    from noseload.studies.bench.readings import BY_LEVER, compare_bench_with

    readings = read_readings(demo_readings("bench.csv"), BY_LEVER)
    readings["front_g"][3] += 60.0
    both = named_once(compare_bench_with(readings, bench(load_vehicle(DEMO))).warnings, readings.rows[3])
    assert "the chance of such a misfit is" in both


def test_deleted_misfits_are_what_regression_on_the_others_leaves():
    """By their definition: each against its best guess from all others, under the same covariance."""
    from noseload.solvers.statistics.correlated import covariance_of, deleted_misfits

    rng = np.random.default_rng(1)
    covariance = covariance_of(rng.uniform(0.5, 2.0, 6), rng.normal(0.0, 1.0, (6, 2)))
    misfits = rng.normal(0.0, 1.0, 6)
    found = deleted_misfits(misfits, covariance)
    for k in range(6):
        rest = np.arange(6) != k
        share = np.linalg.solve(covariance[np.ix_(rest, rest)], covariance[rest, k])
        left = covariance[k, k] - share @ covariance[rest, k]
        assert found[k] == pytest.approx((misfits[k] - share @ misfits[rest]) / np.sqrt(left), rel=1e-9)
