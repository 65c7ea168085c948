"""Photos of defects as they were found."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection

from inspections.models import Answer, Defect, Photo
from inspections.models.defect import FOUND


def photos_as_found(defects: Collection[Defect]) -> dict[tuple[int, str], list[Photo]]:
    """Return the photos of defects as found by stage and item, oldest first."""
    found: dict[tuple[int, str], list[Photo]] = defaultdict(list)
    answers = Answer.objects.filter(
        stage__in={one.stage_id for one in defects},
        item__in={f"{one.item}{FOUND}" for one in defects},
        photo__isnull=False,
    )
    for answer in answers.select_related("photo").order_by("pk"):
        if answer.photo is not None:
            found[answer.stage_id, answer.item.removesuffix(FOUND)].append(answer.photo)
    return found


def photos_before(defects: Collection[Defect]) -> dict[int, list[Photo]]:
    """Return how what was carried here had looked where it was found, by the defect it was carried from."""
    origins = {one.carried_from_id: one.carried_from for one in defects if one.carried_from is not None}
    if not origins:
        return {}
    found = photos_as_found([one for one in origins.values() if one])
    return {pk: found[one.stage_id, one.item] for pk, one in origins.items() if pk and one}
