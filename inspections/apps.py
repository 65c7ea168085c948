"""The app that knows what was found."""

from django.apps import AppConfig


class InspectionsConfig(AppConfig):
    """Checklists, stage records, photos, defects, sign-off and certificates."""

    name = "inspections"

    def ready(self) -> None:
        """Have checklists looked at before anything else runs; put this app's boxes on the Today page."""
        from inspections import checks, house, today  # noqa: F401, PLC0415

        today.register()
        house.register()
