"""What a customer fills in on the private page."""

from __future__ import annotations

from typing import Any, cast

from crispy_forms.layout import Field
from django import forms

from jobs.forms.layouts import helper


class BookingForm(forms.Form):
    """What the visit is for, and when it would suit."""

    services = forms.MultipleChoiceField(
        label="What is the visit for?",
        widget=forms.CheckboxSelectMultiple,
        error_messages={"required": "Tick what the visit is for."},
    )
    wish = forms.CharField(
        label="Days and times that suit you",
        required=False,
        max_length=1000,
        widget=forms.Textarea(attrs={"rows": 4}),
        help_text="For instance: Tuesdays after 2 pm, not in the week of the 14th. You may leave it empty.",
    )

    def __init__(self, *args: Any, offered: list[tuple[str, str]], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        services = cast(forms.MultipleChoiceField, self.fields["services"])
        services.choices = offered
        services.initial = [value for value, _ in offered[:1]]
        self.helper = helper(Field("services"), Field("wish"))
