"""What the tablet computes with no signal is what the server computes: texts, verdicts and whole records."""

from __future__ import annotations

import contextlib
import os
import random
import uuid
from typing import Any

import pytest

from calcs.quantity_kinds import KINDS
from calcs.units import UnitError, format_length, format_quantity, parse_length, parse_quantity
from inspections.checklists import Item
from inspections.errors import InspectionsError
from inspections.models import SiteRecord
from inspections.queries.records import record_view
from inspections.services.answers import answer_record
from inspections.services.defects import defect_grade, defect_report, waiver_accept
from inspections.services.reading import answer_read
from inspections.services.records import record_begin
from inspections.services.returns import record_return
from inspections.services.stages import stage_sign
from jobs.errors import JobsError
from jobs.models import Job
from tests.factories import NOW
from tests.inspections.agreeing import (
    Hand,
    bundle_json,
    device_entry,
    differences,
    receipt,
    told_by_server,
    told_by_tablet,
)
from tests.inspections.closing import INK, job_ready_to_begin
from tests.inspections.sending import SIGNED, Tablet, entry
from tests.node import tablet_asked

PARTS = (
    *"01234567890123456789", " ", " ", "-", "/", ".", ",", "'", '"', "½", "⅞", "′", "″", "’", "°", "+", "−",
    "in", "ft", "mm", "cm", "m", "ft.", "inches", "1/2", "22", "10 1/2", "Pa", "in w.c.", "%", "F", "C",
    "m2", "mm²", "per", "/ft", "6/12", "in 40", " ft2 h F/Btu", "R", "RSI ", "±", "Btu/h", "\u00a0", "\t",
    "\n", "ſ", "İ", "K", "\ufeff", "\x85", "\x1c", "\u2028", "🔥",
)  # fmt: skip
UNITS = (
    "", "in", "ft", "mm", "cm", "m", "'", '"', "Pa", "in w.c.", "mm H2O", "F", "C", "K", "%", "mm/m",
    "in per ft", "m2K/W", "ft2 h F/Btu", "in2", "sq ft", "kW", "Btu/h",
)  # fmt: skip
#: One run through every kind of house; more where somebody asks for them.
SEEDS = range(int(os.environ.get("FLUEWRIGHT_SEEDS", "1")))
KINDS_READ = ("length", "ratio", "percent", "count", "slope", *KINDS)
SEVERITIES = ("danger", "correct", "advice", "")
HOUSES = [("new installation", "imperial"), ("annual sweep", "metric"), ("inspection on sale", "metric")]


@pytest.fixture(params=HOUSES, ids=" ".join)
def house(request, office, technician) -> Job:
    """A job in a house of either system of units, as the crew drives there."""
    kind, system = request.param
    return job_ready_to_begin(office=office, crew=technician.crew, kind=kind, site__unit_system=system)


def texts(dice: random.Random, count: int) -> list[str]:
    """Texts near to what people type, and far from it."""
    found = []
    for _ in range(count):
        if dice.random() < 0.5:
            found.append("".join(dice.choice(PARTS) for _ in range(dice.randint(0, 9))))
            continue
        number = dice.choice(
            [
                str(dice.randint(0, 99_999)),
                f"{dice.uniform(0, 9999):.{dice.randint(0, 12)}f}",
                f"{dice.randint(0, 99)} {dice.randint(0, 9)}/{dice.randint(0, 64)}",
                str(dice.randint(0, 5_120_000) / 512),
            ]
        )
        found.append(number + dice.choice(["", " "]) + dice.choice(UNITS))
    return found


def said(function: Any, *given: Any, **told: Any) -> dict[str, Any]:
    """Return what a function says, in the shape of tests.node.tablet_asked."""
    try:
        return {"value": function(*given, **told)}
    except UnitError as error:
        return {"code": error.code, "sentence": str(error)}


def assert_same(calls: list[tuple[str, list[Any]]], wanted: list[dict[str, Any]]) -> None:
    told = tablet_asked(calls)
    wrong = [(call, want, got) for call, want, got in zip(calls, wanted, told, strict=True) if want != got]
    assert wrong[:3] == []


@pytest.mark.parametrize("seed", range(3))
def test_any_text_is_the_same_figure_or_the_same_refusal_on_both(seed):
    dice = random.Random(seed)
    calls: list[tuple[str, list[Any]]] = []
    wanted = []
    for text in texts(dice, 5000):
        unit = dice.choice(["in", "ft", "mm", "cm", "m"])
        calls.append(("lengths.parseLength", [text, unit]))
        wanted.append(said(parse_length, text, unit))
        kind, unit = dice.choice(KINDS_READ), dice.choice(["", "", "Pa", "F", "mm", "%", "m2K/W"])
        calls.append(("quantities.parseQuantity", [text, kind, unit]))
        wanted.append(said(parse_quantity, text, kind, unit))
    assert {"value", "code"} <= {name for one in wanted for name in one}
    assert_same(calls, wanted)


def test_any_figure_is_written_the_same_on_both():
    dice = random.Random(11)
    calls: list[tuple[str, list[Any]]] = []
    wanted = []
    for _ in range(5000):
        value = dice.choice(
            [
                dice.uniform(-3, 30),
                dice.uniform(-0.01, 0.5),
                dice.randint(-40_000, 40_000) / 16 * 0.0254,
                dice.randint(0, 9999) / 1000,
                dice.randint(0, 1000) / 512,
                10 ** dice.uniform(-8, 9),
            ]
        )
        system, rounding = dice.choice(["metric", "imperial"]), dice.choice(["nearest", "up", "down"])
        kind = dice.choice(KINDS_READ)
        calls.append(("quantities.formatQuantity", [value, kind, system, {"rounding": rounding}]))
        wanted.append(said(format_quantity, value, kind, system, rounding=rounding))
        calls.append(("lengths.formatLength", [value, system, {"rounding": rounding, "feetFrom": 10}]))
        wanted.append(said(format_length, value, system, feet_from=10, rounding=rounding))
    assert_same(calls, wanted)


@pytest.mark.django_db
def test_any_answer_is_read_the_same_on_both(house, installer):
    job, system = house, house.installation.site.unit_system
    record = record_begin(job=job, by=installer, now=NOW)
    dice = random.Random(system)
    items = {
        item["key"]: item for stage in bundle_json(job, installer, NOW)["stages"] for item in stage["items"]
    }
    views = {item.key: item for stage in record_view(record).stages for item in stage.items}
    typed = texts(dice, 1500)
    calls: list[tuple[str, list[Any]]] = []
    wanted = []
    for key, view in views.items():
        words = [option.key for option in view.item.options]
        shared = ["yes", " NO", "cannot tell", "Cannot Tell ", "", "yeſ", "x" * 4001, "é" * 4000, *words]
        for text in [*shared, *dice.sample(typed, 60 if view.item.kind == "measure" else 5)]:
            asked = {"item": items[key], "text": text, "system": system}
            calls.append(("reading.readAnswer", [asked]))
            wanted.append(_read(view.item, text, view.limit, system))
    assert_same(calls, wanted)


def _read(item: Item, text: str, limit: Any, system: str) -> dict[str, Any]:
    try:
        read = answer_read(item=item, raw_text=text, photo=None, limit=limit, system=system)
    except InspectionsError as error:
        return {"code": error.code, "sentence": error.sentence}
    told = {"text": read.raw_text, "value": read.value, "verdict": str(read.outcome), "margin": read.margin}
    return {"value": told}


def assert_agree(seen: list[tuple[dict[str, Any], dict[str, Any]]]) -> None:
    """Compare what the tablet makes of bundles and entries with what the server had said."""
    views = tablet_asked([("record.recordView", [given]) for given, _ in seen])
    for place, ((_, server), view) in enumerate(zip(seen, views, strict=True)):
        found = list(differences(server, told_by_tablet(view["value"])))
        assert found[:5] == [], f"at {place}"


@pytest.mark.django_db
@pytest.mark.parametrize("seed", SEEDS)
def test_a_record_looks_the_same_on_both(seed, house, installer, inspector):
    job = house
    record = record_begin(job=job, by=installer, now=NOW)
    hand = Hand(seed, job, installer)
    seen = []
    for step in range(100):
        with contextlib.suppress(JobsError):
            _do_something(hand, record, inspector)
        if step % 10 == 9:
            fresh = SiteRecord.objects.get(pk=record.pk)
            given = {"bundle": bundle_json(job, installer, hand.now), "entries": [], "receipts": []}
            seen.append((given, told_by_server(record_view(fresh))))
    assert_agree(seen)


def _do_something(hand: Hand, record: SiteRecord, inspector: Any) -> None:
    chance, view = hand.dice.random(), record_view(record)
    stage, defects = hand.stage(view), view.open_defects
    if defects and chance < 0.12:
        told = {"authority": "Building official", "reason": f"Accepted {hand.dice.randint(1, 99)}."}
        waiver_accept(defect=hand.dice.choice(defects), by=inspector, now=hand.later(), **told)
    elif chance < 0.16:
        about = hand.item(stage).key if hand.dice.random() < 0.5 else ""
        grave = hand.dice.choice([one for one in SEVERITIES if one])
        text = f"Dent {hand.dice.randint(1, 99)}"
        told = {"stage": stage.stage, "description": text, "item": about, "severity": grave}
        defect_report(by=hand.by, now=hand.later(), **told)
    elif defects and chance < 0.17:
        graded = {"severity": hand.dice.choice(SEVERITIES), "reason": "Looked again."}
        defect_grade(defect=hand.dice.choice(defects), by=inspector, now=hand.later(), **graded)
    elif stage.can_sign or chance < 0.18:
        stage_sign(stage=stage.stage, by=hand.by, name="", now=hand.later(), **INK)
    elif chance < 0.2:
        keys = [one.key for one in view.stages if one.signed][:1]
        record_return(record=record, by=inspector, reason="Look again", stages=keys, now=hand.later())
    else:
        item = hand.item(stage)
        text = hand.text(item)
        photo = hand.photo() if item.item.kind == "photo" and not text else None
        answer_record(
            stage=stage.stage, item=item.key, raw_text=text, by=hand.by, now=hand.later(), photo=photo
        )


@pytest.mark.django_db
@pytest.mark.parametrize("seed", SEEDS)
def test_entries_on_the_tablet_look_as_they_will_on_the_server(seed, house, installer):
    job = house
    tablet, hand = Tablet(job, installer), Hand(seed, job, installer)
    before = bundle_json(job, installer, NOW)
    begin = entry("begin")
    entries = [device_entry(begin, 1, job)]
    receipts = [receipt(entries[0], tablet.send_one(begin, now=hand.later()))]
    refused, seen = [], []
    record = SiteRecord.objects.get(job=job)
    for step in range(2, 102):
        sent = _entry(hand, record)
        result = tablet.send_one(sent, now=hand.later())
        made = device_entry(sent, step, job, result)
        entries.append(made)
        if result.outcome == "refused":
            refused.append(made)
        else:
            receipts.append(receipt(made, result))
        if step % 20 == 1:
            server = told_by_server(record_view(SiteRecord.objects.get(pk=record.pk)))
            seen.append(({"bundle": before, "entries": list(entries), "receipts": []}, server))
            seen.append(({"bundle": before, "entries": list(refused), "receipts": list(receipts)}, server))
            now = bundle_json(job, installer, hand.now)
            # The receipts are still kept, and the bundle holds what they tell.
            seen.append(({"bundle": now, "entries": list(refused), "receipts": list(receipts)}, server))
    assert_agree(seen)


def _entry(hand: Hand, record: SiteRecord) -> Any:
    chance, stage = hand.dice.random(), hand.stage(record_view(record))
    if stage.can_sign or chance < 0.04:
        return entry("signature", stage.key, signature=SIGNED)
    if chance < 0.1:
        about = hand.item(stage).key if hand.dice.random() < 0.5 else ""
        grave = {"severity": hand.dice.choice(SEVERITIES), "place": hand.dice.choice(("", "At the back"))}
        return entry("defect", stage.key, about, f" Dent {hand.dice.randint(1, 99)} ", **grave)
    if chance < 0.14:
        return entry("answer", *hand.stray_item(record), hand.dice.choice(["yes", "cannot tell", "1 in"]))
    item = hand.item(stage)
    stands = item.answer.answer.entry if item.answer else None
    saw = uuid.UUID(int=hand.dice.getrandbits(128)) if hand.dice.random() < 0.1 else stands
    told = {"saw": saw, "tells_what_it_saw": hand.dice.random() > 0.1}
    text = hand.text(item)
    if item.item.kind == "photo" and not text:
        photo = hand.photo()
        return entry("photo", stage.key, item.key, entry=photo.entry, sha256=photo.sha256, **told)
    return entry("answer", stage.key, item.key, text, **told)
