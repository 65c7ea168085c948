"""Forms for customers."""

from __future__ import annotations

from typing import Any

from django import forms

from jobs.forms.bases import ModelForm
from jobs.forms.layouts import helper, together
from jobs.models import Customer


class CustomerForm(ModelForm):
    """A customer's details."""

    class Meta:
        model = Customer
        fields = ["name", "email", "phone", "notes"]
        widgets = {"notes": forms.Textarea({"rows": 4})}
        labels = {"email": "Mail address"}
        help_texts = {
            "email": "Reminders and the link to their private page go here.",
            "notes": "Only the shop sees these.",
        }

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.helper = helper("name", together("email", "phone"), "notes")
