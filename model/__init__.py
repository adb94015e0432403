"""What is true of the vehicle: its file, its equations, its geometry and its load budget."""

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from .vehicle_file import change_vehicle as change_vehicle
    from .vehicle_file import load_vehicle as load_vehicle
    from .vehicle_file import parse_vehicle as parse_vehicle
    from .vehicle_needs import check_provides as check_provides
    from .vehicle_writer import update_keys as update_keys
    from .vehicle_writer import write_vehicle as write_vehicle

_LAZY = {
    "load_vehicle": "model.vehicle_file",
    "parse_vehicle": "model.vehicle_file",
    "change_vehicle": "model.vehicle_file",
    "check_provides": "model.vehicle_needs",
    "write_vehicle": "model.vehicle_writer",
    "update_keys": "model.vehicle_writer",
}
"""Names offered here and the module each comes from, imported at first use: commands start fast."""


def __getattr__(name: str) -> Any:
    if name in _LAZY:
        from importlib import import_module

        return getattr(import_module(_LAZY[name]), name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")


def __dir__() -> list[str]:
    return sorted([*globals(), *_LAZY])
