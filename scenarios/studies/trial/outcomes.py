"""What a trial can read off, best first, with the unit, the default thresholds and the words for each."""

from __future__ import annotations

from dataclasses import dataclass

from noseload.model.units import grams_of_force
from noseload.studies.thresholds import Thresholds


@dataclass(frozen=True)
class Outcome:
    """One kind of reading.

    Attributes
    ----------
    key : str
        Name on the command line and in files.
    words : str
        Name in sheets and text.
    unit : str
        Unit as printed, also the suffix of JSON keys.
    how : str
        How it is read, for the scorer's sheet.
    needs_grade : bool
        The board stands at a fixed grade that must be given.
    needs_driver : bool
        Somebody drives, so that the result can be the driver's.
    step : float
        Step of the reading; 0 where it is read as finely as the instrument shows.
    measurable, noticeable : float or None
        Default thresholds; None where it must be given or comes from the vehicle.
    least, most : float
        What a reading can be at all.
    decimals : int
        Decimals printed.
    scatters : tuple of float
        Least and largest scatter that can be believed; outside it another unit was meant.
    typical_scatter : float or None
        From fitting to fitting, for a first guess (common practice, no source).
    """

    key: str
    words: str
    unit: str
    how: str
    needs_grade: bool
    needs_driver: bool
    step: float
    least: float
    most: float
    measurable: float
    noticeable: float | None
    decimals: int
    scatters: tuple[float, float] = (0.0, float("inf"))
    typical_scatter: float | None = None

    def show(self, value: float | None, *, sign: bool = False) -> str:
        """A number with its unit, as text."""
        if value is None:
            return "unknown"
        if value in (float("inf"), float("-inf")):
            return "no limit"
        return f"{value:{'+' if sign else ''}.{self.decimals}f} {self.unit}"


_LINES = Thresholds()
_MEASURABLE_G = grams_of_force(_LINES.measurable_load_n)

OUTCOMES = {
    outcome.key: outcome
    for outcome in (
        Outcome(
            "tip_angle",
            "locked-wheel tip angle",
            "deg",
            "Wheels locked (motor, or spokes tied to their axles; nothing tied or chocked to the board), catch line on. Tilt the board slowly until both front wheels are off; read the angle.",
            needs_grade=False,
            needs_driver=False,
            step=0.0,
            least=0.0,
            most=90.0,
            measurable=_LINES.measurable_deg,
            noticeable=_LINES.noticed_deg,
            decimals=2,
            scatters=(0.01, 10.0),
            typical_scatter=0.4,
        ),
        Outcome(
            "front_scale",
            "front scale at a fixed grade",
            "g",
            "Wheels locked (motor, or spokes tied to their axles; nothing tied or chocked to the board), board at its grade, scale under the front "
            "wheels, its plate on dowels: the rear wheels hold. Read when still.",
            needs_grade=True,
            needs_driver=False,
            step=0.0,
            least=0.0,
            most=20_000.0,
            measurable=_MEASURABLE_G,
            noticeable=None,
            decimals=1,
            scatters=(0.05, 1000.0),
            typical_scatter=8.0,
        ),
        Outcome(
            "staircase",
            "steepest grade passed, half-degree staircase",
            "deg",
            "Start two degrees below the expected grade; after a pass half a degree more, after a fail stop. "
            "Write the steepest grade passed.",
            needs_grade=False,
            needs_driver=True,
            step=0.5,
            least=-90.0,
            most=90.0,
            measurable=_LINES.measurable_deg,
            noticeable=_LINES.noticed_deg,
            decimals=2,
            scatters=(0.01, 10.0),
            typical_scatter=0.6,
        ),
        Outcome(
            "airborne",
            "front axle's time in the air after a throttle punch",
            "ms",
            "Board at its grade, crawl steadily, then full throttle at once. Film from the side; frames with both front wheels off, times "
            "1000, over frames a second.",
            needs_grade=True,
            needs_driver=True,
            step=0.0,
            least=0.0,
            most=5_000.0,
            measurable=1e3 * _LINES.measurable_airborne_s,
            noticeable=1e3 * _LINES.noticed_airborne_s,
            decimals=0,
            scatters=(0.5, 2000.0),
            typical_scatter=25.0,
        ),
        Outcome(
            "pass_fail",
            "pass or fail at a fixed grade",
            "share",
            "Write 1 for a pass, 0 for a fail, as agreed before the first run.",
            needs_grade=True,
            needs_driver=True,
            step=1.0,
            least=0.0,
            most=1.0,
            measurable=0.1,
            noticeable=0.2,
            decimals=2,
        ),
    )
}
"""Outcomes by key, in the order in which they should be preferred."""

NOTICEABLE_SHARE_OF_FRONT_LOAD = _LINES.noticed_share
"""Default threshold for scale readings: this share of the front load standing on the level."""
