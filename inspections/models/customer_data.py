"""What is kept about a customer: one table of every model that hangs on one, and of every column with words.

The export and the erasing both go by it, and tests hold it against the models: a model that is added later is
neither forgotten by the one nor missed by the other. docs/privacy.md gives the reasons at length.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from django.db.models import Model, Q, QuerySet

from inspections import models as found
from jobs import models as shop
from jobs.evidence_rows import ERASED
from jobs.models.customer import new_link_token

#: What stands where words were, in a column that may not be empty.
WORD = ERASED
#: An address in a domain that never is one (RFC 2606).
NO_ADDRESS = "erased@erased.invalid"


@dataclass(frozen=True)
class Leave:
    """What erasing leaves in a column, and in which rows. A word is left only where there were some."""

    value: Any
    where: Q = field(default_factory=Q)
    #: Makes another value for each customer.
    fresh: Callable[[], Any] | None = None
    #: The file that the column names goes with it.
    file: bool = False


EMPTY, WORDED, NO_RECORD, NO_FILE = Leave(""), Leave(WORD), Leave({}), Leave("", file=True)


@dataclass(frozen=True)
class Held:
    """One model that says something about a customer."""

    model: type[Model]
    #: What its rows are called in the export.
    name: str
    #: What they are, for people.
    words: str
    #: Ways from a row to the customer, as queries write them.
    ways: tuple[str, ...]
    #: Columns that erasing blanks.
    private: Mapping[str, Leave] = field(default_factory=dict)
    #: Columns with words, JSON or a file that stay.
    technical: tuple[str, ...] = ()
    #: Columns that are not in the export, each with the reason.
    without: Mapping[str, str] = field(default_factory=dict)
    #: Why no row of it is in the export.
    left_out: str = ""
    #: Erasing removes its rows.
    goes: bool = False

    def rows(self, customer: shop.Customer) -> QuerySet[Model]:
        """Return the rows about one customer, in the order in which they were written."""
        about = Q()
        for way in self.ways:
            about |= Q(**{way: customer.pk})
        rows = self.model._default_manager.all()
        return rows.filter(pk__in=rows.filter(about).order_by().values("pk")).order_by("pk")


_HOUSE = "installation__site__customer"
_JOB = f"job__{_HOUSE}"
_RECORD = f"record__{_JOB}"
_STAGE = f"stage__{_RECORD}"

HELD: tuple[Held, ...] = (
    Held(
        shop.Customer, "customer", "Who you are and how the shop reaches you", ("pk",),
        private={
            "name": Leave("Erased customer"), "email": EMPTY, "phone": EMPTY, "notes": EMPTY,
            "link_token": Leave("", fresh=new_link_token),
        },
        without={"link_token": "It opens the private page: whoever reads this file need not hold that key."},
    ),
    Held(
        shop.Site, "sites", "Houses, how to get in and what a crew must look out for", ("customer",),
        private={
            "label": WORDED, "street": WORDED, "city": WORDED, "postcode": EMPTY,
            "access_notes": EMPTY, "hazard_notes": EMPTY,
        },
        technical=("region", "time_zone", "as_typed"),
    ),
    Held(
        shop.Installation, "installations", "Stoves and chimneys in these houses", ("site__customer",),
        private={"room": WORDED}, technical=("serial_number",),
    ),
    Held(
        shop.Appliance, "appliances", "The makers' figures of your stoves",
        ("installations__site__customer",),
        technical=("maker", "model", "listing_reference", "as_typed"),
    ),
    Held(
        shop.Chimney, "chimneys", "The makers' figures of your chimneys",
        ("installations__site__customer",),
        technical=(
            "maker", "model", "listing_reference", "designation", "flue_type", "flue_category",
            "suits_appliances", "as_typed",
        ),
    ),
    Held(
        shop.ChimneySection, "chimney_sections", "The lengths such a chimney is made of",
        ("chimney__installations__site__customer",),
        technical=("name", "as_typed"),
        without={"cost": "What the shop pays for it, which is not about you."},
    ),
    Held(
        shop.Survey, "surveys", "What was measured in the house before planning", (_HOUSE,),
        private={"notes": EMPTY},
        technical=(
            "rear_protection", "side_protection", "connector_protection", "framing_stock", "obstacles",
            "hearth_layers", "tolerances", "as_typed",
        ),
    ),
    Held(
        shop.Plan, "plans", "What was computed from a survey, and by which rules", (_HOUSE,),
        technical=("rule_book", "rule_book_edition", "data"),
    ),
    Held(shop.Job, "jobs", "Pieces of work", (_HOUSE,), private={"note": EMPTY}),
    Held(
        shop.JobStatusChange, "status_changes", "How each job moved on", (_JOB,),
        private={"reason": EMPTY}, technical=("old",),
    ),
    Held(shop.Visit, "visits", "When a crew came or was to come", (_JOB,), private={"note": EMPTY}),
    Held(
        shop.Permit, "permits", "Permits and notices", (_JOB,),
        private={"authority": WORDED, "number": EMPTY},
    ),
    Held(
        found.SiteRecord, "records", "Records of site work: the checklist and the limits that held", (_JOB,),
        technical=("checklist", "checklist_digest", "facts", "limits"),
    ),
    Held(found.StageRecord, "stages", "Stages of these records", (_RECORD,), technical=("key",)),
    Held(
        found.Answer, "answers", "What was measured, confirmed and noted at the house", (_STAGE,),
        # Every other answer is a figure, or a word of the checklist's own.
        private={"raw_text": Leave(WORD, where=Q(kind="note"))},
        technical=("item", "unit", "limit", "device"),
    ),
    Held(
        found.Defect, "defects", "What was wrong, and when it was put right", (_STAGE,),
        # A rule of the rule book has a kind; without one it is what somebody wrote.
        private={
            "description": WORDED, "place": EMPTY, "rule": Leave({}, where=Q(rule__kind="")),
        },
        technical=("item", "measure"),
    ),
    Held(
        found.DefectGrading, "defect_gradings", "How grave an inspector found a defect",
        (f"defect__{_STAGE}",), private={"reason": WORDED},
    ),
    Held(
        found.CarriedDefect, "carried_defects", "Defects that a later job took over",
        (_JOB, f"defect__{_STAGE}"),
    ),
    Held(
        found.DoNotUseNotice, "notices", "Notices that a stove was not to be used", (f"defect__{_STAGE}",),
        private={"lifted_by_what": WORDED},
    ),
    Held(
        found.Waiver, "waivers", "Defects that an inspector accepted, and why", (f"defect__{_STAGE}",),
        private={"authority": WORDED, "reason": WORDED},
    ),
    Held(
        found.StageReturn, "stage_returns", "Stages that were sent back to the crew", (_STAGE,),
        private={"reason": WORDED},
    ),
    Held(found.SignOff, "sign_offs", "Who answers for a record", (_RECORD,), private={"remarks": EMPTY}),
    Held(
        found.SignOffReopening, "reopenings", "Closed jobs that were opened again, and why",
        (f"sign_off__{_RECORD}",), private={"reason": WORDED},
    ),
    Held(
        found.Signature, "signatures", "Signatures; each drawn one is a picture in this file as well",
        (_STAGE, f"stage_return__{_STAGE}", f"sign_off__{_RECORD}"),
        # Staff answer for their work with their name; somebody else's signature is nobody's proof of work.
        private={"name": Leave(WORD, where=Q(user=None)), "strokes": Leave([], where=Q(user=None))},
    ),
    Held(
        found.Certificate, "certificates", "Closing certificates by number", (f"sign_off__{_RECORD}",),
        private={"reason": WORDED}, technical=("verify_key",),
    ),
    Held(
        found.CertificateWithdrawal, "withdrawals", "Certificates that no longer count, and why",
        (f"certificate__sign_off__{_RECORD}",), private={"reason": WORDED},
    ),
    Held(
        found.Photo, "photos", "Photos of the work; the originals are in this file", (_JOB,),
        private={"original": NO_FILE, "thumbnail": NO_FILE, "print_copy": NO_FILE},
        technical=("sha256", "extension", "last_error"),
        without={
            "thumbnail": "A small copy of the original, which is here.",
            "print_copy": "A smaller copy of the original, which is here.",
        },
    ),
    Held(
        found.PhotoPart, "photo_parts", "Pieces of photos on their way", (_JOB,), goes=True,
        left_out="A piece becomes a photo when the last one has come, or is dropped after a month.",
    ),
    Held(
        found.TabletEntry, "tablet_entries", "What was entered on tablets, as it was sent", (_JOB,),
        private={"raw": NO_RECORD, "digest": EMPTY, "sentence": EMPTY, "said": EMPTY},
        technical=("stage", "item", "device", "app", "code", "tablet_verdict", "margin"),
    ),
    Held(
        found.LateLook, "late_looks", "What an inspector said of entries that came too late",
        (f"entry__{_JOB}",), private={"note": WORDED},
    ),
    Held(
        shop.Document, "papers", "Papers the shop made; they are in this file", (_JOB,),
        private={"context": NO_RECORD, "file": NO_FILE},
        technical=("title", "sha256", "seal_note", "last_error"),
        without={"context": "What the paper says, and the paper is here."},
    ),
    Held(
        shop.ServiceSchedule, "services", "What falls due every year", (_HOUSE,), technical=("source",),
    ),
    Held(shop.Reminder, "reminders", "When you were reminded, or why you were not", (_HOUSE,)),
    Held(
        shop.BookingRequest, "bookings", "Visits you asked for", (_HOUSE,), private={"wish": EMPTY},
    ),
    Held(
        shop.OutgoingMail, "mails", "Mails to you or about you", ("customer",),
        private={
            "to": Leave(NO_ADDRESS), "subject": WORDED, "text": EMPTY, "html": EMPTY, "headers": NO_RECORD,
            "last_error": EMPTY,
        },
        technical=("message_id",),
        without={
            "html": "The same words as in the text, with colours.",
            "headers": "They hold the address that opens the private page.",
        },
    ),
    Held(
        shop.DocumentAccess, "accesses", "Who was given a paper or a photo's original, and when",
        ("customer",), technical=("subject", "sha256"),
    ),
    Held(
        shop.CustomerExport, "exports", "When a file like this one was asked for", ("customer",),
        private={"file": NO_FILE}, technical=("sha256", "last_error"),
        without={"file": "A file cannot hold itself."},
    ),
    Held(
        shop.EvidenceEvent, "evidence_events", "The chain that shows whether a record was changed",
        (_JOB,),
        technical=("kind", "subject", "by_name", "device", "facts", "private_commitment", "previous", "hash"),
    ),
    Held(
        shop.EvidencePrivate, "evidence_private", "What that chain vouches for without saying it",
        (f"event__{_JOB}",), goes=True,
    ),
    Held(
        shop.Erasure, "erasures", "That personal data was erased, and why", ("customer",),
        technical=("reason",),
    ),
    Held(
        shop.FileRemoval, "file_removals", "Files to be removed after erasing", ("customer",),
        technical=("stems", "last_error"),
        left_out="Only names of files that are no longer there.",
    ),
)  # fmt: skip

#: What rows about a customer point to and is not about the customer.
NOT_THEIRS: Mapping[type[Model], str] = {
    shop.User: "People of the shop: their names and roles stand in the rows they wrote.",
    shop.Crew: "Crews of the shop: their names stand in the visits.",
    shop.SealCertificate: "The shop's public certificates: whoever has a sealed paper has them.",
}
