"""The Celery app. A row in the database is the truth; a task is only the bell that says look now."""

import os

from celery import Celery

os.environ.setdefault("DJANGO_SETTINGS_MODULE", "config.settings")

app = Celery("fluewright")
app.config_from_object("django.conf:settings", namespace="CELERY")
app.autodiscover_tasks()
