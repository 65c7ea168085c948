"""The invented shop's first house, as many jobs of it as are asked for, and what a tablet sends of one."""

from __future__ import annotations

import random
import uuid
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, date, datetime, timedelta
from typing import Any

from config.demo.fixture import fixture
from config.demo.hands import answer
from config.demo.houses import houses_build, listings_build
from config.demo.people import people_build
from inspections.queries.records import record_view
from inspections.services.records import record_begin
from jobs.models import Job, Plan, User
from jobs.services.jobs import job_create, job_plan
from jobs.services.surveys import survey_plan
from jobs.services.visits import visit_schedule

HOUSE, CREW = "ferrand", "Van 1"


@dataclass(frozen=True)
class House:
    """A house with its plan, and who goes there."""

    plan: Plan
    office: User
    installer: User
    crew: Any

    @classmethod
    def build(cls, today: date) -> House:
        """Enter shop, people, listings and the survey, and have the plan made."""
        staff = people_build(today=today)
        house = houses_build(listings=listings_build(), today=today)[HOUSE]
        values, typed = house.survey_values()
        plan = survey_plan(
            installation=house.installation, values=values, as_typed=typed, by=staff.office, now=_now()
        )
        crew, installer = staff.crews[CREW]
        return cls(plan, staff.office, installer, crew)

    def job(self) -> Job:
        """Return a job whose work has just begun."""
        now, by = _now(), self.office
        job = job_create(
            installation=self.plan.survey.installation, kind="new installation", by=by, now=now, note=""
        )
        job_plan(job=job, plan=self.plan, by=by, now=now)
        visit_schedule(
            job=job, crew=self.crew, starts_at=now, ends_at=now + timedelta(hours=8), by=by, now=now,
            despite_clash=True,
        )  # fmt: skip
        job.refresh_from_db()
        record_begin(job=job, by=self.installer, now=now)
        return job


def shop_password() -> str:
    """Return the password everybody of the invented shop signs in with."""
    password: str = fixture("people")["password"]
    return password


def entries_of(job: Job) -> list[dict[str, Any]]:
    """Return an entry for every item that asks for no photo, as a tablet sends it."""
    system = job.installation.site.unit_system
    chance = random.Random(HOUSE)  # noqa: S311  (measures, not secrets)
    return [
        {
            "version": 2,
            "entry": str(uuid.uuid4()),
            "kind": "answer",
            "stage": stage.key,
            "item": item.key,
            "text": answer(item, system, chance),
            "saw": None,
            "verdict": "",
            "taken_at": _now().isoformat(),
            "signature": None,
            "photo": None,
        }
        for stage in record_view(job.site_record).stages
        for item in stage.items
        if item.item.kind != "photo"
    ]


def batches(entries: list[dict[str, Any]], size: int) -> Iterator[list[dict[str, Any]]]:
    """Yield the entries so many at a time."""
    for first in range(0, len(entries), size):
        yield entries[first : first + size]


def _now() -> datetime:
    return datetime.now(UTC)
