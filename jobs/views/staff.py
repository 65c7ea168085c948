"""The people of the shop; only an owner opens these pages."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.debug import sensitive_post_parameters
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from jobs.accounts import password_link
from jobs.errors import JobsError
from jobs.forms.controls import refuse
from jobs.forms.staff import CrewForm, PasswordForm, StaffAddForm, StaffEditForm
from jobs.models import Crew, Role, Shop, User
from jobs.permissions import allow, signed_in
from jobs.queries.staff import crews_all, has_second_factor, staff_all
from jobs.services.invitations import staff_invite
from jobs.services.staff import (
    crew_edit,
    staff_create,
    staff_drop_second_factor,
    staff_edit,
    staff_set_password,
)


@require_GET
@allow(Role.OWNER)
def staff_list(request: HttpRequest) -> HttpResponse:
    """Show everybody, their crews and their credentials."""
    context = {"people": staff_all(), "crews": crews_all(), "today": timezone.localdate()}
    return render(request, "jobs/staff_list.html", context)


@sensitive_post_parameters("password")
@require_http_methods(["GET", "POST"])
@allow(Role.OWNER)
def staff_add(request: HttpRequest) -> HttpResponse:
    """Add somebody, and send them a link to choose a password if none is given."""
    form = StaffAddForm(request.POST or None)
    if form.is_valid():
        said = form.cleaned_data
        person = staff_create(**{**said, "password": said["password"] or None})
        messages.success(request, f"{person} is added.")
        if not said["password"]:
            _invite(request, person)
        return redirect("staff_edit", person.pk)
    return render(request, "jobs/staff_form.html", {"form": form})


@require_http_methods(["GET", "POST"])
@allow(Role.OWNER)
def staff_edit_view(request: HttpRequest, pk: int) -> HttpResponse:
    """Change somebody, and show their credentials."""
    person = get_object_or_404(User, pk=pk)
    form = StaffEditForm(request.POST or None, person=person)
    if form.is_valid():
        try:
            staff_edit(user=person, **form.cleaned_data)
        except JobsError as error:
            refuse(form, error)
        else:
            messages.success(request, f"{person} is saved.")
            return redirect("staff_list")
    technician = getattr(person, "technician", None)
    context = {
        "form": form,
        "person": person,
        "is_self": person == request.user,
        "password_form": PasswordForm(person=person),
        "credentials": technician.credentials.all() if technician else [],
        "second_factor": has_second_factor(person),
        "today": timezone.localdate(),
    }
    return render(request, "jobs/staff_form.html", context)


@sensitive_post_parameters("password")
@require_http_methods(["GET", "POST"])
@allow(Role.OWNER)
def staff_password(request: HttpRequest, pk: int) -> HttpResponse:
    """Set a password for somebody else; one's own is changed under one's own name."""
    person = get_object_or_404(User.objects.exclude(pk=signed_in(request).pk), pk=pk)
    form = PasswordForm(request.POST or None, person=person)
    if form.is_valid():
        staff_set_password(user=person, password=form.cleaned_data["password"])
        messages.success(request, f"{person} signs in with the new password from now on.")
        return redirect("staff_edit", person.pk)
    return render(request, "jobs/staff_password.html", {"form": form, "person": person})


@require_POST
@allow(Role.OWNER)
def staff_invite_view(request: HttpRequest, pk: int) -> HttpResponse:
    """Send somebody a link to choose a password."""
    person = get_object_or_404(User.objects.filter(is_active=True), pk=pk)
    _invite(request, person)
    return redirect("staff_edit", person.pk)


@require_POST
@allow(Role.OWNER)
def staff_second_factor(request: HttpRequest, pk: int) -> HttpResponse:
    """Remove somebody's lost second factor."""
    person = get_object_or_404(User, pk=pk)
    staff_drop_second_factor(user=person)
    messages.success(request, f"{person} signs in with the password alone until a second factor is set up.")
    return redirect("staff_edit", person.pk)


@require_http_methods(["GET", "POST"])
@allow(Role.OWNER)
def crew_add(request: HttpRequest) -> HttpResponse:
    """Add a crew."""
    form = CrewForm(request.POST or None, initial={"active": True})
    if form.is_valid():
        crew = form.save()
        messages.success(request, f"{crew} is added. Put people into it from their own pages.")
        return redirect("staff_list")
    return render(request, "jobs/crew_form.html", {"form": form})


@require_http_methods(["GET", "POST"])
@allow(Role.OWNER)
def crew_edit_view(request: HttpRequest, pk: int) -> HttpResponse:
    """Rename a crew or take it out of service."""
    crew = get_object_or_404(Crew, pk=pk)
    form = CrewForm(request.POST or None, instance=get_object_or_404(Crew, pk=pk))
    if form.is_valid():
        try:
            crew_edit(crew=crew, now=timezone.now(), **form.cleaned_data)
        except JobsError as error:
            refuse(form, error)
        else:
            messages.success(request, f"{crew} is saved.")
            return redirect("staff_list")
    return render(request, "jobs/crew_form.html", {"form": form, "crew": crew})


def _invite(request: HttpRequest, person: User) -> None:
    try:
        staff_invite(user=person, link=password_link(request, person), shop=Shop.current())
    except JobsError as error:
        messages.error(request, error.sentence)
    else:
        messages.success(request, f"A link to choose a password is on its way to {person.email}.")
