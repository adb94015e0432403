"""The bench in space: events against the independent program, and against the side view without shafts."""

import pytest

from noseload import bench
from noseload.studies.space.bench import bench_wheels
from reference_vehicle import reference_vehicle
from space_samples import NAMES, rows_of, vehicle

TORQUE = 1e-3
"""N mm."""


@pytest.mark.parametrize("name", NAMES)
@pytest.mark.parametrize("couples", [True, False])
def test_lifts_on_the_bench_agree(name, couples):
    events = [row for row in rows_of(name, "bench event") if row["couples"] == couples]
    found = bench_wheels(vehicle(name), shafts=couples)
    assert found.status == "ok"
    assert found.axle_free_torque_n_mm == pytest.approx(1e3 * events[-1]["torque_n_m"], abs=TORQUE)
    assert found.first_wheel_torque_n_mm == pytest.approx(1e3 * events[0]["torque_n_m"], abs=TORQUE)
    assert found.first_wheel == ("front_both" if len(events) == 1 else "front_right")


def test_without_shafts_it_is_the_side_view():
    demo = reference_vehicle()
    found, flat = bench_wheels(demo, shafts=False), bench(demo, front="free")
    assert found.axle_free_torque_n_mm == pytest.approx(flat["torque_at_lift_n_mm"], abs=TORQUE)


def test_with_shafts_one_wheel_is_free_long_before_the_axle():
    found = bench_wheels(reference_vehicle())
    assert found.first_wheel == "front_right"
    assert found.first_wheel_torque_n_mm < 0.6 * found.axle_free_torque_n_mm
    assert found.rows[0]["torque_n_mm"] == 0.0
    weight = reference_vehicle().mass * 9.80665
    for row in found.rows:
        loads = sum(row[key] for key in row if key.endswith("load_n"))
        assert loads == pytest.approx(weight, abs=1e-9 * weight)
    assert found.to_dict()["first_wheel"] == "front_right"
