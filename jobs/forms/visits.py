"""Forms about visits. Days and times are those of the clock in the house."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from typing import Any

from django import forms

from jobs.errors import JobsError
from jobs.forms.controls import DayInput, TimeInput, choice, refuse
from jobs.forms.layouts import helper, together
from jobs.models import Crew, Job, Visit
from jobs.services.clock import local_moment

LENGTHS = [
    (60, "1 hour"),
    (90, "1 ½ hours"),
    (120, "2 hours"),
    (180, "3 hours"),
    (240, "4 hours"),
    (360, "6 hours"),
    (480, "8 hours"),
    (600, "10 hours"),
]


class _CrewForm(forms.Form):
    crew = forms.ModelChoiceField(Crew.objects.filter(active=True), empty_label="Choose a crew")
    despite_clash = forms.BooleanField(label="Schedule anyway", required=False, widget=forms.HiddenInput)

    def refuse(self, error: JobsError) -> None:
        """Show a refusal; a clash may be overridden by a tick."""
        refuse(self, error, "starts" if error.code.startswith("time_") else None)
        if error.code == "crew_clash":
            self.fields["despite_clash"].widget = forms.CheckboxInput()

    def moment(self, day: str, at: str, zone: str) -> datetime | None:
        """Return the moment two fields name on the clock of the house; None when one was wrong."""
        said_day, said_at = self.cleaned_data.get(day), self.cleaned_data.get(at)
        if said_day is None or said_at is None:
            return None
        try:
            return local_moment(day=said_day, at=said_at, zone=zone)
        except JobsError as error:
            refuse(self, error, at)
            return None


class VisitForm(_CrewForm):
    """Sends a crew to one job."""

    day = forms.DateField(widget=DayInput)
    starts = forms.TimeField(label="From", widget=TimeInput)
    ends = forms.TimeField(label="To", widget=TimeInput)
    note = forms.CharField(
        label="Note for the crew", required=False, widget=forms.Textarea(attrs={"rows": 2}), max_length=2000
    )

    def __init__(self, *args: Any, job: Job, visit: Visit | None = None, **kwargs: Any) -> None:
        self.zone = job.installation.site.time_zone
        if visit is not None:
            start, end = visit.local_start, visit.local_end
            kwargs["initial"] = {
                "crew": visit.crew, "day": start.date(), "starts": start.time(), "ends": end.time(),
                "note": visit.note,
            }  # fmt: skip
        super().__init__(*args, **kwargs)
        if visit is not None and not visit.crew.active:
            choice(self, "crew").queryset = Crew.objects.filter(active=True) | Crew.objects.filter(
                pk=visit.crew_id
            )

        self.helper = helper("crew", together("day", "starts", "ends"), "note", "despite_clash")

    def clean(self) -> dict[str, Any]:
        """Add `starts_at` and `ends_at`."""
        said = self.cleaned_data
        said["starts_at"] = self.moment("day", "starts", self.zone)
        said["ends_at"] = self.moment("day", "ends", self.zone)
        return said


class PlaceForm(_CrewForm):
    """Places a waiting job into the week: which, who, when, how long."""

    job = forms.ModelChoiceField(
        Job.objects.none(), error_messages={"required": "Choose which job to place."}
    )
    day = forms.DateField(widget=DayInput)
    starts = forms.TimeField(label="From", widget=TimeInput)
    length = forms.TypedChoiceField(label="How long", choices=LENGTHS, coerce=int)

    def __init__(self, *args: Any, jobs: Any, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        choice(self, "job").queryset = jobs

    def clean(self) -> dict[str, Any]:
        """Add `starts_at` and `ends_at`."""
        said = self.cleaned_data
        job: Job | None = said.get("job")
        zone = job.installation.site.time_zone if job else ""
        said["starts_at"] = self.moment("day", "starts", zone) if job else None
        if said["starts_at"] and "length" in said:
            said["ends_at"] = said["starts_at"] + timedelta(minutes=said["length"])
        return said


def place_initial(*, job: str | None, crew: str | None, day: date) -> dict[str, Any]:
    """Return what the form of the week starts with."""
    return {"job": job, "crew": crew, "day": day, "starts": "08:00", "length": 240}


class VisitCancelForm(forms.Form):
    """Asks why a visit is called off."""

    reason = forms.CharField(
        label="Why", required=False, max_length=2000, widget=forms.Textarea(attrs={"rows": 2}),
        help_text="Kept with the job when it goes back to planned.",
    )  # fmt: skip
