"""What is entered on a stage: answers, photos, defects, the signature."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import Any

from django.contrib import messages
from django.db import transaction
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.http import require_POST

from inspections.cards import Card
from inspections.forms.entries import DefectForm, EntryForm, PhotoForm, SignatureForm, first_refusal
from inspections.services.answers import answer_record
from inspections.services.defects import defect_report
from inspections.services.photos import photo_store
from inspections.services.stages import stage_sign
from inspections.views.places import StagePlace, record_at, stage_at
from inspections.views.review import review_render
from inspections.views.work import stage_render
from jobs.errors import JobsError
from jobs.models import Role
from jobs.permissions import SITE_WORK, allow


@require_POST
@allow(*SITE_WORK)
def answer_add(request: HttpRequest, pk: int, key: str, item: str) -> HttpResponse:
    """Keep one answer and show its verdict."""
    place = stage_at(request, pk, key)
    place.check_item(item)
    form = EntryForm(request.POST)
    typed = request.POST.get("answer", "")
    if not form.is_valid():
        return _entered(request, place, item, first_refusal(form), typed)
    try:
        answer_record(
            stage=place.stage.stage,
            item=item,
            raw_text=form.cleaned_data["answer"],
            entry=form.cleaned_data["entry"],
            by=place.user,
            device=_device(request),
            now=timezone.now(),
        )
    except JobsError as error:
        return _entered(request, place, item, error.sentence, typed)
    return _entered(request, place, item)


@require_POST
@allow(*SITE_WORK)
def photo_add(request: HttpRequest, pk: int, key: str, item: str) -> HttpResponse:
    """Keep one photo as the answer to an item: both or neither."""
    place = stage_at(request, pk, key)
    place.check_item(item)
    form = PhotoForm(request.POST, request.FILES)
    if not form.is_valid():
        return _entered(request, place, item, first_refusal(form))
    entry, now = form.cleaned_data["entry"], timezone.now()
    try:
        with transaction.atomic():
            photo = photo_store(
                job=place.job, upload=form.cleaned_data["photo"], entry=entry, by=place.user, now=now
            )
            answer_record(
                stage=place.stage.stage,
                item=item,
                raw_text="",
                entry=entry,
                photo=photo,
                by=place.user,
                device=_device(request),
                now=now,
            )
    except JobsError as error:
        return _entered(request, place, item, error.sentence)
    return _entered(request, place, item)


@require_POST
@allow(*SITE_WORK)
def stage_sign_view(request: HttpRequest, pk: int, key: str) -> HttpResponse:
    """Sign a stage and go on; a refusal brings the page back with the signature still drawn."""
    place = stage_at(request, pk, key)
    form = SignatureForm(request.POST)
    if not form.is_valid():
        return stage_render(request, pk, key, status=422, **_unsigned(request, first_refusal(form)))
    try:
        stage_sign(stage=place.stage.stage, by=place.user, now=timezone.now(), **form.cleaned_data)
    except JobsError as error:
        return stage_render(request, pk, key, status=422, **_unsigned(request, error.sentence))
    messages.success(request, f"“{place.stage.title}” is signed.")
    following = place.context()["following"]
    if following is None or following.signed:
        return redirect("work", pk)
    return redirect("stage", pk, following.key)


@require_POST
@allow(Role.OWNER, Role.INSTALLER, Role.INSPECTOR)
def defect_add(request: HttpRequest, pk: int, key: str) -> HttpResponse:
    """Raise a defect by hand, from the stage or from the record."""
    place = stage_at(request, pk, key)
    back = (
        reverse("record_review", args=[pk]) if "review" in request.POST else reverse("stage", args=[pk, key])
    )
    form = DefectForm(request.POST, request.FILES)
    if not form.is_valid():
        return _unreported(request, place, first_refusal(form))
    try:
        _report(request, place, form.cleaned_data)
    except JobsError as error:
        return _unreported(request, place, error.sentence)
    messages.success(request, f"Defect reported on “{place.stage.title}”.")
    return redirect(back)


def _unreported(request: HttpRequest, place: StagePlace, refusal: str) -> HttpResponse:
    """Bring the page back with all that was typed; no page can put chosen files back."""
    told = {
        "report_refusal": refusal,
        "report_said": request.POST,
        "report_lost": len(request.FILES.getlist("photos")),
        "report_stage": place.stage.key,
    }
    if "review" in request.POST:
        return review_render(request, record_at(request, place.job.pk), status=422, **told)
    return stage_render(request, place.job.pk, place.stage.key, status=422, **told)


@transaction.atomic
def _report(request: HttpRequest, place: StagePlace, said: dict[str, Any]) -> None:
    """The defect and its photos: all of it or nothing."""
    told: dict[str, Any] = {"by": place.user, "now": timezone.now()}
    photos = [photo_store(job=place.job, upload=one, **told) for one in said.pop("photos")]
    item = request.POST.get("item", "")[:60]
    device = _device(request)
    defect_report(stage=place.stage.stage, item=item, photos=photos, device=device, **said, **told)


def _entered(
    request: HttpRequest, before: StagePlace, item: str, refusal: str = "", typed: str = ""
) -> HttpResponse:
    """Answer with the item as it stands now, and with whatever else on the page the answer changed."""
    record = record_at(request, before.job.pk)
    place = stage_at(request, before.job.pk, before.stage.key, record)
    if not request.htmx:  # type: ignore[attr-defined]
        if refusal:
            messages.error(request, refusal)
        return redirect(f"{reverse('stage', args=[place.job.pk, place.stage.key])}#item-{item}")
    cards = [_card(place, item, refusal, typed), *_changed(before, place, item)]
    return render(request, "inspections/entered.html", {**place.context(), "cards": cards})


def _card(place: StagePlace, item: str, refusal: str, typed: str) -> Card:
    return replace(place.card(item), refusal=refusal, typed=typed)


def _changed(before: StagePlace, after: StagePlace, item: str) -> Iterable[Card]:
    shown = ({view.key for view in place.stage.items} for place in (before, after))
    for key in sorted(set.symmetric_difference(*shown) - {item}):
        yield replace(after.card(key), elsewhere=True)


def _unsigned(request: HttpRequest, refusal: str) -> dict[str, str]:
    return {"sign_refusal": refusal, "strokes": request.POST.get("strokes", "")}


def _device(request: HttpRequest) -> str:
    return request.headers.get("User-Agent", "")[:120]
