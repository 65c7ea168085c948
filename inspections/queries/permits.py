"""Permits as they bear on a record."""

from __future__ import annotations

from jobs.models import Job, Permit, PermitOutcome


def permits_failed(job: Job) -> list[Permit]:
    """Return the permits whose final inspection by the authority failed."""
    return list(Permit.objects.filter(job=job, outcome=PermitOutcome.FAILED))
