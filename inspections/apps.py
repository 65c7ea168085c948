"""The app that knows what was found."""

from django.apps import AppConfig


class InspectionsConfig(AppConfig):
    """Checklists, stage records, photos, defects, sign-off and certificates."""

    name = "inspections"
