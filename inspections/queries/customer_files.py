"""The files of a customer's export: which there are, what they are called, and where they come from."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from dataclasses import dataclass
from typing import TypeVar, cast

from django.core.files.storage import default_storage
from django.template.loader import render_to_string
from django.utils.text import slugify

from inspections.checklists import checklist_get
from inspections.errors import InspectionsError
from inspections.models import Answer, Photo, Signature
from inspections.models.customer_data import HELD
from jobs.models import Customer, Document

_Row = TypeVar("_Row", Document, Photo, Signature)
#: Letters of a hash in a file's name: enough to tell any two of a shop apart.
MARK = 12
PIECE = 1024 * 1024


@dataclass(frozen=True)
class KeptFile:
    """One file that goes into an export."""

    #: The row that names it: label of the model, and key.
    row: tuple[str, int]
    path: str
    words: str
    sha256: str
    #: Where it lies in storage; empty for one that is made of `content`.
    stored: str = ""
    content: bytes = b""

    def pieces(self) -> Iterator[bytes]:
        """Yield its bytes, a piece at a time."""
        if not self.stored:
            yield self.content
            return
        with default_storage.open(self.stored) as file:
            while piece := file.read(PIECE):
                yield piece

    def wanting(self) -> str:
        """Return why it cannot be had as it was kept; empty when it can."""
        if not self.stored:
            return ""
        digest = hashlib.sha256()
        try:
            for piece in self.pieces():
                digest.update(piece)
        except FileNotFoundError:
            return "The file is missing from storage."
        return "" if digest.hexdigest() == self.sha256 else "The file is not the one that was kept."


def files_of(customer: Customer) -> list[KeptFile]:
    """Return a customer's papers, photo originals and drawn signatures, in a fixed order."""
    return [*_papers(customer), *_photos(customer), *_signatures(customer)]


def _papers(customer: Customer) -> Iterator[KeptFile]:
    for paper in _rows(Document, customer):
        if paper.done_at is None or not paper.file:
            continue
        name = f"{paper.done_at:%Y-%m-%d}-{slugify(paper.title)[:60]}-{paper.sha256[:MARK]}"
        yield KeptFile(
            row=(Document._meta.label, paper.pk),
            path=f"papers/{name}.pdf",
            words=f"{paper.title}, made {paper.done_at:%-d %B %Y}",
            sha256=paper.sha256,
            stored=str(paper.file),
        )


def _photos(customer: Customer) -> Iterator[KeptFile]:
    answers = Answer.objects.filter(photo__in=_rows(Photo, customer)).select_related("stage__record")
    shown = {answer.photo_id: answer for answer in answers}
    for photo in _rows(Photo, customer):
        if not photo.original:
            continue
        answer = shown.get(photo.pk)
        job = f"J-{photo.job_id:04d}"
        key = f"{answer.stage.key} {answer.item}" if answer else "not used"
        name = f"{job}-{slugify(key.replace('_', '-'))[:70]}-{photo.sha256[:MARK]}"
        what = _asked(answer) if answer else "not used for an answer"
        yield KeptFile(
            row=(Photo._meta.label, photo.pk),
            path=f"photos/{name}.{photo.extension}",
            words=f"{job}, {what} ({photo.requested_at:%-d %B %Y})",
            sha256=photo.sha256,
            stored=str(photo.original),
        )


def _asked(answer: Answer) -> str:
    """What a photo was to show, in the words of its checklist where that is still installed."""
    record = answer.stage.record
    try:
        stage = checklist_get(record.checklist, record.checklist_version).stage(answer.stage.key)
    except InspectionsError:
        stage = None
    item = stage.item(answer.item) if stage else None
    if stage and item:
        return f"{stage.title}: {item.ask}"
    return f"{answer.stage.key} {answer.item}".replace("_", " ")


def _signatures(customer: Customer) -> Iterator[KeptFile]:
    for signature in _rows(Signature, customer):
        if not signature.strokes:
            continue
        drawn = render_to_string("privacy/signature.svg", {"signature": signature}).encode()
        name = f"{signature.signed_at:%Y-%m-%d}-{slugify(signature.name)[:40]}-{signature.pk}"
        yield KeptFile(
            row=(Signature._meta.label, signature.pk),
            path=f"signatures/{name}.svg",
            words=f"Signature of {signature.name}, {signature.signed_at:%-d %B %Y}",
            sha256=hashlib.sha256(drawn).hexdigest(),
            content=drawn,
        )


def _rows(model: type[_Row], customer: Customer) -> list[_Row]:
    held = next(one for one in HELD if one.model is model)
    # What a paper says is large, and its file is what counts.
    rows = held.rows(customer).defer("context") if model is Document else held.rows(customer)
    return cast("list[_Row]", list(rows))
