"""The items that hang on a defect: its photos as found, and what puts it right."""

from __future__ import annotations

from inspections.checklists import Item
from inspections.models import Defect, Severity, Waiver
from inspections.models.defect import DONE, FOUND, MEASURED, PHOTO


def found_item(key: str) -> Item:
    """Return the item that asks for photos of the defect on an item; each answer to it is kept and counts."""
    return Item(
        key=f"{key}{FOUND}",
        kind="photo",
        ask="Photo of the defect as found",
        how="As many as it takes, one after the other: each is kept.",
        required=False,
    )


def correction_items(defect: Defect) -> tuple[Item, ...]:
    """Return the items by which a defect that belongs to no item of the checklist is put right."""
    required = waiver_of(defect) is None and not _ended_elsewhere(defect)
    if defect.carried_from_id is not None:
        return _carried_items(defect, required=required and defect.grade != Severity.ADVICE)
    return (
        found_item(defect.item),
        Item(
            key=defect.item,
            kind="confirm",
            ask=f"Put right: {defect.description}",
            how="Answer yes when it has been put right and you have looked at it yourself.",
            required=required,
        ),
        Item(key=f"{defect.item}{PHOTO}", kind="photo", ask="Photo of what was put right", required=False),
    )


def _carried_items(defect: Defect, *, required: bool) -> tuple[Item, ...]:
    """One that a job came for closes only by evidence: words, a photo, and the measure where it was one."""
    key, number = defect.item, f"D-{defect.carried_from_id:04d}"
    items = [
        Item(
            key=key,
            kind="confirm",
            ask=f"Put right: {defect.description}",
            how=f"{number}. Answer yes when it has been put right and you have looked at it yourself. It"
            " closes when all that is asked of it below is there.",
            required=required,
        ),
        Item(key=f"{key}{DONE}", kind="note", ask=f"What was done about {number}", required=required),
    ]
    if told := defect.measure:
        items.append(
            Item(
                key=f"{key}{MEASURED}",
                kind="measure",
                ask=f"Measured again, {number}: {told['ask']}",
                how=told["how"],
                required=required,
                quantity=told["quantity"],
                limit=told["limit"],
            )
        )
    ask = f"Photo of what was put right, {number}"
    items.append(Item(key=f"{key}{PHOTO}", kind="photo", ask=ask, required=required))
    return tuple(items)


def _ended_elsewhere(defect: Defect) -> bool:
    """Whether one that a job came for was put right, or accepted, where it was found."""
    if defect.carried_from_id is None or defect.is_open:
        return False
    answer = defect.closed_by_answer
    return answer is None or answer.stage_id != defect.stage_id


def waiver_of(defect: Defect) -> Waiver | None:
    """Return the waiver that accepted a defect."""
    return getattr(defect, "waiver", None)
