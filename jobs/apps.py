"""The app that knows who, where and when."""

from django.apps import AppConfig


class JobsConfig(AppConfig):
    """Customers, sites, listings, surveys, plans, jobs, visits, services and mail."""

    name = "jobs"

    def ready(self) -> None:
        """Put this app's boxes on the Today page."""
        from jobs import today  # noqa: PLC0415

        today.register()
