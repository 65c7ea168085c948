"""Whose work a job is."""

from __future__ import annotations

from inspections.models import Answer, SiteRecord, StageRecord, StageReturn
from inspections.models.defect import FOUND
from jobs.models import Job, Role, User
from jobs.queries.jobs import jobs_visible_to


def works_on(user: User, job: Job) -> bool:
    """Whether somebody may work a job's stages: an owner, or an installer whose crew is sent there."""
    if user.role == Role.OWNER:
        return True
    return user.role == Role.INSTALLER and jobs_visible_to(user).filter(pk=job.pk).exists()


def did_the_work(user: User, record: SiteRecord) -> bool:
    """Whether somebody entered or signed anything of a record; to photograph a defect is no work."""
    stages = StageRecord.objects.filter(record=record)
    return (
        Answer.objects.filter(stage__record=record, by=user).exclude(item__endswith=FOUND).exists()
        or stages.filter(signed_by=user).exists()
        or StageReturn.objects.filter(stage__record=record, signed_by=user).exists()
    )
