"""A record as the server and the tablet tell it, brought to one shape to be compared."""

from __future__ import annotations

import json
import random
from collections.abc import Iterator
from datetime import datetime, timedelta
from typing import Any

from inspections.checklists import checklist_get
from inspections.models import Photo, SiteRecord
from inspections.queries.bundles import bundle_of
from inspections.queries.evidence import ItemView, RecordView, StageView
from inspections.queries.gauge import Gauge
from inspections.services.sent_entries import EntryResult, SentEntry
from jobs.models import Job, User
from tests.factories import NOW
from tests.inspections.closing import photo_make

#: What somebody may type for a measure whatever it is, understood or not.
SCRIBBLE = (
    "22 1/2", "0", "1/16", "1' 2\"", "12 mm", "3 m", "571.5 mm", "40", "cannot tell", "Cannot tell", "-1",
    "221/2", "1,200", "about 3", "", "14 Pa", "0.06 in w.c.", "12", "18 %", "25", "1/4 in per ft", "2 %",
    "6/12", "0.14 m2K/W", "R 0.8", "28 in2", "18000 mm2", "999", "3", "0.05",
)  # fmt: skip
ANY_TEXT = {
    "confirm": ("yes", "yes", "Yes", " no ", "no", "cannot tell", "maybe"),
    "note": ("Nothing to add.", "  Swept twice.  ", "", "cannot tell"),
    "photo": ("cannot tell", ""),
}


def passing(item: ItemView) -> str:
    """Return a text that meets an item's limit, or is as good as any."""
    told, limit = item.item, item.limit
    if told.kind == "choose":
        return next(option.key for option in told.options if not option.fails)
    if told.kind != "measure" or limit is None:
        return {"confirm": "yes", "measure": "cannot tell", "photo": ""}.get(told.kind, "All well.")
    value = limit.minimum if limit.minimum is not None else limit.maximum
    unit = {
        "length": " m", "draft": " Pa", "thermal resistance": " m2K/W", "area": " m2", "count": "",
        "percent": " %", "slope": " %", "concentration": " ppm",
    }[told.quantity]  # fmt: skip
    shown = 100 * (value or 0.0) if told.quantity in {"percent", "slope"} else value or 0.0
    return f"{shown:.9g}{unit}"


class Hand:
    """Somebody who enters things, more often well than not, the same for the same seed."""

    def __init__(self, seed: int, job: Job, by: User) -> None:
        self.dice = random.Random(seed)
        self.job, self.by = job, by
        self.photos = 0
        self.now = NOW

    def later(self) -> datetime:
        """Let some time pass, sometimes none that a clock of milliseconds would show."""
        self.now += timedelta(microseconds=self.dice.choice((0, 1, 250, 1_000_000, 60_000_000)))
        return self.now

    def stage(self, view: RecordView) -> StageView:
        """Choose a stage: mostly the first that is open."""
        unsigned = [stage for stage in view.stages if not stage.signed]
        return unsigned[0] if unsigned and self.dice.random() < 0.85 else self.dice.choice(view.stages)

    def item(self, stage: StageView) -> ItemView:
        """Choose an item: mostly one that waits."""
        waiting = [item for item in stage.items if not item.settled]
        return self.dice.choice(waiting if waiting and self.dice.random() < 0.85 else stage.items)

    def text(self, item: ItemView) -> str:
        """Choose what to enter."""
        if self.dice.random() < 0.75:
            return passing(item)
        if item.item.kind == "choose":
            return self.dice.choice([*(option.key for option in item.item.options), "cannot tell", "none"])
        return self.dice.choice(ANY_TEXT.get(item.item.kind, SCRIBBLE))

    def photo(self) -> Photo:
        """Take a photo like no other."""
        self.photos += 1
        return photo_make(job=self.job, by=self.by, number=self.photos, now=self.now)

    def stray_item(self, record: SiteRecord) -> tuple[str, str]:
        """Choose any item of the checklist, asked or not, with its stage."""
        checklist = checklist_get(record.checklist, record.checklist_version)
        stage, item = self.dice.choice(list(checklist.items()))
        return stage.key, item.key


def bundle_json(job: Job, by: User, now: datetime) -> dict[str, Any]:
    """Return a job's bundle as a tablet gets it."""
    fresh = Job.objects.get(pk=job.pk)
    return json.loads(bundle_of(fresh, by, now).model_dump_json(by_alias=True))


def device_entry(sent: SentEntry, seq: int, job: Job, result: EntryResult | None = None) -> dict[str, Any]:
    """Return an entry as it stands on the tablet that made it."""
    refused = result is not None and result.outcome == "refused"
    ink = {"strokes": [], "width": 400, "height": 120, "name": ""}
    return {
        "version": 2 if sent.tells_what_it_saw else 1,
        "entry": str(sent.entry),
        "seq": seq,
        "job": job.pk,
        "kind": sent.kind,
        "stage": sent.stage,
        "item": sent.item,
        "text": sent.text,
        "saw": str(sent.saw) if sent.saw else None,
        "knew": sent.knew.isoformat() if sent.knew else "",
        "verdict": "",
        "severity": sent.severity,
        "place": sent.place,
        "taken_at": NOW.isoformat(),
        "signature": ink if sent.signature else None,
        "photo": {"sha256": sent.sha256, "size": 1, "media_type": "image/jpeg"} if sent.sha256 else None,
        "state": "refused" if refused else "waiting",
        "refusal": {"code": result.code, "sentence": result.sentence} if refused and result else None,
        "attempts": 0,
    }


def receipt(sent: dict[str, Any], result: EntryResult) -> dict[str, Any]:
    """Return what a tablet keeps of an entry the server took."""
    assert result.received_at is not None
    told = {name: getattr(result, name) for name in ("outcome", "code", "sentence", "verdict", "differs")}
    return {
        **told,
        "entry": sent["entry"],
        "job": sent["job"],
        "sent": sent,
        "said": result.said,
        "margin": result.margin,
        "received_at": result.received_at.isoformat(),
    }


def told_by_server(view: RecordView) -> dict[str, Any]:
    """Return a record as the server sees it, in the shape both are compared in."""
    return {
        "all_signed": view.all_signed,
        "open_defects": sorted(
            (one.item, one.description, one.grade, one.place) for one in view.open_defects
        ),
        "stages": [
            {
                "key": stage.key,
                "title": stage.title,
                "number": stage.number,
                "hold": stage.hold,
                "cautions": list(stage.cautions),
                "missing": list(stage.missing),
                "open_defects": [(one.item, one.description) for one in stage.open_defects],
                "locked_by": stage.locked_by,
                "can_sign": stage.can_sign,
                "signed": stage.signed,
                "answered": stage.answered,
                "state": stage.state,
                "items": [_server_item(item) for item in stage.items],
            }
            for stage in view.stages
        ],
    }


def _server_item(item: ItemView) -> dict[str, Any]:
    told = item.answer
    return {
        "key": item.key,
        "ask": item.item.ask,
        "how": item.item.how,
        "required": item.required,
        "limit_words": item.limit_text,
        "source_words": item.source_text,
        "answer": str(told.answer.entry) if told else None,
        "text": told.answer.raw_text if told else None,
        "value": told.answer.value if told else None,
        "said": told.said if told else None,
        "margin": told.margin if told else None,
        "verdict": item.verdict,
        "history": [str(one.answer.entry) for one in item.history],
        "defect": item.defect.description if item.defect else None,
        "waiver": item.waiver.reason if item.waiver else None,
        "settled": item.settled,
        "gauge": _server_gauge(item.gauge),
    }


def _server_gauge(gauge: Gauge | None) -> dict[str, Any] | None:
    if gauge is None:
        return None
    names = (
        "band_from", "band_width", "minimum_at", "maximum_at", "minimum_text", "maximum_text", "value_text",
        "value_at", "verdict", "words", "minimum_text_at", "maximum_text_at", "value_text_at", "mark",
    )  # fmt: skip
    return {name: getattr(gauge, name) for name in names}


def told_by_tablet(view: dict[str, Any]) -> dict[str, Any]:
    """Return a record as the tablet sees it, in the shape both are compared in."""
    return {
        "all_signed": view["all_signed"],
        "open_defects": sorted(
            (one["item"], one["description"], one["severity"], one["place"]) for one in view["openDefects"]
        ),
        "stages": [
            {
                **{name: stage[name] for name in ("key", "title", "number", "hold", "cautions", "missing")},
                "open_defects": [(one["item"], one["description"]) for one in stage["openDefects"]],
                "locked_by": stage["lockedBy"],
                "can_sign": stage["canSign"],
                "signed": stage["signed"] is not None,
                "answered": stage["answered"],
                "state": stage["state"],
                "items": [_tablet_item(item) for item in stage["items"]],
            }
            for stage in view["stages"]
        ],
    }


def _tablet_item(item: dict[str, Any]) -> dict[str, Any]:
    answer, asked = item["answer"], item["item"]
    assert item["stands"] == (answer and answer["entry"])
    return {
        "key": item["key"],
        **{name: asked[name] for name in ("ask", "how", "limit_words", "source_words")},
        "required": item["required"],
        "answer": answer and answer["entry"],
        **{name: answer and answer[name] for name in ("text", "value", "said", "margin")},
        "verdict": answer["verdict"] if answer else "",
        "history": [one["entry"] for one in item["history"] if _counted(one)],
        "defect": item["defect"] and item["defect"]["description"],
        "waiver": item["waiver"] and item["waiver"]["reason"],
        "settled": item["settled"],
        "gauge": item["gauge"] and {_snake(name): value for name, value in item["gauge"].items()},
    }


def _counted(answer: dict[str, Any]) -> bool:
    """Whether an answer counted once; what is here alone says so where it will come too late."""
    will_be_late = answer["where"] == "here" and answer["sentence"]
    return answer["where"] not in {"late", "refused"} and not will_be_late


def _snake(name: str) -> str:
    return "".join(f"_{sign.lower()}" if sign.isupper() else sign for sign in name)


def differences(one: Any, other: Any, where: str = "") -> Iterator[str]:
    """Name what differs between two told records, so that a failure can be read."""
    if isinstance(one, dict) and isinstance(other, dict):
        for key in sorted({*one, *other}):
            yield from differences(one.get(key), other.get(key), f"{where}.{key}")
    elif isinstance(one, list) and isinstance(other, list) and len(one) == len(other):
        for place, (left, right) in enumerate(zip(one, other, strict=True)):
            name = left.get("key", place) if isinstance(left, dict) else place
            yield from differences(left, right, f"{where}[{name}]")
    elif one != other:
        yield f"{where}: {one!r} against {other!r}"
