"""Credentials of the shop's people."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST

from jobs.forms.staff import CredentialForm
from jobs.models import Credential, Role, Technician, User
from jobs.permissions import allow


@require_http_methods(["GET", "POST"])
@allow(Role.OWNER)
def credential_add(request: HttpRequest, pk: int) -> HttpResponse:
    """Add a credential to somebody."""
    person = get_object_or_404(User, pk=pk)
    technician = Technician.objects.get_or_create(user=person)[0]
    return _credential(request, CredentialForm(request.POST or None, technician=technician), person)


@require_http_methods(["GET", "POST"])
@allow(Role.OWNER)
def credential_edit(request: HttpRequest, pk: int) -> HttpResponse:
    """Change a credential, for instance when it was renewed."""
    credential = get_object_or_404(Credential.objects.select_related("technician__user"), pk=pk)
    form = CredentialForm(request.POST or None, instance=credential, technician=credential.technician)
    return _credential(request, form, credential.technician.user)


@require_POST
@allow(Role.OWNER)
def credential_remove(request: HttpRequest, pk: int) -> HttpResponse:
    """Remove a credential entered by mistake; certificates keep what was printed on them."""
    credential = get_object_or_404(Credential.objects.select_related("technician"), pk=pk)
    credential.delete()
    messages.success(request, f"{credential} is removed.")
    return redirect("staff_edit", credential.technician.user_id)


def _credential(request: HttpRequest, form: CredentialForm, person: User) -> HttpResponse:
    if form.is_valid():
        form.save()
        messages.success(request, "The credential is saved.")
        return redirect("staff_edit", person.pk)
    return render(request, "jobs/credential_form.html", {"form": form, "person": person})
