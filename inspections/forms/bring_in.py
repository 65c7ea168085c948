"""The file of a tablet that could not send."""

from __future__ import annotations

from typing import Any

from django import forms

from jobs.forms.layouts import helper


class BringInForm(forms.Form):
    """One file of unsent work."""

    file = forms.FileField(
        label="File of unsent work",
        help_text="As the tablet saved it; its name ends in .json. Several parts are brought in one by one.",
        widget=forms.FileInput(attrs={"accept": ".json,application/json"}),
        error_messages={
            "required": "Choose the file that the tablet saved.",
            "empty": "The file is empty. Save it on the tablet once more.",
        },
    )

    def __init__(self, *args: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.helper = helper("file")
