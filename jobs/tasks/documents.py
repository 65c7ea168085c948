"""Papers the worker renders."""

from __future__ import annotations

from celery import shared_task
from django.utils import timezone

from jobs.services.documents import document_render, documents_left


@shared_task(name="jobs.tasks.render_document")
def render_document(pk: int) -> None:
    """Render one document if it still waits."""
    document_render(pk=pk, now=timezone.now())


@shared_task(name="jobs.tasks.pick_up_left_documents")
def pick_up_left_documents() -> None:
    """Render what a lost bell or a killed worker left behind."""
    for pk in documents_left(now=timezone.now()):
        document_render(pk=pk, now=timezone.now())
