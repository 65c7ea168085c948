"""Permits of a job."""

from __future__ import annotations

from django.db import transaction

from jobs.models import Permit
from jobs.services.customers import customer_check_kept


@transaction.atomic
def permit_save(*, permit: Permit) -> Permit:
    """Keep a permit as it stands. It leads to somebody, so none is kept after they were erased."""
    customer_check_kept(pk=permit.job.installation.site.customer_id)
    permit.save()
    return permit
