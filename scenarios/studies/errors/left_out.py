"""The one table of what the model leaves out: what it is, how far it may go, which key answers it, how to settle it.

Text, JSON, guide and page take words and numbers from here; draws and ends of ranges are made from the same rows.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from math import log, radians
from typing import TYPE_CHECKING, Any

from noseload.model.file.key import value_at
from noseload.model.parameters import ENDS, axle_of
from noseload.model.vehicle import Vehicle

from .friction import SPLINES, shaft_friction, shock_friction

if TYPE_CHECKING:
    import numpy as np


ENVELOPE, ENDS_OF_RANGE = "envelope", "ends of the range"
"""How an entry is worked out: over all states that friction can hold; at the ends of its range."""


@dataclass(frozen=True)
class Part:
    """One number of an entry and where it may lie, SI.

    Attributes
    ----------
    name : str
        Of `left_out_numbers.Doubted`.
    low, high : float
    own : bool
        Whether each setup has a number of its own: where friction happens to stand.
    by_ratio : bool
        Of a size that nobody measured: twice as much is as likely as half as much. Else all places are alike.
    """

    name: str
    low: float
    high: float
    own: bool = False
    by_ratio: bool = False

    def at(self, share: np.ndarray) -> np.ndarray:
        """The number at a share of its range, 0 to 1; even shares are draws."""
        if self.by_ratio:
            return self.low * (self.high / self.low) ** share
        return self.low + (self.high - self.low) * share

    @property
    def mean(self) -> float:
        """Of the draws."""
        if self.by_ratio:
            return (self.high - self.low) / log(self.high / self.low)
        return 0.5 * (self.low + self.high)

    @property
    def deviation(self) -> float:
        """Standard deviation of the draws."""
        if self.by_ratio:
            return (0.5 * (self.high + self.low) * self.mean - self.mean**2) ** 0.5
        return (self.high - self.low) / 12.0**0.5


@dataclass(frozen=True)
class Entry:
    """Something that the model leaves out or takes at a value that nobody measured.

    Attributes
    ----------
    key : str
    words, range_words : str
    parts : tuple of Part
        Empty where no number of the model can carry it.
    answered_by : tuple of str
        File keys; where the file gives all of them the entry is taken out.
    how : str
    recipe : str
        How to settle it at home.
    crawl, punch : bool
        Which of the two it moves.
    punch_parts : tuple of Part
        Numbers that carry it in a punch, where those of a crawl cannot.
    """

    key: str
    words: str
    range_words: str
    parts: tuple[Part, ...]
    answered_by: tuple[str, ...]
    how: str
    recipe: str
    crawl: bool = True
    punch: bool = False
    punch_parts: tuple[Part, ...] = ()

    def in_punch(self) -> Entry:
        """The entry with the numbers that carry it in a punch."""
        return replace(self, parts=self.punch_parts) if self.punch_parts else self

    @property
    def recipe_sentence(self) -> str:
        """The recipe as a sentence."""
        return f"{self.recipe[0].upper()}{self.recipe[1:]}."


CONTACT = Entry(
    "contact",
    "traction moves the tyre's load forward",
    "40 to 100 % of the tyre's lengthwise give, 2 to 10 N/mm an axle",
    (Part("contact_share", 0.4, 1.0), Part("lengthwise_stiffness", 2e3, 1e4, by_ratio=True)),
    ("tyre.lengthwise_stiffness_n_per_mm", "tyre.contact_offset_share"),
    ENDS_OF_RANGE,
    "wheels tied, front tyres on a scale, pull the body back by a string 10 mm above the floor with 0, 5, 10, 15 N: see "
    "`noseload measure contact`",
    punch=True,
)
ROLLING = Entry(
    "rolling",
    "rolling resistance of the tyres",
    "2 to 10 % of the load",
    (Part("rolling_resistance", 0.02, 0.10, by_ratio=True),),
    ("tyre.rolling_resistance",),
    ENDS_OF_RANGE,
    "pinion out, pull it over a level floor by a thread at hub height: grams of pull / grams of weight",
    punch=True,
)
SPLIT = Entry(
    "split",
    "how geared axles share the traction",
    "the front rolls 3 % slower to 10 % faster; grip builds up over 10 to 30 % of slip",
    (Part("speed_mismatch", -0.03, 0.10), Part("slip_scale", 0.1, 0.3, by_ratio=True)),
    ("tyre.rolling_radius_share", "tyre.slip_stiffness"),
    ENDS_OF_RANGE,
    "roll each axle alone ten turns under half, standing and double load: the rolling radii give the mismatch",
    punch=True,
)
SLIP_LOAD = Entry(
    "slip_load",
    "slip stiffness that grows less than the load",
    "as load to the power 0.6 to 1",
    (Part("slip_softness", 0.0, 0.4),),
    ("tyre.slip_stiffness_exponent",),
    ENDS_OF_RANGE,
    "ten turns of crawl on the level, not pulled and pulled back by 5 and 10 N, all again with 1.5 kg above the wheels: see "
    "`noseload measure contact`",
    punch=True,
)
SPRINGS = Entry(
    "springs",
    "springs that get stiffer or softer on their way",
    "the rate changes by up to 20 % over 20 mm, either way",
    (Part("spring_progression", -10.0, 10.0),),
    (),
    ENDS_OF_RANGE,
    "press a spring on the scale at three lengths from standing to the stop: equal steps must read equal grams",
    punch=True,
    # The mean rate over the 20 mm that a punch moves a shock.
    punch_parts=(Part("spring_factor", 0.9, 1.1),),
)
TYRES = Entry(
    "tyres",
    "tyres that get stiffer the deeper they are pressed",
    "from straight to load as depth to the power 1.5 (12 % stiffer for each millimetre)",
    (Part("tyre_progression", 0.0, 120.0),),
    (),
    ENDS_OF_RANGE,
    "suspension blocked, weights of 0.5, 1, 2 kg above an axle: millimetres over kilograms",
    punch=True,
    # The mean rate over the 2 mm by which a punch presses the rear tyres further in.
    punch_parts=(Part("tyre_factor", 1.0, 1.12),),
)
GIVE = Entry(
    "give",
    "give of links and their mounts",
    "2 to 20 micrometres for each newton in a pair of links",
    (Part("link_give", 2e-6, 2e-5, by_ratio=True),),
    (),
    ENDS_OF_RANGE,
    "wheels tied, pull the body forward and back by 10 N: a ruler from axle to chassis",
)
PLAY = Entry(
    "play",
    "play of the link ends",
    "0.1 to 0.4 mm in each link, taken up where a link turns from pushed to pulled",
    (Part("link_play", 1e-4, 4e-4, by_ratio=True),),
    (),
    ENDS_OF_RANGE,
    "twist an axle to and fro between finger and thumb: millimetres at the tyre before a spring moves",
)
BOARD = Entry(
    "board",
    "angle of the board read by a phone",
    "0.3 deg to either side",
    (Part("grade_shift", -radians(0.3), radians(0.3)),),
    (),
    ENDS_OF_RANGE,
    "turn the phone round and read again: half of the difference is its error",
    punch=True,
)
LEDGES = Entry(
    "ledges",
    "ledges and waves of the board under an axle",
    "1 mm up or down",
    (Part("ledge", -1e-3, 1e-3),),
    (),
    ENDS_OF_RANGE,
    "a straight edge along the board, and a sheet of paper under it",
    punch=True,
)
SURGE = Entry(
    "surge",
    "a crawl that is not quite steady",
    "0.1 m/s2 faster or slower at the moment of reading",
    (Part("surge", -0.1, 0.1),),
    (),
    ENDS_OF_RANGE,
    "film it beside a ruler: equal frames, equal millimetres; read a scale with the wheels stopped",
)
TEMPERATURE = Entry(
    "temperature",
    "shock oil, cold or warm",
    "damping times 0.6 to 1.6",
    (Part("damping_factor", 0.6, 1.6, by_ratio=True),),
    (),
    ENDS_OF_RANGE,
    "leave it an hour where it will run; measure the damping there",
    crawl=False,
    punch=True,
)
PLAIN = (CONTACT, ROLLING, SPLIT, SLIP_LOAD, SPRINGS, TYRES, GIVE, PLAY, BOARD, LEDGES, SURGE, TEMPERATURE)
"""Entries that are the same for every vehicle; friction has the size that the vehicle gives it."""


def friction_entries(vehicle: Vehicle, *, punch: bool = False) -> tuple[Entry, ...]:
    """Dry friction of shocks and splines of a vehicle with links: its size from the file, its state open.

    A punch shakes them loose: there the shocks rub against their motion, by up to that size.
    """
    found = []
    sizes = [shock_friction(vehicle, end) for end in ENDS]
    given = all(axle_of(vehicle, end).shock.friction is not None for end in ENDS)
    if any(sizes) and not (punch and given):
        keys = [f"{end}.shock.friction_n" for end in ENDS]
        known = "as the file gives it" if given else "what holds half of the gap of ride heights"
        states = tuple(Part(f"{end}_shock_state", -1.0, 1.0, own=True) for end in ENDS)
        states = (Part("shock_share", 0.0, 1.0),) if punch else states
        found.append(
            Entry(
                "shocks",
                "dry friction of the shocks",
                f"{sizes[0]:.2g} N behind, {sizes[1]:.2g} N in front, to either side ({known})",
                states,
                (),
                ENVELOPE,
                "free the shocks and links until pushed down and lifted up it stands alike; give ride_height_gap_mm or "
                f"{keys[0]}; drive up the same way before each reading",
                punch=True,
            )
        )
    sliding = [shaft_friction(vehicle, end) for end in ENDS]
    if any(sliding):
        found.append(_splines(vehicle))
    return tuple(found)


def _splines(vehicle: Vehicle) -> Entry:
    states = [Part(f"{end}_shaft_state", -1.0, 1.0, own=True) for end in ENDS]
    given = all(axle_of(vehicle, end).shaft_friction is not None for end in ENDS)
    if given:
        words = "friction over radius as the file gives it, to either side"
    else:
        words = f"friction over radius {SPLINES[1]:g} to {SPLINES[2]:g} 1/mm, to either side"
        states.append(Part("shaft_friction", 1e3 * SPLINES[1], 1e3 * SPLINES[2], by_ratio=True))
    return Entry(
        "splines",
        "splines of the drive shafts under torque",
        words,
        tuple(states),
        (),
        ENVELOPE,
        "hold the rear wheels, hold a steady torque, push down and lift: the gap of ride heights again, less that without "
        "torque, gives rear.drive_shaft.friction_per_mm; grease them; drive up the same way before each reading",
        punch=True,
        # A punch shakes them loose: they rub against the shocks' motion, by up to what the torque of its start lets them hold.
        punch_parts=(Part("shaft_share", 0.0, 1.0), *states[len(ENDS) :]),
    )


def is_answered(vehicle: Vehicle, entry: Entry) -> bool:
    """Whether the file gives every key that answers an entry; a tyre key of both axles counts too."""
    return bool(entry.answered_by) and all(_given(vehicle.document, key) for key in entry.answered_by)


def _given(document: dict[str, Any], dotted: str) -> bool:
    if value_at(document, dotted) is not None:
        return True
    both = [value_at(document, f"{end}.{dotted}") for end in ENDS]
    return dotted.startswith("tyre.") and None not in both


def open_entries(vehicle: Vehicle, *, punch: bool = False) -> tuple[Entry, ...]:
    """Entries that a vehicle's file leaves open.

    Parameters
    ----------
    vehicle : Vehicle
        Of level A only what a rigid vehicle can carry.
    punch : bool
        Those that a punch can carry, in place of a crawl's.
    """
    rows = PLAIN if vehicle.level == "A" else (*PLAIN, *friction_entries(vehicle, punch=punch))
    if vehicle.level == "A":
        rows = tuple(entry for entry in rows if entry.key in RIGID)
    if vehicle.drive.driven_axles != "both":
        rows = tuple(entry for entry in rows if entry not in (SPLIT, SLIP_LOAD))
    rows = tuple(entry for entry in rows if (entry.punch if punch else entry.crawl))
    rows = tuple(entry for entry in rows if not is_answered(vehicle, entry))
    return tuple(entry.in_punch() for entry in rows) if punch else rows


RIGID = ("contact", "rolling", "board", "ledges", "surge")
"""Entries that move a vehicle without springs."""
