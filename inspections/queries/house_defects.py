"""The defects of one stove across its jobs, each with what became of it."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass

from django.db.models import Q

from inspections.models import Answer, Defect, DoNotUseNotice, Photo, Severity
from inspections.models.defect import FOUND
from inspections.queries.defect_words import closed_words, rule_words
from inspections.queries.notice_paper import defect_number
from inspections.queries.open_defects import open_defects_of
from jobs.models import OPEN_STATUSES, Installation, Job, User
from jobs.queries.jobs import in_visible_jobs


@dataclass(frozen=True)
class DefectStory:
    """One defect from the day it was found to the day it ended."""

    defect: Defect
    job: Job
    number: str
    rule: str
    photos: list[Photo]
    repairs: list[Job]
    #: By what it was closed; empty while it is open.
    ended: str


def defect_stories(installation: Installation, user: User) -> list[DefectStory]:
    """Return the defects found on the jobs a user may see: open ones first, then the newest."""
    found = (
        Defect.objects.filter(
            in_visible_jobs(user, "stage__record__job"),
            Q(carried_from=None) | Q(carried_from__closed_at__isnull=False),
            stage__record__job__installation=installation,
        )
        .exclude(carried_from__isnull=False, closed_at__isnull=False)
        .select_related(
            "stage__record__job",
            "opened_by",
            "waiver__by",
            "closed_by_answer__by",
            "closed_by_answer__stage__record__job",
        )
        .prefetch_related(
            "gradings__by",
            "notices__document",
            "notices__told_by",
            "carries__job",
            "carried_copies__waiver__by",
        )
    )
    defects = sorted(found, key=lambda one: (not one.is_open, -one.pk))
    photos = photos_as_found(defects)
    return [
        DefectStory(
            defect=one,
            job=one.stage.record.job,
            number=defect_number(one),
            rule=rule_words(one.rule),
            photos=photos[one.stage_id, one.item],
            repairs=[carried.job for carried in one.carries.all()],
            ended=closed_words(one),
        )
        for one in defects
    ]


def photos_as_found(defects: list[Defect]) -> dict[tuple[int, str], list[Photo]]:
    """Return the photos of defects as found by stage and item, oldest first."""
    found: dict[tuple[int, str], list[Photo]] = defaultdict(list)
    answers = Answer.objects.filter(
        stage__in={one.stage_id for one in defects},
        item__in={f"{one.item}{FOUND}" for one in defects},
        photo__isnull=False,
    )
    for answer in answers.select_related("photo").order_by("pk"):
        if answer.photo is not None:
            found[answer.stage_id, answer.item.removesuffix(FOUND)].append(answer.photo)
    return found


def to_follow_up(installation: Installation) -> list[Defect]:
    """Return what is open, no mere advice, found on a job that is over, and on its way to no repair."""
    waiting = (
        open_defects_of(installation)
        .exclude(current=Severity.ADVICE)
        .exclude(stage__record__job__status__in=OPEN_STATUSES)
        .exclude(carries__job__status__in=OPEN_STATUSES)
    )
    return list(waiting.select_related("stage__record__job").prefetch_related("gradings"))


def notices_out(installation: Installation) -> list[DoNotUseNotice]:
    """Return the notices that hold for a stove."""
    out = DoNotUseNotice.objects.filter(lifted_at=None, defect__stage__record__job__installation=installation)
    return list(out.select_related("defect", "document", "mail", "told_by").order_by("pk"))
