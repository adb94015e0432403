"""What a survey's mount changes in a punch, and what the open division of the pull between geared axles makes of all its changes."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np

from noseload.studies.punch.splits_range import divided, ends_of, on_grades

if TYPE_CHECKING:
    from collections.abc import Sequence

    from noseload.model.vehicle import Vehicle

    from .survey import Survey

PERCENTILES = ("percentile_5", "median", "percentile_95")
TOLD = (*PERCENTILES, "share_lower", "share_measurable", "share_noticed")
"""Of `Survey.distribution`."""


def percentiles(values: np.ndarray) -> dict[str, float | None]:
    """The 5th, 50th and 95th of some changes by `PERCENTILES`; None of no change at all."""
    found = np.percentile(values, (5, 50, 95)).tolist() if values.size else [None] * 3
    return dict(zip(PERCENTILES, found, strict=True))


def over_splits(result: Survey) -> dict[str, Any] | None:
    """Ends over the laws of what is told of the changes, and the share of vehicles whose sign depends on the law; None without laws."""
    changes, lines = result.front_load_changes_n, result.thresholds
    if len(changes) < 2:
        return None
    noticed = lines.noticed_load_n(result.standing_front_n)
    found = [result.distribution(row, lines.measurable_load_n, noticed) for row in changes]
    told = [each for each in found if each["vehicles"]]
    if not told:
        return None
    whole = changes[:, np.isfinite(changes).all(axis=0)]
    signs = (whole < 0.0).any(axis=0) & (whole > 0.0).any(axis=0)
    ends: dict[str, Any] = {key: [min(e[key] for e in told), max(e[key] for e in told)] for key in TOLD}
    return ends | {"share_of_open_sign": float(signs.mean()) if signs.size else None}


def under_laws(vehicles: Sequence[Vehicle], grade_deg: float) -> np.ndarray:
    """Least front load (N) and airborne time (s) of full punches under the vehicles' own and each plausible law.

    Parameters
    ----------
    vehicles : sequence of Vehicle
        First as drawn, then the same raised.
    grade_deg : float

    Returns
    -------
    ndarray, shape (1 + laws, 2, 2, vehicles / 2)
        Law, drawn or raised, number, vehicle; one law alone where one axle is driven.
    """
    from noseload.studies.punch.many import punch_many

    count = len(vehicles)
    cars = [*vehicles, *divided(vehicles, np.array([grade_deg]))]
    # Of all laws in one batch: a step costs nearly the same however many cases there are.
    run = punch_many(on_grades(cars, np.arange(len(cars)), np.zeros(len(cars), dtype=int)), grade_deg=grade_deg)
    numbers = np.stack([run.front_load_min_n, run.front_airborne_s])
    return numbers.reshape(2, -1, 2, count // 2).transpose(1, 2, 0, 3)


def punch_document(result: Survey) -> dict[str, Any]:
    """What the mount changes in a punch, with ends over the laws; no lines of repeatability are held against airborne time."""
    least, aloft = result.punch_front_load_min_n, result.punch_front_airborne_s
    if least is None or aloft is None:
        return {}
    lines = result.thresholds
    loads = least[1] - least[0]
    found = result.distribution(loads, lines.measurable_load_n, lines.noticed_load_n(result.standing_front_n))
    own = _flown(aloft)
    return {
        "punch": {"grade_deg": result.punch_grade_deg, "vehicles_held": int(np.isfinite(aloft).all(axis=0).sum())}
        | {"front_load_min_change_n": found}
        | own
        | {"over_splits": _punch_ends(result, loads, own)}
    }


def _flown(aloft: np.ndarray) -> dict[str, Any]:
    """What is told of times in the air, drawn and raised, shape (2, vehicles)."""
    good = np.isfinite(aloft).all(axis=0)
    lifts = aloft[:, good] > 0.0
    changes = aloft[1, good] - aloft[0, good]
    return {
        "front_airborne_change_s": percentiles(changes),
        "share_lifting_as_drawn": float(lifts[0].mean()) if good.any() else None,
        "share_lifting_raised": float(lifts[1].mean()) if good.any() else None,
    }


def _punch_ends(result: Survey, loads: np.ndarray, own: dict[str, Any]) -> dict[str, Any] | None:
    """Ends over the laws of what is told of punches; None without laws, or where none of them holds a start."""
    laws = result.punches_by_law
    changes = np.vstack([loads[None], laws[:, 1, 0] - laws[:, 0, 0]])
    rows = [row[np.isfinite(row)] for row in changes]
    flown = [each for each in (own, *(_flown(law[:, 1]) for law in laws)) if each["share_lifting_raised"] is not None]
    if not len(laws) or not flown:
        return None
    least = np.array([list(percentiles(row).values()) for row in rows if row.size])
    air = np.array([[each["front_airborne_change_s"][name] for name in PERCENTILES] for each in flown])
    spans = {
        key: dict(zip(PERCENTILES, ends_of(list(table)).T.tolist(), strict=True))
        for key, table in (("front_load_min_change_n", least), ("front_airborne_change_s", air))
    }
    shares = ("share_lifting_as_drawn", "share_lifting_raised")
    return spans | {key: [min(each[key] for each in flown), max(each[key] for each in flown)] for key in shares}
