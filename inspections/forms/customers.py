"""Form by which an owner erases a customer."""

from __future__ import annotations

from typing import Any

from django import forms


class EraseForm(forms.Form):
    """Why, and the name typed, so that nobody erases the wrong one in passing."""

    reason = forms.CharField(
        label="Why",
        max_length=500,
        widget=forms.Textarea(attrs={"rows": 2}),
        help_text="Such as: asked for by the customer, or time of keeping has passed. It stays on file, so"
        " write no name and no address.",
        error_messages={"required": "Write why it is erased."},
    )
    override = forms.CharField(
        label="Why before its time",
        max_length=500,
        widget=forms.Textarea(attrs={"rows": 2}),
        help_text="Papers and records are your proof if somebody claims damages. Say why you give them up.",
        error_messages={"required": "Write why it is erased although papers are still to be kept."},
    )
    name = forms.CharField(
        label="The customer's name",
        max_length=120,
        widget=forms.TextInput(attrs={"autocomplete": "off", "spellcheck": "false"}),
        help_text="Typed as it stands above.",
        error_messages={"required": "Type the customer's name."},
    )

    def __init__(self, *args: Any, is_past: bool, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if is_past:
            del self.fields["override"]
