"""Which measurements a command needs, and the error that names those a vehicle file lacks."""

from __future__ import annotations

from collections.abc import Sequence

from noseload.model.errors import MissingDataError, ModelError
from noseload.model.vehicle import Vehicle

from .key import value_at
from .keys import AXLES, KEYS, PARTS

NEEDS = {
    "links": tuple(
        f"{axle}.{part}.{end}_end_mm" for axle in AXLES for part in PARTS[:2] for end in ("chassis", "axle")
    ),
    "springs": tuple(
        f"{axle}.shock.{name}" for axle in AXLES for name in ("chassis_end_mm", "axle_end_mm", "spring_rate_n_per_mm")
    ),
    "motor": ("drive.stall_torque_n_mm", "drive.no_load_speed_rad_per_s"),
    "damping": tuple(f"{axle}.shock.damping_n_s_per_m" for axle in AXLES),
    "track_width": ("track_width_mm",),
}
"""What a command may need beyond level A -> keys that the file must give."""


def check_provides(vehicle: Vehicle, needs: Sequence[str], *, command: str) -> None:
    """Raise unless the vehicle file gives what a command uses; assumed values do not count.

    Parameters
    ----------
    vehicle : Vehicle
        Vehicle of any level.
    needs : sequence of str
        Names of `NEEDS`: 'links', 'springs', 'motor', 'damping', 'track_width' or any dotted key.
    command : str
        Name for the message.

    Raises
    ------
    MissingDataError
        Naming the command, the missing keys with their units, and the remedy.
    ModelError
        If a need is not known.
    """
    missing = []
    for need in needs:
        keys = NEEDS.get(need, (need,) if need in KEYS else None)
        if keys is None:
            raise ModelError(f"a command cannot need {need!r}; known are {', '.join(NEEDS)} and file keys")
        missing += [key for key in keys if value_at(vehicle.document, key) is None and key not in missing]
    if not missing:
        return
    level = max((KEYS[key].level or "A" for key in missing), default="A")
    listed = "\n".join(f"  {key} ({KEYS[key].unit or KEYS[key].kind}): {KEYS[key].recipe}" for key in missing)
    where = vehicle.file or vehicle.name
    raise MissingDataError(
        f"{where}: `{command}` needs {', '.join(needs)}, and this level {vehicle.level} file "
        f"lacks\n{listed}\n"
        f"Add these keys; `noseload new --level {level} FILE` writes a file that has them all."
    )
