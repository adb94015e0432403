"""The plan of a trial as an object and as a JSON document of our own making (schema 1)."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from noseload.documents import framed
from noseload.model.file.key import value_at
from noseload.solvers.statistics.orders import KINDS, Design
from noseload.studies.result import Result
from noseload.version import VERSION

from .errors import TrialFileError
from .outcomes import OUTCOMES, Outcome
from .power import Scatter
from .prediction import STANDING, STANDING_IN_GRAMS, Prediction, standing_load_n
from .schedule import Composition
from .sizing import Sizing


@dataclass(frozen=True)
class TrialPlan(Result):
    """The open part of a trial: everything but the order. Attributes as in `PlanOptions`, all decided.

    `seal` is the seal of the document: digests by part and the commitment; empty before sealing.
    """

    picture = "trial.results.plot_power"
    vehicle_name: str
    vehicle_file: str | None
    vehicle_sha256: str | None
    reference: str
    change: str
    outcome: str
    surface: str
    grade_deg: float | None
    repeats: int
    difference: float
    measurable: float
    noticeable: float
    alpha: float
    prediction: Prediction | None
    order_kind: str
    pairs: int
    control_pairs: int
    control_effect: float | None
    control_words: str
    same_pairs: int
    scatter: Scatter
    drift: float
    pass_share: float
    codes: tuple[str, ...]
    stop_rule: str
    exclusion_rule: str
    swap_minutes: float
    sizing: Mapping[str, Any]
    look: int = 1
    earlier_commitment: str | None = None
    seed: int = 1
    version: str = VERSION
    seal: Mapping[str, object] | None = None

    @property
    def kind(self) -> Outcome:
        """The outcome with its unit and words."""
        return OUTCOMES[self.outcome]

    @property
    def composition(self) -> Composition:
        """Sets of orders of all parts."""
        return Composition(Design(self.order_kind, self.pairs), self.control_pairs, self.same_pairs)

    @property
    def installations(self) -> int:
        """Installations of all parts together."""
        return len(self.codes)

    @property
    def commitment(self) -> str:
        """The number posted before run 1; empty before sealing."""
        return str((self.seal or {}).get("commitment", ""))

    @property
    def context(self) -> str:
        """Vehicle, surface and grade, as every verdict names them."""
        if self.grade_deg is not None:
            grade = f"grade {self.grade_deg:g} deg"
        else:
            grade = "grade raised to the end" if self.outcome == "staircase" else "board tilted to the end"
        return f"{self.vehicle_name}, {self.surface}, {grade}"

    def to_dict(self) -> dict[str, Any]:
        """The document, with its seal where there is one."""
        unit = self.kind.unit
        control = None
        if self.control_pairs:
            control = {"words": self.control_words, f"effect_{unit}": self.control_effect}
        body: dict[str, Any] = {
            "status": "sealed",
            "vehicle": {"name": self.vehicle_name, "file": self.vehicle_file, "sha256": self.vehicle_sha256},
            "primary_outcome": {
                "outcome": self.outcome,
                "unit": unit,
                "reference": self.reference,
                "change": self.change,
                "surface": self.surface,
                "grade_deg": self.grade_deg,
                "repeats": self.repeats,
            },
            "prediction": None if self.prediction is None else self.prediction.to_dict(self.kind),
            "thresholds": {
                f"difference_{unit}": self.difference,
                f"measurable_{unit}": self.measurable,
                f"noticeable_{unit}": self.noticeable,
                "alpha": self.alpha,
            },
            "stop_rule": self.stop_rule,
            "exclusion_rule": self.exclusion_rule,
            "design": {
                "order_kind": self.order_kind,
                "pairs": self.pairs,
                "control_pairs": self.control_pairs,
                "same_pairs": self.same_pairs,
                "swap_minutes": self.swap_minutes,
            },
            "control": control,
            "scatter": {
                f"installation_sd_{unit}": self.scatter.installation_sd,
                f"reading_sd_{unit}": self.scatter.reading_sd,
                "installations": self.scatter.installations,
                "words": self.scatter.words,
                f"drift_{unit}_per_installation": self.drift,
                "pass_share": self.pass_share,
            },
            "runs": [{"run": i + 1, "code": code} for i, code in enumerate(self.codes)],
            "sizing": dict(self.sizing),
            "look": self.look,
            "earlier_commitment": self.earlier_commitment,
        }
        if self.seal is not None:
            body["seal"] = dict(self.seal)
        return plan_document(self, "trial plan", body, seed=self.seed)

    @classmethod
    def from_dict(cls, document: Mapping[str, object], *, where: str = "plan.json") -> TrialPlan:
        """A plan from its document.

        Raises
        ------
        TrialFileError
            With every entry that is missing or of the wrong kind.
        """
        read = _Reader(document, where)
        outcome = read.word("primary_outcome.outcome", tuple(OUTCOMES))
        unit = OUTCOMES[outcome].unit if outcome in OUTCOMES else ""
        plan = cls(
            vehicle_name=read.text("vehicle.name"),
            vehicle_file=read.maybe_text("vehicle.file"),
            vehicle_sha256=read.maybe_text("vehicle.sha256"),
            reference=read.text("primary_outcome.reference"),
            change=read.text("primary_outcome.change"),
            outcome=outcome,
            surface=read.text("primary_outcome.surface"),
            grade_deg=read.maybe_number("primary_outcome.grade_deg"),
            repeats=read.whole("primary_outcome.repeats", 1, 20),
            difference=read.number(f"thresholds.difference_{unit}"),
            measurable=read.number(f"thresholds.measurable_{unit}"),
            noticeable=read.number(f"thresholds.noticeable_{unit}"),
            alpha=read.number("thresholds.alpha"),
            prediction=read.prediction(unit),
            order_kind=read.word("design.order_kind", KINDS),
            pairs=read.whole("design.pairs", 1, 1000),
            control_pairs=read.whole("design.control_pairs", 0, 1000),
            control_effect=read.maybe_number(f"control.effect_{unit}"),
            control_words=read.maybe_text("control.words") or "",
            same_pairs=read.whole("design.same_pairs", 0, 1000),
            scatter=Scatter(
                read.number(f"scatter.installation_sd_{unit}"),
                read.number(f"scatter.reading_sd_{unit}"),
                None
                if value_at(read.document, "scatter.installations") is None
                else read.whole("scatter.installations", 0, 10**6),
                read.text("scatter.words"),
            ),
            drift=read.number(f"scatter.drift_{unit}_per_installation"),
            pass_share=read.number("scatter.pass_share"),
            codes=read.codes(),
            stop_rule=read.text("stop_rule"),
            exclusion_rule=read.text("exclusion_rule"),
            swap_minutes=read.number("design.swap_minutes"),
            sizing=read.table("sizing"),
            look=read.whole("look", 1, 1000),
            earlier_commitment=read.maybe_text("earlier_commitment"),
            seed=read.whole("made_by.seed", 0, 2**63),
            version=read.text("made_by.version"),
            seal=read.table("seal"),
        )
        read.finish()
        if plan.composition.installations != plan.installations:
            fault = f"'runs' holds {plan.installations} runs, the design {plan.composition.installations}"
            raise TrialFileError(where, [fault])
        return plan


class _Reader:
    """Entries of a JSON document by dotted name; collects what is wrong with them."""

    def __init__(self, document: Mapping[str, object], where: str) -> None:
        self.document, self.where = document, where
        self.faults: list[str] = []
        if not isinstance(document, Mapping) or document.get("schema") != 1 or document.get("command") != "trial plan":
            raise TrialFileError(where, ["this is not the plan of a trial (schema 1)"])

    def finish(self) -> None:
        if self.faults:
            raise TrialFileError(self.where, self.faults)

    def _fault(self, name: str, value: object, wanted: str) -> None:
        self.faults.append(f"'{name}' is {'missing' if value is None else repr(value)}: it must be {wanted}")

    def text(self, name: str) -> str:
        value = value_at(self.document, name)
        if isinstance(value, str):
            return value
        self._fault(name, value, "text")
        return ""

    def maybe_text(self, name: str) -> str | None:
        return None if value_at(self.document, name) is None else self.text(name)

    def word(self, name: str, allowed: tuple[str, ...]) -> str:
        value = value_at(self.document, name)
        if value not in allowed:
            self._fault(name, value, f"one of {', '.join(allowed)}")
            return allowed[0]
        return str(value)

    def number(self, name: str) -> float:
        value = value_at(self.document, name)
        if isinstance(value, int | float) and not isinstance(value, bool) and math.isfinite(value):
            return float(value)
        self._fault(name, value, "a number")
        return 0.0

    def maybe_number(self, name: str) -> float | None:
        return None if value_at(self.document, name) is None else self.number(name)

    def whole(self, name: str, low: int, high: int) -> int:
        value = value_at(self.document, name)
        if isinstance(value, int) and not isinstance(value, bool) and low <= value <= high:
            return value
        self._fault(name, value, f"a whole number from {low} to {high}")
        return max(1, low)

    def table(self, name: str) -> Mapping[str, object]:
        value = value_at(self.document, name)
        if not isinstance(value, Mapping):
            self._fault(name, value, "a table")
            return {}
        return value

    def prediction(self, unit: str) -> Prediction | None:
        if value_at(self.document, "prediction") is None:
            return None
        return Prediction(
            self.number(f"prediction.difference_{unit}"),
            margin=self.number(f"prediction.margin_{unit}"),
            origin=self.text("prediction.origin"),
            words=self.text("prediction.words"),
            standing_front_load_n=standing_load_n(
                *(self.maybe_number(f"prediction.{key}") for key in (STANDING, STANDING_IN_GRAMS))
            ),
        )

    def codes(self) -> tuple[str, ...]:
        runs = value_at(self.document, "runs")
        rows = runs if isinstance(runs, list) else []
        codes = tuple(str(row.get("code")) for row in rows if isinstance(row, Mapping) and row.get("code"))
        numbers = [row.get("run") for row in rows if isinstance(row, Mapping)]
        if not rows or len(codes) != len(rows) or numbers != list(range(1, len(rows) + 1)):
            self._fault("runs", None if runs is None else "incomplete", "runs numbered from 1, each with its code")
        return codes


def sizing_to_dict(sizing: Sizing, outcome: Outcome) -> dict[str, object]:
    """What the size of a trial can tell, under unit-suffixed keys."""
    unit = outcome.unit
    return {
        "installations": sizing.design.installations,
        "orders": sizing.design.count(),
        "smallest_p": sizing.smallest_p,
        "power": sizing.power,
        "power_smaller": sizing.power_smaller,
        f"smallest_difference_{unit}": sizing.smallest_difference,
        "minutes": sizing.minutes,
        "wanted_installations": None if sizing.wanted_pairs is None else 2 * sizing.wanted_pairs,
        "handbook_installations": None if sizing.handbook_pairs is None else 2 * sizing.handbook_pairs,
        f"scatter_sd_{unit}": sizing.scatter_sd,
        f"scatter_sd_high_{unit}": sizing.scatter_sd_high,
        "wanted_installations_high": None if sizing.wanted_pairs_high is None else 2 * sizing.wanted_pairs_high,
        "curve": [
            {"installations": p.installations, "power": p.power, "smallest_p": p.smallest_p, "minutes": p.minutes}
            for p in sizing.curve
        ],
        "lost": list(sizing.lost),
    }


def plan_document(
    plan: TrialPlan, command: str, body: Mapping[str, Any], *, seed: int, options: Mapping[str, Any] | None = None
) -> dict[str, Any]:
    """A document about a planned trial in the frame that all commands share."""
    file = {"file": plan.vehicle_file, "sha256": plan.vehicle_sha256, "setup": plan.change}
    files = [file] if plan.vehicle_file else []
    return framed(command, body, files=files, options=options, seed=seed, version=plan.version)
