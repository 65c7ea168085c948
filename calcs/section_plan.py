"""A stack of chimney sections as a value."""

from __future__ import annotations

from dataclasses import asdict, dataclass
from typing import Any

#: What a piece of the stack may be.
SECTION = "section"
ELBOW_PAIR = "elbow pair"


@dataclass(frozen=True)
class Offset:
    """An elbow pair: what it adds in height and how far it moves the flue sideways [m].

    `pieces` names the sections locked between its elbows, which are loaded as well.
    """

    angle_degrees: float
    between: float
    rise: float
    run: float
    pieces: tuple[str, ...] = ()


@dataclass(frozen=True)
class PlacedSection:
    """One section in the stack, with the heights of its ends above the first joint [m].

    `kind` is section | elbow pair.
    """

    name: str
    length: float
    effective_length: float
    bottom: float
    top: float
    kind: str = SECTION


@dataclass(frozen=True)
class FewerPieces:
    """A stack of fewer pieces than the one chosen, which over-runs more: names from the bottom up [m]."""

    names: tuple[str, ...]
    total: float
    over_run: float
    cost: float | None = None

    def counts(self) -> dict[str, int]:
        """How many of each section it takes."""
        return _counted(self.names)


@dataclass(frozen=True)
class SectionPlan:
    """The stack from bottom to top, or why there is none. Heights above the first joint [m]."""

    feasible: bool
    why: str
    required: float
    pieces: tuple[PlacedSection, ...] = ()
    total: float = 0.0
    over_run: float = 0.0
    cost: float | None = None
    forbidden_zones: tuple[tuple[float, float], ...] = ()
    #: Straps or brackets the height above the roof asks for; None when that height is not known.
    braces: int | None = None
    #: Room left below the greatest height the support carries, None when the listing does not say.
    supported_margin: float | None = None
    #: Elbow pair that stands in the stack.
    offset: Offset | None = None
    #: The lowest stack of fewer pieces than this one, then the one of fewest; the same one stands once.
    fewer: tuple[FewerPieces, ...] = ()

    @property
    def joints(self) -> tuple[float, ...]:
        """Heights of the joints between sections above the first joint [m]."""
        return tuple(piece.top for piece in self.pieces[:-1])

    def counts(self) -> dict[str, int]:
        """How many of each section to load, in the order they are stacked, those between elbows last."""
        names = [piece.name for piece in self.pieces if piece.kind == SECTION]
        return _counted((*names, *(self.offset.pieces if self.offset else ())))

    def to_dict(self) -> dict[str, Any]:
        """Return plain JSON types."""
        return asdict(self)

    @classmethod
    def from_dict(cls, data: dict[str, Any]) -> SectionPlan:
        """Rebuild from `to_dict`."""
        offset = data.get("offset")
        return cls(
            **{
                **data,
                "pieces": tuple(PlacedSection(**piece) for piece in data["pieces"]),
                "forbidden_zones": tuple((low, high) for low, high in data["forbidden_zones"]),
                "offset": offset and Offset(**{**offset, "pieces": tuple(offset.get("pieces", ()))}),
                "fewer": tuple(
                    FewerPieces(**{**one, "names": tuple(one["names"])}) for one in data.get("fewer", ())
                ),
            }
        )


def _counted(names: tuple[str, ...]) -> dict[str, int]:
    counted: dict[str, int] = {}
    for name in names:
        counted[name] = counted.get(name, 0) + 1
    return counted
