"""What a climb comes to: one row of it, and the grades at which it ends."""

from dataclasses import dataclass, field
from typing import Any

import numpy as np

from noseload.model.crawl import budget_parts
from noseload.model.units import grams_of_force
from noseload.studies.result import Result, row_document


@dataclass(frozen=True)
class LimitWords:
    """One limit of a climb in words.

    Attributes
    ----------
    name : str
        As in `Limits.first`; its grade stands under `NAME_grade_deg`.
    short, long : str
        For a table, and with what happens there.
    seldom : bool
        Told only where it is met.
    does : str
        What the vehicle does there: 'tips over'.
    """

    name: str
    short: str
    long: str
    does: str
    seldom: bool = False

    @property
    def key(self) -> str:
        """Key of its grade."""
        return f"{self.name}_grade_deg"


LIMIT_TABLE = (
    LimitWords("tip_over", "tip-over", "tip-over (the front axle carries nothing)", "tips over"),
    LimitWords("grip", "grip", "grip (the driven axles slide)", "slides"),
    LimitWords("torque", "torque", "torque (the motor stalls)", "stalls"),
    LimitWords(
        "hold", "full throttle to hold", "full throttle needed to keep crawling", "needs full throttle to crawl"
    ),
    LimitWords("fold", "fold", "fold (it snaps to another attitude)", "snaps to another attitude"),
    LimitWords(
        "fold_downhill",
        "fold nose down",
        "nose down: fold (it snaps to another attitude)",
        "snaps to another attitude",
        True,
    ),
    LimitWords("tip_over_downhill", "tip-over nose down", "nose down: the rear axle carries nothing", "tips nose down"),
)
"""Every limit, once; texts, tables and verdicts read it here."""
LIMIT_WORDS = tuple((limit.key, limit.short) for limit in LIMIT_TABLE)
"""Keys of `Limits` in a few words."""


@dataclass(frozen=True)
class Limits:
    """Grades (deg) at which a climb ends, None where not reached before tip-over.

    `tip_over_downhill_grade_deg` and `fold_downhill_grade_deg` are negative: nose down the slope, the rear axle unloads, or it
    snaps to another attitude before.
    """

    tip_over_grade_deg: float | None
    grip_grade_deg: float | None
    torque_grade_deg: float | None
    hold_grade_deg: float | None
    fold_grade_deg: float | None
    folds: int
    steepest_equilibrium_deg: float | None
    tip_over_downhill_grade_deg: float | None
    fold_downhill_grade_deg: float | None
    first: str | None

    @property
    def first_grade_deg(self) -> float | None:
        """Where the climb ends: the grade of the first limit; the steepest equilibrium that was found where none is met."""
        return self.steepest_equilibrium_deg if self.first is None else getattr(self, f"{self.first}_grade_deg")

    @property
    def first_does(self) -> str:
        """What the vehicle does at the first limit: 'tips over', 'slides'."""
        return next((limit.does for limit in LIMIT_TABLE if limit.name == self.first), "has no equilibrium known")

    def to_dict(self) -> dict[str, Any]:
        """Keys as in the JSON document."""
        return dict(self.__dict__)


@dataclass(frozen=True)
class Creep(Result):
    """Creep at one grade; numbers are None where there is no such equilibrium.

    Attributes
    ----------
    setup : str
    grade_deg : float
    status : str
        'ok', 'unstable' (in balance, numbers given), 'beyond_grip', 'beyond_torque', 'beyond_tip_over', 'beyond_fold' or
        'no_solution'.
    message : str
        A sentence for people where the status is not 'ok'.
    traction_model : str
        'zero_speed_limit', or 'steady_at_creep_speed' where geared axles turn at different speeds.
    stable : bool or None
        Whether a small push is undone: the tangent of the solved equations says so.
    budget : dict
        Parts of the front load, N; they add up to `front_load_n`.
    """

    picture = "climb.summary.plot_creep_budget"
    setup: str
    grade_deg: float
    status: str
    message: str = ""
    traction_model: str = "zero_speed_limit"
    rear_load_n: float | None = None
    front_load_n: float | None = None
    rear_traction_n: float | None = None
    front_traction_n: float | None = None
    nose_up_pitch_deg: float | None = None
    rear_lower_link_n: float | None = None
    rear_upper_link_n: float | None = None
    front_lower_link_n: float | None = None
    front_upper_link_n: float | None = None
    rear_shock_travel_mm: float | None = None
    front_shock_travel_mm: float | None = None
    grip_needed: float | None = None
    wheel_torque_n_mm: float | None = None
    stable: bool | None = None
    budget: dict = field(default_factory=lambda: dict.fromkeys(budget_parts.keys()))
    state: np.ndarray | None = field(default=None, repr=False, compare=False)
    """Unknowns of `noseload.model.crawl.equilibrium`, SI."""

    def to_dict(self) -> dict[str, Any]:
        """Plain numbers under the keys of the JSON document."""
        return row_document(self)

    def nothing_to_draw(self) -> str:
        """Why there is no picture, '' where there is one."""
        return self.message or self.status if self.front_load_n is None else ""

    def __repr__(self) -> str:
        if self.front_load_n is None:
            return f"Creep({self.setup}, {self.grade_deg:g} deg: {self.status})"
        grams = grams_of_force(self.front_load_n)
        return (
            f"Creep({self.setup}, {self.grade_deg:g} deg: front {grams:.0f} g = {self.front_load_n:.3f} N, "
            f"nose up {self.nose_up_pitch_deg:.2f} deg, {self.status})"
        )
