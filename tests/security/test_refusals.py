"""What no view has answered is still answered in words, and stays in the log."""

from __future__ import annotations

import pytest
from django.db import IntegrityError, OperationalError
from django.http import HttpResponse
from django.urls import reverse

from jobs.errors import JobsError
from jobs.models import Customer


@pytest.fixture
def saving(office, as_user, monkeypatch):
    """Return a function that saves a customer while saving ends in an error."""

    def save(error: Exception) -> HttpResponse:
        def refuse(**told):
            raise error

        monkeypatch.setattr("jobs.views.customers.customer_save", refuse)
        client = as_user(office)
        client.raise_request_exception = False
        return client.post(reverse("customer_add"), {"name": "Ada Quill"})

    return save


@pytest.mark.parametrize(
    ("error", "status", "sentence"),
    [
        (JobsError("settled", "That is settled. Look again."), 409, "That is settled. Look again."),
        (IntegrityError("UNIQUE constraint failed"), 409, "Nothing was saved twice"),
        (OperationalError("database is locked"), 503, "did not answer in time"),
    ],
)
def test_a_refusal_says_what_to_do(error, status, sentence, saving):
    page = saving(error)
    assert page.status_code == status
    assert sentence in page.content.decode()
    assert "UNIQUE" not in page.content.decode()
    assert not Customer.objects.exists()


@pytest.mark.parametrize("error", [IntegrityError("twice"), OperationalError("locked")])
def test_what_the_database_refuses_stays_in_the_log_without_what_was_typed(error, saving, caplog):
    saving(error)
    assert any(record.exc_info for record in caplog.records)
    assert "Ada Quill" not in caplog.text


def test_a_mistake_of_the_program_is_still_one(saving):
    page = saving(ZeroDivisionError())
    assert page.status_code == 500
    assert "Something broke on our side" in page.content.decode()
    assert "'unsafe" not in page["Content-Security-Policy"]
