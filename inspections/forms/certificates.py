"""Issuing a certificate again, and withdrawing one."""

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


class WithdrawForm(forms.Form):
    """Asks why a certificate no longer counts."""

    reason = forms.CharField(
        label="Why it is withdrawn",
        help_text="Kept with the certificate for good. The public page says that it is withdrawn, not why.",
        widget=forms.Textarea(attrs={"rows": 3}),
        max_length=600,
        error_messages={"required": "Write why the certificate is withdrawn: the reason is kept."},
    )
