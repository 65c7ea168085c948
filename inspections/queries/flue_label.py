"""What the label at an appliance or chimney says: who, when, what, how far off, and where to ask."""

from __future__ import annotations

from inspections.models import Certificate
from inspections.queries.verify_part import verify_part
from jobs.figures import figure_words
from jobs.models import Appliance, Chimney, Job, Shop
from jobs.queries.notice_plate import PLATE_SIZE
from jobs.queries.paper_parts import Json, day_words, listing_part, sheet_part, shop_part

#: More letters than this about appliance, chimney and place, and they are set a size smaller.
ROOMY, FULL = 130, 230
_NOT_LISTED = "see its sheet"
_APPLIANCE = (
    ("Behind", "clearance_rear"),
    ("At the sides", "clearance_side"),
    ("In a corner", "clearance_corner"),
    ("In front", "clearance_front"),
    ("Above", "clearance_above"),
    ("Pipe", "connector_clearance"),
)
#: Figures a label does without when the sheet gives none; the others it says are missing.
_WHERE_GIVEN = frozenset({"clearance_corner", "clearance_above"})


def certificate_in_force(job: Job) -> Certificate | None:
    """Return the certificate of a job that counts: the newest, unless it was withdrawn."""
    found = (
        Certificate.objects.filter(sign_off__record__job=job, superseded_by=None)
        .select_related("document", "withdrawal")
        .order_by("-number")
        .first()
    )
    return None if found is None or hasattr(found, "withdrawal") else found


def label_part(*, certificate: Certificate, job: Job) -> Json:
    """Return the face of a label, its figures those the work was planned with."""
    installation = job.installation
    site = installation.site
    planned = job.plan.data if job.plan else {}
    appliance = listing_part(installation.appliance, planned.get("appliance"), site.unit_system)
    chimney = listing_part(installation.chimney, planned.get("chimney"), site.unit_system)
    inner = _figure(installation.chimney, planned.get("chimney"), "inner_diameter")
    day = installation.installed_on or certificate.issued_at
    told = {
        "serial": certificate.serial,
        "installed_on": day_words(day, site),
        "place": f"{installation.room}, {site.street}",
        "appliance": {"name": appliance["name"], "sheet": appliance["sheet"]},
        "serial_number": installation.serial_number,
        "chimney": {
            "name": chimney["name"],
            "sheet": chimney["sheet"],
            "size": "" if inner is None else f"{figure_words(inner, 'length', site.unit_system)} inside",
        },
        "fuel": installation.appliance.get_fuel_display().lower(),
        "clearances": _clearances(job, planned),
        "verify": verify_part(certificate.serial, certificate.verify_key),
    }
    return {**told, "cut": _cut(told)}


def flue_label_context(*, certificate: Certificate, job: Job, shop: Shop) -> Json:
    """Return everything a flue label prints."""
    return {
        "schema": 1,
        **sheet_part(job.installation.site),
        "paper": PLATE_SIZE,
        "title": "Flue label",
        "shop": shop_part(shop),
        "job": {"number": job.number},
        "label": label_part(certificate=certificate, job=job),
        "pictures": [],
    }


def _cut(told: Json) -> str:
    """How small the letters are set, so that a label is always one face."""
    names = (told["appliance"], told["chimney"])
    letters = len(told["place"]) + len(told["serial_number"])
    letters += sum(len(one["name"]) + len(one["sheet"]) for one in names)
    return "full" if letters > FULL else "close" if letters > ROOMY else "roomy"


def _clearances(job: Job, planned: Json) -> list[Json]:
    installation = job.installation
    rows = [
        (label, name, _figure(installation.appliance, planned.get("appliance"), name))
        for label, name in _APPLIANCE
    ]
    rows.append(("Chimney", "clearance", _figure(installation.chimney, planned.get("chimney"), "clearance")))
    system = installation.site.unit_system
    return [
        {
            "label": label,
            # A least distance is never printed as less than it is.
            "figure": _NOT_LISTED if value is None else figure_words(value, "length", system, rounding="up"),
        }
        for label, name, value in rows
        if value is not None or name not in _WHERE_GIVEN
    ]


def _figure(row: Appliance | Chimney, planned: Json | None, name: str) -> float | None:
    value: float | None = planned.get(name) if planned else getattr(row, name)
    return value
