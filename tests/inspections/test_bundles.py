"""What a tablet takes along of a job."""

from __future__ import annotations

import json
import uuid
from datetime import timedelta

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse
from jsonschema import Draft202012Validator, FormatChecker

from inspections.models import Answer, TabletEntry
from inspections.queries.bundle_plan import plan_part
from inspections.queries.bundles import bundle_of, bundle_tag
from inspections.queries.limits import facts_to_pin
from inspections.queries.records import record_view
from inspections.schemas import schemas_written
from inspections.services import records
from inspections.services.answers import answer_record
from inspections.services.defects import defect_report, waiver_accept
from inspections.services.photo_copies import photo_prepare
from inspections.services.returns import record_return
from jobs.models import Job, JobKind, JobStatus, Shop, Visit
from jobs.queries.jobs import jobs_visible_to
from tests.factories import NOW, JobFactory, VisitFactory
from tests.inspections.closing import job_closed, job_ready_to_begin, photo_make, work_through
from tests.inspections.tablet import Tablet

pytestmark = pytest.mark.django_db


@pytest.fixture
def ours(as_user, installer) -> Tablet:
    return Tablet(installer, as_user(installer))


@pytest.fixture
def bundle(job, installer):
    """Return a function that gives the job's bundle as JSON; the installer's, unless somebody else's."""
    return lambda user=installer: json.loads(
        bundle_of(jobs_visible_to(user).get(pk=job.pk), user, NOW).model_dump_json(by_alias=True)
    )


def items(bundle: dict) -> dict[str, dict]:
    return {item["key"]: item for stage in bundle["stages"] for item in stage["items"]}


def assert_published(bundle: dict) -> None:
    """Hold a bundle to the published schema, as another program reads it."""
    schema = json.loads(schemas_written()["job-bundle.1.json"])
    reader = Draft202012Validator(schema, format_checker=FormatChecker())
    assert [error.message for error in reader.iter_errors(bundle)] == []


def test_before_the_work_begins_it_holds_the_limits_that_will_be_pinned(job, bundle, installer):
    told = bundle()
    assert told["record"] is None
    assert told["may"] == {"begin": True, "work": True, "report": True, "sign_off": False}
    assert told["refusal"] == ""
    assert told["answers"] == told["defects"] == told["late"] == []
    clearance = items(told)["clearance_rear"]
    assert clearance["measures"]
    assert clearance["limit"]["minimum"] == job.plan.data["limits"]["appliance.clearance.rear"]["minimum"]
    assert clearance["limit"]["unit"] == "m"
    assert clearance["limit_words"].startswith("at least")
    assert clearance["source_words"]
    assert clearance["hint"] == "inches, such as 22 1/2"
    assert clearance["input_mode"] == "decimal"
    assert ["1/2", " 1/2"] in clearance["keys"]
    assert_published(told)


def test_what_it_asks_is_what_the_page_asks(bundle, record):
    told = items(bundle())
    view = record_view(record)
    shown = {item.key: item for stage in view.stages for item in stage.items}
    always = {key for key, item in told.items() if item["when"] is None}
    assert always == set(shown)
    for key in always:
        assert told[key]["ask"] == shown[key].item.ask
        assert told[key]["limit_words"] == shown[key].limit_text
        assert told[key]["source_words"] == shown[key].source_text
        assert told[key]["required"] == shown[key].required


def test_items_that_hang_on_an_answer_come_along_with_their_condition(bundle):
    told = items(bundle())
    hanging = [item for item in told.values() if item["when"]]
    assert hanging
    for item in hanging:
        assert item["when"]["item"] in told
        assert item["when"]["outcome"] or item["when"]["chosen"]


def test_items_the_facts_rule_out_stay_at_home(job, bundle, installer, monkeypatch):
    before = items(bundle())
    pinned = {**facts_to_pin(job), "rule_book": "uk"}
    monkeypatch.setattr(records, "facts_to_pin", lambda job: pinned)
    records.record_begin(job=job, by=installer, now=NOW)
    assert set(items(bundle())) != set(before)


def test_it_is_written_in_the_units_of_the_house(job, bundle):
    site = job.installation.site
    site.unit_system = "metric"
    site.save()
    told = bundle()
    assert told["site"]["system"] == "metric"
    assert items(told)["clearance_rear"]["hint"] == "millimetres, such as 572"
    assert "mm" in items(told)["clearance_rear"]["limit_words"]
    assert not any("{" in caution for caution in told["cautions"])
    assert any("1.8 m" in caution for caution in told["cautions"])
    assert_published(told)


def test_it_carries_the_house_the_visits_and_the_plan(job, bundle):
    site = job.installation.site
    site.access_notes, site.hazard_notes = "Key under the pot", "Steep stair"
    site.save()
    VisitFactory(job=job, crew=Visit.objects.get(job=job).crew, cancelled_at=NOW, note="Cancelled")
    told = bundle()
    assert told["site"]["address"][0] == site.street
    assert (told["site"]["access_notes"], told["site"]["hazard_notes"]) == (
        "Key under the pot",
        "Steep stair",
    )
    assert [visit["note"] for visit in told["visits"]] == [""]
    assert told["plan"]["drawing"].startswith("<svg")
    assert {"name": "ceiling support", "count": "1 piece"}.items() <= told["plan"]["load_list"][0].items()
    assert told["plan"]["cut_list"][0]["length"].endswith(" in")
    stage = next(one for one in told["stages"] if one["plan_says"])
    assert set(stage["plan_says"]) <= set(told["plan"]["findings"])


def test_every_answer_comes_along_the_oldest_first(job, bundle, answer, installer):
    first = answer("position", "clearance_rear", "2 in")
    second = answer("position", "clearance_rear", "40 in")
    photo = photo_make(job=job, by=installer, number=1)
    answer("before_work", "label_photo", "", photo=photo)
    assert bundle()["answers"][2]["photo"] == {"id": photo.pk, "thumbnail": "", "picture": ""}
    photo_prepare(pk=photo.pk, now=NOW)
    told = bundle()
    one, two, three = told["answers"]
    assert [one["entry"], two["entry"]] == [str(first.entry), str(second.entry)]
    assert (one["text"], one["verdict"], two["verdict"]) == ("2 in", "fail", "pass")
    assert "too little" in one["margin"]
    assert "to spare" in two["margin"]
    assert two["by"] == installer.name
    assert three["photo"] == {
        "id": photo.pk,
        "thumbnail": reverse("photo_file", args=[photo.pk, "thumbnail"]),
        "picture": reverse("photo_file", args=[photo.pk, "print"]),
    }
    assert_published(told)


def test_defects_come_along_with_what_became_of_them(bundle, stage, answer, installer, inspector):
    answer("position", "clearance_rear", "2 in")
    loose = defect_report(stage=stage("before_work"), description="Loose hook", by=installer, now=NOW)
    waiver_accept(defect=loose, by=inspector, authority="The town", reason="Fitted", now=NOW)
    failed, told = bundle()["defects"]
    assert (failed["item"], failed["open"], failed["raised_alone"]) == ("clearance_rear", True, False)
    assert (told["open"], told["raised_alone"]) == (False, True)
    assert told["waiver"]["authority"] == "The town"
    assert told["waiver"]["by"] == inspector.name


def test_an_answer_that_put_a_defect_right_is_told_in_its_words(bundle, stage, answer, installer):
    defect = defect_report(stage=stage("before_work"), description="Loose hook", by=installer, now=NOW)
    answer("before_work", defect.item, "yes")
    (told,) = bundle()["answers"]
    assert (told["item"], told["said"], told["verdict"]) == (defect.item, "Yes", "pass")


def test_what_came_too_late_comes_along(job, bundle, record, installer):
    TabletEntry.objects.create(
        entry=uuid.UUID(int=3), job=job, kind="answer", stage="before_work", item="instructions_on_site",
        raw={"text": "yes"}, by=installer, received_at=NOW, outcome="late", code="stage_signed",
        sentence="“Before work” had been signed meanwhile. It is kept for the inspector.",
    )  # fmt: skip
    (late,) = bundle()["late"]
    assert late["entry"] == str(uuid.UUID(int=3))
    assert "yes" in late["words"].casefold()
    assert late["why"] == "“Before work” had been signed meanwhile."
    assert late["looked_at"] is False


def test_a_job_worked_to_its_end_holds_to_the_published_schema(office, installer, inspector):
    sign_off = job_closed(office=office, installer=installer, inspector=inspector)
    job = sign_off.record.job
    told = json.loads(
        bundle_of(jobs_visible_to(installer).get(pk=job.pk), installer, NOW).model_dump_json(by_alias=True)
    )
    assert all(stage["signed"]["by"] == installer.name for stage in told["stages"])
    assert told["signed_off"]["by"] == inspector.name
    assert told["may"] == {"begin": False, "work": False, "report": False, "sign_off": False}
    assert len(told["answers"]) == Answer.objects.filter(stage__record=sign_off.record).count()
    assert_published(told)


@pytest.mark.parametrize("kind", list(JobKind))
def test_every_kind_of_job_holds_to_the_published_schema(office, installer, kind):
    job = job_ready_to_begin(office=office, crew=installer.technician.crew, kind=kind)
    told = json.loads(
        bundle_of(jobs_visible_to(installer).get(pk=job.pk), installer, NOW).model_dump_json(by_alias=True)
    )
    assert_published(told)
    assert bool(told["stages"]) == bool(told["checklist"]["title"]) != bool(told["refusal"])


def test_the_published_schema_refuses_what_is_no_bundle(bundle):
    reader = Draft202012Validator(json.loads(schemas_written()["job-bundle.1.json"]))
    whole = bundle()
    for spoilt in ({"schema": 2}, {"stages": None}, {"plan": {}}, {"more": 1}, {"may": {"begin": "yes"}}):
        assert not reader.is_valid({**whole, **spoilt}), spoilt
    for name in whole:
        assert not reader.is_valid({key: told for key, told in whole.items() if key != name}), name


def test_an_inspector_may_report_and_sign_off_but_not_work(bundle, record, inspector):
    assert bundle(inspector)["may"] == {"begin": False, "work": False, "report": True, "sign_off": True}


def test_who_did_the_work_does_not_sign_it_off(bundle, record, answer, owner):
    assert bundle(owner)["may"]["sign_off"]
    answer("before_work", "instructions_on_site", "yes", by=owner)
    assert not bundle(owner)["may"]["sign_off"]


def test_in_a_one_person_shop_the_installer_may_sign_off(job, bundle):
    assert not bundle()["may"]["sign_off"]
    Shop.objects.update_or_create(pk=1, defaults={"one_person": True})
    assert bundle()["may"]["sign_off"]


def test_a_job_without_a_visit_says_why_it_cannot_begin(job, bundle):
    Job.objects.filter(pk=job.pk).update(status=JobStatus.PLANNED)
    told = bundle()
    assert not told["may"]["begin"]
    assert "ask the office to schedule one" in told["refusal"]


def test_its_tag_tells_whether_anything_changed_but_the_hour(job, installer, answer):
    def tag(now=NOW) -> str:
        return bundle_tag(bundle_of(jobs_visible_to(installer).get(pk=job.pk), installer, now))

    first = tag()
    assert tag(NOW + timedelta(hours=1)) == first
    answer("before_work", "instructions_on_site", "yes")
    assert tag() != first


def test_a_bundle_the_tablet_has_is_not_sent_again(ours, job, record, answer):
    first = ours.get("tablet_bundle", job.pk)
    assert first["Content-Type"] == "application/json"
    assert first["Cache-Control"] == "private, no-store"
    assert first["ETag"].startswith('"')
    again = ours.get("tablet_bundle", job.pk, **{"If-None-Match": first["ETag"]})
    assert (again.status_code, again.content, again["ETag"]) == (304, b"", first["ETag"])
    answer("before_work", "instructions_on_site", "yes")
    changed = ours.get("tablet_bundle", job.pk, **{"If-None-Match": first["ETag"]})
    assert changed.status_code == 200
    assert changed["ETag"] != first["ETag"]


def test_a_bundle_is_for_who_may_see_the_job(as_user, stranger, job):
    answer = Tablet(stranger, as_user(stranger)).get("tablet_bundle", job.pk)
    assert (answer.status_code, answer.json()["code"]) == (404, "no_such_job")


def test_it_asks_no_more_of_the_database_when_the_record_grows(ours, job, stage, answer, installer):
    def asked() -> int:
        with CaptureQueriesContext(connection) as queries:
            assert ours.get("tablet_bundle", job.pk).status_code == 200
        return len(queries)

    answer("position", "clearance_rear", "2 in")
    defect_report(stage=stage("before_work"), description="Loose", by=installer, now=NOW)
    answer("before_work", "label_photo", "", photo=photo_make(job=job, by=installer, number=1))
    asked()
    few = asked()
    for number in range(2, 9):
        answer("position", "clearance_rear", f"{number} in")
        defect_report(stage=stage("before_work"), description="Loose", by=installer, now=NOW)
        answer("before_work", "label_photo", "", photo=photo_make(job=job, by=installer, number=number))
    assert asked() == few


def test_a_plan_is_drawn_once(job, monkeypatch):
    drawn = plan_part(job.plan, "imperial")
    monkeypatch.setattr("inspections.queries.bundle_plan.elevation_svg", lambda *given: pytest.fail("drawn"))
    assert plan_part(job.plan, "imperial") is drawn


def test_a_stage_sent_back_tells_who_and_why(job, bundle, installer, inspector):
    record = work_through(job=job, by=installer)
    key = record.stages.order_by("position").first().key
    record_return(
        record=record, stages=[key], reason="Photo is dark", by=inspector, now=NOW + timedelta(hours=2)
    )
    first = bundle()["stages"][0]
    assert first["signed"] is None
    assert (first["returns"][0]["by"], first["returns"][0]["reason"]) == (inspector.name, "Photo is dark")


def test_bundles_of_jobs_of_one_house_do_not_mix(job, bundle, record, installer):
    JobFactory(installation=job.installation, kind=JobKind.REPAIR, status=JobStatus.PLANNED)
    assert bundle()["job"]["number"] == job.number
    answer_record(
        stage=record.stages.get(key="before_work"), item="instructions_on_site", raw_text="yes", by=installer,
        now=NOW,
    )  # fmt: skip
    assert len(bundle()["answers"]) == 1
