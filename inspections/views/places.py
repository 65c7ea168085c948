"""From an address to the record and stage a person may see."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any
from zoneinfo import ZoneInfo

from django.http import Http404, HttpRequest
from django.shortcuts import get_object_or_404
from django.utils import timezone

from inspections.cards import Card, card_at, cards_of
from inspections.models import Severity, SiteRecord
from inspections.models.defect import base_key
from inspections.queries.crews import works_on
from inspections.queries.evidence import RecordView, StageView
from inspections.queries.last_time import LastTime, last_times
from inspections.queries.records import record_view, records_visible_to
from jobs.house_parts import house_parts
from jobs.models import Job, JobStatus, User
from jobs.permissions import signed_in

#: Severity, its words, and what follows from it, for whoever chooses one.
SEVERITIES_SHOWN = (
    (Severity.DANGER, "The stove is not to be used: a notice goes to the customer at once."),
    (Severity.CORRECT, "It has to be put right."),
    (Severity.ADVICE, "Good to know; it stands in nobody’s way."),
)


@dataclass(frozen=True)
class StagePlace:
    """A stage of a job as one person stands before it."""

    job: Job
    user: User
    view: RecordView
    stage: StageView
    crew: bool

    @property
    def is_open(self) -> bool:
        """Whether this person may enter something."""
        return self.crew and self.job.status == JobStatus.ON_SITE and not self.stage.signed

    def cards(self) -> list[Card]:
        """Return the cards of every item."""
        cards = cards_of(self.stage, self.view.checklist, system=self.view.system, is_open=self.is_open)
        return [replace(card, last=self.last_times.get(card.key)) for card in cards]

    def card(self, key: str) -> Card:
        """Return the card of one item."""
        card = card_at(self.stage, key, system=self.view.system, is_open=self.is_open)
        return replace(card, last=self.last_times.get(key))

    @cached_property
    def last_times(self) -> dict[str, LastTime]:
        """What was found the last time, by item."""
        return last_times(self.job, self.view.record, self.view.checklist)

    def check_item(self, key: str) -> None:
        """Refuse with 404 an item this stage has never had."""
        told = self.view.checklist.stage(self.stage.key)
        if self.stage.item(key) is None and (told is None or told.item(base_key(key)) is None):
            raise Http404

    def context(self) -> dict[str, Any]:
        """Return what every part of a stage's page needs."""
        stages = self.view.stages
        at = stages.index(self.stage)
        return {
            "job": self.job,
            "site": self.job.installation.site,
            "view": self.view,
            "stage": self.stage,
            "crew": self.crew,
            "is_open": self.is_open,
            "severities": SEVERITIES_SHOWN,
            "house_parts": house_parts("top", self.job.installation, self.user),
            "may_report": self.job.is_open and (self.crew or self.user.may_sign_off),
            "previous": stages[at - 1] if at else None,
            "following": stages[at + 1] if at + 1 < len(stages) else None,
        }


def record_at(request: HttpRequest, pk: int) -> SiteRecord:
    """Return the record of a job this person may see; 404 for anything else.

    From here on the page tells times on the clock of the house, as the certificate does.
    """
    record = get_object_or_404(records_visible_to(signed_in(request)), job=pk)
    timezone.activate(ZoneInfo(record.job.installation.site.time_zone))
    return record


def stage_at(request: HttpRequest, pk: int, key: str, record: SiteRecord | None = None) -> StagePlace:
    """Return a stage of a job this person may see, read afresh."""
    user = signed_in(request)
    record = record or record_at(request, pk)
    view = record_view(record)
    stage = view.stage(key)
    if stage is None:
        raise Http404
    return StagePlace(record.job, user, view, stage, works_on(user, record.job))
