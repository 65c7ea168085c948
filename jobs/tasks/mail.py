"""Mail the worker sends and reminders it writes."""

from __future__ import annotations

from celery import shared_task
from django.utils import timezone

from jobs.services.mail import mail_send, mails_send_left
from jobs.services.reminders import reminders_queue


@shared_task(name="jobs.tasks.send_mail")
def send_mail(pk: int) -> None:
    """Send one mail if it still waits."""
    mail_send(pk=pk, now=timezone.now())


@shared_task(name="jobs.tasks.pick_up_left_mail")
def pick_up_left_mail() -> None:
    """Send what a lost bell or a killed worker left behind."""
    mails_send_left(now=timezone.now())


@shared_task(name="jobs.tasks.queue_due_reminders")
def queue_due_reminders() -> None:
    """Write the reminders whose day has come."""
    reminders_queue(now=timezone.now())
