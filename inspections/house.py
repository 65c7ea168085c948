"""What this app says on the pages about a stove: that it is not to be used, and its defects."""

from __future__ import annotations

from dataclasses import dataclass

from inspections.models import Defect, DoNotUseNotice
from inspections.notice_words import HOW_IT_ENDS, WHAT_TO_DO, WHO_MAY_USE_IT, emergency_words
from inspections.queries.house_defects import (
    DefectStory,
    defect_stories,
    notices_out,
    to_follow_up,
)
from inspections.queries.open_defects import dangers_of
from jobs.house_parts import HousePart, register_house_part
from jobs.models import Country, Installation, User
from jobs.permissions import BOOKS
from jobs.services.letters import EMERGENCY_NUMBER


def register() -> None:
    """Register this app's parts."""
    register_house_part(place="top", name="do not use", make=do_not_use)
    register_house_part(place="customer", name="do not use", make=do_not_use_for_customer)
    register_house_part(place="installation", name="defects", make=defects)


@dataclass(frozen=True)
class DoNotUse:
    """Why a stove is not to be used, and what was sent about it."""

    installation: Installation
    dangers: list[Defect]
    notices: list[DoNotUseNotice]
    what_to_do: tuple[str, ...] = WHAT_TO_DO
    who_may_use_it: str = WHO_MAY_USE_IT
    how_it_ends: str = HOW_IT_ENDS

    @property
    def emergency(self) -> str:
        """What to do when somebody is in danger now."""
        return emergency_words(EMERGENCY_NUMBER[Country(self.installation.site.country)])

    @property
    def untold(self) -> list[DoNotUseNotice]:
        """Notices that no mail brought and nobody has handed over."""
        return [one for one in self.notices if one.wants_telling]


@dataclass(frozen=True)
class HouseDefects:
    """Every defect a stove ever had, and what may be done about those that are open."""

    installation: Installation
    stories: list[DefectStory]
    #: How many wait for a job that puts them right.
    waiting: int
    may_follow_up: bool


def do_not_use(installation: Installation, user: User | None) -> HousePart | None:
    """Say on top of a page that a stove is not to be used."""
    if not (dangers := dangers_of(installation)):
        return None
    told = DoNotUse(installation, dangers, notices_out(installation))
    return HousePart("inspections/house/do_not_use.html", told)


def do_not_use_for_customer(installation: Installation, user: User | None) -> HousePart | None:
    """Say the same to the customer, with what to do."""
    if not (dangers := dangers_of(installation)):
        return None
    return HousePart("inspections/house/for_customer.html", DoNotUse(installation, dangers, []))


def defects(installation: Installation, user: User | None) -> HousePart | None:
    """List every defect with its whole history."""
    stories = defect_stories(installation, user) if user else []
    if not stories or user is None:
        return None
    waiting = len(to_follow_up(installation))
    told = HouseDefects(installation, stories, waiting, bool(waiting) and user.role in BOOKS)
    return HousePart("inspections/house/defects.html", told)
