"""The stages of a job with everything the facts of the job ask for."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from typing import Any

from calcs.checks import Limit
from inspections.cards import hint_of, keyboard_of, keys_of
from inspections.checklists import Checklist, Item, Option
from inspections.models import SiteRecord, StageRecord, StageReturn
from inspections.queries import wording
from inspections.queries.applicable import facts_ask
from inspections.queries.bundle_pictures import picture_part
from inspections.queries.bundle_shape import (
    ConditionPart,
    ItemPart,
    LastTimePart,
    LimitPart,
    OptionPart,
    ReturnPart,
    SigningPart,
    StagePart,
)
from inspections.queries.last_time import LastTime


def stage_parts(
    checklist: Checklist,
    *,
    facts: Mapping[str, Any],
    limits: Mapping[str, Limit],
    plan_says: Mapping[str, list[str]],
    record: SiteRecord | None,
    last: Mapping[str, LastTime],
    system: str,
) -> list[StagePart]:
    """Return a checklist's stages as they stand; before the work begins none is signed."""
    asked = _asked(checklist, facts)
    signed = _signed(record)
    returns = _returns(record)
    return [
        StagePart(
            key=stage.key,
            title=stage.title,
            hold=stage.hold,
            cautions=list(stage.cautions),
            plan_says=[sentence for topic in stage.plan_says for sentence in plan_says.get(topic, [])],
            items=[
                item_part(item, limits, system, last.get(item.key))
                for item in stage.items
                if item.key in asked
            ],
            signed=signed.get(stage.key),
            returns=returns[stage.key],
        )
        for stage in checklist.stages
    ]


def _asked(checklist: Checklist, facts: Mapping[str, Any]) -> set[str]:
    """Return the keys of the items the facts ask for; one that hangs on an item not asked never applies."""
    asked: set[str] = set()
    for _, item in checklist.items():
        if facts_ask(item, facts) and (item.when is None or item.when.item in asked):
            asked.add(item.key)
    return asked


def item_part(item: Item, limits: Mapping[str, Limit], system: str, last: LastTime | None = None) -> ItemPart:
    """Return an item with its limit in words."""
    limit = limits.get(item.limit) if item.limit else None
    when = item.when
    return ItemPart(
        key=item.key,
        kind=item.kind,  # type: ignore[arg-type]
        ask=item.ask,
        how=item.how,
        required=item.required,
        as_found=item.as_found,
        quantity=item.quantity,
        measures=bool(item.limit),
        limit=LimitPart(minimum=limit.minimum, maximum=limit.maximum, unit=limit.unit) if limit else None,
        limit_words=wording.item_limit_words(item, limit, system),
        source_words=wording.item_source_words(limit),
        options=[_option(one) for one in item.options],
        when=ConditionPart(item=when.item, outcome=when.outcome, chosen=list(when.chosen)) if when else None,  # type: ignore[arg-type]
        keys=list(keys_of(item, system)),
        hint=hint_of(item, system),
        input_mode=keyboard_of(item),
        severity=item.severity,  # type: ignore[arg-type]
        last=_last(last) if last else None,
    )


def _option(option: Option) -> OptionPart:
    return OptionPart(
        key=option.key,
        words=option.words,
        fails=option.fails,
        severity=option.severity,  # type: ignore[arg-type]
        silent=option.silent,
    )


def _last(last: LastTime) -> LastTimePart:
    photo = picture_part(last.photo) if last.photo else None
    return LastTimePart(words=last.words, day=last.day, verdict=last.verdict, photo=photo)  # type: ignore[arg-type]


def _signed(record: SiteRecord | None) -> dict[str, SigningPart]:
    if record is None:
        return {}
    stages = StageRecord.objects.filter(record=record, signed_at__isnull=False).select_related("signed_by")
    return {
        stage.key: SigningPart(by=stage.signed_by.name, at=stage.signed_at)
        for stage in stages
        if stage.signed_by and stage.signed_at
    }


def _returns(record: SiteRecord | None) -> dict[str, list[ReturnPart]]:
    found: dict[str, list[ReturnPart]] = defaultdict(list)
    if record is not None:
        for one in StageReturn.objects.filter(stage__record=record).select_related("by", "stage"):
            found[one.stage.key].append(ReturnPart(by=one.by.name, at=one.at, reason=one.reason))
    return found
