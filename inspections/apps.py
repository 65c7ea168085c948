"""The app that knows what was found."""

from django.apps import AppConfig


class InspectionsConfig(AppConfig):
    """Checklists, stage records, photos, defects, sign-off and certificates."""

    name = "inspections"

    def ready(self) -> None:
        """Have checklists looked at before anything else runs."""
        from inspections import checks  # noqa: F401, PLC0415
