"""What is true of the vehicle: its file, its equations, its geometry and its load budget."""

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from noseload.model.file.needs import check_provides as check_provides
    from noseload.model.file.reader import change_vehicle as change_vehicle
    from noseload.model.file.reader import load_vehicle as load_vehicle
    from noseload.model.file.reader import parse_vehicle as parse_vehicle
    from noseload.model.file.writer import update_keys as update_keys
    from noseload.model.file.writer import write_vehicle as write_vehicle

_LAZY = {
    "load_vehicle": "noseload.model.file.reader",
    "parse_vehicle": "noseload.model.file.reader",
    "change_vehicle": "noseload.model.file.reader",
    "check_provides": "noseload.model.file.needs",
    "write_vehicle": "noseload.model.file.writer",
    "update_keys": "noseload.model.file.writer",
}
"""Names offered here and the module each comes from, imported at first use: commands start fast."""


def __getattr__(name: str) -> Any:
    if name in _LAZY:
        from importlib import import_module

        return getattr(import_module(_LAZY[name]), name)
    raise AttributeError(f"module {__name__!r} has no attribute {name!r}")


def __dir__() -> list[str]:
    return sorted([*globals(), *_LAZY])
