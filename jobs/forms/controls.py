"""Native controls for days and times, and how a service's refusal reaches a form."""

from __future__ import annotations

from typing import Any, cast

from django import forms

from jobs.errors import JobsError


class DayInput(forms.DateInput):
    """A day, picked or typed."""

    input_type = "date"

    def __init__(self, attrs: dict[str, Any] | None = None) -> None:
        super().__init__(attrs, format="%Y-%m-%d")


class TimeInput(forms.TimeInput):
    """A time of day."""

    input_type = "time"

    def __init__(self, attrs: dict[str, Any] | None = None) -> None:
        super().__init__(attrs, format="%H:%M")


def refuse(form: forms.BaseForm, error: JobsError, field: str | None = None) -> None:
    """Show a service's refusal on the form, so that nothing typed is lost."""
    form.add_error(field, forms.ValidationError(error.sentence, code=error.code))


def choice(form: forms.BaseForm, name: str) -> forms.ModelChoiceField[Any]:
    """Return a form's field that chooses among rows."""
    return cast("forms.ModelChoiceField[Any]", form.fields[name])
