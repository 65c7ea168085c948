"""Native controls for days and times, and how a service's refusal reaches a form."""

from __future__ import annotations

from typing import Any, cast

from django import forms

from jobs.errors import JobsError
from jobs.forms.bases import ModelForm


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


def yes_or_no(form: ModelForm, name: str) -> None:
    """Give a column that may be unknown three answers in words, and show the stored one."""
    stored = form.initial.get(name)
    form.fields[name] = forms.TypedChoiceField(
        label=form.fields[name].label,
        choices=[("", "Sheet does not say"), ("yes", "Yes, by the sheet"), ("no", "No")],
        coerce=lambda word: word == "yes",
        empty_value=None,
        required=False,
        help_text=form.fields[name].help_text,
    )
    form.initial[name] = "" if stored is None else ("yes" if stored else "no")
