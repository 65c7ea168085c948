"""The boxes of the Today page. Each app registers its own when it is ready, so that imports go one way."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from jobs.models import User


@dataclass(frozen=True)
class Panel:
    """One box: what it is called, its rows, and the template that shows one list of `panel.rows`.

    A panel without rows shows its `empty` sentence; without that it is left out.
    """

    title: str
    template: str
    rows: Sequence[Any]
    empty: str = ""
    more_url: str = ""
    more_label: str = ""
    count: int | None = None


PanelMaker = Callable[[User, datetime], Panel]


@dataclass(frozen=True)
class _Place:
    order: int
    roles: frozenset[str]
    make: PanelMaker


_places: dict[str, _Place] = {}


def register_panel(*, name: str, order: int, roles: Iterable[str], make: PanelMaker) -> None:
    """Put a panel on the Today page of some roles; a lower order stands higher."""
    _places[name] = _Place(order, frozenset(roles), make)


def panels_for(user: User, now: datetime) -> list[Panel]:
    """Return the boxes of one person's Today page from top to bottom."""
    places = sorted(_places.values(), key=lambda place: place.order)
    made = [place.make(user, now) for place in places if user.role in place.roles]
    return [panel for panel in made if panel.rows or panel.empty]
