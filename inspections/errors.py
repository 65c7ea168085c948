"""The errors of this app: a code for tests and JSON, a sentence for people."""

from __future__ import annotations

from jobs.errors import JobsError


class InspectionsError(JobsError):
    """Something asked of a record cannot be done; `sentence` says what to do next."""
