"""Sites and what is installed in them."""

from __future__ import annotations

from django.db import transaction

from jobs.models import Installation, Site
from jobs.services.customers import customer_check_kept

_SITE_FIELDS = [
    "label", "street", "city", "region", "postcode", "country", "unit_system", "time_zone",
    "altitude", "as_typed", "access_notes", "hazard_notes",
]  # fmt: skip
_INSTALLATION_FIELDS = ["room", "route", "appliance", "chimney", "serial_number", "installed_on"]


@transaction.atomic
def site_save(*, site: Site) -> Site:
    """Store a new site, or only what a person edits on an old one."""
    customer_check_kept(pk=site.customer_id)
    site.save(update_fields=_SITE_FIELDS if site.pk else None)
    return site


@transaction.atomic
def installation_save(*, installation: Installation) -> Installation:
    """Store a new installation, or only what a person edits on an old one."""
    customer_check_kept(pk=installation.site.customer_id)
    installation.save(update_fields=_INSTALLATION_FIELDS if installation.pk else None)
    return installation
