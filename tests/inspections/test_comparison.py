"""A visit beside those before it: parts, measured values, and where the history is cut."""

from __future__ import annotations

from datetime import timedelta
from xml.etree import ElementTree

import pytest
from django.urls import reverse

from inspections.queries.comparison import comparison_of
from inspections.queries.last_time import last_times
from inspections.queries.visits_before import history_of
from jobs.models import Route
from tests.factories import NOW, ApplianceFactory, SurveyFactory
from tests.inspections.visits import visit_closed, visit_planned, visit_worked
from tests.jobs.five import needs_login, refuses_method

pytestmark = pytest.mark.django_db
YEAR = timedelta(days=364)
SWEEP = "annual sweep"


@pytest.fixture
def installation(technician):
    return SurveyFactory().installation


@pytest.fixture
def people(installer, inspector):
    return {"by": installer, "inspector": inspector}


@pytest.fixture
def swept(installation, people):
    """A sweep of last year that found a worn door seal and little deposit."""
    return visit_closed(
        installation=installation,
        kind=SWEEP,
        now=NOW - YEAR,
        answers={"appliance_body": "worn", "deposit_before": "1/16 in", "attic_part": "not_reached"},
        **people,
    )


def compared(installation, people, kind=SWEEP, **answers):
    record = visit_worked(installation=installation, kind=kind, now=NOW, answers=answers, by=people["by"])
    return comparison_of(record)


def part(found, key):
    return next(one for one in found.parts if one.key == key)


def trend(found, name):
    return next(one for one in found.trends if one.name == name)


def test_a_part_is_better_worse_or_the_same(installation, people, swept):
    found = compared(installation, people, connector_sound="worn", deposit_before="1/4 in")
    assert (part(found, "appliance").change, part(found, "appliance").then.words) == (
        "better",
        "Worn, still serves",
    )
    assert part(found, "connector").change == "worse"
    assert part(found, "hearth").change == "same"
    assert found.tally["worse"] == 1


def test_a_part_not_reached_then_is_seen_for_the_first_time_now(installation, people, swept):
    found = compared(installation, people)
    assert part(found, "attic").change == "first"
    assert part(found, "attic").then is None


def test_a_part_not_reached_now_keeps_what_was_known_and_says_so(installation, people, swept):
    visit_closed(installation=installation, kind=SWEEP, now=NOW - YEAR / 2, **people)
    found = compared(installation, people, attic_part="not_reached")
    attic = part(found, "attic")
    assert (attic.change, attic.then.condition, attic.now.condition) == ("unseen", "sound", "")
    assert "Not readily reached" in attic.now.words


def test_a_photo_of_the_part_stands_beside_the_one_before(installation, people, swept):
    connector = part(compared(installation, people), "connector")
    assert connector.then.photo.job_id == swept.record.job_id
    assert connector.now.photo.job_id != swept.record.job_id


def test_a_measured_value_is_followed_over_the_visits_with_its_limit(installation, people, swept):
    found = compared(installation, people, deposit_before="1/4 in")
    deposit = trend(found, "Deposit left in the flue, as found")
    assert [one.words for one in deposit.readings] == ["1/16 in", "1/4 in"]
    assert (deposit.change, deposit.limit_text) == ("worse", "at most 1/8 in")
    drawing = ElementTree.fromstring(deposit.svg)
    told = " ".join(one.text or "" for one in drawing.iter())
    assert drawing[0].text == "Deposit left in the flue, as found over 2 visits"
    assert "1/4 in (fail). Limit: at most 1/8 in." in told


def test_kinds_are_compared_by_part_and_limit(installation, people, swept):
    found = compared(installation, people, kind="inspection level 2", appliance_body="bad")
    assert part(found, "appliance").change == "worse"
    assert part(found, "papers").change == "first"
    assert len(trend(found, "Draft at the service").readings) == 2


def test_a_first_visit_has_nothing_to_compare_and_says_so(installation, people, as_user):
    found = compared(installation, people)
    assert (found.last, found.history.cut) == (None, "")
    assert {one.change for one in found.parts} == {"first"}
    assert {one.svg for one in found.trends} == {""}
    page = as_user(people["inspector"]).get(reverse("record_compared", args=[found.now.job.pk]))
    assert "No earlier visit to this installation is signed off" in page.content.decode()


def test_another_appliance_cuts_the_history(installation, people, swept):
    before = str(installation.appliance)
    installation.appliance = ApplianceFactory(model="Other 8")
    installation.save()
    history = history_of(
        visit_planned(installation=installation, kind=SWEEP, crew=people["by"].technician.crew, now=NOW), None
    )
    assert history.visits == ()
    assert before in history.cut
    assert "is not compared" in history.cut


def test_a_visit_signed_off_later_is_no_visit_before(installation, people, swept):
    later = visit_closed(installation=installation, kind=SWEEP, now=NOW, **people)
    assert [one.record for one in history_of(later.record.job, later.record).visits] == [swept.record]
    assert history_of(swept.record.job, swept.record).visits == ()


def test_an_old_version_of_a_checklist_is_compared_too(installation, people, monkeypatch):
    from inspections.checklists import checklist_get  # noqa: PLC0415
    from inspections.services import records  # noqa: PLC0415

    with monkeypatch.context() as before:
        before.setattr(records, "checklist_for", lambda **_: checklist_get("annual_sweep", 1))
        old = visit_closed(installation=installation, kind=SWEEP, now=NOW - YEAR, **people)
    assert old.record.checklist_version == 1
    found = compared(installation, people)
    assert found.now.record.checklist_version == 2
    for key in ("appliance", "connector", "attic", "flue", "cap"):
        assert part(found, key).change == "same", key
        assert part(found, key).then.photo or key == "attic"


def test_the_last_time_stands_beside_each_item(installation, people, swept, as_user):
    crew = people["by"].technician.crew
    job = visit_planned(installation=installation, kind=SWEEP, crew=crew, now=NOW)
    from inspections.services.records import record_begin  # noqa: PLC0415

    record = record_begin(job=job, by=people["by"], now=NOW)
    page = as_user(people["by"]).get(reverse("stage", args=[job.pk, "deposit"])).content.decode()
    assert "<strong>Last time:</strong> 1/16 in, " in page
    checklist = comparison_of(record).now.checklist
    found = last_times(job, record, checklist)
    assert found["appliance_body"].words == "Worn, still serves"
    assert found["connector_photo"].photo.job_id == swept.record.job_id
    assert "attic_clearance" not in found


def test_the_crew_sees_the_photos_of_the_visit_before_and_strangers_do_not(
    installation, people, swept, as_user, stranger
):
    crew = people["by"].technician.crew
    photo = swept.record.job.photos.first()
    swept.record.job.visits.all().delete()
    path = reverse("photo_file", args=[photo.pk, "original"])
    assert as_user(people["by"]).get(path).status_code == 404
    visit_planned(installation=installation, kind=SWEEP, crew=crew, now=NOW)
    response = as_user(people["by"]).get(path)
    assert response.status_code == 200
    response.close()
    assert as_user(stranger).get(path).status_code == 404


class TestPage:
    @pytest.fixture
    def path(self, installation, people, swept):
        record = visit_worked(installation=installation, kind=SWEEP, now=NOW, by=people["by"])
        return reverse("record_compared", args=[record.job.pk])

    def test_it_shows_parts_and_trends(self, path, as_user, inspector):
        page = as_user(inspector).get(path).content.decode()
        assert 'data-change="better"' in page
        assert "Measured over the years" in page
        assert page.count('<div class="drawing"><svg') == 1
        assert "style=" not in page

    def test_it_needs_a_login_and_a_read_and_hides_from_strangers(self, path, as_user, stranger, office):
        needs_login(path)
        assert as_user(stranger).get(path).status_code == 404
        assert as_user(office).get(path).status_code == 200
        refuses_method(as_user(office), path, "post")


def test_the_masonry_is_asked_for_where_there_is_some(people):
    lined = SurveyFactory(installation__route=Route.LINED_CHIMNEY).installation
    plain = SurveyFactory().installation
    asked = {}
    for house in (lined, plain):
        job = visit_planned(installation=house, kind=SWEEP, crew=people["by"].technician.crew, now=NOW)
        from inspections.queries.records import record_view  # noqa: PLC0415
        from inspections.services.records import record_begin  # noqa: PLC0415

        view = record_view(record_begin(job=job, by=people["by"], now=NOW))
        asked[house.pk] = {item.key for stage in view.stages for item in stage.items}
    assert "masonry_part" in asked[lined.pk]
    assert "masonry_part" not in asked[plain.pk]
