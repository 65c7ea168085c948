"""System checks of this app: a wrong checklist is named before anybody works from it."""

from __future__ import annotations

from typing import Any

from django.core.checks import CheckMessage, Error, register

from inspections.checklists import ChecklistError, checklists


@register()
def checklists_are_whole(**kwargs: Any) -> list[CheckMessage]:
    """Read every checklist file."""
    try:
        checklists()
    except ChecklistError as error:
        return [
            Error(
                f"A checklist cannot be used: {error}.",
                hint="Correct the file in inspections/checklists/. A version that records use stays as it"
                " was: give a changed checklist the next number.",
                id="inspections.E001",
            )
        ]
    return []
