"""Checklists: versioned data files, read and checked once at start."""

from inspections.checklists.limit_names import KNOWN_LIMITS
from inspections.checklists.reader import ChecklistError, read_checklist
from inspections.checklists.shape import SEVERITIES, Checklist, Condition, Item, Option, Stage
from inspections.checklists.shelf import checklist_for, checklist_get, checklists

__all__ = [
    "KNOWN_LIMITS",
    "SEVERITIES",
    "Checklist",
    "ChecklistError",
    "Condition",
    "Item",
    "Option",
    "Stage",
    "checklist_for",
    "checklist_get",
    "checklists",
    "read_checklist",
]
