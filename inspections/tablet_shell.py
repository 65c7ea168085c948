"""The tablet's shell: the files that open the app without a network, and one digest over all of them."""

from __future__ import annotations

import base64
import hashlib
import json
import re
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any

from django.conf import settings
from django.contrib.staticfiles import finders
from django.template.loader import render_to_string
from django.templatetags.static import static
from django.urls import reverse
from django.utils.safestring import mark_safe

ENTRY_POINT = "tablet/app.js"
WORKER = "tablet/service_worker.js"
STYLES = (
    "bootstrap/css/bootstrap.min.css",
    "css/fonts.css",
    "css/fluewright.css",
    "css/signs.css",
    "css/site_work.css",
    "css/review.css",
    "css/tablet.css",
)
IMAGES = ("images/mark.svg",)
#: What a module writes after `from`, and where the package keeps it.
PACKAGES = {
    "idb": "idb/index.js",
    "signature_pad": "signature_pad/signature_pad.min.js",
    "lit-html": "lit-html/lit-html.js",
    "lit-html/directives/keyed.js": "lit-html/directives/keyed.js",
    "lit-html/directives/live.js": "lit-html/directives/live.js",
    "lit-html/directives/ref.js": "lit-html/directives/ref.js",
    "lit-html/directives/repeat.js": "lit-html/directives/repeat.js",
}
#: What those packages import by a path of their own.
WITHIN_PACKAGES = (
    "lit-html/lit-html.js",
    "lit-html/directive.js",
    "lit-html/directive-helpers.js",
    "lit-html/async-directive.js",
)
_FONT = re.compile(r'url\("\.\./(fonts/[^"]+)"\)')


@dataclass(frozen=True)
class Shell:
    """Everything a tablet keeps to open the app without a network."""

    version: str
    page: bytes
    worker: bytes
    #: Value of the policy's script-src that lets the import map stand inline.
    import_map_hash: str


def shell() -> Shell:
    """Return the shell of the files that are served; they stay the same for as long as a process serves."""
    if settings.DEBUG:
        return shell_make()
    return _shell_kept(str(settings.STATIC_ROOT))


@cache
def _shell_kept(root: str) -> Shell:
    return shell_make()


def shell_make() -> Shell:
    """Put the shell together from the static files as they are served now."""
    modules = modules_of_tablet()
    imports = import_map(modules)
    written = json.dumps({"imports": imports}, sort_keys=True, separators=(",", ":"))
    scripts = [static(path) for path in dict.fromkeys((*modules, *PACKAGES.values(), *WITHIN_PACKAGES))]
    styles = [static(path) for path in STYLES]
    context: dict[str, Any] = {
        # Made of addresses alone, which hold nothing that ends a script element.
        "import_map": mark_safe(written),  # noqa: S308
        "entry_point": static(ENTRY_POINT),
        "scripts": scripts,
        "styles": styles,
        "version": "",
    }
    files = [*styles, *scripts, *(static(path) for path in (*fonts(), *IMAGES))]
    worker = _read(WORKER)
    marks = [*files, *_digests((*modules, *STYLES, *IMAGES)), _page(context), worker]
    version = hashlib.sha256("\n".join(marks).encode()).hexdigest()[:16]
    listed = {"version": version, "page": reverse("tablet"), "files": files}
    return Shell(
        version=version,
        page=_page({**context, "version": version}).encode(),
        worker=f"const SHELL = {json.dumps(listed)};\n{worker}".encode(),
        import_map_hash=_sha256_source(written),
    )


def modules_of_tablet() -> list[str]:
    """Return the paths of the app's own modules, without the types, which run nowhere, and the worker."""
    folder = _file(ENTRY_POINT).parent
    paths = (f"tablet/{path.relative_to(folder).as_posix()}" for path in sorted(folder.rglob("*.js")))
    return [path for path in paths if path not in {WORKER, "tablet/types.js"}]


def import_map(modules: list[str]) -> dict[str, str]:
    """Return what each module is called by and where it is served from."""
    imports = {f"#{path}": static(path) for path in modules}
    imports |= {name: static(path) for name, path in PACKAGES.items()}
    # A path within a package is resolved against the file that names it, before the map is asked.
    plain = settings.STATIC_URL
    return imports | {f"{plain}{path}": static(path) for path in WITHIN_PACKAGES}


def fonts() -> list[str]:
    """Return the paths of the fonts the pages are set in."""
    return _FONT.findall(_read("css/fonts.css"))


def _digests(paths: tuple[str, ...]) -> list[str]:
    """Return the digests of files whose address does not tell their content already."""
    plain = [path for path in paths if static(path) == f"{settings.STATIC_URL}{path}"]
    return [hashlib.sha256(_read(path).encode()).hexdigest() for path in plain]


def _file(path: str) -> Path:
    found = finders.find(path)
    if found is None:
        raise FileNotFoundError(path)
    return Path(found)


def _read(path: str) -> str:
    return _file(path).read_text(encoding="utf-8")


def _page(context: dict[str, Any]) -> str:
    return render_to_string("tablet/shell.html", context)


def _sha256_source(text: str) -> str:
    return f"'sha256-{base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()}'"
