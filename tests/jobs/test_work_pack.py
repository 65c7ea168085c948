"""What a crew takes along."""

from __future__ import annotations

from datetime import date, timedelta

import pytest

from jobs.errors import JobsError
from jobs.models import Document, JobStatus, Permit, Shop
from jobs.queries.documents import replacement_of
from jobs.services.documents import document_content, document_render
from jobs.services.plans import plan_make
from jobs.services.work_pack import work_pack_request
from tests.factories import (
    IN,
    NOW,
    ChimneyFactory,
    InstallationFactory,
    JobFactory,
    SurveyFactory,
    VisitFactory,
)
from tests.paper import FONTS, Paper

LETTER, A4 = (612, 792), (595, 842)


@pytest.fixture
def pack(office, technician, tmp_path):
    """Return a function that makes a job's work pack and opens it."""

    def make(*, survey=None, chimney=None, job=None, permit=True, **installation) -> Paper:
        Shop.current()
        if chimney is not None:
            installation["chimney"] = ChimneyFactory(**chimney)
        house = InstallationFactory(**installation)
        plan = plan_make(survey=SurveyFactory(installation=house, **(survey or {})), by=office, now=NOW)
        made = JobFactory(installation=house, plan=plan, status=JobStatus.SCHEDULED, **(job or {}))
        VisitFactory(job=made, crew=technician.crew)
        if permit:
            Permit.objects.create(
                job=made, authority="Town of Millbrook Falls", number="B-118", issued_on=date(2026, 4, 12)
            )
        document = work_pack_request(job=made, by=office, now=NOW)
        assert document_render(pk=document.pk, now=NOW), Document.objects.get().last_error
        document.refresh_from_db()
        return Paper(document_content(document=document), tmp_path)

    return make


def test_it_says_who_where_and_when_with_access_and_hazards(pack):
    text = pack(
        site__customer__name="Maren Holt",
        site__customer__phone="(802) 555-0177",
        site__street="4 Lantern Lane",
        site__access_notes="Key under the third pot.",
        site__hazard_notes="Vermiculite above the hall.",
        job={"note": "Before the first frost."},
    ).page(1)
    for words in (
        "Maren Holt", "(802) 555-0177", "4 Lantern Lane", "Key under the third pot.",
        "Vermiculite above the hall.", "Before the first frost.", "Ivo Installer",
        "May 5, 2026, 11:00 AM to 5:00 PM", "Town of Millbrook Falls, number B-118", "Issued April 12, 2026",
    ):  # fmt: skip
        assert words in text


def test_cautions_come_before_everything_else(pack):
    text = pack().page(1)
    assert text.index("Before you cut") < text.index("Hazards at this house") < text.index("Who and when")
    assert "Never cut, notch or alter a roof truss" in text


def test_it_carries_the_cut_list_the_load_list_and_every_limit_with_its_source(pack):
    paper = pack()
    text = paper.text
    # Common practice: two headers of 22 1/2 in and two blocks of 14 in frame a 14 in opening in a 24 in bay.
    assert "2 header 2x6 22 1/2 in" in text
    assert "2 block 2x6 14 in" in text
    assert "Load list" in text
    assert "storm collar" in text
    plan = Document.objects.get().job.plan
    context = Document.objects.get().context
    listed = [row for stage in context["plan"]["stages"] for row in stage["limits"]]
    expected = [name for name in plan.data["limits"] if not name.startswith(("sweep.", "service."))]
    assert len(listed) == len(expected) > 20
    assert all(row["source"] and row["limit"] for row in listed)
    assert "at least 14 in" in text
    assert "Sheet GH-9, 1st edition" in text


def test_it_draws_the_section_the_ceiling_and_the_roof(pack):
    pack()
    captions = [one["caption"] for one in Document.objects.get().context["plan"]["drawings"]]
    assert [caption.split()[0] for caption in captions] == ["Section", "Ceiling", "Roof"]


def test_its_drawings_keep_to_the_bundled_fonts_and_their_words_can_be_searched(pack):
    paper = pack()
    assert paper.fonts <= FONTS
    assert "Storm collar" in paper.text


def test_a_shield_that_does_not_fit_gives_panels_in_their_true_shapes(pack):
    paper = pack(survey={"attic_height": 10.5 * IN})
    assert "The 15 in shield does not fit" in paper.text
    assert "Panels of the enclosure, true shapes" in paper.text
    panels = Document.objects.get().context["plan"]["panels"]
    # Common practice: 7 in on the low side and 14 in on the high side over a 14 in opening at 6/12.
    assert {(panel["left"], panel["right"]) for panel in panels} >= {("7 in", "7 in")}
    assert all(panel["drawing"]["uri"].startswith("data:image/svg+xml;base64,") for panel in panels)


def test_what_is_not_known_is_said_and_never_filled_in(pack):
    paper = pack(survey={"ridge_distance": None}, chimney={"clearance": None, "shield_height": None})
    assert "Not known: find out before you cut" in paper.text
    assert "Chimney to combustibles" not in paper.text
    assert "Not given on the sheet as entered: Clearance to combustibles" in paper.text


def test_what_to_measure_again_stands_beside_the_findings(pack):
    text = pack(survey={"tolerances": {"wall_to_flue_centre": 6 * IN}}).text
    assert "Measure again before you cut" in text
    assert "6 in more or less than measured" in " ".join(text.split())


@pytest.mark.parametrize(
    ("country", "size", "day"),
    [("US", LETTER, "May 5, 2026"), ("CA", LETTER, "5 May 2026"), ("GB", A4, "5 May 2026")],
)
def test_paper_and_dates_follow_the_country_of_the_site(country, size, day, pack):
    paper = pack(site__country=country)
    assert paper.size == size
    assert day in paper.page(1)


def test_figures_follow_the_units_of_the_site(pack):
    paper = pack(site__country="GB", site__unit_system="metric")
    assert "572 mm" in paper.text
    assert " 22 1/2 in" not in paper.text


def test_every_page_says_which_job_and_plan_it_belongs_to(pack):
    paper = pack()
    assert paper.pages > 3
    job = Document.objects.get().job
    for page in range(1, paper.pages + 1):
        assert f"{job.number}, plan 1" in paper.page(page)
        assert f"Page {page} of {paper.pages}" in paper.page(page)


def test_a_house_without_notes_or_permit_says_so(pack):
    text = pack(permit=False).page(1)
    assert "None were written down. Look for yourself" in text
    assert "No permit is on file. Ask the office" in text


def test_a_new_installation_without_a_plan_has_no_work_pack(office):
    job = JobFactory(status=JobStatus.ENQUIRY)
    with pytest.raises(JobsError) as refusal:
        work_pack_request(job=job, by=office, now=NOW)
    assert refusal.value.code == "plan_missing"


def test_a_sweep_needs_no_plan(office, tmp_path):
    job = JobFactory(kind="annual sweep", status=JobStatus.PLANNED)
    document = work_pack_request(job=job, by=office, now=NOW)
    assert document_render(pk=document.pk, now=NOW)
    document.refresh_from_db()
    text = Paper(document_content(document=document), tmp_path).text
    assert "Annual sweep" in text
    assert "No visit is scheduled yet." in text


def test_a_closed_job_has_no_work_left_to_pack_for(office):
    job = JobFactory(kind="annual sweep", status=JobStatus.CLOSED, closed_at=NOW)
    with pytest.raises(JobsError) as refusal:
        work_pack_request(job=job, by=office, now=NOW)
    assert refusal.value.code == "job_not_open"


def test_a_newer_pack_replaces_the_one_before(office):
    job = JobFactory(kind="annual sweep", status=JobStatus.PLANNED)
    first = work_pack_request(job=job, by=office, now=NOW)
    second = work_pack_request(job=job, by=office, now=NOW + timedelta(hours=1))
    assert replacement_of(first) == second
    assert replacement_of(second) is None
