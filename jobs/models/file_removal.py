"""Files that are to go from storage."""

from __future__ import annotations

from django.db import models

from jobs.models.base import WorkRow, waiting_index
from jobs.models.customer import Customer


class FileRemoval(WorkRow):
    """What a worker removes after a customer was erased, written in the transaction that blanked the rows.

    A file cannot be removed in a database transaction. Removed before, a rollback would leave rows without
    files; removed after by the same process, a kill in between would leave files nobody knows of.
    """

    customer = models.ForeignKey(Customer, on_delete=models.PROTECT, related_name="file_removals")
    #: Beginnings of names, folder included: whatever begins so goes, drafts of killed attempts too.
    stems = models.JSONField()

    class Meta:
        ordering = ["pk"]
        indexes = [waiting_index("jobs_fileremoval_waiting")]

    def __str__(self) -> str:
        return f"{len(self.stems)} files of customer {self.customer_id}"
