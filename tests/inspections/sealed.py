"""A sealed certificate on the disk, made as the worker makes it."""

from __future__ import annotations

from datetime import timedelta

from inspections.models import Certificate
from jobs.models import Document
from jobs.services.documents import document_content, document_render
from tests.factories import NOW


def rendered(certificate: Certificate) -> bytes:
    """Have a certificate's paper made and return its bytes."""
    pk = certificate.document_id
    now = max(NOW + timedelta(days=1), certificate.issued_at)
    assert document_render(pk=pk, now=now), Document.objects.get(pk=pk).last_error
    certificate.refresh_from_db()
    return document_content(document=certificate.document)
