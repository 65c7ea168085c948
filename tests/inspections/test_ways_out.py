"""Every way out of the house from its survey to the sign-off, by a checklist of its own."""

from __future__ import annotations

from datetime import timedelta

import pytest

from inspections.checklists import checklist_for, checklist_get
from inspections.queries.applicable import facts_ask
from inspections.queries.limits import facts_to_pin, limits_to_pin
from inspections.services.signoff import record_sign_off
from jobs.models import REPORTED, Chimney, ChimneySection, Job, JobKind, JobStatus, Route, Survey
from jobs.services.plans import plan_make
from tests.calcs.houses import CHIMNEY, SURVEY
from tests.calcs.route_houses import ROUTES
from tests.factories import NOW, ChimneyFactory, InstallationFactory, JobFactory, UserFactory, VisitFactory
from tests.inspections.closing import INK, work_through

WAYS = {
    "vaulted ceiling": "new_installation_vaulted_ceiling",
    "through the wall": "new_installation_through_the_wall",
    "lined chimney": "new_installation_lined_chimney",
}


def scheduled(route: str, crew, **told) -> Job:
    """A job on its way, planned from the invented house of a route."""
    house, listing = ROUTES[route]
    columns = {field.name for field in Chimney._meta.get_fields()}
    sheet = {name: value for name, value in {**CHIMNEY, **listing}.items() if name in columns}
    sections = sheet.pop("sections", ())
    chimney = ChimneyFactory(**sheet)
    ChimneySection.objects.filter(chimney=chimney).delete()
    for one in sections:
        ChimneySection.objects.create(
            chimney=chimney, name=one.name, length=one.length, effective_length=one.effective_length
        )
    installation = InstallationFactory(route=route, chimney=chimney)
    columns = {field.name for field in Survey._meta.get_fields()}
    measured = {name: value for name, value in {**SURVEY, **house, **told}.items() if name in columns}
    layers = [{"material": "brick", "thickness": 0.127, "resistance": None}]
    survey = Survey.objects.create(
        **{**measured, "hearth_layers": layers},
        installation=installation, revision=1, made_by=UserFactory(), made_at=NOW,
    )  # fmt: skip
    plan = plan_make(survey=survey, by=survey.made_by, now=NOW)
    job = JobFactory(installation=installation, plan=plan, status=JobStatus.SCHEDULED)
    VisitFactory(job=job, crew=crew, starts_at=NOW, ends_at=NOW + timedelta(hours=6))
    return job


def test_every_route_that_is_offered_has_a_checklist_of_its_own():
    keys = {route: checklist_for(kind="new installation", route=route).key for route in Route.values}
    assert keys == {"flat ceiling": "new_installation_flat_ceiling", **WAYS}


@pytest.mark.parametrize("route", WAYS)
def test_a_checklist_begins_with_cautions_and_holds_before_what_is_covered(route):
    checklist = checklist_get(WAYS[route], 1)
    assert checklist.stages[0].key == "before_work"
    for stage in checklist.stages:
        assert stage.cautions
    assert {"before_work", "position", "commissioning"} < {one.key for one in checklist.stages if one.hold}


@pytest.mark.parametrize(
    ("route", "covered"),
    [
        ("vaulted ceiling", {
            "support_box": "framing_photo", "rafter_space": "slope_photo", "roof_flashing": "flashing_photo",
            "storm_collar": "cone_photo", "connector": "inlet_photo",
        }),
        ("through the wall", {
            "wall_opening": "framing_photo", "thimble": "thimble_photo", "outside": "support_photo",
            "connector": "inlet_photo",
        }),
        ("lined chimney", {
            "inspection": "inspection_photo", "liner": "insulation_photo", "top": "plate_photo",
            "connector": "inlet_photo",
        }),
    ],
)  # fmt: skip
def test_what_the_next_stage_covers_is_photographed_before(route, covered):
    checklist = checklist_get(WAYS[route], 1)
    for stage, key in covered.items():
        item = checklist.stage(stage).item(key)
        assert (item.kind, item.required) == ("photo", True)


@pytest.mark.django_db
@pytest.mark.parametrize("route", WAYS)
def test_a_full_plan_limits_every_measure_that_is_asked(route, installer):
    job = scheduled(route, installer.technician.crew)
    facts, limits = facts_to_pin(job), limits_to_pin(job)
    checklist = checklist_for(kind="new installation", route=route)
    asked = {item.limit for _, item in checklist.items() if item.limit and facts_ask(item, facts)}
    assert asked - limits.keys() == set()


@pytest.mark.django_db
@pytest.mark.parametrize("kind", sorted({*REPORTED, JobKind.REPAIR}))
def test_a_visit_with_a_plan_attached_is_held_to_the_rule_book_as_well(kind, installer):
    job = scheduled("vaulted ceiling", installer.technician.crew)
    planned = limits_to_pin(job)
    assert planned == job.plan.data["limits"]
    job.kind = kind
    limits = limits_to_pin(job)
    assert {"room.co", "sweep.deposit", "fuel.moisture"} <= limits.keys()
    assert limits.items() >= planned.items()


@pytest.mark.django_db
@pytest.mark.parametrize(
    ("told", "asked"),
    [
        ({"rafter_vented": "vented"}, {"vent_space", "vent_path"}),
        ({"rafter_vented": "unvented"}, {"foam_off"}),
    ],
)
def test_the_rafter_space_is_looked_at_as_it_is_built(told, asked, installer):
    facts = facts_to_pin(scheduled("vaulted ceiling", installer.technician.crew, **told))
    stage = checklist_get(WAYS["vaulted ceiling"], 1).stage("rafter_space")
    found = {item.key for item in stage.items if item.only and facts_ask(item, facts)}
    assert found == asked


@pytest.mark.django_db
def test_a_flashing_is_asked_for_only_where_the_eaves_are_passed_through(installer):
    stage = checklist_get(WAYS["through the wall"], 1).stage("outside")
    for way, asked in (("straight", False), ("through", True)):
        overhang = {"eaves_way": way, "eaves_overhang": 0.5 if asked else 0.05}
        facts = facts_to_pin(scheduled("through the wall", installer.technician.crew, **overhang))
        assert facts_ask(stage.item("flashing_nail_spacing"), facts) is asked


@pytest.mark.django_db
def test_throat_and_tee_follow_how_the_liner_enters(installer):
    stage = checklist_get(WAYS["lined chimney"], 1).stage("liner")
    for way, asked in (("fireplace", "throat_closed"), ("thimble", "tee_fixed")):
        facts = facts_to_pin(scheduled("lined chimney", installer.technician.crew, flue_entry=way))
        found = {key for key in ("throat_closed", "tee_fixed") if facts_ask(stage.item(key), facts)}
        assert found == {asked}


def test_an_inspection_that_found_faults_or_was_not_done_fails():
    item = checklist_get(WAYS["lined chimney"], 1).stage("inspection").item("level_2")
    assert [one.key for one in item.options if one.fails] == ["faults", "not_done"]


@pytest.mark.django_db
@pytest.mark.parametrize("route", WAYS)
def test_a_job_goes_from_its_survey_to_the_sign_off_without_a_waiver(route, installer, inspector):
    job = scheduled(route, installer.technician.crew)
    record = work_through(job=job, by=installer)
    assert record.checklist == WAYS[route]
    signed = record_sign_off(
        record=record, by=inspector, name=inspector.name, now=NOW + timedelta(hours=3), **INK
    )
    assert signed.pk
    job.refresh_from_db()
    assert job.status == JobStatus.CLOSED
