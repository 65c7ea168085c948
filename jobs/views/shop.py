"""The shop's own settings."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.views.decorators.http import require_http_methods

from jobs.forms.shop import ShopForm
from jobs.models import Role, Shop
from jobs.permissions import allow


@require_http_methods(["GET", "POST"])
@allow(Role.OWNER)
def shop_settings(request: HttpRequest) -> HttpResponse:
    """Show and change the shop's name, address and habits."""
    form = ShopForm(request.POST or None, instance=Shop.current())
    if form.is_valid():
        form.save()
        messages.success(request, "The shop's settings are saved.")
        return redirect("shop_settings")
    return render(request, "jobs/shop_form.html", {"form": form})
