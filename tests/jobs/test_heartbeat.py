"""The worker's sign of life."""

from __future__ import annotations

from datetime import timedelta

import pytest

from jobs.models import Heartbeat
from jobs.services.heartbeat import PULSE, heartbeat_note
from jobs.tasks.heartbeat import beat_heart, note_life
from tests.factories import NOW

pytestmark = pytest.mark.django_db


def seen() -> Heartbeat:
    return Heartbeat.objects.get(name="worker")


def test_the_first_beat_is_written():
    heartbeat_note(now=NOW)
    assert seen().seen_at == NOW


def test_a_beat_a_moment_later_is_not_written_again():
    heartbeat_note(now=NOW)
    heartbeat_note(now=NOW + PULSE / 2)
    assert seen().seen_at == NOW


def test_a_later_beat_is_written():
    heartbeat_note(now=NOW)
    heartbeat_note(now=NOW + PULSE + timedelta(seconds=1))
    assert seen().seen_at == NOW + PULSE + timedelta(seconds=1)


def test_a_worker_with_a_long_queue_is_busy_not_silent():
    note_life(task_id="1")
    assert not seen().is_silent(seen().seen_at)


def test_the_scheduled_beat_is_written_too():
    beat_heart()
    assert Heartbeat.objects.filter(name="worker").count() == 1
