"""Forms about jobs."""

from __future__ import annotations

from typing import Any

from django import forms
from django.db.models import QuerySet
from django.utils import timezone

from jobs.forms.controls import choice
from jobs.models import Crew, Installation, Job, JobKind, JobStatus, Plan, Role, User
from jobs.queries.jobs import JobSearch


class PlanField(forms.ModelChoiceField):  # type: ignore[type-arg]
    """Chooses a plan by its revision."""

    def label_from_instance(self, obj: Plan) -> str:
        """Return a plan as the choice shows it."""
        return f"Plan {obj.revision}, made {timezone.localdate(obj.made_at):%-d %b %Y}"


class JobForm(forms.Form):
    """Opens a job at an installation."""

    kind = forms.ChoiceField(label="What is to be done", choices=JobKind.choices)
    plan = PlanField(
        Plan.objects.none(),
        required=False,
        empty_label="None yet",
        help_text="A new installation without a plan starts as an enquiry.",
    )
    note = forms.CharField(
        label="What is wanted", required=False, widget=forms.Textarea(attrs={"rows": 3}), max_length=4000
    )

    def __init__(self, *args: Any, installation: Installation, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        plan = choice(self, "plan")
        plan.queryset = installation.plans.all()
        plan.initial = installation.plans.first()


class PlanChoiceForm(forms.Form):
    """Attaches one of the installation's plans to a job."""

    plan = PlanField(Plan.objects.none(), empty_label=None)

    def __init__(self, *args: Any, job: Job, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        plan = choice(self, "plan")
        plan.queryset = _other_plans(job)


def _other_plans(job: Job) -> QuerySet[Plan]:
    plans = job.installation.plans.all()
    return plans if job.plan_id is None else plans.exclude(pk=job.plan_id)


class JobMoveForm(forms.Form):
    """Asks why a job is called off."""

    to = forms.ChoiceField(
        choices=[(JobStatus.CANCELLED, JobStatus.CANCELLED.label)], widget=forms.HiddenInput,
        error_messages={"invalid_choice": "A job is only cancelled by hand; its work moves it otherwise."},
    )  # fmt: skip
    reason = forms.CharField(
        label="Why", widget=forms.Textarea(attrs={"rows": 3}), max_length=2000,
        error_messages={"required": "Write why: the reason stays with the job."},
    )  # fmt: skip


class JobSearchForm(forms.Form):
    """Finds jobs. Whatever is not understood is left out, so that a stale link still shows a list."""

    q = forms.CharField(
        label="Find", required=False, max_length=120,
        widget=forms.TextInput(attrs={"type": "search", "placeholder": "Customer, street, town or J-0012"}),
    )  # fmt: skip
    status = forms.ChoiceField(
        required=False, choices=[("", "All open"), *JobStatus.choices, ("all", "Open and closed")]
    )
    kind = forms.ChoiceField(required=False, choices=[("", "Any kind"), *JobKind.choices])
    crew = forms.ModelChoiceField(Crew.objects.all(), required=False, empty_label="Any crew")
    when = forms.ChoiceField(
        label="Late", required=False,
        choices=[("", "Late or not"), ("late", "Late: not begun"), ("overdue", "Overdue: no visit ahead")],
    )  # fmt: skip
    mine = forms.BooleanField(label="Only mine", required=False)

    def __init__(self, *args: Any, user: User, **kwargs: Any) -> None:
        super().__init__(*args, **kwargs)
        if user.role == Role.INSTALLER:
            del self.fields["crew"], self.fields["mine"]

    def search(self) -> JobSearch:
        """Return what is looked for."""
        self.is_valid()
        said = self.cleaned_data
        return JobSearch(
            status=said.get("status", ""),
            kind=said.get("kind", ""),
            crew=said.get("crew"),
            when=said.get("when", ""),
            mine=said.get("mine", False),
            text=said.get("q", ""),
        )
