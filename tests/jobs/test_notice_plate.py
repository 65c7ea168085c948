"""The plate at a British hearth: everything the rules ask for, at its true size, or not at all.

What it must say: Approved Document J (England), 1.57 and the plate in its diagram (list read).
"""

from __future__ import annotations

import re
import subprocess
from datetime import date

import pytest

from jobs.errors import JobsError
from jobs.models import Document, JobStatus, Shop
from jobs.queries.notice_plate import FULL, plate_part, plate_wanting, wanting_words
from jobs.services.documents import document_content, document_render
from jobs.services.house_papers import notice_plate_request
from jobs.services.plans import plan_make
from tests.factories import NOW, ChimneyFactory, InstallationFactory, JobFactory, SurveyFactory
from tests.paper import FONTS, Paper

pytestmark = pytest.mark.django_db
SAID = {
    "flue_type": "Twin-wall insulated stainless steel",
    "flue_category": "Solid fuel, dry, withstands a soot fire",
    "suits_appliances": "Closed stoves for wood and mineral fuel",
    "designation": "T450 N1 D Vm L50050 G50",
    "inner_diameter": 0.150,
    "outer_diameter": 0.200,
}
MM = 72 / 25.4


@pytest.fixture
def closed():
    """Return a function that gives a closed job at a British house."""

    def make(*, chimney=None, kind="new installation", status=JobStatus.CLOSED, **house):
        told = {
            "site__country": "GB",
            "site__unit_system": "metric",
            "site__region": "",
            "installed_on": date(2026, 5, 4),
            **house,
        }
        house = InstallationFactory(chimney=ChimneyFactory(**{**SAID, **(chimney or {})}), **told)
        return JobFactory(
            installation=house,
            kind=kind,
            status=status,
            closed_at=NOW if status == JobStatus.CLOSED else None,
        )

    return make


@pytest.fixture
def plate(closed, tmp_path):
    """Return a function that makes a plate and opens it."""

    def make(**told) -> Paper:
        Shop.current()
        document = notice_plate_request(job=closed(**told), now=NOW)
        assert document_render(pk=document.pk, now=NOW), Document.objects.get().last_error
        document.refresh_from_db()
        return Paper(document_content(document=document), tmp_path)

    return make


def boxes(paper: Paper) -> dict[str, list[float]]:
    told = subprocess.run(["pdfinfo", "-box", paper.path], capture_output=True, text=True, check=True).stdout
    return {
        name: [float(one) / MM for one in figures.split()]
        for name, figures in re.findall(r"(\w+)Box:\s+([-\d. ]+)", told)
    }


def test_it_says_everything_the_rules_ask_for(plate):
    text = plate(room="Living room", site__street="4 Lantern Lane").text
    for words in (
        "Living room", "Solid fuel, dry, withstands a soot fire", "Closed stoves for wood and mineral fuel",
        "Twin-wall insulated stainless steel, 150 mm inside", "Grey Heron", "4 May 2026",
        "T450 N1 D Vm L50050 G50", "4 Lantern Lane", "never cover it", "Important for your safety",
    ):  # fmt: skip
        assert words in text


def test_it_is_one_page_at_its_true_size_with_room_to_cut(plate):
    paper = plate()
    assert paper.pages == 1
    found = boxes(paper)
    left, bottom, right, top = found["Trim"]
    assert (right - left, top - bottom) == pytest.approx((120, 90), abs=0.1)
    for outer, room in (("Bleed", 3), ("Media", 7)):
        box = found[outer]
        assert box[0] <= left - room
        assert box[1] <= bottom - room
        assert box[2] >= right + room
        assert box[3] >= top + room


def test_it_is_set_in_the_bundled_fonts(plate):
    assert plate().fonts <= FONTS


def test_the_longest_words_still_make_one_face(plate, tmp_path):
    paper = plate(
        room="R" * 10 + " " + "long room " * 6,
        site__street="Street " * 12,
        chimney={
            "flue_type": "twin wall " * 8, "flue_category": "category " * 8, "maker": "maker " * 12,
            "suits_appliances": "suits " * 20,
        },
    )  # fmt: skip
    assert Document.objects.get().context["plate"]["cut"] == "full"
    assert paper.pages == 1
    told = subprocess.run(["pdftotext", "-bbox", paper.path, "-"], capture_output=True, text=True, check=True)
    rows = re.findall(r'yMin="([\d.]+)"[^>]*yMax="([\d.]+)">(\w+)', told.stdout)
    foot = next(float(top) for top, _, word in rows if word == "Ask")
    assert max(float(low) for top, low, word in rows if word == "2026") <= foot


@pytest.mark.parametrize(("letters", "cut"), [("s" * 10, "roomy"), ("s " * 60, "close")])
def test_more_words_are_set_smaller(letters, cut, closed):
    assert plate_part(closed(chimney={"suits_appliances": letters.strip()}))["cut"] == cut
    assert FULL > 300


@pytest.mark.parametrize(
    ("field", "words"),
    [
        ("flue_category", "the category of the flue"),
        ("suits_appliances", "the types of appliance it suits"),
        ("flue_type", "the type of flue or liner"),
        ("inner_diameter", "its inner diameter"),
    ],
)
def test_a_figure_the_listing_lacks_is_named_with_where_to_enter_it(field, words, closed):
    empty = None if field == "inner_diameter" else ""
    job = closed(chimney={field: empty})
    with pytest.raises(JobsError) as refusal:
        notice_plate_request(job=job, now=NOW)
    assert refusal.value.code == "plate_incomplete"
    assert words in refusal.value.sentence
    assert f"the listing of {job.installation.chimney}, under Listings, Chimneys" in refusal.value.sentence
    assert not Document.objects.exists()


def test_a_missing_day_is_entered_at_the_installation(closed):
    job = closed(installed_on=None)
    sentence = wanting_words(plate_wanting(job))
    assert sentence == f"Missing: the day it was installed. Enter it at the installation {job.installation}."


def test_everything_missing_at_one_place_is_one_sentence(closed):
    sentence = wanting_words(plate_wanting(closed(chimney={"flue_type": " ", "flue_category": ""})))
    assert "Missing: the category of the flue, the type of flue or liner. Enter them at" in sentence


def test_size_and_designation_are_those_the_work_was_planned_with(closed, office):
    job = closed()
    job.plan = plan_make(survey=SurveyFactory(installation=job.installation), by=office, now=NOW)
    job.save(update_fields=["plan"])
    type(job.installation.chimney).objects.update(inner_diameter=0.125, designation="")
    job.installation.chimney.refresh_from_db()
    said = {row["label"]: row["words"] for row in plate_part(job)["rows"]}
    assert said["Flue or liner"].endswith("150\u00a0mm inside")


@pytest.mark.parametrize(
    ("designation", "words"),
    [
        ("T450 N1 D Vm L50050 G50", "Not suitable: the flue must stay dry"),
        ("T200 P1 W V2 L50060 O20", "The flue bears condensate"),
        ("", None),
        ("as on the sheet", None),
    ],
)
def test_whether_it_bears_condensate_is_said_only_where_a_designation_says_it(designation, words, closed):
    said = {
        row["label"]: row["words"] for row in plate_part(closed(chimney={"designation": designation}))["rows"]
    }
    assert said.get("Condensing appliances") == words


@pytest.mark.parametrize(
    ("told", "code"),
    [
        ({"site__country": "US"}, "plate_not_here"),
        ({"kind": "annual sweep"}, "flue_unchanged"),
        ({"status": JobStatus.ON_SITE}, "not_signed_off"),
    ],
)
def test_it_is_refused_where_it_does_not_belong(told, code, closed):
    with pytest.raises(JobsError) as refusal:
        notice_plate_request(job=closed(**told), now=NOW)
    assert refusal.value.code == code


def test_a_repair_of_the_flue_has_its_plate_too(plate):
    assert plate(kind="repair").pages == 1
