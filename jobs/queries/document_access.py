"""Who was given which paper or photo of a customer, newest first."""

from __future__ import annotations

from django.db.models import QuerySet

from jobs.models import Customer, Document, DocumentAccess


def accesses_of_customer(customer: Customer) -> QuerySet[DocumentAccess]:
    """Return every time something of a customer was given out."""
    return _listed(DocumentAccess.objects.filter(customer=customer))


def accesses_of_document(document: Document) -> QuerySet[DocumentAccess]:
    """Return every time one paper was given out."""
    return _listed(DocumentAccess.objects.filter(document=document))


def _listed(accesses: QuerySet[DocumentAccess]) -> QuerySet[DocumentAccess]:
    return accesses.select_related("by", "document").defer("document__context")
