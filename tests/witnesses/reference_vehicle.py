"""The vehicle that the stored numbers of tests belong to: the demo as it was before its axles had radii of their own."""

from pathlib import Path

from noseload.model import load_vehicle

REFERENCE = Path(__file__).parents[1] / "data" / "reference_vehicle.toml"


def reference_vehicle(*, setup=None, drive=None):
    """The reference vehicle or one of its setups."""
    return load_vehicle(REFERENCE, setup=setup, drive=drive)
