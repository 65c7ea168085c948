"""The visits to an installation that one is compared with: signed off, of the same system, oldest first."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from zoneinfo import ZoneInfo

from django.db.models import QuerySet

from inspections.checklists import Checklist, checklist_get
from inspections.errors import InspectionsError
from inspections.models import Answer, Certificate, SignOff, SiteRecord
from inspections.queries.applicable import items_applicable
from jobs.models import Installation, Job, JobKind
from jobs.queries.paper_parts import day_words

#: Visits looked back on: as many as a drawing and a page can hold.
MOST_VISITS = 12


@dataclass(frozen=True)
class Visit:
    """One signed-off visit, or the one at hand, with the answers that count."""

    job: Job
    record: SiteRecord
    on: date
    day: str
    #: With the figures of the house's units in its words.
    checklist: Checklist
    #: imperial | metric, as the house has it now.
    system: str
    #: By item, of those that apply.
    answers: Mapping[str, Answer]

    @property
    def kind(self) -> str:
        """What was done, in words."""
        return self.job.get_kind_display()


@dataclass(frozen=True)
class History:
    """The visits before one, oldest first, and why there are no earlier ones."""

    visits: tuple[Visit, ...]
    cut: str = ""

    @property
    def last(self) -> Visit | None:
        """The visit before."""
        return self.visits[-1] if self.visits else None


def history_of(job: Job, record: SiteRecord | None) -> History:
    """Return the visits before a job's own; as many queries for a long history as for a short one."""
    if job.kind == JobKind.NEW_INSTALLATION:
        return History((), "This is a new installation: what is compared begins with it.")
    chosen, cut = _same_system(job, _earlier(job, record))
    return History(tuple(visits_read(chosen, job.installation)), cut)


def visit_of(record: SiteRecord) -> Visit:
    """Return the visit at hand as one to compare, signed off or not."""
    return next(visits_read([record], record.job.installation))


def visits_read(records: list[SiteRecord], installation: Installation) -> Iterator[Visit]:
    """Go through records with their latest answers, read together."""
    site = installation.site
    zone = ZoneInfo(site.time_zone)
    answers: dict[int, dict[str, Answer]] = defaultdict(dict)
    found = Answer.objects.filter(stage__record__in=records, superseded_by=None)
    for answer in found.select_related("photo", "stage").order_by("pk"):
        answers[answer.stage.record_id][answer.item] = answer
    signed_off = dict(_in_force().filter(record__in=records).values_list("record", "at"))
    for record in records:
        try:
            checklist = checklist_get(record.checklist, record.checklist_version)
        except InspectionsError:
            continue
        latest = answers[record.pk]
        asked = items_applicable(checklist, record.facts, latest)
        on = signed_off.get(record.pk, record.begun_at).astimezone(zone).date()
        yield Visit(
            job=record.job,
            record=record,
            on=on,
            day=day_words(on, site),
            checklist=checklist.in_units(site.unit_system),
            system=site.unit_system,
            answers={key: answer for key, answer in latest.items() if key in asked},
        )


def _in_force() -> QuerySet[SignOff]:
    return SignOff.objects.filter(reopening=None)


def _earlier(job: Job, record: SiteRecord | None) -> list[SignOff]:
    """Sign-offs in force at the installation, newest first, those after this record's own left out."""
    found = _in_force().filter(record__job__installation=job.installation_id).exclude(record__job=job)
    own = _in_force().filter(record=record).first() if record else None
    if own is not None:
        found = found.filter(at__lt=own.at)
    return list(found.select_related("record__job").order_by("-at", "-pk")[: MOST_VISITS + 1])


def _same_system(job: Job, newest_first: list[SignOff]) -> tuple[list[SiteRecord], str]:
    """Return the records of the system that stands there now, oldest first, and where the history is cut."""
    names = _names([one.record for one in newest_first])
    now = (str(job.installation.appliance), str(job.installation.chimney))
    site, kept, cut = job.installation.site, [], ""
    for sign_off in newest_first:
        record = sign_off.record
        then = names.get(record.pk, now)
        if then != now:
            cut = (
                f"Since {day_words(sign_off.at, site)} the system was changed, from"
                f" {' and '.join(then)} to {' and '.join(now)}: what was found before is not compared."
            )
            break
        kept.append(record)
        if record.job.kind == JobKind.NEW_INSTALLATION:
            if len(newest_first) > len(kept):
                cut = (
                    f"A new installation was signed off on {day_words(sign_off.at, site)}: what was"
                    " found before it is of another system and not compared."
                )
            break
    return kept[:MOST_VISITS][::-1], cut


def _names(records: list[SiteRecord]) -> dict[int, tuple[str, str]]:
    """Appliance and chimney as each record's latest paper names them."""
    told = (
        Certificate.objects.filter(sign_off__record__in=records)
        .order_by("number")
        .values_list(
            "sign_off__record", "document__context__appliance__name", "document__context__chimney__name"
        )
    )
    return {record: (str(appliance), str(chimney)) for record, appliance, chimney in told if appliance}
