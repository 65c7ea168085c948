"""What the people of a house are told: two pages, plain words, every figure with its source."""

from __future__ import annotations

import re

import pytest

from calcs.fluegas import dry_to_wet_basis
from jobs import care_words
from jobs.care_drawings import DRAWINGS
from jobs.errors import JobsError
from jobs.models import Document, JobStatus, Shop
from jobs.queries.care_sheet import care_part, clearance_words
from jobs.services.documents import document_content, document_render
from jobs.services.house_papers import care_sheet_request
from jobs.services.schedule import services_schedule
from tests.factories import NOW, JobFactory
from tests.paper import FONTS, Paper

pytestmark = pytest.mark.django_db
FIGURE = re.compile(r"\d")


@pytest.fixture
def care(tmp_path):
    """Return a function that makes the sheet of a house and opens it."""

    def make(*, done=True, **installation) -> Paper:
        Shop.current()
        Shop.objects.update(name="Lantern Hill Stoves", phone="(802) 555-0142")
        told = {f"installation__{name}": value for name, value in installation.items()}
        job = JobFactory(status=JobStatus.CLOSED, closed_at=NOW, **told)
        if done:
            services_schedule(job=job, done_on=NOW.date(), now=NOW)
        document = care_sheet_request(job=job, now=NOW)
        assert document_render(pk=document.pk, now=NOW), Document.objects.get().last_error
        document.refresh_from_db()
        return Paper(document_content(document=document), tmp_path)

    return make


@pytest.mark.parametrize(
    ("country", "system", "fuel", "kind"),
    [
        ("US", "imperial", "wood", "radiant"),
        ("CA", "metric", "wood", "radiant"),
        ("GB", "metric", "wood", "radiant"),
        ("US", "imperial", "pellets", "jacketed"),
        ("GB", "metric", "smokeless", "open fire"),
        ("GB", "metric", "coal", "radiant"),
    ],
)
def test_it_has_two_pages_whatever_burns_and_wherever(country, system, fuel, kind, care):
    paper = care(
        site__country=country, site__unit_system=system, appliance__fuel=fuel, appliance__kind=kind,
        appliance__maker="Tarn Hollow Foundry and Ironworks", appliance__model="Great Hearth 36 Long",
        appliance__listing_reference="Sheet TH-3, 2nd edition, pages 4 to 7", room="Upper sitting room",
        site__street="114 Old Lantern Lane, Flat 3",
    )  # fmt: skip
    assert paper.pages == 2
    assert paper.fonts <= FONTS
    assert paper.pictures == 0


@pytest.mark.parametrize(("country", "number"), [("US", "911"), ("CA", "911"), ("GB", "999")])
def test_the_number_to_ring_is_that_of_the_country(country, number, care):
    text = care(site__country=country).page(2)
    assert f"Ring {number} from outside" in text
    assert f"Everybody out. Ring {number}" in text
    other = "999" if number == "911" else "911"
    assert other not in text


@pytest.mark.parametrize(("country", "how_often"), [("US", "once a month"), ("GB", "once a week")])
def test_alarms_are_tested_as_often_as_the_country_asks(country, how_often, care):
    assert f"carbon monoxide alarm {how_often}" in care(site__country=country).page(2)


def test_wood_may_hold_a_fifth_of_water_and_a_meter_shows_a_quarter(care):
    text = care().page(1)
    assert "at most 20 % water" in text
    assert "25 % on such a meter is 20 %" in text
    # wet = dry / (1 + dry): 0.25 / 1.25 = 0.20.
    assert dry_to_wet_basis(0.25) == pytest.approx(0.20)


def test_every_figure_has_its_source_beside_it():
    told = JobFactory()
    for fuel in ("wood", "pellets", "smokeless", "coal"):
        told.installation.appliance.fuel = fuel
        part = care_part(told)
        points = [point for one in part["sections"] for point in one["points"]] + part["alarm"]["points"]
        assert len(points) > 12
        for point in points:
            assert point["source"] or not FIGURE.search(point["text"]), point
            assert "{" not in point["text"] + point["source"]


def test_what_rests_on_memory_says_so():
    assert "memory" in care_words.PRACTICE
    sources = [source for points in care_words.FUEL.values() for _, source in points if source]
    assert all(re.search(r"\((read|second-hand|memory)\)|moisture_source", one) for one in sources)


@pytest.mark.parametrize(
    ("fuel", "words", "never"),
    [
        ("wood", "Two or three split logs", "burn pot"),
        ("pellets", "Empty the burn pot", "Put on one or two logs"),
        ("coal", "Riddle the grate", "Put on one or two logs"),
    ],
)
def test_each_fuel_has_its_own_words(fuel, words, never, care):
    text = care(appliance__fuel=fuel).text.lower()
    assert words.lower() in text
    assert never.lower() not in text


@pytest.mark.parametrize(("country", "said"), [("GB", True), ("US", False)])
def test_smoke_control_is_spoken_of_in_britain_alone(country, said, care):
    assert ("smoke control area" in care(site__country=country).text) is said


def test_lengths_are_in_the_units_of_the_house(care):
    assert "3 m or more from the house" in care(site__country="GB", site__unit_system="metric").text
    assert "10 ft or more from the house" in care().text


def test_an_open_fire_has_a_guard_and_no_door(care):
    text = care(appliance__kind="open fire").page(1)
    assert "guard in front of the fire" in text
    assert "Keep the door shut" not in text


def test_it_names_the_next_days_with_the_rule_and_whom_to_ring(care):
    text = care().page(2)
    assert "May 4, 2027" in text
    assert "NFPA 211" in text
    assert "(802) 555-0142" in text


def test_a_house_without_dates_is_told_so(care):
    assert "Sweep and inspection at least" in care(done=False).page(2)


def test_clearances_are_those_of_the_listing_and_never_shown_smaller():
    job = JobFactory(installation__site__unit_system="metric")
    assert "356 mm behind" in clearance_words(job)
    assert "Sheet TH-3, 2nd edition" in clearance_words(job)


def test_a_listing_without_clearances_says_where_they_stand():
    job = JobFactory()
    for name in ("rear", "side", "front", "above"):
        setattr(job.installation.appliance, f"clearance_{name}", None)
    assert "stove’s own label" in clearance_words(job)


def test_every_drawing_says_in_words_what_it_shows():
    assert len(DRAWINGS) >= 8
    for svg, words in DRAWINGS.values():
        assert svg.startswith("<svg")
        assert len(words) > 12


def test_the_customer_may_read_it(care):
    care()
    assert Document.objects.get().for_customer


def test_a_cancelled_job_has_none():
    with pytest.raises(JobsError) as refusal:
        care_sheet_request(job=JobFactory(status=JobStatus.CANCELLED), now=NOW)
    assert refusal.value.code == "job_cancelled"
