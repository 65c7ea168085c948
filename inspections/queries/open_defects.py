"""Defects that are open at a house, whatever job they were found on, and the stoves not to be used."""

from __future__ import annotations

from django.db.models import Case, F, OuterRef, Q, QuerySet, Subquery, Value, When
from django.db.models.functions import Coalesce

from inspections.models import Defect, DefectGrading, Severity
from jobs.models import Installation, JobStatus


def graded(defects: QuerySet[Defect]) -> QuerySet[Defect]:
    """Return defects each with `current`: the severity that counts."""
    latest = DefectGrading.objects.filter(defect=OuterRef("pk")).order_by("-pk").values("severity")[:1]
    return defects.annotate(current=Coalesce(Subquery(latest), F("severity")))


def gravest_first() -> Case:
    """Return an order by `current`: danger, to be corrected, advice."""
    ranks = {Severity.DANGER: 0, Severity.CORRECT: 1}
    return Case(*(When(current=one, then=Value(rank)) for one, rank in ranks.items()), default=Value(2))


def open_defects() -> QuerySet[Defect]:
    """Return every open defect once: one that was carried into a further job counts where it was found."""
    origin_closed = Q(carried_from=None) | Q(carried_from__closed_at__isnull=False)
    called_off = Q(carried_from__isnull=False, stage__record__job__status=JobStatus.CANCELLED)
    return graded(Defect.objects.filter(origin_closed, closed_at=None)).exclude(called_off)


def open_defects_of(installation: Installation) -> QuerySet[Defect]:
    """Return what is open at one installation, across its jobs, in the order found."""
    return open_defects().filter(stage__record__job__installation=installation).order_by("pk")


def dangers_of(installation: Installation) -> list[Defect]:
    """Return the open defects for which a stove is not to be used; none where it may be."""
    found = open_defects_of(installation).filter(current=Severity.DANGER)
    return list(found.select_related("stage__record__job", "opened_by"))


def in_danger(installations: set[int]) -> set[int]:
    """Return which of these installations are not to be used."""
    found = open_defects().filter(current=Severity.DANGER, stage__record__job__installation__in=installations)
    return set(found.values_list("stage__record__job__installation", flat=True))
