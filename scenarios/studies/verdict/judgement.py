"""A difference with its interval against what can be measured and what would be noticed: yes, no or undecided.

An interval speaks before a word: a word is used only where the whole interval agrees with it.
"""

from dataclasses import dataclass, replace

from .intervals import from_to

LOPSIDED = 0.15
"""An interval whose sides differ by more than this share of its half-width is told as from ... to."""


@dataclass(frozen=True)
class Threshold:
    """What one kind of difference is held against; both sizes in its own unit.

    Attributes
    ----------
    measurable, noticed : float
        Smallest size that can be measured here, and that would be noticed.
    given : bool
        Whether the user set what would be noticed; else it is the default.
    """

    measurable: float
    noticed: float
    given: bool = False

    @property
    def words(self) -> str:
        """What the size that would be noticed is called."""
        return "what you set as noticeable" if self.given else "the default threshold of noticing"


@dataclass(frozen=True)
class Judgement:
    """A difference against a threshold.

    Attributes
    ----------
    value : float
    threshold : Threshold
    low, high : float or None
        Ends of the 95 % interval; None where errors were not asked for: the number then stands for itself.
    """

    value: float
    threshold: Threshold
    low: float | None = None
    high: float | None = None

    @property
    def span(self) -> tuple[float, float]:
        """Ends of the interval, the value itself included."""
        if self.low is None or self.high is None:
            return self.value, self.value
        return min(self.low, self.value), max(self.high, self.value)

    def beyond(self, size: float) -> bool | None:
        """Whether the difference is at least so large, whichever way: None where the interval does not say."""
        low, high = self.span
        if low >= size or high <= -size:
            return True
        return False if -size < low and high < size else None

    def share_beyond(self, size: float) -> float:
        """Part of the interval's length that is at least so large, 0 to 1."""
        low, high = self.span
        if high == low:
            return float(abs(low) >= size)
        inside = max(0.0, min(high, size) - max(low, -size))
        return 1.0 - inside / (high - low)

    @property
    def measured(self) -> bool | None:
        """Whether it can be measured here; None: undecided."""
        return self.beyond(self.threshold.measurable)

    @property
    def noticed(self) -> bool | None:
        """Whether it would be noticed; None: undecided."""
        return self.beyond(self.threshold.noticed)

    @property
    def direction(self) -> int | None:
        """1 or -1; None where the interval holds both signs."""
        low, high = self.span
        return 1 if low > 0.0 else -1 if high < 0.0 else None

    @property
    def gains(self) -> bool | None:
        """Whether it is a gain that would be noticed: the question that every setup is asked; None: undecided."""
        low, high = self.span
        if low >= self.threshold.noticed:
            return True
        return False if high < self.threshold.noticed else None

    @property
    def answer(self) -> str:
        """'yes', 'no' or 'undecided'."""
        return {True: "yes", False: "no", None: "undecided"}[self.gains]

    def in_unit(self, factor: float) -> "Judgement":
        """The same in another unit, or with the other sign where the factor is negative."""
        sizes = self.threshold
        scaled = replace(sizes, measurable=sizes.measurable * abs(factor), noticed=sizes.noticed * abs(factor))
        ends = [None if end is None else end * factor for end in (self.low, self.high)]
        low, high = ends if factor >= 0.0 else ends[::-1]
        return Judgement(self.value * factor, scaled, low, high)

    def size_words(self) -> str:
        """How it stands against both sizes, in the words of every verdict."""
        threshold = self.threshold
        seen, felt = self.measured, self.noticed
        large = f"{self._percent(threshold.measurable)} % of its interval is large enough"
        above = f"{self._percent(threshold.noticed)} % of its interval lies above {threshold.words}"
        if seen is None:
            end = {True: f"above {threshold.words}", False: f"below {threshold.words}", None: above}[felt]
            return f"undecided whether it can be measured here: {large}, {end}"
        if seen:
            return "measurable, " + {
                True: f"above {threshold.words}",
                False: f"below {threshold.words}",
                None: f"undecided whether it would be noticed: {above}",
            }.get(felt, "")
        return "too small to be measured here" + {
            True: f", though above {threshold.words}",
            False: "",
            None: f"; {above}",
        }.get(felt, "")

    def short_words(self) -> str:
        """The same in a few words, for a picture or a sentence."""
        if self.measured is None:
            return "undecided whether measurable"
        if not self.measured:
            return "too small to be measured"
        return {
            True: "noticeable",
            False: "measurable, not noticeable",
            None: "measurable, undecided whether noticeable",
        }[self.noticed]

    def _percent(self, size: float) -> int:
        """Share of the interval in percent; what is undecided is never told as all or nothing."""
        return min(99, max(1, round(100.0 * self.share_beyond(size))))

    def interval_words(self, form: str, unit: str) -> str:
        """' +- 7.6 g' or ' g (95 % interval from -28.6 to -13.5 g)', to stand behind the number; the bare unit without one."""
        if self.low is None or self.high is None:
            return f" {unit}"
        low, high = self.span
        half = 0.5 * (high - low)
        if abs((high - self.value) - (self.value - low)) <= LOPSIDED * half:
            return f" +- {half:{form}} {unit}"
        return f" {unit} (95 % interval from {from_to(low, high, int(form.strip('+z.f')), sign=True)} {unit})"
