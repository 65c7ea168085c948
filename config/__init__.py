"""Settings, addresses and processes: what ties the apps into one service."""

from config.celery import app as celery_app

__all__ = ["celery_app"]
