"""Issuing a certificate again."""

from __future__ import annotations

from django import forms


class ReissueForm(forms.Form):
    """Asks why a new certificate takes the place of an earlier one."""

    reason = forms.CharField(
        label="Why a new certificate is issued",
        help_text="Printed on the first page of the new one, beside the number of the one it replaces.",
        widget=forms.Textarea(attrs={"rows": 3}),
        max_length=600,
        error_messages={"required": "Write why a new certificate is issued: the reason is printed on it."},
    )
