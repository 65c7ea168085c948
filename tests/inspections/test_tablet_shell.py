"""The tablet's shell: what it lists is there, its policy is strict, and it holds nothing private."""

from __future__ import annotations

import base64
import hashlib
import json
import re
from html.parser import HTMLParser
from pathlib import Path

import pytest
from django.conf import settings as shop_settings
from django.contrib.staticfiles import finders
from django.core.management import call_command
from django.test import Client
from django.urls import reverse

from config.middleware import POLICY
from inspections.tablet_shell import modules_of_tablet, shell_make
from jobs.models import Shop
from tests.factories import CustomerFactory

pytestmark = pytest.mark.django_db
IMPORT = re.compile(r"""(?:from|import)\s*["']([^"'\s]+)["']""")
HASHED = re.compile(r"\.[0-9a-f]{12}\.[a-z0-9]+$")


class Parts(HTMLParser):
    """Scripts, styles and attributes of a page."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.inline: list[tuple[str, str]] = []
        self.attributes: set[str] = set()
        self.sources: list[str] = []
        self._within = ""
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        told = dict(attrs)
        self.attributes |= set(told)
        if tag in {"script", "style"} and "src" not in told:
            self._within = f"{tag} {told.get('type', '')}".strip()
        self.sources += [value for name in ("src", "href") if (value := told.get(name))]

    def handle_endtag(self, tag: str) -> None:
        self._within = ""

    def handle_data(self, data: str) -> None:
        if self._within:
            self.inline.append((self._within, data))


def shell_page() -> tuple[Parts, str]:
    """Return the page and its policy."""
    response = Client().get(reverse("tablet"))
    assert response.status_code == 200
    return Parts(response.text), response["Content-Security-Policy"]


def shell_list() -> dict[str, object]:
    """Return what the worker keeps."""
    response = Client().get(reverse("tablet_service_worker"))
    assert response.status_code == 200
    first = response.text.split("\n", maxsplit=1)[0]
    return json.loads(first.removeprefix("const SHELL = ").removesuffix(";"))


@pytest.fixture
def hashed(settings, tmp_path: Path) -> None:
    """Serve static files under addresses with a digest, as a shop does."""
    settings.STORAGES = shop_settings.STORAGES | {
        "staticfiles": {"BACKEND": "django.contrib.staticfiles.storage.ManifestStaticFilesStorage"}
    }
    settings.STATIC_ROOT = tmp_path / "served"
    call_command("collectstatic", verbosity=0, interactive=False)


def test_the_import_map_is_the_one_thing_inline_and_the_policy_names_its_digest():
    page, policy = shell_page()
    ((kind, text),) = page.inline
    assert kind == "script importmap"
    digest = base64.b64encode(hashlib.sha256(text.encode()).digest()).decode()
    assert policy == POLICY.replace("script-src 'self'", f"script-src 'self' 'sha256-{digest}'")
    assert "unsafe" not in policy


def test_no_attribute_of_the_shell_is_script_or_style():
    page, _ = shell_page()
    assert not {name for name in page.attributes if name.startswith("on") or name == "style"}


def test_every_other_page_keeps_its_policy():
    assert Client().get(reverse("account_login"))["Content-Security-Policy"] == POLICY
    assert Client().get(reverse("tablet_service_worker"))["Content-Security-Policy"] == POLICY


def test_the_shell_is_the_same_for_everybody_and_asks_for_no_login(as_user, owner, installer):
    CustomerFactory(name="Willa Whisper")
    answers = [
        client.get(reverse(name))
        for name in ("tablet", "tablet_service_worker", "tablet_manifest")
        for client in (Client(), as_user(owner), as_user(installer))
    ]
    for one, other, third in zip(answers[::3], answers[1::3], answers[2::3], strict=True):
        assert one.status_code == 200
        assert one.content == other.content == third.content
    for answer in answers:
        assert not answer.cookies
        assert answer["Cache-Control"] == "no-cache"
        for private in ("Willa Whisper", owner.name, installer.name, owner.email, "csrf"):
            assert private not in answer.text


@pytest.mark.parametrize("name", ["tablet", "tablet_manifest", "tablet_service_worker"])
def test_the_shell_is_only_read(name):
    assert Client().post(reverse(name)).status_code == 405


def test_the_page_and_the_worker_are_of_one_version():
    response = Client().get(reverse("tablet"))
    version = shell_list()["version"]
    assert response["Fluewright-Shell"] == version
    assert f'content="{version}"' in response.text


@pytest.mark.usefixtures("hashed")
def test_every_listed_file_is_served_under_its_digest():
    files = shell_list()["files"]
    assert isinstance(files, list)
    assert len(files) == len(set(files))
    for address in files:
        assert HASHED.search(address), address
        served = Path(shop_settings.STATIC_ROOT) / address.removeprefix(shop_settings.STATIC_URL)
        digest = hashlib.md5(served.read_bytes(), usedforsecurity=False).hexdigest()[:12]
        assert f".{digest}." in address


@pytest.mark.usefixtures("hashed")
def test_the_page_loads_nothing_that_the_worker_does_not_keep():
    page, _ = shell_page()
    ((_, text),) = page.inline
    kept = set(shell_list()["files"])
    assert set(json.loads(text)["imports"].values()) <= kept
    apart = {reverse("tablet_manifest"), "#content"}
    loaded = {one for one in page.sources if one not in apart and "icon-192" not in one}
    assert loaded <= kept


def test_every_import_of_every_module_is_in_the_map():
    page, _ = shell_page()
    ((_, text),) = page.inline
    imports = json.loads(text)["imports"]
    kept = {path.removeprefix(shop_settings.STATIC_URL) for path in shell_list()["files"]}
    for path in [path for path in kept if path.endswith(".js")]:
        source = Path(finders.find(path)).read_text()
        for name in IMPORT.findall(_code(source)):
            if name.startswith("."):
                base = "/".join(path.split("/")[:-1])
                called = shop_settings.STATIC_URL + _resolved(f"{base}/{name}")
            else:
                called = name
            assert called in imports, f"{path} imports {name}"


def _code(source: str) -> str:
    return re.sub(r"/\*.*?\*/", "", source, flags=re.S)


def _resolved(path: str) -> str:
    parts: list[str] = []
    for part in path.split("/"):
        if part == "..":
            parts.pop()
        elif part != ".":
            parts.append(part)
    return "/".join(parts)


def test_every_module_of_the_app_is_kept():
    folder = Path(shop_settings.BASE_DIR) / "static" / "tablet"
    names = {f"tablet/{path.relative_to(folder).as_posix()}" for path in folder.rglob("*.js")}
    assert names - set(modules_of_tablet()) == {"tablet/service_worker.js", "tablet/types.js"}


def test_a_changed_file_makes_another_version(monkeypatch):
    before = shell_make().version
    assert shell_make().version == before
    read = Path.read_text
    monkeypatch.setattr(
        Path,
        "read_text",
        lambda self, *args, **kwargs: read(self, *args, **kwargs) + (" " if self.name == "places.js" else ""),
    )
    assert shell_make().version != before


def test_the_app_is_put_on_the_home_screen_under_the_shops_name():
    shop = Shop.current()
    shop.name = "Emberlyn & Daughters"
    shop.save(update_fields=["name"])
    response = Client().get(reverse("tablet_manifest"))
    assert response["Content-Type"] == "application/manifest+json"
    manifest = response.json()
    assert manifest["name"] == "Emberlyn & Daughters: site work"
    assert manifest["start_url"] == manifest["scope"] == reverse("tablet")
    told = {(icon["sizes"], icon["purpose"]) for icon in manifest["icons"]}
    assert {("192x192", "maskable"), ("512x512", "maskable"), ("512x512", "any")} <= told
    for icon in manifest["icons"]:
        assert finders.find(icon["src"].removeprefix(shop_settings.STATIC_URL)), icon


@pytest.mark.parametrize("size", [192, 512])
@pytest.mark.parametrize("name", ["icon", "icon-maskable"])
def test_an_icon_is_as_large_as_it_says(name, size):
    # PNG, W3C Recommendation, 11.2.1: width and height are the first eight bytes of IHDR, at byte 16.
    head = Path(finders.find(f"images/{name}-{size}.png")).read_bytes()[:24]
    assert head[:8] == b"\x89PNG\r\n\x1a\n"
    assert int.from_bytes(head[16:20]) == int.from_bytes(head[20:24]) == size
