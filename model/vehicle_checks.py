"""What is wrong or doubtful with the values of a vehicle file, each as a (key, sentence) pair.

Every check looks at what is there and leaves alone what is missing or already faulty, so that one
reading lists all faults at once.
"""

from math import hypot, isfinite
from typing import NamedTuple

from model.vehicle_keys import (
    AXLES,
    KEYS,
    OPEN_TABLES,
    PARTS,
    TABLES,
    TYRE_NAMES,
    Key,
    unit_hint,
    with_unit,
)

CLOSE_LINKS_M = 6e-3
"""Links nearer than this along their whole length leave the housing angle nearly free."""
COINCIDENT_LINKS_M = 1e-6
SHORT_ROD_M = 1e-6
FAR_POINT_RADII = 2.5
"""An axle end farther from its wheel centre than this many tyre radii was read from another datum."""


class Finding(NamedTuple):
    """A fault or a warning: the key it is about and a sentence with number, unit and remedy."""

    key: str
    text: str


def nearest(dotted: str, known) -> str:
    """The known dotted key or table most like a misspelt one, or ''."""
    from difflib import SequenceMatcher, get_close_matches

    table, _, name = dotted.rpartition(".")
    same_table = [key for key in known if key.rpartition(".")[0] == table]
    names = {key.rpartition(".")[2]: key for key in reversed(same_table)}
    close = get_close_matches(name, names, 1, 0.6)
    if close:
        return names[close[0]]
    elsewhere = [key for key in known if key.rpartition(".")[2] == name]
    if elsewhere:
        return max(elsewhere, key=lambda key: SequenceMatcher(None, dotted, key).ratio())
    close = get_close_matches(dotted, known, 1, 0.6)
    return close[0] if close else ""


def unknown_key(dotted: str) -> Finding:
    """Fault for a key that no vehicle file has, answered with the nearest that it may have."""
    guess = nearest(dotted, [*KEYS, *sorted(TABLES), *OPEN_TABLES])
    if not guess:
        return Finding(dotted, "unknown key, and no known key is like it; `noseload new` writes a file with all")
    unit = KEYS[guess].unit if guess in KEYS else ""
    what = f"{guess} (in {unit})" if unit else guess
    return Finding(dotted, f"unknown key; the nearest known is {what}")


def _kind_name(value: object) -> str:
    if isinstance(value, bool):
        return "true or false"
    for kind, name in ((str, "text"), (dict, "a table"), (list, "a list"), ((int, float), "a number")):
        if isinstance(value, kind):
            return name
    return "a date or time"


def _number(value: object) -> float | None:
    """The value as a finite float, or None where it is not one (bool is no number)."""
    if isinstance(value, bool) or not isinstance(value, int | float):
        return None
    try:
        number = float(value)
    except OverflowError:
        return None
    return number if isfinite(number) else None


def convert_value(key: Key, value: object, faults: list[Finding]) -> object:
    """The value in SI, or None with a fault added."""
    if key.kind == "number":
        return _convert_number(key, value, faults)
    if key.kind == "point":
        return _convert_point(key, value, faults)
    if not isinstance(value, str):
        faults.append(Finding(key.dotted, f"is {_kind_name(value)} but must be text in quotes"))
        return None
    if key.choices and value not in key.choices:
        choices = ", ".join(f'"{choice}"' for choice in key.choices)
        faults.append(Finding(key.dotted, f'= "{value}" is none of {choices}; write one of them'))
        return None
    return value


def _convert_number(key: Key, value: object, faults: list[Finding]) -> float | None:
    number = _number(value)
    unit = f" in {key.unit}" if key.unit else ""
    if number is None:
        if isinstance(value, int | float) and not isinstance(value, bool):
            faults.append(Finding(key.dotted, f"is not a finite number; write a plain number{unit}"))
        else:
            hint = " without quotes" if isinstance(value, str) else ""
            faults.append(
                Finding(key.dotted, f"is {_kind_name(value)} but must be a number{unit}{hint}; {key.recipe}")
            )
        return None
    too_low = number <= key.least if key.above else number < key.least
    if too_low or number > key.most:
        if too_low:
            bound = f"{'above' if key.above else 'at least'} {with_unit(key.least, key.unit)}"
        else:
            bound = f"at most {with_unit(key.most, key.unit)}"
        remedy = unit_hint(key, number) or key.recipe
        faults.append(Finding(key.dotted, f"= {with_unit(number, key.unit)} but must be {bound}; {remedy}"))
        return None
    return number * key.factor


def _convert_point(key: Key, value: object, faults: list[Finding]) -> tuple | None:
    shape = f"[x, z] or [x, y, z] in {key.unit}"
    if not isinstance(value, list) or len(value) not in (2, 3):
        found = f"a list of {len(value)}" if isinstance(value, list) else _kind_name(value)
        faults.append(Finding(key.dotted, f"is {found} but must be a point {shape}; {key.recipe}"))
        return None
    numbers = [_number(item) for item in value]
    if None in numbers:
        faults.append(Finding(key.dotted, f"holds something else than finite numbers; write {shape}"))
        return None
    factor = key.factor
    x, z = numbers[0] * factor, numbers[-1] * factor
    return (x, numbers[1] * factor if len(numbers) == 3 else None, z)


def check_missing(given: set[str], tables: set[str], blamed: set[str]) -> list[Finding]:
    """Faults for keys that the parts present cannot do without.

    Parameters
    ----------
    given : set of str
        Dotted keys in the file, faulty ones included.
    tables : set of str
        Dotted tables in the file, empty ones included.
    blamed : set of str
        Keys an unknown key was answered with: not reported a second time as missing.
    """
    present = given | blamed
    faults = []

    def need(dotted, why):
        if dotted not in present:
            key = KEYS[dotted]
            in_unit = f" ({key.unit})" if key.unit else ""
            faults.append(Finding(dotted, f"is missing{in_unit}: {why}; {key.recipe}"))

    need("wheelbase_mm", "every level needs it")
    weighed = "weighed" in tables or any(key.startswith("weighed.") for key in present)
    body = bool({"body.mass_g", "body.centre_of_gravity_mm"} & present)
    if weighed and body:
        for dotted in ("body.mass_g", "body.centre_of_gravity_mm"):
            if dotted in present:
                why = "stands beside [weighed], which says the same of the whole vehicle; keep one of the two"
                faults.append(Finding(dotted, why))
    elif weighed:
        for name in ("rear_g", "front_g", "centre_of_gravity_height_mm"):
            need(f"weighed.{name}", "[weighed] takes both axle readings and the height")
    else:
        for name in ("mass_g", "centre_of_gravity_mm"):
            need(f"body.{name}", "masses come from [body] and the axle masses, or from [weighed]")
        for axle in AXLES:
            need(f"{axle}.axle_mass_g", "only [weighed] can do without it")
    faults += _check_parts(present, tables, need)
    faults += check_tyre_radii(present)
    return faults


def _check_parts(present, tables, need):
    """Links and shocks: all six on both axles or none at all (level A)."""
    paths = [f"{axle}.{part}" for axle in AXLES for part in PARTS]
    there = [path for path in paths if path in tables or any(key.startswith(path + ".") for key in present)]
    if not there:
        return []
    faults = []
    for path in paths:
        needed = [key.dotted for key in KEYS.values() if key.table == path and key.level == "B"]
        if path in there:
            for dotted in needed:
                need(dotted, f"[{path}] cannot do without it")
        else:
            names = ", ".join(needed)
            why = (
                f"is missing though [{there[0]}] is there: both axles take lower link, upper link and shock; "
                f"add {names}, or leave all links and shocks out (level A)"
            )
            faults.append(Finding(path, why))
    return faults


def check_tyre_radii(present: set[str]) -> list[Finding]:
    """Faults unless each axle has exactly one of the two radii, and both axles the same one."""
    faults = []
    chosen = {}
    for table in ("tyre", "rear.tyre", "front.tyre"):
        here = {name for name in ("radius_mm", "loaded_radius_mm") if f"{table}.{name}" in present}
        if len(here) == 2:
            why = (
                f"and {table}.loaded_radius_mm are both given; keep radius_mm if heights refer to wheel centres "
                "at the free radius, loaded_radius_mm if heights were read from the floor"
            )
            faults.append(Finding(f"{table}.radius_mm", why))
        chosen[table] = here
    rear, front = chosen["rear.tyre"] or chosen["tyre"], chosen["front.tyre"] or chosen["tyre"]
    if not rear or not front:
        where = "tyre" if not rear and not front else ("rear.tyre" if not rear else "front.tyre")
        why = (
            f"and {where}.loaded_radius_mm are both missing (mm); give one of them: loaded_radius_mm is the "
            "ruler from the floor to the wheel centre of the standing vehicle"
        )
        faults.append(Finding(f"{where}.radius_mm", why))
    elif not faults and rear != front:
        why = "is of another kind than the radius of the rear tyre; use radius_mm or loaded_radius_mm for both"
        faults.append(Finding(f"front.tyre.{min(front)}", why))
    return faults


def rod_length(values: dict, path: str) -> float | None:
    """Length in the side view of the link or shock at `path`, m; None where an end is not known."""
    ends = values.get(f"{path}.chassis_end_mm"), values.get(f"{path}.axle_end_mm")
    if None in ends:
        return None
    return hypot(ends[0][0] - ends[1][0], ends[0][2] - ends[1][2])


def tyre_value(values: dict, axle: str, name: str) -> object:
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


def check_geometry(values: dict) -> list[Finding]:
    """Faults of geometry that no vehicle can have, from values in SI."""
    faults = []
    centre = values.get("body.centre_of_gravity_mm")
    if centre is not None and centre[2] <= 0.0:
        height = with_unit(centre[2] * 1e3, "mm")
        why = f"lies {height} above the floor; the last number is the height and must be above 0 mm"
        faults.append(Finding("body.centre_of_gravity_mm", why))
    for axle in AXLES:
        for part in PARTS:
            path = f"{axle}.{part}"
            length = rod_length(values, path)
            if length is None:
                continue
            if length < SHORT_ROD_M:
                why = "is the same point as the chassis end in the side view: length 0 mm; read both ends again"
                faults.append(Finding(f"{path}.axle_end_mm", why))
            elif part == "shock" and values.get(f"{path}.bump_travel_mm", 0.0) >= length:
                travel, size = (with_unit(x * 1e3, "mm") for x in (values[f"{path}.bump_travel_mm"], length))
                why = f"= {travel} would push a shock of {size} to nothing; it counts from the standing length"
                faults.append(Finding(f"{path}.bump_travel_mm", why))
        if _link_separation(values, axle) < COINCIDENT_LINKS_M:
            why = "lies in one line with the lower link, so nothing holds the housing; read the ends again"
            faults.append(Finding(f"{axle}.upper_link", why))
    return faults


def _link_separation(values: dict, axle: str) -> float:
    """Largest distance of an end of the upper link from the line of the lower link, m (inf: unknown)."""
    lower, upper = f"{axle}.lower_link", f"{axle}.upper_link"
    length = rod_length(values, lower)
    if not length or not rod_length(values, upper):
        return float("inf")
    (x0, _, z0), (x1, _, z1) = values[f"{lower}.chassis_end_mm"], values[f"{lower}.axle_end_mm"]
    ends = (values[f"{upper}.chassis_end_mm"], values[f"{upper}.axle_end_mm"])
    return max(abs((x1 - x0) * (end[2] - z0) - (z1 - z0) * (end[0] - x0)) / length for end in ends)


def check_loop(lengths: dict[str, float], values: dict, axle: str) -> Finding | None:
    """Fault where two links of kept length cannot join the chassis and axle ends of a set-up.

    A four-bar closes if and only if its longest bar is no longer than the other three together.

    Parameters
    ----------
    lengths : dict
        Kept lengths of the links by path ('rear.lower_link'), m.
    values : dict
        SI values of the set-up.
    """
    lower, upper = f"{axle}.lower_link", f"{axle}.upper_link"
    gap = {}
    for end in ("chassis", "axle"):
        points = values.get(f"{lower}.{end}_end_mm"), values.get(f"{upper}.{end}_end_mm")
        if None in points:
            return None
        gap[end] = hypot(points[0][0] - points[1][0], points[0][2] - points[1][2])
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


def check_doubtful(values: dict) -> list[Finding]:
    """Warnings: values a real vehicle could have but seldom does."""
    doubts = []
    for dotted, value in values.items():
        key = KEYS[dotted]
        if key.kind != "number":
            continue
        number = value / key.factor
        low, high = key.usual
        if not low * (1.0 - 1e-9) <= number <= high * (1.0 + 1e-9):
            hint = unit_hint(key, number)
            tail = hint if hint else "check number and unit"
            why = f"= {with_unit(number, key.unit)} is unusual ({low:g} to {with_unit(high, key.unit)}); {tail}"
            doubts.append(Finding(dotted, why))
    doubts += _doubtful_points(values)
    doubts += _doubtful_proportions(values)
    return doubts


def _doubtful_points(values):
    doubts = []
    wheelbase = values.get("wheelbase_mm")
    for axle in AXLES:
        radius = wheel_centre_height(values, axle)
        if wheelbase is None or radius is None:
            continue
        centre_x = 0.0 if axle == "rear" else wheelbase
        for part in PARTS:
            end = values.get(f"{axle}.{part}.axle_end_mm")
            if end is None:
                continue
            distance = hypot(end[0] - centre_x, end[2] - radius)
            if distance > FAR_POINT_RADII * radius:
                why = (
                    f"is {distance * 1e3:.4g} mm from the {axle} wheel centre at [{centre_x * 1e3:.4g}, "
                    f"{radius * 1e3:.4g}] mm; x counts from the rear wheel centre and z from the floor"
                )
                doubts.append(Finding(f"{axle}.{part}.axle_end_mm", why))
        separation = _link_separation(values, axle)
        if COINCIDENT_LINKS_M <= separation < CLOSE_LINKS_M:
            why = (
                f"stays within {separation * 1e3:.3g} mm of the line of the lower link: link forces become large "
                "and depend on every tenth of a millimetre; read the ends again"
            )
            doubts.append(Finding(f"{axle}.upper_link", why))
        free, length = values.get(f"{axle}.shock.free_length_mm"), rod_length(values, f"{axle}.shock")
        if free is not None and length is not None and free < length:
            why = (
                f"= {free * 1e3:.4g} mm is shorter than the shock as measured, {length * 1e3:.4g} mm: "
                "the spring would pull"
            )
            doubts.append(Finding(f"{axle}.shock.free_length_mm", why))
    return doubts


def _doubtful_proportions(values):
    doubts = []
    wheelbase = values.get("wheelbase_mm")
    if wheelbase is None:
        return doubts
    centre = values.get("body.centre_of_gravity_mm")
    if centre is not None and not 0.0 < centre[0] < wheelbase:
        why = (
            f"is {centre[0] * 1e3:.4g} mm ahead of the rear wheel centre, outside the axles (wheelbase "
            f"{wheelbase * 1e3:.4g} mm); x counts forward from the rear wheel centre"
        )
        doubts.append(Finding("body.centre_of_gravity_mm", why))
    radii = [wheel_centre_height(values, axle) for axle in AXLES]
    if None in radii:
        return doubts
    share = sum(radii) / wheelbase
    if not 0.2 <= share <= 0.9:
        what = "nearly touch" if share > 0.9 else "are tiny"
        why = (
            f"= {wheelbase * 1e3:.4g} mm with tyres of {radii[0] * 1e3:.4g} and {radii[1] * 1e3:.4g} mm radius: "
            f"the wheels {what}; radius, not diameter?"
        )
        doubts.append(Finding("wheelbase_mm", why))
    return doubts


TYRE_PROPERTIES = tuple(name for name in TYRE_NAMES if name not in ("radius_mm", "loaded_radius_mm"))
