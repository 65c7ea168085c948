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
    required = waiver_of(defect) is None
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
    key, about = defect.item, defect.description
    items = [Item(key=f"{key}{DONE}", kind="note", ask=f"What was done about: {about}", required=required)]
    if told := defect.measure:
        items.append(
            Item(
                key=f"{key}{MEASURED}",
                kind="measure",
                ask=f"Measured again: {told['ask']}",
                how=told["how"],
                required=required,
                quantity=told["quantity"],
                limit=told["limit"],
            )
        )
    items.append(
        Item(key=f"{key}{PHOTO}", kind="photo", ask="Photo of what was put right", required=required)
    )
    items.append(
        Item(
            key=key,
            kind="confirm",
            ask=f"Put right: {about}",
            how="Answer yes when it has been put right and you have looked at it yourself. It closes when all"
            " that is asked of it here is there.",
            required=required,
        )
    )
    return tuple(items)


def waiver_of(defect: Defect) -> Waiver | None:
    """Return the waiver that accepted a defect."""
    return getattr(defect, "waiver", None)
