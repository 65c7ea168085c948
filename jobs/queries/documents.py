"""Which documents somebody may see."""

from __future__ import annotations

from dataclasses import dataclass

from django.db.models import BooleanField, Exists, ExpressionWrapper, OuterRef, Q, QuerySet

from jobs.models import (
    NUMBERED,
    Country,
    Customer,
    Document,
    DocumentKind,
    Job,
    JobKind,
    JobStatus,
    Role,
    User,
)
from jobs.permissions import BOOKS
from jobs.queries.jobs import in_visible_jobs

#: Who asks for a work pack, and who tries a paper that failed once more.
PACK = (*BOOKS, Role.INSTALLER)
RETRY = (*BOOKS, Role.INSPECTOR)
#: Papers of which a job may have several that count, side by side.
STAND_ALONE = (DocumentKind.NOTICE,)


def documents_visible_to(user: User) -> QuerySet[Document]:
    """Return the documents of the jobs a user may see, each with `is_replaced`."""
    return _marked(Document.objects.filter(in_visible_jobs(user, "job")))


def documents_of_job(job: Job) -> QuerySet[Document]:
    """Return a job's documents, newest first, each with `is_replaced`."""
    return _marked(job.documents.all())


def documents_for_customer(customer: Customer) -> QuerySet[Document]:
    """Return the finished papers a customer may read, newest first, each with `is_replaced`."""
    papers = Document.objects.filter(
        job__installation__site__customer=customer, for_customer=True, done_at__isnull=False
    ).exclude(file="")
    return _marked(papers).select_related("job__installation__site")


def replacement_of(document: Document) -> Document | None:
    """Return the newest paper of the same kind for the same job, if it is another one."""
    if document.kind in STAND_ALONE:
        return None
    kinds = _same_place(document.kind)
    newest = Document.objects.filter(job=document.job_id, kind__in=kinds).order_by("-pk").first()
    return newest if newest and newest.pk != document.pk else None


#: Jobs that provide a flue or change one, after which the house needs its plate or label.
FLUE_WORK = frozenset({JobKind.NEW_INSTALLATION, JobKind.REPAIR})


@dataclass(frozen=True)
class Offer:
    """A paper that may be asked for now: what the button says, and the address it goes to."""

    words: str
    address: str


def paper_offers(job: Job) -> tuple[Offer, ...]:
    """Return the papers that somebody who asks for papers may ask for as a job stands."""
    if job.installation.site.customer.erased_at is not None:
        return ()
    if job.is_open:
        return (
            Offer("Make the work pack", "work_pack_request"),
            Offer("Make the care sheet", "care_sheet_request"),
        )
    if job.status != JobStatus.CLOSED:
        return ()
    offers = [Offer("Make the care sheet", "care_sheet_request")]
    closing = job.documents.filter(kind__in=NUMBERED).defer("context").order_by("-pk").first()
    if closing is not None and closing.kind == DocumentKind.CERTIFICATE and closing.withdrawn_at is None:
        offers.append(Offer("Make the hand-over pack", "hand_over_request"))
        if job.kind in FLUE_WORK:
            offers.append(Offer("Make the flue label", "flue_label_request"))
    if job.kind in FLUE_WORK and job.installation.site.country == Country.GB:
        offers.append(Offer("Make the notice plate", "notice_plate_request"))
    return tuple(offers)


@dataclass(frozen=True)
class DocumentBox:
    """A job's papers as one person sees them, and what that person may do about them."""

    job: Job
    documents: list[Document]
    may_retry: bool
    offers: tuple[Offer, ...]
    may_see_accesses: bool
    refusal: str = ""

    @property
    def waits(self) -> bool:
        """Whether the box changes by itself soon."""
        return any(document.is_pending for document in self.documents)


def document_box(*, job: Job, user: User, refusal: str = "") -> DocumentBox:
    """Return the box of papers on a job's page."""
    return DocumentBox(
        job=job,
        documents=list(documents_of_job(job)),
        may_retry=user.role in RETRY,
        offers=paper_offers(job) if user.role in PACK else (),
        may_see_accesses=user.role in BOOKS,
        refusal=refusal,
    )


def _marked(documents: QuerySet[Document]) -> QuerySet[Document]:
    # A job has one work pack and one certificate or report that count: the newest.
    newer = Document.objects.filter(job=OuterRef("job"), pk__gt=OuterRef("pk"))
    of_kind = newer.filter(kind=OuterRef("kind")).exclude(kind__in=STAND_ALONE)
    closing = newer.filter(kind__in=NUMBERED)
    is_replaced = Exists(of_kind) | Q(Exists(closing), kind__in=NUMBERED)
    return documents.annotate(is_replaced=ExpressionWrapper(is_replaced, output_field=BooleanField())).defer(
        "context"
    )


def _same_place(kind: str) -> frozenset[str]:
    return NUMBERED if kind in NUMBERED else frozenset({kind})
