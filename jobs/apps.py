"""The app that knows who, where and when."""

from django.apps import AppConfig


class JobsConfig(AppConfig):
    """Customers, sites, listings, surveys, plans, jobs, visits, services and mail."""

    name = "jobs"

    def ready(self) -> None:
        """Put this app's boxes on the Today page, and make row numbers known to addresses."""
        from jobs import row_numbers, today  # noqa: PLC0415

        row_numbers.register()
        today.register()
