"""The checklists that come with the program."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from inspections.checklists.reader import ChecklistError, read_checklist
from inspections.checklists.shape import Checklist
from inspections.errors import InspectionsError

FOLDER = Path(__file__).parent


@cache
def checklists() -> tuple[Checklist, ...]:
    """Read every file of the folder; a bad one is an error that names it."""
    found = [read_checklist(path.read_bytes(), path.name) for path in sorted(FOLDER.glob("*.toml"))]
    if not found:
        raise ChecklistError(f"{FOLDER.name}: there is no checklist file")
    return tuple(found)


def checklist_get(key: str, version: int) -> Checklist:
    """Return one version of a checklist."""
    for one in checklists():
        if (one.key, one.version) == (key, version):
            return one
    raise InspectionsError(
        "no_checklist_version",
        f"Version {version} of the checklist {key} is not installed here. Put its file back; records keep"
        " the version they began with.",
    )


def checklist_for(*, kind: str, route: str) -> Checklist:
    """Return the newest checklist for a kind of job and a route of the chimney."""
    fitting = [one for one in checklists() if kind in one.kinds and (not one.routes or route in one.routes)]
    if not fitting:
        raise InspectionsError(
            "no_checklist",
            f"There is no checklist for the kind of job “{kind}” with the route “{route}”, so its site work"
            " cannot be recorded here.",
        )
    return max(fitting, key=lambda one: (bool(one.routes), one.version))
