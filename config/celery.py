"""The Celery app. A row in the database is the truth; a task is only the bell that says look now."""

import os
from typing import Any

from celery import Celery, current_app
from celery.signals import worker_ready

from config import broker

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")

broker.register()
app = Celery("fluewright")
app.config_from_object("django.conf:settings", namespace="CELERY")
app.autodiscover_tasks()


@worker_ready.connect
def show_life(**kwargs: Any) -> None:
    """Have the first heartbeat written as soon as a worker takes tasks, not at the next round."""
    current_app.send_task("jobs.tasks.beat_heart")
