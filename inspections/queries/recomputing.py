"""What a certificate rests on, computed once more: from the database, or from nothing but its file."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

from calcs.recompute import KeptPlan
from calcs.rulebook import FOLDER
from inspections.errors import InspectionsError
from inspections.models import Certificate, SiteRecord
from inspections.queries.embedded_record import record_in_pdf
from jobs.queries.paper_parts import Json
from jobs.queries.recomputing import (
    Recomputation,
    copies_unlike,
    kept_recompute,
    plan_recompute,
    with_copies,
)

_INPUTS = ("survey", "appliance", "chimney")
_SERIAL = re.compile(r"FW-0*([1-9]\d{0,8})", re.IGNORECASE)


def certificate_recompute(certificate: Certificate, *, folder: Path = FOLDER) -> Recomputation:
    """Compute the plan behind a certificate once more, and compare every copy of it on file."""
    record = certificate.sign_off.record
    if record.plan is None:
        raise _no_plan(certificate.serial)
    recomputed = plan_recompute(record.plan, folder=folder)
    title = f"{certificate.serial}: {recomputed.title}"
    return with_copies(recomputed, title, _copies(certificate, record))


def pdf_recompute(content: bytes, *, folder: Path = FOLDER) -> Recomputation:
    """Compute the plan in a certificate's file once more, by what the file holds.

    Where the shop has the certificate, the file's plan is held against the one on file as well.
    """
    record = record_in_pdf(content)
    try:
        serial, plan, limits = record["certificate"]["serial"], record["plan"], record["limits"]
        if plan is None:
            raise _no_plan(serial)
        kept = KeptPlan(
            rulebook=plan["rule_book"],
            edition=plan["rule_book_edition"],
            schema=plan["schema"],
            inputs={name: plan["inputs"][name] for name in _INPUTS},
            limits=dict(limits),
            digest=plan.get("rule_book_sha256") or "",
        )
        title = f"{serial}: plan {plan['revision']}, from the file alone"
    except (KeyError, TypeError, ValueError) as error:
        raise InspectionsError("record_broken", f"The record in the file lacks a part ({error}).") from error
    recomputed = Recomputation(title, kept_recompute(kept, folder=folder))
    certificate = certificate_by_serial(serial)
    if certificate is None:
        return recomputed
    return with_copies(recomputed, title, _unlike_on_file(record, certificate))


def certificate_by_serial(serial: object) -> Certificate | None:
    """Return the certificate of a serial as printed; None where the shop has none."""
    told = _SERIAL.fullmatch(str(serial))
    if told is None:
        return None
    certificates = Certificate.objects.select_related("document", "sign_off__record__plan")
    return certificates.filter(number=int(told[1])).first()


def _no_plan(serial: str) -> InspectionsError:
    return InspectionsError(
        "no_plan",
        f"{serial} rests on no plan of its own: its limits came from the house's last plan, the listings and"
        " the rule book when the work began. There is nothing to compute anew.",
    )


def _copies(certificate: Certificate, record: SiteRecord) -> Iterator[str]:
    plan = record.plan
    assert plan is not None  # noqa: S101  (the caller has looked)
    yield from copies_unlike(
        plan.data["limits"], record.limits, name="limits", where=("in the plan", "pinned when work began")
    )
    frozen = _frozen(certificate)
    if frozen is not None:
        where = ("in the plan", f"in {certificate.serial}")
        inputs = {name: plan.data[name] for name in _INPUTS}
        yield from copies_unlike(inputs, frozen["plan"]["inputs"], name="inputs", where=where)
        yield from copies_unlike(plan.data["limits"], frozen["limits"], name="limits", where=where)


def _unlike_on_file(record: Json, certificate: Certificate) -> Iterator[str]:
    frozen = _frozen(certificate)
    if frozen is not None:
        where = ("in the file", "on file in the shop")
        for name in ("plan", "limits"):
            yield from copies_unlike(record[name], frozen[name], name=name, where=where)


def _frozen(certificate: Certificate) -> Json | None:
    """Return the record as it was frozen for the paper; None where it is no longer on file."""
    embedded: Json = certificate.document.context.get("embedded") or {}
    return embedded.get("content")
