"""The rows of an embedded record: stages, answers, photos and signatures, as they were entered and in SI."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import overload

from inspections.models import Photo, Signature, StageReturn
from inspections.queries.evidence import AnswerView, ItemView, StageView
from jobs.queries.paper_parts import Json


@overload
def time_of(when: datetime) -> str: ...
@overload
def time_of(when: datetime | None) -> str | None: ...
def time_of(when: datetime | None) -> str | None:
    """Return a time as RFC 3339 writes it, in UTC; nothing where there is none."""
    return when.astimezone(UTC).isoformat().replace("+00:00", "Z") if when else None


def stage_row(stage: StageView) -> Json:
    """Return a stage with everything that was ever answered to its items."""
    signed = stage.stage
    return {
        "key": stage.key,
        "title": stage.title,
        "hold_point": stage.hold,
        "items": [_item(item) for item in stage.items],
        "signed_by": signed.signed_by.name if signed.signed_by else None,
        "signed_at": time_of(signed.signed_at),
        "signature": signature_row(stage.signature) if stage.signature else None,
        "sent_back": [_return(one) for one in stage.returns],
    }


def _item(item: ItemView) -> Json:
    latest = [item.answer] if item.answer else []
    return {
        "key": item.key,
        "kind": item.item.kind,
        "ask": item.item.ask,
        "required": item.required,
        "limit": item.item.limit or None,
        # Oldest first: the last one counts.
        "answers": [_answer(one) for one in reversed((*latest, *item.history))],
    }


def _answer(view: AnswerView) -> Json:
    answer = view.answer
    return {
        "entry": str(answer.entry),
        "typed": answer.raw_text,
        "value": answer.value,
        "unit": answer.unit,
        "limit": answer.limit,
        "outcome": answer.outcome,
        "margin": answer.margin,
        "photo_sha256": answer.photo.sha256 if answer.photo else None,
        "by": answer.by.name,
        "device": answer.device,
        "device_time": time_of(answer.device_time),
        "received_at": time_of(answer.received_at),
    }


def photo_row(photo: Photo) -> Json:
    """Return what an original is known by."""
    return {
        "sha256": photo.sha256,
        "extension": photo.extension,
        "bytes": photo.size,
        "width": photo.width,
        "height": photo.height,
    }


def signature_row(signature: Signature) -> Json:
    """Return a signature as it was drawn, or the name that was typed instead."""
    return {
        "name": signature.name,
        "at": time_of(signature.signed_at),
        "width": signature.width,
        "height": signature.height,
        "strokes": signature.strokes,
    }


def _return(one: StageReturn) -> Json:
    return {
        "by": one.by.name,
        "at": time_of(one.at),
        "reason": one.reason,
        "signed_by": one.signed_by.name,
        "signed_at": time_of(one.signed_at),
        "signature": signature_row(one.signature),
    }
