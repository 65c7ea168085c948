"""What the worker does with what is kept about customers: exports, and files that are to go."""

from __future__ import annotations

from celery import shared_task
from django.utils import timezone

from inspections.services import customer_exports, file_removals
from jobs.services.document_access import accesses_drop_old


@shared_task(name="inspections.tasks.make_customer_export")
def make_customer_export(pk: int) -> None:
    """Put one export together if it still waits."""
    customer_exports.customer_export_make(pk=pk, now=timezone.now())


@shared_task(name="inspections.tasks.remove_files")
def remove_files(pk: int) -> None:
    """Remove the files of one erased customer if they still wait for it."""
    file_removals.files_remove(pk=pk, now=timezone.now())


@shared_task(name="inspections.tasks.pick_up_left_customers")
def pick_up_left_customers() -> None:
    """Do what a lost bell or a killed worker left behind."""
    for pk in file_removals.removals_left(now=timezone.now()):
        file_removals.files_remove(pk=pk, now=timezone.now())
    for pk in customer_exports.customer_exports_left(now=timezone.now()):
        customer_exports.customer_export_make(pk=pk, now=timezone.now())


@shared_task(name="inspections.tasks.drop_what_is_past_keeping")
def drop_what_is_past_keeping() -> None:
    """Remove exports that lay there for a week, and what the log of openings is too old to keep."""
    customer_exports.customer_exports_drop_old(now=timezone.now())
    accesses_drop_old(now=timezone.now())
