"""The record embedded in a certificate: plain JSON for machines, with this program or without.

Its shape is published as docs/schemas/certificate-record.2.json. It tells of a house, its chimney and the
work, and of those who answer for the work. Whoever lives there is on the certificate's page and not in here.
"""

from __future__ import annotations

from datetime import datetime

from inspections.models import Certificate, Defect, Photo, SignOff, SignOffReopening, Waiver
from inspections.queries.evidence import RecordView
from inspections.queries.recorded_stages import photo_row, signature_row, stage_row, time_of
from jobs.models import Permit, Plan, Shop, Site
from jobs.queries.paper_parts import Json

NAME, VERSION = "certificate-record", 2
FILE_NAME = f"{NAME}.json"
#: What of a stored plan was put in; the rest follows from it by the rule book of that edition.
_INPUTS = ("survey", "appliance", "chimney")


def certificate_record(
    *,
    view: RecordView,
    sign_off: SignOff,
    serial: str,
    address: str,
    supersedes: Certificate | None,
    reason: str,
    chain_head: str | None,
    now: datetime,
) -> Json:
    """Return the whole record behind one certificate.

    `chain_head` is the last link of the job's evidence chain, where there is one.
    """
    record, job = view.record, view.record.job
    installation = job.installation
    evidence = {} if chain_head is None else {"evidence": {"chain_head": chain_head}}
    return {
        "record": NAME,
        "version": VERSION,
        "certificate": {
            "serial": serial,
            "issued_at": time_of(now),
            "verify_at": address,
            "supersedes": supersedes
            and {"serial": supersedes.serial, "issued_at": time_of(supersedes.issued_at), "reason": reason},
        },
        "shop": _shop(Shop.current()),
        "job": {"number": job.number, "kind": job.kind, "begun_at": time_of(record.begun_at)},
        "site": _site(installation.site),
        "installation": {
            "room": installation.room,
            "appliance": str(installation.appliance),
            "appliance_serial_number": installation.serial_number,
            "chimney": str(installation.chimney),
        },
        "plan": _plan(record.plan),
        "facts": record.facts,
        "limits": record.limits,
        "checklist": {
            "key": record.checklist,
            "version": record.checklist_version,
            "sha256": record.checklist_digest,
        },
        "stages": [stage_row(stage) for stage in view.stages],
        "photos": [photo_row(photo) for photo in _photos(view)],
        "defects": [_defect(defect) for stage in view.stages for defect in stage.defects],
        "permits": [_permit(permit) for permit in job.permits.all()],
        "sign_off": _sign_off(sign_off),
        "earlier_sign_offs": [
            {**_sign_off(one.sign_off), "reopened": _reopened(one.reopening)}
            for one in view.earlier_sign_offs
        ],
        **evidence,
    }


def _shop(shop: Shop) -> Json:
    return {"name": shop.name, "registration": shop.registration}


def _site(site: Site) -> Json:
    fields = ("street", "city", "region", "postcode", "country", "time_zone", "unit_system")
    return {name: getattr(site, name) for name in fields}


def _plan(plan: Plan | None) -> Json | None:
    if plan is None:
        return None
    return {
        "revision": plan.revision,
        "made_at": time_of(plan.made_at),
        "schema": plan.schema,
        "rule_book": plan.rule_book,
        "rule_book_edition": plan.rule_book_edition,
        "rule_book_sha256": plan.data.get("rulebook_digest") or None,
        "inputs": {name: plan.data[name] for name in _INPUTS},
    }


def _photos(view: RecordView) -> list[Photo]:
    """Every photo that was ever an answer, not only those that count, each once."""
    answered = (
        said.answer.photo
        for stage in view.stages
        for item in stage.items
        for said in (*([item.answer] if item.answer else []), *item.history)
    )
    return list({photo.sha256: photo for photo in answered if photo}.values())


def _defect(defect: Defect) -> Json:
    waiver: Waiver | None = getattr(defect, "waiver", None)
    closed_by = defect.closed_by_answer
    return {
        "stage": defect.stage.key,
        "item": defect.item,
        "description": defect.description,
        "severity": defect.grade.value,
        "place": defect.place,
        "rule": defect.rule,
        "opened_by": defect.opened_by.name,
        "opened_at": time_of(defect.opened_at),
        "gradings": [
            {"severity": one.severity, "by": one.by.name, "reason": one.reason, "at": time_of(one.at)}
            for one in defect.gradings.all()
        ],
        "carried_to": [one.job.number for one in defect.carries.select_related("job")],
        "closed_at": time_of(defect.closed_at),
        "closed_by_entry": str(closed_by.entry) if closed_by else None,
        "waiver": waiver
        and {
            "by": waiver.by.name,
            "authority": waiver.authority,
            "reason": waiver.reason,
            "at": time_of(waiver.at),
        },
    }


def _sign_off(sign_off: SignOff) -> Json:
    return {
        "by": sign_off.by.name,
        "role": sign_off.by.role,
        "at": time_of(sign_off.at),
        "own_work": sign_off.own_work,
        "remarks": sign_off.remarks,
        "signature": signature_row(sign_off.signature),
    }


def _reopened(reopening: SignOffReopening) -> Json:
    return {"by": reopening.by.name, "at": time_of(reopening.at), "reason": reopening.reason}


def _permit(permit: Permit) -> Json:
    return {
        "authority": permit.authority,
        "number": permit.number,
        "outcome": permit.outcome,
        "issued_on": permit.issued_on.isoformat() if permit.issued_on else None,
        "final_inspection_on": permit.final_inspection_on.isoformat() if permit.final_inspection_on else None,
    }
