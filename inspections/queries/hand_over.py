"""Everything the people of a house are handed, as one frozen context: the certificate's own and more."""

from __future__ import annotations

from datetime import datetime

from inspections.models import Certificate
from inspections.queries.flue_label import label_part
from jobs.models import Country, Job, Shop
from jobs.queries.care_sheet import care_part
from jobs.queries.notice_plate import plate_part, plate_wanting, wanting_words
from jobs.queries.paper_parts import Json, moment_words, permit_part


def hand_over_context(*, certificate: Certificate, job: Job, shop: Shop, now: datetime) -> Json:
    """Return everything a hand-over pack prints.

    It begins as the frozen context of the certificate, so that the copy says word for word what was sealed;
    the record for machines stays with the original.
    """
    site = job.installation.site
    sealed = {name: value for name, value in certificate.document.context.items() if name != "embedded"}
    return {
        **sealed,
        "pack": {
            "made": moment_words(now, site),
            "address": sealed["verify"]["address"],
            "permits": [permit_part(permit, site) for permit in job.permits.all()],
        },
        "copy": True,
        "care": care_part(job),
        "label": label_part(certificate=certificate, job=job),
        "plate": _plate(job),
    }


def _plate(job: Job) -> Json | None:
    """The notice plate where the rules ask for one; what it lacks in its place."""
    if job.installation.site.country != Country.GB:
        return None
    if wanting := plate_wanting(job):
        return {"rows": [], "wanting": wanting_words(wanting)}
    return plate_part(job)
