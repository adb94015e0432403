"""What is wrong with single values and with what is missing in a vehicle file, as (key, sentence) pairs.

Every check looks at what is there and leaves alone what is missing or already faulty, so that one
reading lists all faults at once.
"""

from collections.abc import Callable, Iterable
from math import isfinite
from typing import NamedTuple

from .key import Key, unit_hint, with_unit
from .keys import AXLES, CORNERS, KEYS, OPEN_TABLES, PARTS, TABLES, needed_in
from .limits import FARTHEST_MM, bounds_of

MOST_LETTERS = 40
"""Of a label: a line of a picture or of a phone's page holds about as many."""


class Finding(NamedTuple):
    """A fault or a warning: the key it is about and a sentence with number, unit and remedy."""

    key: str
    text: str
    guess: str = ""
    """The known key that a misspelt one was answered with."""


def nearest(dotted: str, known: Iterable[str]) -> str:
    """The known dotted key or table most like a misspelt one, or ''."""
    from difflib import SequenceMatcher, get_close_matches

    dotted = dotted.lower()
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


def unknown_key(dotted: str, words: Iterable[str] = (), *, search: bool = True) -> Finding:
    """Fault for a key that no vehicle file has, answered with the nearest that it may have, where one is searched."""
    if not search:
        return Finding(dotted, "is no known key; `noseload new` writes all keys")
    guess = nearest(dotted, [*KEYS, *sorted(TABLES), *OPEN_TABLES, *words])
    if not guess:
        return Finding(dotted, "is no known key, and none is like it; `noseload new` writes all keys")
    unit = KEYS[guess].unit if guess in KEYS else ""
    what = f"{guess} (in {unit})" if unit else guess
    return Finding(dotted, f"is no known key; the nearest known is {what}", guess)


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


def label_fault(label: str) -> str:
    """What is wrong with a label; '' where nothing is."""
    if not label.strip() or not label.isprintable():
        return "must be words in one line; leave it out where the name will do"
    if len(label) > MOST_LETTERS:
        return f"has {len(label)} letters but pictures have room for {MOST_LETTERS}; shorten it"
    return ""


def take_label(path: str, table: dict, faults: list[Finding]) -> str:
    """The label of a table, taken out of it; '' where it has none, or a wrong one: that is a fault under the table's path."""
    given: list[Finding] = []
    label = convert_value(KEYS["label"], table.pop("label"), given) if "label" in table else ""
    faults += [Finding(f"{path}.{fault.key}", fault.text) for fault in given]
    return str(label or "")


def convert_value(key: Key, value: object, faults: list[Finding]) -> object:
    """The value in SI, or None with a fault added."""
    if key.kind == "number":
        return _convert_number(key, value, faults)
    if key.kind == "point":
        return _convert_point(key, value, faults)
    if key.kind == "switch":
        if not isinstance(value, bool):
            faults.append(Finding(key.dotted, f"is {_kind_name(value)} but must be true or false, without quotes"))
            return None
        return value
    if not isinstance(value, str):
        faults.append(Finding(key.dotted, f"is {_kind_name(value)} but must be text in quotes"))
        return None
    if key.choices and value not in key.choices:
        choices = ", ".join(f'"{choice}"' for choice in key.choices)
        faults.append(Finding(key.dotted, f'= "{value}" is none of {choices}; write one of them'))
        return None
    wrong = label_fault(value) if key.name == "label" else ""
    if wrong:
        faults.append(Finding(key.dotted, wrong))
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
            faults.append(Finding(key.dotted, f"is {_kind_name(value)} but must be a number{unit}{hint}; {key.recipe}"))
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
    low, high = bounds_of(key)
    if not low <= number <= high:
        bounds = f"from {with_unit(low, '')} to {with_unit(high, key.unit)}"
        remedy = unit_hint(key, number) or key.recipe
        faults.append(Finding(key.dotted, f"= {with_unit(number, key.unit)} is no model vehicle's: {bounds}; {remedy}"))
        return None
    return number * key.factor


def _convert_point(key: Key, value: object, faults: list[Finding]) -> tuple | None:
    shape = f"[x, z] or [x, y, z] in {key.unit}"
    if not isinstance(value, list) or len(value) not in (2, 3):
        found = f"a list of {len(value)}" if isinstance(value, list) else _kind_name(value)
        faults.append(Finding(key.dotted, f"is {found} but must be a point {shape}; {key.recipe}"))
        return None
    numbers = [number for item in value if (number := _number(item)) is not None]
    if len(numbers) < len(value):
        faults.append(Finding(key.dotted, f"holds something else than finite numbers; write {shape}"))
        return None
    if max(map(abs, numbers)) > FARTHEST_MM:
        far = with_unit(max(numbers, key=abs), key.unit)
        faults.append(Finding(key.dotted, f"holds {far}, which is no model vehicle's: write {shape} from the datum"))
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

    def need(dotted: str, why: str) -> None:
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
        corners = [key for key in CORNERS if key in present]
        for key in CORNERS if corners else ():
            need(key, "one wheel alone says nothing: give all four readings or none")
        if not corners:
            need("weighed.rear_g", "[weighed] takes both axle readings and the height")
            need("weighed.front_g", "[weighed] takes both axle readings and the height")
        need("weighed.centre_of_gravity_height_mm", "[weighed] takes both axle readings and the height")
    else:
        for name in ("mass_g", "centre_of_gravity_mm"):
            need(f"body.{name}", "masses come from [body] and the axle masses, or from [weighed]")
        for axle in AXLES:
            need(f"{axle}.axle_mass_g", "only [weighed] can do without it")
    faults += _check_parts(present, tables, need)
    faults += check_tyre_radii(present)
    return faults


def _check_parts(present: set[str], tables: set[str], need: Callable) -> list:
    """Links and shocks: all six on both axles or none at all (level A)."""
    paths = [f"{axle}.{part}" for axle in AXLES for part in PARTS]
    there = [path for path in paths if path in tables or any(key.startswith(path + ".") for key in present)]
    if not there:
        return []
    faults = []
    for path in paths:
        needed = needed_in(path)
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
                f"and {table}.loaded_radius_mm are both given; keep radius_mm if heights refer to "
                "wheel centres "
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
        why = "is of another kind than the rear tyre's; use radius_mm or loaded_radius_mm for both"
        faults.append(Finding(f"front.tyre.{min(front)}", why))
    return faults
