"""What a person can do next with a job."""

from __future__ import annotations

from dataclasses import dataclass

from django.urls import reverse

from jobs.models import Job, JobStatus, Role, Shop, User
from jobs.services.jobs import NEEDS_PLAN
from jobs.services.visits import MAY_BE_VISITED


@dataclass(frozen=True)
class NextStep:
    """One button: where it leads, and whether it is the one to press now."""

    label: str
    url: str
    main: bool = False


#: Statuses in which the office may call a job off. All other changes follow from work.
MAY_BE_CANCELLED = (JobStatus.ENQUIRY, JobStatus.PLANNED, JobStatus.SCHEDULED, JobStatus.ON_SITE)


def next_steps(job: Job, user: User) -> list[NextStep]:
    """Return what this person can do now, the step that moves the job on first."""
    steps = [*_site_steps(job, user), *_review_steps(job, user), *_office_steps(job, user)]
    return sorted(steps, key=lambda step: not step.main)


def may_cancel(job: Job, user: User) -> bool:
    """Whether this person may call the job off as it stands."""
    return user.keeps_the_books and job.status in MAY_BE_CANCELLED


def plan_is_open(job: Job, user: User) -> bool:
    """Whether this person may still attach a plan, which only some kinds of job have."""
    before_work = (JobStatus.ENQUIRY, JobStatus.PLANNED, JobStatus.SCHEDULED)
    return job.kind in NEEDS_PLAN and user.keeps_the_books and job.status in before_work


def _office_steps(job: Job, user: User) -> list[NextStep]:
    if not user.keeps_the_books:
        return []
    if job.status == JobStatus.ENQUIRY:
        installation = job.installation
        label = "Open the survey" if installation.surveys.exists() else "Record the survey"
        survey = NextStep(label, reverse("survey_edit", args=[installation.pk]), main=not _has_plan(job))
        return [survey]
    if job.status in MAY_BE_VISITED:
        first = job.status == JobStatus.PLANNED
        label = "Schedule a visit" if first else "Schedule another visit"
        return [NextStep(label, reverse("visit_add", args=[job.pk]), main=first)]
    return []


def _site_steps(job: Job, user: User) -> list[NextStep]:
    if not user.works_on_site:
        return []
    url = reverse("work", args=[job.pk])
    words = {JobStatus.SCHEDULED: "Begin site work", JobStatus.ON_SITE: "Go on with site work"}
    label = words.get(JobStatus(job.status))
    if label is None:
        return []
    on_tablet = f"{reverse('tablet')}#/job/{job.pk}"
    return [NextStep(label, url, main=True), NextStep("Work without a signal", on_tablet)]


def _review_steps(job: Job, user: User) -> list[NextStep]:
    if job.status not in {JobStatus.ON_SITE, JobStatus.READY, JobStatus.CLOSED}:
        return []
    own_shop = user.role == Role.INSTALLER and Shop.current().one_person
    record = reverse("record_review", args=[job.pk])
    if job.status == JobStatus.READY and (user.may_sign_off or own_shop):
        return [NextStep("Review and sign off", record, main=True)]
    read = NextStep("Read the record", record)
    if job.status == JobStatus.CLOSED and (user.may_sign_off or own_shop):
        return [read, NextStep("Reopen the job", reverse("record_reopen", args=[job.pk]))]
    return [read]


def _has_plan(job: Job) -> bool:
    return job.installation.plans.exists()
