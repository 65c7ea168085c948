"""What the committed files hold, and what they must not."""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
from pathlib import Path

import pytest
from django.conf import settings

ROOT = Path(settings.BASE_DIR)
VERBS = ["setup", "demo", "test", "bench", "backup", "restore", "lock"]
#: Every address in the tree is loopback, invented, or the name of an XML language; none is fetched from.
FETCHED = re.compile(
    r"""(https?://(?!127\.0\.0\.1|localhost|www\.w3\.org/|testserver|\{|stoves['":]|me\b)(?![\w.-]*\.example\b)[\w.-]+"""
    r"""|--(?:extra-)?index-url|--find-links|--trusted-host|"resolved":)"""
)
#: Folders that only one machine has.
MACHINE = re.compile(r"(/home/\w|/Users/\w|(?<![\w.-])/(?:" + "work" + r")/\w|/opt/\w|/root\b|C:\\\\)")
TEXT = {".py", ".toml", ".txt", ".in", ".json", ".md", ".html", ".css", ".js", ".svg", ".cfg", ".ini", ""}


#: What set-up and the tools make, where no version control says so.
MADE = {".venv", "var", "node_modules", "__pycache__", ".git", ".hypothesis"}


def tracked() -> list[Path]:
    """The committed text files; of an unpacked archive, all that were not made here."""
    command = ["git", "-c", f"safe.directory={ROOT}", "ls-files", "-z"]
    if shutil.which("git") and (ROOT / ".git").exists():
        listed = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, check=True).stdout
        paths = [ROOT / name for name in listed.split("\0") if name]
    else:
        paths = [path for path in ROOT.rglob("*") if not MADE.intersection(path.relative_to(ROOT).parts)]
    return [path for path in paths if path.is_file() and path.suffix in TEXT and "_cache" not in str(path)]


def lines_with(pattern: re.Pattern[str], *, besides: Path) -> list[str]:
    """Where a pattern stands in the committed files."""
    found = []
    for path in tracked():
        if path == besides:
            continue
        for number, line in enumerate(path.read_text(encoding="utf-8").splitlines(), 1):
            if match := pattern.search(line):
                found.append(f"{path.relative_to(ROOT)}:{number}: {match.group()}")
    return found


def test_no_file_holds_an_address_to_download_from():
    assert lines_with(FETCHED, besides=Path(__file__)) == []


def test_no_file_holds_a_path_of_one_machine():
    assert lines_with(MACHINE, besides=Path(__file__)) == []


@pytest.mark.parametrize(
    "line",
    [
        '  "resolved": "x-1.tgz",',
        "--find-links /opt/wheels",
        "https://packages." + "test/x.js",
    ],
)
def test_an_address_to_download_from_would_be_seen(line):
    assert FETCHED.search(line)


@pytest.mark.parametrize("line", ["ROOT = '/home/ada/shop'", "see /" + "work/main/var", "/root/.cache"])
def test_a_path_of_one_machine_would_be_seen(line):
    assert MACHINE.search(line)


@pytest.mark.parametrize("name", ["requirements.txt", "requirements-dev.txt", "requirements-node.txt"])
def test_every_python_package_is_pinned_with_a_hash(name):
    text = (ROOT / name).read_text()
    entries = [entry for entry in re.split(r"\n(?=\S)", re.sub(r"(?m)^\s*#.*\n", "", text)) if entry.strip()]
    assert entries
    for entry in entries:
        assert re.match(r"[a-z0-9.-]+==\S+", entry), entry
        assert "--hash=sha256:" in entry, entry


def test_every_wanted_package_is_in_the_pins():
    for name in ("requirements", "requirements-dev", "requirements-node"):
        wanted = {
            re.split(r"[\[<>=; ]", line)[0].lower()
            for line in (ROOT / f"{name}.in").read_text().splitlines()
            if line and not line.startswith(("#", "-"))
        }
        pinned = set(re.findall(r"(?m)^([a-z0-9.-]+)==", (ROOT / f"{name}.txt").read_text()))
        assert wanted - pinned == set()


def test_every_package_of_the_pages_is_pinned_with_a_checksum():
    wanted = json.loads((ROOT / "package.json").read_text())["dependencies"]
    locked = json.loads((ROOT / "package-lock.json").read_text())["packages"]
    assert locked[""]["dependencies"] == wanted
    for name, version in wanted.items():
        assert locked[f"node_modules/{name}"]["version"] == version
    assert all(package["integrity"].startswith("sha512-") for name, package in locked.items() if name)


@pytest.mark.parametrize("verb", VERBS)
def test_each_verb_can_be_run_and_is_sound_bash(verb):
    script = ROOT / "bin" / verb
    assert os.access(script, os.X_OK)
    assert subprocess.run(["bash", "-n", script], capture_output=True, check=False).stderr == b""


@pytest.mark.parametrize("command", ["bin/demo", "bin/test"])
def test_the_readme_gives_the_two_commands(command):
    assert re.search(rf"(?m)^\s*(\$ )?{command}\b", (ROOT / "README.md").read_text())


def test_the_run_for_every_change_is_there():
    assert os.access(ROOT / ".ci" / "run", os.X_OK)
