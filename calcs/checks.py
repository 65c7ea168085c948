"""The vocabulary of proof: where a figure comes from, what it allows, and whether a measure meets it."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from enum import StrEnum
from typing import Any


class SourceKind(StrEnum):
    """What sort of authority stands behind a figure."""

    LISTING = "listing"
    CODE = "code"
    STANDARD = "standard"
    COMMON_PRACTICE = "common practice"


class Provenance(StrEnum):
    """How the figure reached this program."""

    READ = "read"
    SECOND_HAND = "second-hand"
    MEMORY = "memory"


class Outcome(StrEnum):
    """Verdict of a check. Unknown is never treated as a pass."""

    PASS = "pass"  # noqa: S105
    FAIL = "fail"
    UNKNOWN = "unknown"


@dataclass(frozen=True)
class Source:
    """Where a figure comes from."""

    kind: SourceKind
    reference: str
    edition: str = ""
    provenance: Provenance = Provenance.READ
    #: Key of the rule in its rule book, `table#row` for a table's row; "" for what is no rule of a book.
    rule: str = ""

    def to_dict(self) -> dict[str, Any]:
        """Return plain JSON types."""
        return {key: str(value) for key, value in asdict(self).items()}

    @classmethod
    def from_dict(cls, data: dict[str, Any]) -> Source:
        """Rebuild from `to_dict`."""
        return cls(
            SourceKind(data["kind"]),
            data["reference"],
            data["edition"],
            Provenance(data["provenance"]),
            data.get("rule", ""),
        )


@dataclass(frozen=True)
class Limit:
    """An allowed range in SI; None leaves that side open."""

    minimum: float | None
    maximum: float | None
    unit: str
    source: Source

    def to_dict(self) -> dict[str, Any]:
        """Return plain JSON types."""
        return {
            "minimum": self.minimum,
            "maximum": self.maximum,
            "unit": self.unit,
            "source": self.source.to_dict(),
        }

    @classmethod
    def from_dict(cls, data: dict[str, Any]) -> Limit:
        """Rebuild from `to_dict`."""
        return cls(data["minimum"], data["maximum"], data["unit"], Source.from_dict(data["source"]))


#: Lengths are typed to a sixteenth of an inch; a billionth of a metre only absorbs float noise.
EQUAL_WITHIN = 1e-9


@dataclass(frozen=True)
class Check:
    """A measured value held against a limit. Equal to the limit passes; a missing side is unknown."""

    name: str
    measured: float | None
    limit: Limit | None

    @property
    def margin(self) -> float | None:
        """Room left to the nearer side of the limit, negative when beyond it, in the limit's unit."""
        if self.measured is None or self.limit is None:
            return None
        room = []
        if self.limit.minimum is not None:
            room.append(self.measured - self.limit.minimum)
        if self.limit.maximum is not None:
            room.append(self.limit.maximum - self.measured)
        return min(room) if room else None

    @property
    def outcome(self) -> Outcome:
        """Pass, fail or unknown."""
        margin = self.margin
        if margin is None:
            return Outcome.UNKNOWN
        return Outcome.PASS if margin >= -EQUAL_WITHIN else Outcome.FAIL

    def to_dict(self) -> dict[str, Any]:
        """Return plain JSON types, verdict included."""
        return {
            "name": self.name,
            "measured": self.measured,
            "limit": self.limit.to_dict() if self.limit else None,
            "outcome": str(self.outcome),
            "margin": self.margin,
        }
