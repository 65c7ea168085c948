"""Surveys: every save is a new revision."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import Any

from django.db import transaction
from django.db.models import Max

from jobs.models import Installation, Plan, Survey, User
from jobs.services.plans import plan_make


@transaction.atomic
def survey_save(
    *,
    installation: Installation,
    values: Mapping[str, Any],
    as_typed: Mapping[str, Any],
    by: User,
    now: datetime,
) -> Survey:
    """Store what was measured as the installation's next revision.

    The installation's row is locked while the number is taken, so two people saving at once each get one.
    """
    Installation.objects.select_for_update().get(pk=installation.pk)
    last = Survey.objects.filter(installation=installation).aggregate(last=Max("revision"))["last"] or 0
    return Survey.objects.create(
        installation=installation,
        revision=last + 1,
        made_by=by,
        made_at=now,
        as_typed=dict(as_typed),
        **values,
    )


@transaction.atomic
def survey_plan(
    *,
    installation: Installation,
    values: Mapping[str, Any],
    as_typed: Mapping[str, Any],
    by: User,
    now: datetime,
) -> Plan:
    """Store a survey and the plan made from it: both or neither."""
    survey = survey_save(installation=installation, values=values, as_typed=as_typed, by=by, now=now)
    return plan_make(survey=survey, by=by, now=now)
