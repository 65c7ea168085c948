"""The app that knows who, where and when."""

from django.apps import AppConfig


class JobsConfig(AppConfig):
    """Customers, sites, listings, surveys, plans, jobs, visits, services and mail."""

    name = "jobs"
