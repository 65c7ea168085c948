"""The invented shop's jobs: each is put on the timeline as far as it has come."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import date, datetime, time, timedelta
from typing import Any

from config.demo.days import at, day_done, working_day, working_days_before
from config.demo.fixture import fixture
from config.demo.hands import signature
from config.demo.houses import House
from config.demo.people import Staff
from config.demo.site_work import Workday
from config.demo.timeline import Timeline
from inspections.models import SiteRecord
from inspections.services.hand_over import flue_label_request
from inspections.services.signoff import record_sign_off
from jobs.models import (
    Country,
    Customer,
    Installation,
    Job,
    JobKind,
    JobStatus,
    Permit,
    PermitOutcome,
    ServiceKind,
    ServiceSchedule,
)
from jobs.services.bookings import service_book
from jobs.services.house_papers import notice_plate_request
from jobs.services.jobs import job_create, job_move, job_plan
from jobs.services.reminders import reminders_queue, reminders_stop
from jobs.services.surveys import survey_plan, survey_save
from jobs.services.visits import visit_schedule
from jobs.services.wishes import booking_ask
from jobs.services.work_pack import work_pack_request

#: Working days before the work on which things were done.
ASKED, SURVEYED, SURVEYED_AGAIN, PERMITTED, SCHEDULED, PACKED = 14, 12, 10, 7, 6, 1
REMINDED = (-30, -7, 14)
WORK_BEGINS, WORK_ENDS = time(8, 0), time(16, 0)


@dataclass
class Story:
    """One job from the first call as far as it has come."""

    told: dict[str, Any]
    house: House
    staff: Staff
    timeline: Timeline
    today: date
    days: list[date] = field(default_factory=list)
    job: Job = field(init=False)
    record: SiteRecord = field(init=False)

    def __post_init__(self) -> None:
        self.is_new = self.told["kind"] == "new installation"
        self.reaches = JobStatus(self.told["reaches"])

    def tell(self) -> None:
        """Put every step on the timeline."""
        if "due_in" in self.told:
            told = self.told
            done = day_done(self.house.installation, self.today, told["due_in"], later=told.get("later", 0))
            self.days = [done]
        elif "worked" in self.told:
            first = working_day(self.today, self.told["worked"])
            self.days = [first, self.today][: self.told.get("days", 1)]
        if "created" in self.told:
            asked = working_day(self.today, self.told["created"])
        else:
            asked = working_days_before(self.days[0], ASKED)
        self._put(asked, time(10, 5), self.ask)
        if self.is_new and self.house.survey:
            self._tell_survey(asked)
        if self.reaches == JobStatus.CANCELLED:
            self._put(working_day(asked, 4), time(9, 15), self.cancel)
        elif self.days:
            self._tell_work(asked)

    def _tell_survey(self, asked: date) -> None:
        self._put(working_day(asked, ASKED - SURVEYED), time(13, 30), self.survey)
        if "again" in self.house.survey:
            self._put(working_day(asked, ASKED - SURVEYED_AGAIN), time(11, 20), self.survey_again)

    def _tell_work(self, asked: date) -> None:
        if "permit" in self.told:
            self._put(self._in_time(asked, PERMITTED), time(14, 10), self.permit)
        self._put(self._in_time(asked, SCHEDULED), time(14, 40), self.schedule)
        if self.is_new:
            self._put(self._in_time(asked, PACKED), time(15, 30), self.pack)
        if self.reaches in {JobStatus.ON_SITE, JobStatus.READY, JobStatus.CLOSED}:
            self._put(self.days[0], time(8, 10), self.work)
        if self.reaches == JobStatus.CLOSED:
            self._put(working_day(self.days[-1], 1), time(10, 45), self.close)

    def _in_time(self, asked: date, days_before_work: int) -> date:
        """The day of a step on the way to the work; what has to be done for work to come is done by now."""
        latest = working_days_before(min(self.days[0], self.today), 1)
        return min(working_day(asked, ASKED - days_before_work), latest)

    def _put(self, day: date, clock: time, step: Any) -> None:
        self.timeline.put(at(day, clock, self.house.installation), step)

    def ask(self, now: datetime) -> None:
        """The customer rings."""
        installation = self.house.installation
        if self.told.get("booked"):
            service = installation.services.get(kind=ServiceKind.SWEEP)
            self.job = service_book(service=service, by=self.staff.office, now=now)
            return
        if self.told.get("follows"):
            repairs = installation.jobs.filter(kind=JobKind.REPAIR, status=JobStatus.PLANNED)
            self.job = repairs.latest("created_at")
            return
        Customer.objects.filter(pk=installation.site.customer_id).update(created_at=now)
        Installation.objects.filter(pk=installation.pk).update(created_at=now)
        self.job = job_create(
            installation=installation,
            kind=self.told["kind"],
            by=self.staff.office,
            now=now,
            note=self.told.get("note", ""),
        )

    def survey(self, now: datetime) -> None:
        """Somebody measures the house; an enquiry that is not all measured gets no plan yet."""
        again = self.house.survey.get("again")
        if self.reaches == JobStatus.ENQUIRY:
            values, typed = self.house.survey_values()
            survey_save(
                installation=self.house.installation,
                values=values,
                as_typed=typed,
                by=self.staff.office,
                now=now,
            )
            return
        plan = self._plan(self.house.survey_values(), now)
        if not again:
            job_plan(job=self.job, plan=plan, by=self.staff.office, now=now)

    def survey_again(self, now: datetime) -> None:
        """The plan asked for something else, so it is measured again."""
        plan = self._plan(self.house.survey_values(again=True), now)
        job_plan(job=self.job, plan=plan, by=self.staff.office, now=now)

    def _plan(self, measured: tuple[dict[str, Any], dict[str, Any]], now: datetime) -> Any:
        values, typed = measured
        installation = self.house.installation
        return survey_plan(
            installation=installation, values=values, as_typed=typed, by=self.staff.office, now=now
        )

    def permit(self, now: datetime) -> None:
        """The authority gives its permit; for closed work it has been to see it, too."""
        told = self.told["permit"]
        passed = told.get("passed", False)
        Permit.objects.create(
            job=self.job,
            authority=told["authority"],
            number=told["number"],
            issued_on=now.date(),
            final_inspection_on=self.days[-1] if passed else None,
            outcome=PermitOutcome.PASSED if passed else PermitOutcome.PENDING,
        )

    def schedule(self, now: datetime) -> None:
        """The office gives the job its days."""
        crew, _ = self.staff.crews[self.told["crew"]]
        for day in self.days:
            visit_schedule(
                job=self.job,
                crew=crew,
                starts_at=at(day, WORK_BEGINS, self.house.installation),
                ends_at=at(day, WORK_ENDS, self.house.installation),
                by=self.staff.office,
                now=now,
                despite_clash=True,
            )

    def pack(self, now: datetime) -> None:
        """The work pack for the van."""
        work_pack_request(job=self.job, by=self.staff.office, now=now)

    def work(self, now: datetime) -> None:
        """The crew's day."""
        self.job.refresh_from_db()
        _, installer = self.staff.crews[self.told["crew"]]
        day = Workday(self.job, installer, self.staff.inspector, self.told, now)
        self.record = day.work()

    def close(self, now: datetime) -> None:
        """The inspector signs the job off; from then on its reminders fall due."""
        inspector = self.staff.inspector
        record_sign_off(
            record=self.record,
            by=inspector,
            now=now,
            remarks=self.told.get("remarks", ""),
            **signature(inspector.name),
        )
        if self.is_new:
            self._papers(now + timedelta(minutes=20))
        installation = self.house.installation
        for due in set(
            ServiceSchedule.objects.filter(installation=installation).values_list("next_due_on", flat=True)
        ):
            for days in REMINDED:
                self._put(due + timedelta(days=days), time(7, 30), remind)
        if self.told.get("stops_reminders"):
            self._put(working_day(now.date(), 20), time(20, 5), self.stop_reminders)
        if "booking" in self.told:
            asked = self.timeline.now - timedelta(days=self.told["booking"]["days_ago"])
            self.timeline.put(asked, self.wish)

    def _papers(self, now: datetime) -> None:
        """What is fixed at the flue: the label, and the plate where the rules ask for one."""
        self.job.refresh_from_db()
        flue_label_request(job=self.job, now=now)
        if self.house.installation.site.country == Country.GB:
            notice_plate_request(job=self.job, now=now)

    def wish(self, now: datetime) -> None:
        """The customer asks for a visit on the private page."""
        told = self.told["booking"]
        booking_ask(
            installation=self.house.installation, services=told["services"], wish=told["wish"], now=now
        )

    def stop_reminders(self, now: datetime) -> None:
        """The customer wants no more of them."""
        reminders_stop(customer=self.house.installation.site.customer, now=now)

    def cancel(self, now: datetime) -> None:
        """It comes to nothing."""
        job_move(
            job=self.job,
            to=JobStatus.CANCELLED,
            by=self.staff.office,
            now=now,
            reason=self.told["reason"],
        )


def remind(now: datetime) -> None:
    """The day's reminders."""
    reminders_queue(now=now)


def jobs_build(*, houses: dict[str, House], staff: Staff, now: datetime, today: date) -> None:
    """Let everything happen that the file tells of."""
    timeline = Timeline(now=now)
    for told in fixture("jobs")["job"]:
        Story(told, houses[told["house"]], staff, timeline, today).tell()
    timeline.run()
