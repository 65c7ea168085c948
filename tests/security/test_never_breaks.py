"""Whatever is typed, sent or asked for, the answer is a page that says something and never a broken one."""

from __future__ import annotations

import re
from datetime import timedelta

import pytest
from django.db import transaction
from django.http import HttpResponseBase
from django.test import Client
from django.urls import reverse
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st

from jobs.models import Customer, Visit
from tests.factories import NOW, JobFactory, VisitFactory
from tests.inspections.closing import job_ready_to_begin, work_through
from tests.security.forms import HOSTILE, forms_of
from tests.test_permissions import TABLE, _path, world

__all__ = ["world"]

PAGES = [name for name, method in TABLE if method == "get"]
HUGE = ("0", "9223372036854775807", "9223372036854775808", "9" * 25, "9" * 5000)
PATIENT = settings(
    max_examples=5, deadline=None, database=None,
    suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow],
)  # fmt: skip
anything = st.sampled_from(HOSTILE) | st.text(max_size=40)


@pytest.fixture
def begun_world(office, installer, inspector):
    """Return a job that waits for its sign-off, and who may give it."""
    job = job_ready_to_begin(office=office, crew=installer.technician.crew)
    work_through(job=job, by=installer, inspector=inspector)
    return job, inspector


def _read(answer: HttpResponseBase) -> None:
    # A file is closed when it has been read to its end.
    if answer.streaming:
        b"".join(answer)


def sent(client: Client, path: str, told: dict[str, str], method: str = "post") -> int:
    """Return how a request is answered; whatever it changed is undone."""
    with transaction.atomic():
        answer = getattr(client, method)(path, told)
        _read(answer)
        transaction.set_rollback(True)
    return answer.status_code


def try_forms(client: Client, path: str, data: st.DataObject) -> None:
    page = client.get(path)
    _read(page)
    if page.status_code != 200 or page.streaming:
        return
    for form in forms_of(page.content.decode(), path):
        told = dict(form.fields)
        for name in data.draw(st.sets(st.sampled_from(sorted(told) or [""]), max_size=3)):
            told[name] = data.draw(anything)
        assert sent(client, form.action, told) < 500, (form.action, told)


@pytest.mark.django_db
@pytest.mark.parametrize("name", PAGES)
def test_no_form_breaks_whatever_is_written_in_it(name, world, owner, as_user):
    client, path = as_user(owner), _path(name, world)

    @PATIENT
    @given(st.data())
    def write(data):
        try_forms(client, path, data)

    write()


@pytest.mark.django_db
def test_no_form_breaks_on_the_way_from_enquiry_to_sign_off(begun_world, office, owner, installer, as_user):
    client, crew, whole = as_user(owner), installer.technician.crew, begun_world[0]
    ready = job_ready_to_begin(office=office, crew=crew)
    enquiry = JobFactory(installation=ready.installation)
    visit = VisitFactory(
        crew=crew, starts_at=NOW + timedelta(days=900), ends_at=NOW + timedelta(days=900, hours=1)
    )
    customer: Customer = ready.installation.site.customer
    paths = [
        *(reverse("job_detail", args=[job.pk]) for job in (whole, ready, enquiry)),
        reverse("job_move", args=[ready.pk]), reverse("visit_add", args=[ready.pk]),
        reverse("visit_cancel", args=[Visit.objects.get(job=ready).pk]),
        reverse("visit_edit", args=[visit.pk]),
        reverse("record_review", args=[whole.pk]), reverse("work", args=[ready.pk]),
        reverse("customer_stop", args=[customer.link_token]), reverse("account_change_password"),
        reverse("customer_book", args=[customer.link_token, ready.installation.pk]),
    ]  # fmt: skip

    @PATIENT
    @given(st.data())
    def write(data):
        for path in paths:
            try_forms(client, path, data)

    write()


@pytest.mark.django_db
def test_strokes_that_are_no_drawing_are_refused_in_words(begun_world, as_user):
    job, inspector = begun_world
    path, said = (
        reverse("record_sign_off", args=[job.pk]),
        {"name": inspector.name, "width": 400, "height": 120},
    )
    for strokes in (f"[[[{'9' * 400},1],[5,5]]]", "[[[1e400,0]]]", "[[[NaN,1],[2,3]]]", "[" * 9000, "7"):
        page = as_user(inspector).post(path, {**said, "strokes": strokes})
        assert page.status_code == 422, strokes[:20]
        assert "did not arrive whole" in page.content.decode()


@pytest.mark.django_db
@pytest.mark.parametrize("name", [name for name, _ in TABLE])
def test_a_number_no_row_can_have_leads_nowhere(name, world, owner, as_user):
    client, path = as_user(owner), _path(name, world)
    method = "get" if (name, "get") in TABLE else "post"
    for number in HUGE:
        told = {"job": number} if method == "post" else {}
        wrong = re.sub(r"/\d+/", f"/{number}/", path)
        if wrong != path:
            assert sent(client, wrong, told, method) == 404, (wrong, number)


@pytest.mark.django_db
@pytest.mark.parametrize("number", [*HUGE, "²", "-1", "1.0", "", "\x00"])
def test_a_plan_is_attached_to_no_job_a_form_could_not_name(number, world, office, as_user):
    assert as_user(office).post(_path("plan_attach", world), {"job": number}).status_code == 404


@pytest.mark.django_db
@pytest.mark.parametrize("name", ["job_list", "customer_list", "service_list", "mail_list", "week", "today"])
def test_no_search_breaks_a_list(name, world, owner, as_user):
    client, path = as_user(owner), _path(name, world)
    fields = ("q", "page", "status", "kind", "crew", "when", "mine", "span", "state", "day", "job", "old")

    @PATIENT
    @example({"q": "a " * 1900})
    @example({"q": "\x00 a\x00b"})
    @given(st.dictionaries(st.sampled_from(fields), anything, max_size=4))
    def ask(told):
        assert sent(client, path, told, "get") == 200

    ask()


@pytest.mark.django_db
@pytest.mark.parametrize(
    "token", ["%00", "a%00b", "%FF", "a" * 3000, "%0d%0aSet-Cookie:x", "..", "%2e%2e%2f"]
)
@pytest.mark.parametrize("way", ["", "stop/", "start/", "book/1/", f"documents/{'9' * 30}/"])
def test_a_link_nobody_has_opens_nothing(token, way):
    for method in ("get", "post"):
        answer = getattr(Client(), method)(f"/c/{token}/{way}")
        assert answer.status_code in {404, 405}, method


@pytest.mark.django_db
@pytest.mark.parametrize("seen", ["²", "9" * 5000, "-1", "\x00", "1.5"])
def test_a_survey_is_kept_whatever_revision_the_page_says_it_saw(seen, world, office, as_user):
    client, path = as_user(office), _path("survey_edit", world)
    form = next(
        form for form in forms_of(client.get(path).content.decode(), path) if "seen_revision" in form.fields
    )
    answer = client.post(path, {**form.fields, "seen_revision": seen})
    assert answer.status_code == 302
