"""The project's own apps: the system checks, and which files of the packages are served."""

from django.apps import AppConfig
from django.contrib.staticfiles.apps import StaticFilesConfig


class ProjectConfig(AppConfig):
    """Registers the named system checks."""

    name = "config"
    label = "project"

    def ready(self) -> None:
        """Import the checks so that Django registers them."""
        from config import checks, seal_checks  # noqa: F401, PLC0415


class ServedFilesConfig(StaticFilesConfig):
    """Leaves out what the packages bring and no page asks for; collecting takes a tenth of the time."""

    ignore_patterns = [
        *StaticFilesConfig.ignore_patterns,
        "*.woff",
        "*vietnamese*",
        "*rtl*",
        "bootstrap-grid*",
        "bootstrap-reboot*",
        "bootstrap-utilities*",
        "bootstrap.css*",
        "bootstrap.js*",
        "bootstrap.esm*",
        "bootstrap.bundle.js*",
        "bootstrap.min.js*",
        "htmx.js",
        "htmx.*.js.gz",
        "htmx.amd.js",
        "htmx.cjs.js",
        "htmx.esm*",
        "htmx-*",
        "htmax-*",
        "ext",
        "types",
        "signature_pad.js*",
        "signature_pad.umd*",
    ]
