"""Listing data of appliances and chimneys."""

from __future__ import annotations

from collections.abc import Iterable

from django.db import transaction

from jobs.errors import JobsError
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
    # The lock makes two people who save the same sheet see each other's sections.
    Chimney.objects.select_for_update().get(pk=chimney.pk)
    own = ChimneySection.objects.filter(chimney=chimney)
    own.filter(pk__in=[section.pk for section in removed]).delete()
    kept = list(sections)
    others = own.exclude(pk__in=[section.pk for section in kept if section.pk])
    names = [section.name for section in kept]
    if len(set(names)) < len(names) or others.filter(name__in=names).exists():
        raise JobsError(
            "section_twice", "Two sections have the same name. Load the page again and give each its own."
        )
    # Names may change places, so each is given up before any is taken.
    for section in kept:
        own.filter(pk=section.pk).update(name=f"\x1f{section.pk}")
    for section in kept:
        section.chimney = chimney
        section.save()
    return chimney
