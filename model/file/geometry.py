"""Link and shock lengths, wheel centres and the closing of links, from the values of a vehicle file in SI."""

from math import hypot, inf

from noseload.model.errors import ModelError

from .checks import Finding
from .key import with_unit
from .keys import AXLES, PARTS

COINCIDENT_LINKS_M = 1e-6
SHORT_ROD_M = 1e-6


def rod_length(values: dict, path: str) -> float | None:
    """Length in the side view of the link or shock at `path`, m; None where an end is not known."""
    first, second = values.get(f"{path}.chassis_end_mm"), values.get(f"{path}.axle_end_mm")
    if first is None or second is None:
        return None
    return hypot(first[0] - second[0], first[2] - second[2])


def shock_length(values: dict, path: str) -> float | None:
    """True length of the shock at `path`, m, in the side view where y is not known; None where an end is not known."""
    first, second = values.get(f"{path}.chassis_end_mm"), values.get(f"{path}.axle_end_mm")
    if first is None or second is None:
        return None
    across = 0.0 if first[1] is None or second[1] is None else second[1] - first[1]
    return hypot(first[0] - second[0], across, first[2] - second[2])


def tyre_value(values: dict, axle: str, name: str) -> float | None:
    """Value of a tyre key for one axle: its own table first, then the shared one; None where not given."""
    own = values.get(f"{axle}.tyre.{name}")
    return values.get(f"tyre.{name}") if own is None else own


def wheel_centre_height(values: dict, axle: str) -> float | None:
    """Height of the wheel centre in the measured pose, m, or None where no radius is known."""
    for table in (f"{axle}.tyre", "tyre"):
        for name in ("loaded_radius_mm", "radius_mm"):
            height = values.get(f"{table}.{name}")
            if height is not None:
                return height
    return None


def known_wheel_centre_height(values: dict, axle: str) -> float:
    """As `wheel_centre_height`; a vehicle without a radius cannot be built.

    Raises
    ------
    ModelError
        No radius is known: the checks of the file were left out.
    """
    height = wheel_centre_height(values, axle)
    if height is None:
        raise ModelError(f"{axle}: no tyre radius is known; give tyre.radius_mm or tyre.loaded_radius_mm")
    return height


def check_geometry(values: dict, *, kept_links: bool = False) -> list[Finding]:
    """Faults of geometry that no vehicle can have, from values in SI.

    With `kept_links` the links of a setup have their lengths from the base, so what their ends would
    make of them in the measured pose is no fault (see `check_loop`).
    """
    faults = []
    centre = values.get("body.centre_of_gravity_mm")
    if centre is not None and centre[2] <= 0.0:
        height = with_unit(centre[2] * 1e3, "mm")
        why = f"lies {height} above the floor; the last number is the height and must be above 0 mm"
        faults.append(Finding("body.centre_of_gravity_mm", why))
    for axle in AXLES:
        for part in PARTS:
            path = f"{axle}.{part}"
            length = shock_length(values, path) if part == "shock" else rod_length(values, path)
            if length is None or (kept_links and part != "shock"):
                continue
            if length < SHORT_ROD_M:
                why = "is the chassis end as well (side view): a length of 0 mm; read both ends again"
                faults.append(Finding(f"{path}.axle_end_mm", why))
            elif part == "shock" and values.get(f"{path}.bump_travel_mm", 0.0) >= length:
                travel, size = (with_unit(x * 1e3, "mm") for x in (values[f"{path}.bump_travel_mm"], length))
                why = f"= {travel} would push a shock of {size} to nothing; it counts from standing"
                faults.append(Finding(f"{path}.bump_travel_mm", why))
        if not kept_links and link_separation(values, axle) < COINCIDENT_LINKS_M:
            why = "lies in one line with the lower link, so nothing holds the housing; read the ends again"
            faults.append(Finding(f"{axle}.upper_link", why))
    return faults


def link_separation(values: dict, axle: str) -> float:
    """Largest distance of an end of the upper link from the line of the lower link, m (inf: unknown)."""
    lower, upper = f"{axle}.lower_link", f"{axle}.upper_link"
    length = rod_length(values, lower)
    if not length or not rod_length(values, upper):
        return inf
    (x0, _, z0), (x1, _, z1) = values[f"{lower}.chassis_end_mm"], values[f"{lower}.axle_end_mm"]
    ends = (values[f"{upper}.chassis_end_mm"], values[f"{upper}.axle_end_mm"])
    return max(abs((x1 - x0) * (end[2] - z0) - (z1 - z0) * (end[0] - x0)) / length for end in ends)


def check_loop(lengths: dict[str, float], values: dict, axle: str) -> Finding | None:
    """Fault where two links of kept length cannot join the chassis and axle ends of a setup.

    A four-bar closes if and only if its longest bar is no longer than the other three together.

    Parameters
    ----------
    lengths : dict
        Kept lengths of the links by path ('rear.lower_link'), m.
    values : dict
        SI values of the setup.
    """
    lower, upper = f"{axle}.lower_link", f"{axle}.upper_link"
    gap = {}
    for end in ("chassis", "axle"):
        low, high = values.get(f"{lower}.{end}_end_mm"), values.get(f"{upper}.{end}_end_mm")
        if low is None or high is None:
            return None
        gap[end] = hypot(low[0] - high[0], low[2] - high[2])
    bars = [lengths[lower], lengths[upper], gap["chassis"], gap["axle"]]
    longest = max(bars)
    if longest <= sum(bars) - longest:
        return None
    sizes = ", ".join(f"{bar * 1e3:.4g}" for bar in bars)
    why = (
        f"cannot close with kept lengths: lower link, upper link, chassis ends and axle ends are {sizes} mm "
        'apart; move the ends less or use link_lengths = "fitted"'
    )
    return Finding(upper, why)
