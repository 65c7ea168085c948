"""The project's own app: it registers the system checks."""

from django.apps import AppConfig


class ProjectConfig(AppConfig):
    """Registers the named system checks."""

    name = "config"
    label = "project"

    def ready(self) -> None:
        """Import the checks so that Django registers them."""
        from config import checks  # noqa: F401, PLC0415
