"""Which photos somebody may see."""

from __future__ import annotations

from django.db.models import Q, QuerySet

from inspections.models import Photo, SignOff
from jobs.models import Job, Role, User
from jobs.queries.jobs import in_visible_jobs


def photos_visible_to(user: User) -> QuerySet[Photo]:
    """Return the photos of the jobs somebody may see, and of the signed-off visits there before them.

    Whoever is sent to a house sees what was found there the last time, whichever crew it was: also where
    that job was opened again since, for it may be what they came to put right.
    """
    if user.role != Role.INSTALLER:
        return Photo.objects.all()
    here = Job.objects.filter(in_visible_jobs(user, "pk")).values("installation")
    signed_off = SignOff.objects.values("record__job")
    before = Q(job__installation__in=here, job__in=signed_off)
    return Photo.objects.filter(in_visible_jobs(user, "job") | before)
