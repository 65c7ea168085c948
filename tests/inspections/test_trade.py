"""What an installer may not slip past: bare walls, thin hearths, glaze, and figures in the wrong unit."""

from __future__ import annotations

import pytest
from django.urls import reverse

from inspections.errors import InspectionsError
from inspections.models import Defect
from inspections.queries.records import record_view
from inspections.services.answers import answer_record
from inspections.services.records import record_begin
from jobs.models import Job, JobStatus
from jobs.services.plans import plan_make
from tests.factories import IN, NOW, JobFactory, SurveyFactory, VisitFactory
from tests.inspections.closing import job_ready_to_begin

pytestmark = pytest.mark.django_db


def begun(*, office, installer, **survey):
    """Site work just begun on a house with some of its survey changed."""
    plan = plan_make(survey=SurveyFactory(**survey), by=office, now=NOW)
    job = JobFactory(installation=plan.installation, plan=plan, status=JobStatus.SCHEDULED)
    VisitFactory(job=job, crew=installer.technician.crew, starts_at=NOW)
    return record_begin(job=job, by=installer, now=NOW)


def give(record, installer, stage: str, item: str, text: str):
    found = record.stages.get(key=stage)
    return answer_record(stage=found, item=item, raw_text=text, by=installer, now=NOW)


def asked(record) -> set[str]:
    return {item.key for stage in record_view(record).stages for item in stage.items}


PROTECTED = {"rear_protection": "metal_ventilated", "installation__appliance__clearance_rear": 36 * IN}


def test_a_bare_wall_opens_a_defect_where_the_plan_counts_on_its_protection(office, installer):
    record = begun(office=office, installer=installer, **PROTECTED)
    assert round(record.limits["appliance.clearance.rear"]["minimum"] / IN, 6) == 12
    kept = give(record, installer, "position", "wall_shield", "none")
    assert kept.outcome == "fail"
    assert Defect.objects.get().description == "Wall protection: Missing, or another kind."
    give(record, installer, "position", "wall_shield", "fitted")
    assert {"wall_shield_air", "wall_shield_photo"} <= asked(record)


def test_nobody_is_asked_for_a_wall_protection_that_is_not_planned(office, installer):
    assert "wall_shield" not in asked(begun(office=office, installer=installer))


def test_the_hearth_behind_is_measured_where_a_rule_or_sheet_asks_for_it(office, installer):
    assert "hearth_rear" not in asked(begun(office=office, installer=installer))
    canada = begun(office=office, installer=installer, installation__site__country="CA")
    assert "hearth_rear" in asked(canada)
    # CSA B365, second-hand: 200 mm.
    assert give(canada, installer, "position", "hearth_rear", "199 mm").outcome == "fail"
    listed = {"installation__appliance__hearth_rear": 8 * IN}
    assert "hearth_rear" in asked(begun(office=office, installer=installer, **listed))


# 0.14 m2K/W is R 0.795 in ft2 h F/Btu.
@pytest.mark.parametrize(("text", "outcome"), [("R 0.8", "pass"), ("0.8", "pass"), ("R-0.79", "fail")])
def test_the_label_of_a_floor_protector_is_typed_as_it_is_printed(office, installer, text, outcome):
    record = begun(office=office, installer=installer)
    assert give(record, installer, "position", "hearth_resistance", text).outcome == outcome


def test_an_r_that_could_be_of_either_system_is_asked_for_again(office, installer):
    record = begun(
        office=office,
        installer=installer,
        installation__site__country="CA",
        installation__site__unit_system="metric",
    )
    assert give(record, installer, "position", "hearth_resistance", "0.14").outcome == "pass"
    with pytest.raises(InspectionsError) as refused:
        give(record, installer, "position", "hearth_resistance", "R 0.8")
    assert "metric or imperial" in refused.value.sentence


def test_a_sheet_without_a_resistance_leaves_the_hearth_unknown(office, installer):
    record = begun(office=office, installer=installer, installation__appliance__hearth_resistance=None)
    assert give(record, installer, "position", "hearth_resistance", "R 4").outcome == "unknown"
    assert Defect.objects.get().closed_at is None


def test_a_hearth_in_britain_is_judged_by_its_size_and_make(office, installer):
    record = begun(
        office=office,
        installer=installer,
        installation__site__country="GB",
        installation__site__unit_system="metric",
    )
    assert {"hearth_make", "hearth_width", "hearth_depth", "air_vent"} <= asked(record)
    assert not {"hearth_resistance", "air_for_the_fire"} & asked(record)
    # Approved Document J: 840 x 840 mm at least.
    assert give(record, installer, "position", "hearth_width", "840").outcome == "pass"
    assert give(record, installer, "position", "hearth_depth", "839").outcome == "fail"


@pytest.fixture
def sweep(office, installer) -> Job:
    return job_ready_to_begin(office=office, crew=installer.technician.crew, kind="annual sweep")


def test_glaze_that_is_gone_closes_without_a_false_answer(sweep, installer):
    record = record_begin(job=sweep, by=installer, now=NOW)
    assert "glaze_gone" not in asked(record)
    give(record, installer, "deposit", "deposit_kind", "glaze")
    assert not Defect.objects.exists()
    assert "glaze_gone" in asked(record)
    give(record, installer, "deposit", "glaze_gone", "left")
    assert Defect.objects.get().closed_at is None
    give(record, installer, "deposit", "glaze_gone", "removed")
    assert Defect.objects.get().closed_at is not None


def test_the_sheet_at_hand_shows_a_least_draft_that_passes_when_it_is_typed(office, installer):
    record = begun(office=office, installer=installer)
    view = record_view(record).stage("commissioning").item("draft")
    assert view.limit_text == "at least 0.049 in w.c."
    assert give(record, installer, "commissioning", "draft", "0.049 in w.c.").outcome == "pass"
    assert give(record, installer, "commissioning", "draft", "0.048 in w.c.").outcome == "fail"


def test_the_crew_has_the_shapes_of_the_enclosures_panels_at_hand(office, installer, as_user):
    # A 6/12 slope over a 14 in opening leaves 7 in low and 14 in high: common practice.
    record = begun(office=office, installer=installer, attic_height=10.5 * IN)
    page = as_user(installer).get(reverse("stage", args=[record.job.pk, "attic_protection"])).content.decode()
    assert "Enclosure panels" in page
    for words in ("Low panel", "High panel", "Side panel", "7 in", "14 1/4 in", "26.6°", "square"):
        assert words in page
    plain = begun(office=office, installer=installer)
    assert (
        "Enclosure panels"
        not in as_user(installer).get(reverse("work", args=[plain.job.pk])).content.decode()
    )
