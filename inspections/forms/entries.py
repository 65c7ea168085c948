"""What is entered on site."""

from __future__ import annotations

import json
from typing import Any

from django import forms

from inspections.models import Severity
from inspections.services.signatures import LARGEST_BOX

_HOW_GRAVE = {"required": "Say how grave it is."}
_LONGEST_STROKES = 600_000


class EntryForm(forms.Form):
    """One answer as it was typed or pressed. The entry's own number lets it be sent twice and kept once."""

    entry = forms.UUIDField()
    answer = forms.CharField(required=False, strip=False, max_length=4000)


class PhotoForm(forms.Form):
    """One photo as it came from the camera."""

    entry = forms.UUIDField()
    photo = forms.FileField(
        error_messages={
            "required": "No photo arrived. Take it and send it again.",
            "empty": "The photo did not arrive whole. Send it again.",
        }
    )


class SeveralFiles(forms.ClearableFileInput):
    """A field for files of which there may be several."""

    allow_multiple_selected = True


class SeveralPhotos(forms.FileField):
    """Photos as they came from the camera, one, several or none."""

    widget = SeveralFiles

    def clean(self, data: Any, initial: Any = None) -> list[Any]:
        """Return every photo that arrived."""
        told = data if isinstance(data, list | tuple) else [data]
        return [super(SeveralPhotos, self).clean(one, initial) for one in told if one]


class DefectForm(forms.Form):
    """A defect raised by hand."""

    description = forms.CharField(
        max_length=2000, error_messages={"required": "Write what is wrong and where."}
    )
    severity = forms.ChoiceField(
        choices=Severity.choices, error_messages={"required": "Say how grave it is."}
    )
    place = forms.CharField(required=False, max_length=200)
    rule = forms.CharField(required=False, max_length=300)
    photos = SeveralPhotos(
        required=False, error_messages={"empty": "A photo did not arrive whole. Send it again."}
    )


class GradingForm(forms.Form):
    """How grave a defect is by an inspector's say, and why."""

    severity = forms.ChoiceField(
        choices=Severity.choices, error_messages={"required": "Say how grave it is."}
    )
    reason = forms.CharField(
        max_length=2000, error_messages={"required": "Write why it is graded anew: the reason is kept."}
    )


class SignatureForm(forms.Form):
    """A signature: strokes in a box, or the name typed instead."""

    name = forms.CharField(required=False, max_length=120)
    strokes = forms.CharField(required=False, max_length=_LONGEST_STROKES)
    width = forms.IntegerField(min_value=1, max_value=LARGEST_BOX)
    height = forms.IntegerField(min_value=1, max_value=LARGEST_BOX)

    def clean_strokes(self) -> Any:
        """Return the strokes as lists; what they must look like is the service's business."""
        text = self.cleaned_data["strokes"]
        if not text:
            return []
        try:
            return json.loads(text)
        except (ValueError, RecursionError) as error:
            raise forms.ValidationError(
                "The signature did not arrive whole. Clear it and sign again."
            ) from error


class SignOffForm(SignatureForm):
    """The signature that closes a job."""

    remarks = forms.CharField(required=False, max_length=4000)


class WaiverForm(forms.Form):
    """On whose authority a defect is accepted, and why."""

    authority = forms.CharField(
        max_length=160, error_messages={"required": "Name the authority the waiver rests on."}
    )
    reason = forms.CharField(
        max_length=2000, error_messages={"required": "Write why the defect can be accepted."}
    )


class LookForm(forms.Form):
    """What follows from a late entry."""

    note = forms.CharField(
        max_length=2000, error_messages={"required": "Write what follows from it, even if it is nothing."}
    )


class ReturnForm(forms.Form):
    """What the crew must put right, and on which stages."""

    reason = forms.CharField(
        max_length=2000, error_messages={"required": "Write what the crew must put right."}
    )
    stages = forms.MultipleChoiceField(required=False)

    def __init__(self, *args: Any, stages: list[tuple[str, str]], **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        self.fields["stages"].choices = stages  # type: ignore[attr-defined]


class ReopenForm(ReturnForm):
    """Why a closed job is opened again, and which stages the crew must work on."""

    reason = forms.CharField(
        max_length=600,
        error_messages={"required": "Write why the job is reopened: the reason stays with it."},
    )


def first_refusal(form: forms.Form) -> str:
    """Return the first sentence a form has against what was sent."""
    return next(str(sentence) for sentences in form.errors.values() for sentence in sentences)
