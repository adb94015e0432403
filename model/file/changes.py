"""Whole changes to a vehicle, `[changes.NAME]`: what each key may say, read with every fault at once.

What a change does to masses, points and springs is in `noseload.model.file.apply_changes`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from noseload.model.names import Named
from noseload.model.variation import document_of
from noseload.model.vehicle import Vehicle

from .checks import Finding, nearest, take_label
from .key import dotted_values
from .keys import AXLES, PARTS
from .ready_made import READY_MADE, lines_of

PLACES = ("body", "rear_axle", "front_axle", "rear_wheels", "front_wheels")
ENDS = tuple(f"{axle}.{part}.{side}_end" for axle in AXLES for part in PARTS for side in ("chassis", "axle"))
NUMBERS = {
    "add_g": "grams; negative takes a mass away",
    "move_g": "grams of the part that moves",
    "radius_mm": "mm from the wheel axis, of a mass in the wheels (default: 0.75 of the tyre radius)",
    "wheelbase_by_mm": "mm longer; the front axle goes forward with its link and shock ends, links made to fit",
    "ride_height_by_mm": "mm higher over both axles, by the spring collars",
    "rear_ride_height_by_mm": "mm higher over the rear axle, by the spring collars",
    "front_ride_height_by_mm": "mm higher over the front axle, by the spring collars",
    "rear_collar_by_mm": "mm that the spring collar goes down (turns times thread pitch)",
    "front_collar_by_mm": "mm that the spring collar goes down (turns times thread pitch)",
    "rear_free_length_mm": "mm between the shock's bolts with the spring just loose",
    "front_free_length_mm": "mm between the shock's bolts with the spring just loose",
    "rear_droop_travel_mm": "mm that the shock can lengthen from standing",
    "front_droop_travel_mm": "mm that the shock can lengthen from standing",
    "rear_spring_by_percent": "percent stiffer (negative: softer), the collars set to the same height",
    "front_spring_by_percent": "percent stiffer (negative: softer), the collars set to the same height",
    "tyres_by_percent": "percent stiffer (negative: softer), both axles",
    "rear_strap_mm": "mm that a limit strap lets the rear shock lengthen from standing",
    "front_strap_mm": "mm that a limit strap lets the front shock lengthen from standing",
}
"""Keys that take one number, and what the number means."""
POINTS = ("place_mm", "from_mm", "to_mm")
CHOICES = {"at": PLACES, "from": PLACES, "to": PLACES, "link_lengths": ("kept", "fitted")}
KNOWN = (*NUMBERS, *POINTS, *CHOICES, "move_ends_by_mm", "ready_made", "label")
ACTIONS = tuple(key for key in NUMBERS if key != "radius_mm") + ("move_ends_by_mm", "ready_made")
PERCENT = tuple(key for key in NUMBERS if key.endswith("_percent"))
MOST_PERCENT = 90.0
"""Softer than by this is no spring any more."""
POSITIVE = ("move_g", "rear_free_length_mm", "front_free_length_mm")
NOT_NEGATIVE = ("radius_mm", "rear_droop_travel_mm", "front_droop_travel_mm", "rear_strap_mm", "front_strap_mm")


@dataclass(frozen=True)
class Change:
    """One change, in SI: masses kg, lengths m, points (x, z) from the datum.

    Attributes
    ----------
    name : str
    numbers : dict of str to float
        By file key.
    points : dict of str to (float, float)
    words : dict of str to str
        `at`, `from`, `to`, `link_lengths`.
    ends : dict of str to (float, float)
        How far each link or shock end moves in the side view.
    lefts : dict of str to float
        y of a point, or how far left an end moves, for those given with three numbers: m, by the same keys.
    ready_made : tuple of str
        Ready-made changes made together.
    label : str
        Words in place of those made from the numbers.
    """

    name: str
    numbers: dict = field(default_factory=dict)
    points: dict = field(default_factory=dict)
    words: dict = field(default_factory=dict)
    ends: dict = field(default_factory=dict)
    lefts: dict = field(default_factory=dict)
    ready_made: tuple[str, ...] = ()
    label: str = ""

    def describe(self) -> str:
        """What is changed, in one line."""
        if self.label:
            return self.label
        said = [READY_MADE[name].label for name in self.ready_made]
        for key, value in self.numbers.items():
            said.append(self._number_words(key, value))
        for end, (dx, dz) in self.ends.items():
            moves = [
                f"{abs(d) * 1e3:g} mm {plus if d > 0 else minus}"
                for d, plus, minus in (
                    (dx, "forward", "back"),
                    (self.lefts.get(end, 0.0), "outward", "inward"),
                    (dz, "up", "down"),
                )
                if d
            ]
            said.append(f"{end.replace('.', ' ').replace('_', ' ')} {_listed(moves) or 'where it is'}")
        return "; ".join(text for text in said if text)

    def _number_words(self, key: str, value: float) -> str:
        size = f"{value * 1e3:+g}"
        if key == "radius_mm":
            return ""
        if key in PERCENT:
            return f"{key.removesuffix('_by_percent').replace('_', ' ')} {1e2 * value:+g} %"
        if key == "add_g":
            place = self.words["at"]
            word = "in" if place.endswith("wheels") else "on"
            return f"{size} g {word} {self._where(place, 'place_mm')}"
        if key == "move_g":
            start = self._where(self.words["from"], "from_mm")
            return f"{size[1:]} g from {start} to {self._where(self.words['to'], 'to_mm')}"
        words = key.removesuffix("_mm").removesuffix("_by").replace("_", " ")
        return f"{words} {size if key.endswith('_by_mm') else size[1:]} mm"

    def _where(self, place: str, key: str) -> str:
        point = self.points.get(key)
        if point is None:
            return f"the {place.replace('_', ' ')}"
        left = self.lefts.get(key, 0.0)
        numbers = (point[0], left, point[1]) if left else point
        return f"the {place.replace('_', ' ')} at [{', '.join(f'{1e3 * number:g}' for number in numbers)}]"


def _listed(words: list[str]) -> str:
    return " and ".join(filter(None, (", ".join(words[:-1]), *words[-1:])))


def read_changes(table: object, faults: list[Finding]) -> list[Change]:
    """The changes of a file; faults are added to the list, each with its key."""
    if not isinstance(table, Mapping):
        faults.append(Finding("changes", "must hold tables: a line [changes.NAME] and its keys below it"))
        return []
    found = []
    for name, content in table.items():
        if not isinstance(content, Mapping):
            faults.append(Finding(f"changes.{name}", f"must be a table: a line [changes.{name}]"))
        elif not name.strip() or not name.isprintable():
            faults.append(Finding("changes", f"holds the name {name!r}; use letters, digits, - and _"))
        else:
            found.append(_read_change(name, content, faults))
    return found


def changes_of(vehicle: Vehicle) -> list[Change]:
    """The changes of the file a vehicle was read from (they were checked at reading)."""
    return read_changes(document_of(vehicle).get("changes", {}), [])


def ready_made_change(vehicle: Vehicle, name: str) -> Change | None:
    """A ready-made change for a vehicle; None where the vehicle has no such part or no room for it."""
    lines, words = lines_of(vehicle, name), READY_MADE[name].label
    return None if lines is None else replace(_read_change(name, lines, []), name=Named(name, words), label=words)


def ready_made_changes(vehicle: Vehicle) -> list[Change]:
    """Every ready-made change that a vehicle allows, practical ones first."""
    found = (ready_made_change(vehicle, name) for name in READY_MADE)
    return [change for change in found if change is not None]


def _read_change(name: str, content: Any, faults: list) -> Change:
    path = f"changes.{name}"
    content = dict(content)
    change = Change(Named(name, take_label(path, content, faults)))
    if "ready_made" in content:
        change = replace(change, ready_made=_read_ready_made(path, content, faults))
        content = {"ready_made": content["ready_made"]}
    for key, value in content.items():
        full = f"{path}.{key}"
        if key == "ready_made":
            continue
        if key in NUMBERS:
            _read_number(full, key, value, change, faults)
        elif key in POINTS:
            point = _point(value)
            if point is None:
                faults.append(Finding(full, "must be a point [x, z] or [x, y, z] in mm from the datum"))
            else:
                change.points[key] = point
                if len(value) == 3:
                    change.lefts[key] = 1e-3 * value[1]
        elif key in CHOICES:
            if value in CHOICES[key]:
                change.words[key] = value
            else:
                faults.append(Finding(full, f"= {value!r} must be one of {', '.join(CHOICES[key])}"))
        elif key == "move_ends_by_mm":
            _read_ends(full, value, change, faults)
        else:
            guess = nearest(key, KNOWN)
            hint = f"the nearest known is {guess}" if guess else f"a change knows {', '.join(KNOWN)}"
            faults.append(Finding(full, f"unknown key; {hint}"))
    _check_whole(path, content, faults)
    return change


def _read_ready_made(path: str, content: dict[str, Any], faults: list) -> tuple[str, ...]:
    """Names of the ready-made changes that one change is made of."""
    names = content["ready_made"]
    names = [names] if isinstance(names, str) else names
    full = f"{path}.ready_made"
    if not isinstance(names, list) or not names or not all(isinstance(name, str) for name in names):
        faults.append(Finding(full, f'must be a name such as "{next(iter(READY_MADE))}", or a list of such names'))
        return ()
    for name in names:
        if name not in READY_MADE:
            guess = nearest(name, READY_MADE)
            hint = f"the nearest is {guess}" if guess else "`noseload rank --all` lists them"
            faults.append(Finding(full, f"there is no ready-made change {name!r}; {hint}"))
    faults += [
        Finding(f"{path}.{key}", "does not go with ready_made; write a change of its own for it")
        for key in content
        if key != "ready_made"
    ]
    return tuple(name for name in names if name in READY_MADE)


def _is_number(value: float) -> bool:
    return isinstance(value, int | float) and not isinstance(value, bool) and abs(value) < 1e9


def _read_number(full: str, key: str, value: float, change: Change, faults: list) -> None:
    if not _is_number(value):
        faults.append(Finding(full, f"must be a number: {NUMBERS[key]}"))
    elif (key in POSITIVE and value <= 0) or (key in NOT_NEGATIVE and value < 0):
        bound = "above 0" if key in POSITIVE else "0 or more"
        faults.append(Finding(full, f"= {value:g} must be {bound}: {NUMBERS[key]}"))
    elif key in PERCENT and value < -MOST_PERCENT:
        faults.append(Finding(full, f"= {value:g} must be {-MOST_PERCENT:g} or more: {NUMBERS[key]}"))
    else:
        change.numbers[key] = (1e-2 if key in PERCENT else 1e-3) * value


def _point(value: float | list[float]) -> tuple | None:
    if isinstance(value, list) and len(value) in (2, 3) and all(map(_is_number, value)):
        return 1e-3 * value[0], 1e-3 * value[-1]
    return None


def _read_ends(full: str, value: list[float] | dict[str, Any], change: Change, faults: list) -> None:
    if not isinstance(value, Mapping) or not value:
        faults.append(
            Finding(full, 'must be a table such as { "rear.upper_link.axle_end" = [0, 5] }, mm forward and up')
        )
        return
    flat = dotted_values(value)
    for end, shift in flat.items():
        point = _point(shift)
        if end not in ENDS:
            faults.append(
                Finding(f"{full}.{end}", f"is no link or shock end; the nearest is {nearest(end, ENDS) or ENDS[0]}")
            )
        elif point is None:
            faults.append(Finding(f"{full}.{end}", "must be [mm forward, mm up] or [mm forward, mm outward, mm up]"))
        else:
            change.ends[end] = point
            if len(shift) == 3:
                change.lefts[end] = 1e-3 * shift[1]


def _check_whole(path: str, content: dict[str, Any], faults: list) -> None:
    """What the keys of one change need of each other."""
    if not any(key in content for key in ACTIONS):
        faults.append(Finding(path, f"changes nothing; give one of {', '.join(ACTIONS)}"))
    for action, place, point in (("add_g", "at", "place_mm"), ("move_g", "from", "from_mm"), ("move_g", "to", "to_mm")):
        if action not in content:
            faults += [Finding(f"{path}.{key}", f"stands without {action}") for key in (place, point) if key in content]
            continue
        if place not in content:
            faults.append(Finding(f"{path}.{place}", f"is missing: {action} needs it, one of {', '.join(PLACES)}"))
        elif content[place] in PLACES:
            inside = str(content[place]).endswith("wheels")
            if inside and point in content:
                faults.append(Finding(f"{path}.{point}", "does not go with wheels, which turn; use radius_mm"))
            if not inside and point not in content:
                faults.append(Finding(f"{path}.{point}", f"is missing: where on the {content[place]}, [x, z] in mm"))
    heights = [key for key in content if "ride_height" in key]
    springs = [key for key in content if "collar" in key or "free_length" in key]
    reset = heights + [key for key in content if key.endswith("_spring_by_percent")]
    if reset and springs:
        why = f"does not go with {springs[0]}: a ride height is reached by the collars; give one of the two"
        faults.append(Finding(f"{path}.{reset[0]}", why))
    if "ride_height_by_mm" in content and len(heights) > 1:
        faults.append(Finding(f"{path}.{heights[1]}", "does not go with ride_height_by_mm, which sets both ends"))
