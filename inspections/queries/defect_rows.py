"""The open defects of a record as the page for review shows them."""

from __future__ import annotations

from dataclasses import dataclass

from inspections.models import Defect, Photo
from inspections.queries.defect_words import rule_words
from inspections.queries.evidence import RecordView
from inspections.queries.house_defects import photos_as_found
from inspections.queries.notice_paper import defect_number


@dataclass(frozen=True)
class DefectRow:
    """One open defect: what, where, against which rule, and how it looks."""

    defect: Defect
    number: str
    rule: str
    photos: list[Photo]


def defect_rows(view: RecordView) -> list[DefectRow]:
    """Return the open defects of a record, with the photos of where a carried one was found."""
    if not view.open_defects:
        return []
    shown = {one.pk: one.carried_from or one for one in view.open_defects}
    photos = photos_as_found([*shown.values(), *view.open_defects])
    return [
        DefectRow(
            defect=one,
            number=defect_number(shown[one.pk]),
            rule=rule_words(one.rule),
            photos=_photos(photos, shown[one.pk], one),
        )
        for one in view.open_defects
    ]


def _photos(photos: dict[tuple[int, str], list[Photo]], *defects: Defect) -> list[Photo]:
    found = [photo for one in defects for photo in photos.get((one.stage_id, one.item), ())]
    return list({photo.pk: photo for photo in found}.values())
