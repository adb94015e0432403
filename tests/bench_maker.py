"""Benches that several tests ask for, solved once each."""

from functools import cache

from noseload import bench
from reference_vehicle import reference_vehicle

LEVEL_A = """
name = "ruler and scale"
wheelbase_mm = 320
[weighed]
rear_g = 1600
front_g = 1400
centre_of_gravity_height_mm = 90
[tyre]
loaded_radius_mm = 58
[drive]
driven_axles = "rear"
"""


@cache
def reference_bench(setup=None, front="free", play_mm=0.0):
    return bench(reference_vehicle(setup=setup), front=front, play_mm=play_mm)
