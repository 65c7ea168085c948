"""Listing data of appliances and chimneys."""

from __future__ import annotations

from collections.abc import Iterable

from django.db import transaction

from jobs.models import Appliance, Chimney, ChimneySection


@transaction.atomic
def appliance_save(*, appliance: Appliance) -> Appliance:
    """Store an appliance's listing data."""
    appliance.save()
    return appliance


@transaction.atomic
def chimney_save(
    *, chimney: Chimney, sections: Iterable[ChimneySection], removed: Iterable[ChimneySection] = ()
) -> Chimney:
    """Store a chimney's listing data together with its section lengths."""
    chimney.save()
    for section in removed:
        section.delete()
    for section in sections:
        section.chimney = chimney
        section.save()
    return chimney
