"""A closed job starts or moves on what falls due, by rule book and fuel."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest

from jobs.errors import JobsError
from jobs.models import Country, Fuel, JobKind, ServiceKind, ServiceSchedule
from jobs.services.schedule import (
    jobs_that_do,
    service_end,
    service_take_up,
    services_done_by,
    services_schedule,
)
from tests.factories import InstallationFactory, JobFactory

pytestmark = pytest.mark.django_db
NOW = datetime(2030, 1, 1, 15, 0, tzinfo=UTC)


def close(kind=JobKind.NEW_INSTALLATION, done_on=date(2026, 5, 4), installation=None, **house):
    installation = installation or InstallationFactory(
        site__country=house.get("country", Country.US), appliance__fuel=house.get("fuel", Fuel.WOOD)
    )
    job = JobFactory(installation=installation, kind=kind)
    return installation, services_schedule(job=job, done_on=done_on, now=NOW)


def due(services) -> dict[str, date]:
    return {service.kind: service.next_due_on for service in services}


# NFPA 211 (second-hand): inspected at least once a year; the yearly sweep is common practice.
@pytest.mark.parametrize("country", [Country.US, Country.CA])
@pytest.mark.parametrize("fuel", list(Fuel))
def test_a_new_installation_starts_a_yearly_sweep_and_a_yearly_inspection(country, fuel):
    _, services = close(country=country, fuel=fuel)
    assert due(services) == {"sweep": date(2027, 5, 4), "inspection": date(2027, 5, 4)}
    assert {service.last_done_on for service in services} == {date(2026, 5, 4)}


# UK sweeping: smokeless once a year, wood up to quarterly while in use, bituminous coal twice a year.
@pytest.mark.parametrize(
    ("fuel", "sweep"),
    [
        (Fuel.WOOD, date(2026, 8, 4)),
        (Fuel.COAL, date(2026, 11, 4)),
        (Fuel.SMOKELESS, date(2027, 5, 4)),
    ],
)
def test_in_the_uk_the_fuel_decides_how_often_to_sweep(fuel, sweep):
    _, services = close(country=Country.GB, fuel=fuel)
    assert due(services) == {"sweep": sweep, "inspection": date(2027, 5, 4)}


def test_a_rule_book_without_an_interval_gives_no_date():
    _, services = close(country=Country.GB, fuel=Fuel.PELLETS)
    assert due(services) == {"inspection": date(2027, 5, 4)}


def test_the_row_names_the_rule_it_stands_on():
    _, services = close()
    inspection = next(service for service in services if service.kind == ServiceKind.INSPECTION)
    assert inspection.source["rule"] == "inspection.interval.wood"
    assert inspection.source["rule_book"] == "us"
    assert "NFPA 211" in inspection.source["reference"]
    assert inspection.source["provenance"] == "second-hand"
    assert inspection.source["interval_months"] == 12


# Calendar: the last day of a shorter month.
@pytest.mark.parametrize(
    ("done_on", "next_due_on"),
    [
        (date(2026, 5, 31), date(2026, 8, 31)),
        (date(2026, 8, 31), date(2026, 11, 30)),
        (date(2026, 11, 30), date(2027, 2, 28)),
        (date(2027, 11, 30), date(2028, 2, 29)),
    ],
)
def test_a_quarter_from_a_month_end_is_a_month_end(done_on, next_due_on):
    _, services = close(done_on=done_on, country=Country.GB)
    assert due(services)["sweep"] == next_due_on


def test_a_year_from_a_leap_day_is_the_last_of_february_brought_forward():
    _, services = close(done_on=date(2028, 2, 29))
    assert {service.source["brought_forward_from"] for service in services} == {"2029-02-28"}
    assert set(due(services).values()) == {date(2028, 9, 30)}


# Common practice: a yearly sweep is done before the heating season, taken as 1 October to 30 April.
@pytest.mark.parametrize(
    ("done_on", "next_due_on"),
    [
        (date(2026, 11, 25), date(2027, 9, 30)),
        (date(2026, 4, 30), date(2026, 9, 30)),
        (date(2026, 5, 1), date(2027, 5, 1)),
        (date(2026, 10, 1), date(2027, 9, 30)),
        (date(2026, 9, 30), date(2027, 9, 30)),
    ],
)
def test_a_yearly_service_is_due_before_the_heating_season(done_on, next_due_on):
    _, services = close(done_on=done_on)
    assert set(due(services).values()) == {next_due_on}


@pytest.mark.parametrize(
    ("kind", "country", "moved"),
    [
        (JobKind.ANNUAL_SWEEP, Country.US, {"sweep", "inspection"}),
        (JobKind.ANNUAL_SWEEP, Country.CA, {"sweep", "inspection"}),
        (JobKind.ANNUAL_SWEEP, Country.GB, {"sweep"}),
        (JobKind.INSPECTION_1, Country.US, {"inspection"}),
        (JobKind.INSPECTION_2, Country.US, {"inspection"}),
        (JobKind.INSPECTION_3, Country.GB, {"inspection"}),
        (JobKind.INSPECTION_AFTER_FIRE, Country.US, {"inspection"}),
        (JobKind.INSPECTION_ON_SALE, Country.GB, {"inspection"}),
        (JobKind.REPAIR, Country.US, set()),
    ],
)
def test_a_later_job_moves_on_what_it_did(kind, country, moved):
    installation, _ = close(country=country)
    close(kind=kind, done_on=date(2027, 6, 10), installation=installation)
    done = {
        service.kind for service in installation.services.all() if service.last_done_on == date(2027, 6, 10)
    }
    assert done == moved
    assert installation.services.count() == 2


def test_the_same_job_closed_twice_changes_nothing():
    installation, first = close()
    job = installation.jobs.get()
    again = services_schedule(job=job, done_on=date(2026, 5, 4), now=NOW)
    assert due(again) == due(first)
    assert ServiceSchedule.objects.count() == 2


def test_an_older_job_closed_late_moves_nothing_back():
    installation, _ = close(done_on=date(2027, 6, 10), kind=JobKind.ANNUAL_SWEEP)
    close(done_on=date(2026, 6, 10), kind=JobKind.ANNUAL_SWEEP, installation=installation)
    assert set(installation.services.values_list("next_due_on", flat=True)) == {date(2028, 6, 10)}


def test_a_sweep_of_a_chimney_others_built_starts_its_dates():
    installation, services = close(kind=JobKind.ANNUAL_SWEEP)
    assert installation.services.count() == len(services) == 2


def test_an_ended_service_stays_ended_until_it_is_taken_up_or_built_anew():
    installation, services = close()
    sweep = service_end(service=services[0], on=date(2026, 7, 1))
    assert sweep.ended_on == date(2026, 7, 1)
    close(kind=JobKind.ANNUAL_SWEEP, done_on=date(2027, 6, 1), installation=installation)
    sweep.refresh_from_db()
    assert (sweep.ended_on, sweep.last_done_on) == (date(2026, 7, 1), date(2027, 6, 1))
    assert service_take_up(service=sweep).ended_on is None
    service_end(service=sweep, on=date(2027, 7, 1))
    close(done_on=date(2028, 6, 1), installation=installation)
    sweep.refresh_from_db()
    assert (sweep.ended_on, sweep.last_done_on) == (None, date(2028, 6, 1))


def test_it_refuses_a_day_still_to_come_at_the_house():
    installation = InstallationFactory(site__time_zone="America/Vancouver")
    job = JobFactory(installation=installation)
    # 1 January 2030, 03:00 UTC, is still 31 December in Vancouver.
    now = datetime(2030, 1, 1, 3, 0, tzinfo=UTC)
    with pytest.raises(JobsError) as refusal:
        services_schedule(job=job, done_on=date(2030, 1, 1), now=now)
    assert refusal.value.code == "done_in_future"
    assert services_schedule(job=job, done_on=date(2029, 12, 31), now=now)


def test_jobs_and_services_know_each_other():
    assert jobs_that_do(service=ServiceKind.INSPECTION, rule_book="us") == [
        JobKind.ANNUAL_SWEEP,
        JobKind.INSPECTION_1,
        JobKind.INSPECTION_2,
        JobKind.INSPECTION_3,
        JobKind.INSPECTION_AFTER_FIRE,
        JobKind.INSPECTION_ON_SALE,
    ]
    assert JobKind.ANNUAL_SWEEP not in jobs_that_do(service=ServiceKind.INSPECTION, rule_book="uk")
    assert jobs_that_do(service=ServiceKind.SWEEP, rule_book="uk") == [JobKind.ANNUAL_SWEEP]
    assert services_done_by(kind=JobKind.REPAIR, rule_book="us") == ()
