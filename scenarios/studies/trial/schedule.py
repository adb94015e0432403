"""The order of a trial, drawn from the system's entropy, and the seal over everything decided before run 1."""

from __future__ import annotations

import hashlib
import json
import secrets
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from noseload.solvers.statistics.orders import Design, Source

SALT_BYTES = 16
"""128 bits: without the salt no order can be tried against the commitment."""
CODE_LETTERS = "ACDEFHJKMNPRTUVWXY"
"""Letters that are not taken for one another in handwriting."""
PARTS = ("main", "control", "same")
"""Parts of a trial: change against reference, control against reference, reference against itself."""

SEALED = {
    "vehicle_file": ("vehicle",),
    "prediction": ("prediction",),
    "threshold": ("thresholds",),
    "primary_outcome": ("primary_outcome",),
    "stop_rule": ("stop_rule",),
    "exclusion_rule": ("exclusion_rule",),
}
"""Parts of the plan with their own digest, by name; the rest is sealed as `plan`, and the order as `key`."""


@dataclass(frozen=True)
class Composition:
    """What a trial is made of.

    Attributes
    ----------
    main : Design
    control_pairs, same_pairs : int
        Pairs of the positive control and of A against A; even numbers, so that a straight drift cancels.
    """

    main: Design
    control_pairs: int = 0
    same_pairs: int = 0

    @property
    def installations(self) -> int:
        """Installations of all parts together."""
        return self.main.installations + 2 * (self.control_pairs + self.same_pairs)

    def design(self, part: str) -> Design | None:
        """Design of one part; None where the trial has no such part."""
        if part == "main":
            return self.main
        pairs = self.control_pairs if part == "control" else self.same_pairs
        return Design("balanced_pairs", pairs) if pairs else None


@dataclass(frozen=True)
class TrialKey:
    """The secret of a trial: part and treatment (0 reference, 1 change or control) of every run, in time.

    `holes` is what the installer's sheet calls the reference and the change.
    """

    salt: str
    parts: tuple[str, ...]
    arms: tuple[int, ...]
    holes: tuple[str, str]

    def to_dict(self) -> dict[str, object]:
        """The key file; as long for one order as for any other."""
        rows = zip(self.parts, self.arms, strict=True)
        runs = [{"run": i + 1, "part": part, "arm": arm} for i, (part, arm) in enumerate(rows)]
        holes = {"reference": self.holes[0], "change": self.holes[1]}
        return {"schema": 1, "command": "trial key", "salt": self.salt, "holes": holes, "runs": runs}

    def places(self, part: str) -> np.ndarray:
        """Places (from 0) of the runs of one part."""
        return np.array([i for i, name in enumerate(self.parts) if name == part], dtype=int)

    def order(self, part: str) -> np.ndarray:
        """Order of one part, 0 and 1 in time."""
        return np.array([self.arms[i] for i in self.places(part)], dtype=int)


def draw_key(
    composition: Composition, *, holes: tuple[str, str] | None = None, source: Source | None = None
) -> TrialKey:
    """Draw the order of a trial.

    Blocks of all parts are mixed, so that nobody can tell from the run number which part a run belongs to.

    Parameters
    ----------
    composition : Composition
    holes : tuple of str, optional
        What the installer's sheet calls reference and change; by default `set 1` and `set 2`, which is which
        drawn too.
    source : Source, optional
        Source of chance; the system's entropy by default. Anything else is for tests.
    """
    source = source or secrets.SystemRandom()
    sizes = {
        "main": np.bincount(composition.main.blocks).tolist(),
        "control": [2] * composition.control_pairs,
        "same": [2] * composition.same_pairs,
    }
    blocks = [part for part in PARTS for _ in sizes[part]]
    blocks = [blocks[i] for i in source.sample(range(len(blocks)), len(blocks))]
    waiting = {part: list(d.draw(source)) for part in PARTS if (d := composition.design(part)) is not None}
    parts: list[str] = []
    arms: list[int] = []
    for part in blocks:
        size = sizes[part].pop()
        parts += [part] * size
        arms += [waiting[part].pop(0) for _ in range(size)]
    salt = "".join(f"{source.randrange(256):02x}" for _ in range(SALT_BYTES))
    if holes is None:
        holes = ("set 1", "set 2") if source.randrange(2) else ("set 2", "set 1")
    return TrialKey(salt, tuple(parts), tuple(arms), holes)


def draw_codes(number: int, source: Source | None = None) -> tuple[str, ...]:
    """Different two-letter codes for the runs, drawn with no regard to the order.

    A row of readings must carry the code of its run, so that a row in the wrong place is noticed.
    """
    source = source or secrets.SystemRandom()
    size = len(CODE_LETTERS)
    chosen = source.sample(range(size * size), number)
    return tuple(CODE_LETTERS[c // size] + CODE_LETTERS[c % size] for c in chosen)


def canonical(value: object) -> bytes:
    """One and only one text for a JSON value: sorted keys, no spaces, UTF-8."""
    return json.dumps(value, sort_keys=True, separators=(",", ":"), ensure_ascii=False, allow_nan=False).encode()


def digest_parts(plan: Mapping[str, object], key: Mapping[str, object]) -> dict[str, str]:
    """Salted SHA-256 digests of everything that is sealed, by name.

    Parameters
    ----------
    plan : mapping
        The plan's document; its entry `seal` is left out.
    key : mapping
        The key's document.
    """
    salt = bytes.fromhex(str(key["salt"]))
    named = {entry for entries in SEALED.values() for entry in entries}
    values: dict[str, object] = {name: {e: plan.get(e) for e in entries} for name, entries in SEALED.items()}
    values["plan"] = {k: v for k, v in plan.items() if k not in named and k != "seal"}
    values["key"] = key
    return {n: hashlib.sha256(salt + n.encode() + b"\0" + canonical(v)).hexdigest() for n, v in values.items()}


def find_commitment(digests: Mapping[str, str]) -> str:
    """The number to post before run 1: SHA-256 over all digests, 64 hexadecimal digits."""
    return hashlib.sha256(canonical(dict(digests))).hexdigest()


def seal(plan: Mapping[str, object], key: Mapping[str, object]) -> dict[str, object]:
    """The plan's document with its seal."""
    digests = digest_parts(plan, key)
    return {**plan, "seal": {"parts": digests, "commitment": find_commitment(digests)}}


def broken_parts(plan: Mapping[str, object], key: Mapping[str, object]) -> list[str]:
    """Names of the sealed parts that are not what was sealed; `commitment` where only that number is off."""
    sealed = plan.get("seal")
    sealed = sealed if isinstance(sealed, Mapping) else {}
    claimed = sealed.get("parts")
    claimed = claimed if isinstance(claimed, Mapping) else {}
    digests = digest_parts(plan, key)
    broken = [name for name, value in digests.items() if claimed.get(name) != value]
    if not broken and sealed.get("commitment") != find_commitment(digests):
        broken.append("commitment")
    return broken
