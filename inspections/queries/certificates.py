"""Certificates somebody may see, and what a new one prints."""

from __future__ import annotations

import hashlib
import json
from datetime import datetime
from zoneinfo import ZoneInfo

from django.db.models import QuerySet

from calcs.plan import Plan as ComputedPlan
from inspections.models import Certificate, SignOff, SiteRecord
from inspections.queries import certificate_parts as parts
from inspections.queries import certificate_words as words
from inspections.queries.certificate_record import FILE_NAME, certificate_record
from inspections.queries.evidence import RecordView
from inspections.queries.records import record_view
from inspections.queries.verify_part import verify_part
from jobs.models import JobKind, ServiceSchedule, Shop, Site, Technician, User
from jobs.queries.jobs import in_visible_jobs
from jobs.queries.paper_drawings import plan_drawings
from jobs.queries.paper_parts import (
    Json,
    credential_words,
    day_words,
    drawing_part,
    listing_part,
    moment_words,
    permit_part,
    plan_words,
    rule_book_part,
    sheet_part,
    shop_part,
    site_part,
    stored_source_words,
)

#: Lines that fit on a first page without a drawing.
MOST_ON_FRONT = 14
#: Hexadecimal digits of the record mark, printed in groups of four.
_MARK = 24


def certificates_visible_to(user: User) -> QuerySet[Certificate]:
    """Return the certificates of the jobs a user may see."""
    return Certificate.objects.filter(in_visible_jobs(user, "sign_off__record__job")).select_related(
        "document",
        "issued_by",
        "sign_off__record__job__installation__site",
        "supersedes",
        "superseded_by",
        "withdrawal__by",
    )


def certificates_of(record: SiteRecord) -> QuerySet[Certificate]:
    """Return every certificate a record ever had, the newest first."""
    return Certificate.objects.filter(sign_off__record=record).select_related("superseded_by", "withdrawal")


def certificate_context(
    *,
    sign_off: SignOff,
    serial: str,
    verify_key: str,
    supersedes: Certificate | None,
    reason: str,
    now: datetime,
    chain_head: str | None = None,
) -> Json:
    """Return everything a certificate prints, in words, in the units of the house, with its record mark.

    `chain_head` is the last link of the job's evidence chain; it is printed and embedded where there is one.
    """
    record = sign_off.record
    job, plan = record.job, record.plan
    installation = job.installation
    site = installation.site
    view = record_view(record)
    photos = parts.photo_parts(view, site)
    listed = plan.data if plan else {}
    verify = verify_part(serial, verify_key)
    context = {
        "schema": 1,
        **sheet_part(site),
        "title": "Closing certificate",
        "serial": serial,
        "issued_on": day_words(now, site),
        "issued_at": now.isoformat(),
        "shop": shop_part(Shop.current()),
        "job": {"number": job.number, "kind": job.get_kind_display()},
        "statement": words.statement_of(job.kind),
        "supersedes": _superseded(supersedes, reason, site),
        "customer": {"name": site.customer.name},
        "site": site_part(site),
        "installation": {"room": installation.room, "serial_number": installation.serial_number},
        "appliance": listing_part(installation.appliance, listed.get("appliance"), site.unit_system),
        "chimney": listing_part(
            installation.chimney, listed.get("chimney"), site.unit_system, installation.route
        ),
        "rule_book": rule_book_part(
            plan.rule_book if plan else site.rule_book, plan.rule_book_edition if plan else ""
        ),
        "plan": plan_words(plan, site),
        "checklist": f"{view.checklist.title}, version {view.checklist.version}",
        "drawings": _drawings(view, site),
        "findings": parts.finding_parts(view)[:MOST_ON_FRONT],
        "tally": parts.tally_words(view),
        "worked_by": {
            "label": words.WORKED_BY.get(JobKind(job.kind), "Done by"),
            "names": _names(view),
        },
        "technicians": [_technician(user, sign_off, site) for user in _signers(view)],
        "permits": [permit_part(permit, site) for permit in job.permits.all()],
        "stages": parts.stage_parts(view, site),
        "defects": parts.defect_parts(view, site),
        "waivers": parts.waiver_parts(view, site),
        "remarks": sign_off.remarks,
        "sign_off": _sign_off(sign_off, site),
        "next_due": _next_due(sign_off, site, now),
        "photos": photos,
        "pictures": sorted({photo["sha256"] for photo in photos}),
        "bounds": list(words.BOUNDS),
        "cautions": list(words.CAUTIONS),
        "verify": verify,
        "chain_head": chain_head or "",
        "embedded": {
            "name": FILE_NAME,
            "description": words.EMBEDDED,
            "at": now.isoformat(),
            "content": certificate_record(
                view=view,
                sign_off=sign_off,
                serial=serial,
                address=verify["address"],
                supersedes=supersedes,
                reason=reason,
                chain_head=chain_head,
                now=now,
            ),
        },
    }
    return {**context, "record_mark": record_mark(context)}


def record_mark(context: Json) -> str:
    """Return the fingerprint of what a certificate says: the head of the SHA-256 of its frozen context."""
    told = {key: value for key, value in context.items() if key != "record_mark"}
    plain = json.dumps(told, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    digest = hashlib.sha256(plain.encode()).hexdigest()[:_MARK]
    return " ".join(digest[start : start + 4] for start in range(0, _MARK, 4))


def _superseded(certificate: Certificate | None, reason: str, site: Site) -> Json | None:
    if certificate is None:
        return None
    return {
        "serial": certificate.serial,
        "issued_on": day_words(certificate.issued_at, site),
        "reason": reason,
    }


def _drawings(view: RecordView, site: Site) -> list[Json]:
    plan = view.record.plan
    if plan is None:
        return []
    drawings = plan_drawings(ComputedPlan.from_dict(plan.data), site.unit_system)
    return [drawing_part(svg, f"{caption} (plan {plan.revision})") for svg, caption in drawings]


def _signers(view: RecordView) -> list[User]:
    found = {
        stage.stage.signed_by_id: stage.stage.signed_by for stage in view.stages if stage.stage.signed_by
    }
    return list(found.values())


def _names(view: RecordView) -> str:
    return ", ".join(user.name for user in _signers(view)) or "not signed"


def _technician(user: User, sign_off: SignOff, site: Site) -> Json:
    technician = Technician.objects.filter(user=user).select_related("crew").first()
    return {
        "name": user.name,
        "crew": technician.crew.name if technician and technician.crew else "",
        "credentials": _credentials(user, sign_off, site),
    }


def _credentials(user: User, sign_off: SignOff, site: Site) -> list[str]:
    """Credentials as they stood on the day of the sign-off."""
    technician = Technician.objects.filter(user=user).first()
    if technician is None:
        return []
    day = sign_off.at.astimezone(ZoneInfo(site.time_zone)).date()
    return [credential_words(one, day, site) for one in technician.credentials.all()]


def _sign_off(sign_off: SignOff, site: Site) -> Json:
    return {
        "name": sign_off.signature.name,
        "role": sign_off.by.get_role_display().lower(),
        "on": moment_words(sign_off.at, site),
        "signature": parts.signature_part(sign_off.signature),
        "credentials": _credentials(sign_off.by, sign_off, site),
        "own_work": words.OWN_WORK if sign_off.own_work else "",
    }


def _next_due(sign_off: SignOff, site: Site, now: datetime) -> list[Json]:
    today = now.astimezone(ZoneInfo(site.time_zone)).date()
    services = ServiceSchedule.objects.filter(installation=sign_off.record.job.installation, ended_on=None)
    return [
        {
            "service": service.get_kind_display(),
            "due_on": ("overdue since " if service.is_overdue(today) else "")
            + day_words(service.next_due_on, site),
            "source": stored_source_words(service.source),
        }
        for service in services
    ]
