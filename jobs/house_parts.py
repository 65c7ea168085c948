"""What other apps say of a stove on the pages about it. The pages know no more than where it stands."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

from jobs.models import Installation, User


@dataclass(frozen=True)
class HousePart:
    """A part of a page: the template that shows it, and what it shows."""

    template: str
    told: Any


#: Nobody's user is the customer, who comes by the private link.
PartMaker = Callable[[Installation, User | None], HousePart | None]
_makers: dict[tuple[str, str], PartMaker] = {}


def register_house_part(*, place: str, name: str, make: PartMaker) -> None:
    """Put a part on the pages about a stove: `top` of them, the `installation`'s own, or the `customer`'s."""
    _makers[place, name] = make


def house_parts(place: str, installation: Installation, user: User | None) -> list[HousePart]:
    """Return the parts that have something to say."""
    made = [make(installation, user) for (where, _), make in sorted(_makers.items()) if where == place]
    return [part for part in made if part is not None]
