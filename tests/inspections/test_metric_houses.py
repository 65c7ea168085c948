"""A house measured in millimetres reads no inch and no silly precision on any page or paper."""

from __future__ import annotations

import html
import json
import re
from datetime import timedelta

import pytest
from django.urls import reverse

from inspections.queries.records import record_view
from inspections.services.signoff import record_sign_off
from jobs.models import ChimneySection, Job, JobStatus
from jobs.services.plans import plan_make
from jobs.services.work_pack import work_pack_request
from tests.factories import (
    NOW,
    ApplianceFactory,
    ChimneyFactory,
    JobFactory,
    SurveyFactory,
    VisitFactory,
)
from tests.inspections.closing import INK, work_through

pytestmark = pytest.mark.django_db

#: A figure in inches or feet, a slope in twelve, an ounce, or more digits than any tape has.
LEAKS = re.compile(
    r"\d[\d /½¼¾]*(?:\s|&nbsp;)?(?:in|ft|inch|inches|feet)\b"
    r"(?! (?:the|each|every|a|its|it|front|total|all|one)\b)"
    r"|\d/12\b|\boz\b|in w\.c\.|Btu|°F|\d\.\d{4,}"
)
FIGURES = {
    "rear_wall": 0.45, "left_wall": 1.5, "right_wall": 1.1, "front_space": 1.8, "wall_to_flue_centre": 1.82,
    "wall_to_first_member": 0.3, "member_spacing": 0.6, "member_thickness": 0.047, "member_depth": 0.147,
    "floor_to_ceiling": 2.4, "ceiling_thickness": 0.0125, "insulation_depth": 0.27, "roof_rise": 8.4,
    "deck_thickness": 0.018, "roof_covering": "tile", "covering_thickness": 0.075, "rafter_depth": 0.147,
    "ridge_distance": 2.0, "connector_clearance": 0.52, "hearth_front": 0.5, "hearth_side": 0.25,
    "outside_temperature": 12.0,
}  # fmt: skip


def house(country: str, **changes):
    """A survey of a house built in millimetres, of listings entered in millimetres."""
    chimney = ChimneyFactory(
        inner_diameter=0.15, outer_diameter=0.2, clearance=0.06, support_size=0.34, support_projection=0.12,
        supported_height=12.0, brace_threshold=1.5, shield_height=0.4, shield_above_insulation=0.05,
        cap_height=0.15,
    )  # fmt: skip
    chimney.sections.all().delete()
    for length in (250, 333, 500, 1000):
        ChimneySection.objects.create(
            chimney=chimney, name=f"{length} mm", length=length / 1000, effective_length=(length - 20) / 1000
        )
    appliance = ApplianceFactory(
        clearance_rear=0.3, clearance_side=0.4, clearance_front=1.0, clearance_above=1.2,
        connector_clearance=0.45, collar_diameter=0.15, collar_height=0.7, hearth_front=0.45, hearth_side=0.2,
        back_to_flue_centre=0.2, side_to_flue_centre=0.3,
    )  # fmt: skip
    figures = {**FIGURES, "attic_height": 1.8, **changes}
    return SurveyFactory(
        installation__site__country=country,
        installation__site__unit_system="metric",
        installation__site__time_zone="Europe/London" if country == "GB" else "America/Toronto",
        installation__site__altitude=120.0,
        installation__appliance=appliance,
        installation__chimney=chimney,
        **figures,
    )


def words_of(content: str) -> str:
    """The text of a page, drawings included, without markup."""
    bare = re.sub(r"<(script|style|template)\b.*?</\1>", " ", content, flags=re.DOTALL)
    # Figures inside markup are places on the paper, not words.
    return " ".join(html.unescape(re.sub(r"<[^>]*>", " ", bare)).split())


def leaks(content: str) -> list[str]:
    words = words_of(content)
    return [words[max(0, one.start() - 60) : one.end() + 30] for one in LEAKS.finditer(words)]


def begin(survey, office, installer) -> Job:
    plan = plan_make(survey=survey, by=office, now=NOW)
    job = JobFactory(installation=survey.installation, plan=plan, status=JobStatus.SCHEDULED)
    VisitFactory(job=job, crew=installer.technician.crew, starts_at=NOW, ends_at=NOW + timedelta(hours=6))
    return job


@pytest.mark.parametrize("country", ["GB", "CA"])
@pytest.mark.parametrize("attic_height", [1.8, 0.28])
def test_the_office_reads_no_inch(country, attic_height, office, installer, as_user):
    survey = house(country, attic_height=attic_height, wall_to_flue_centre=2.05)
    job = begin(survey, office, installer)
    desk, installation = as_user(office), survey.installation
    pages = [
        reverse("survey_edit", args=[installation.pk]),
        reverse("survey_detail", args=[survey.pk]),
        reverse("plan_detail", args=[job.plan.pk]),
        reverse("installation_detail", args=[installation.pk]),
        reverse("job_detail", args=[job.pk]),
    ]
    for page in pages:
        answer = desk.get(page)
        assert answer.status_code == 200
        assert leaks(answer.content.decode()) == [], page


@pytest.mark.parametrize("country", ["GB", "CA"])
def test_the_crew_and_the_papers_read_no_inch(country, office, installer, inspector, as_user):
    job = begin(house(country), office, installer)
    pack = work_pack_request(job=job, by=office, now=NOW)
    assert leaks(json.dumps({**pack.context, "plan": {**pack.context["plan"], "drawings": []}})) == []
    record = work_through(job=job, by=installer, inspector=inspector)
    tablet, desk = as_user(installer), as_user(inspector)
    for stage in record.stages.all():
        page = reverse("stage", args=[job.pk, stage.key])
        assert leaks(tablet.get(page).content.decode()) == [], page
    for name in ("work", "record_review"):
        page = reverse(name, args=[job.pk])
        assert leaks(desk.get(page).content.decode()) == [], page
    sign_off = record_sign_off(
        record=record, by=inspector, name=inspector.name, now=NOW + timedelta(hours=3), **INK
    )
    # What is embedded is for machines, in SI with every digit.
    paper = {**sign_off.certificates.get().document.context, "embedded": None}
    told = {key: value for key, value in paper.items() if key not in {"drawings", "stages", "photos"}}
    assert leaks(json.dumps(told)) == []
    for stage in record_view(record).stages:
        for item in stage.items:
            assert leaks(f"{item.limit_text} {item.answer.said if item.answer else ''}") == [], item.key
