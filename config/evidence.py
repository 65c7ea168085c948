"""The whole table of rows that the evidence log speaks of, of every app."""

from __future__ import annotations

from inspections.evidence_rows import INSPECTIONS_ROWS
from jobs.evidence_rows import JOBS_ROWS, RowKind

ROWS: tuple[RowKind, ...] = (*JOBS_ROWS, *INSPECTIONS_ROWS)
