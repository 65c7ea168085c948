"""A served shop at the far end of a cable, that can be killed like a machine losing its power."""

from __future__ import annotations

import hashlib
import json
import os
import shutil
import signal
import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path
from typing import Any

from django.conf import settings

from tests.browser.served_shop import ServedShop
from tests.browser.tablet.cable import Cable
from tests.jobs.smtp_server import SmtpServer


class CabledShop(ServedShop):
    """A shop whose address is the near end of a cable."""

    def __init__(self, folder: Path, post: SmtpServer) -> None:
        super().__init__(folder, post)
        self.cable = Cable(self.port)
        self.url = f"http://127.0.0.1:{self.cable.port}"
        self.environment["SITE_URL"] = self.url
        #: Where the program lies, when it is not this one.
        self.root: Path | None = None

    def update(self, words: str, by: str) -> None:
        """Put another version of the program in place of this one, whose tablet says something otherwise."""
        self.root = self.folder.parent / "next-version"
        left_out = shutil.ignore_patterns(".*", "node_modules", "var", "tests", "docs", "__pycache__")
        shutil.copytree(settings.BASE_DIR, self.root, ignore=left_out)
        (self.root / "node_modules").symlink_to(settings.BASE_DIR / "node_modules")
        changed = 0
        for module in (self.root / "static" / "tablet").rglob("*.js"):
            text = module.read_text(encoding="utf-8")
            if words in text:
                module.write_text(text.replace(words, by), encoding="utf-8")
                changed += 1
        assert changed, f"No module says “{words}”"

    def update_undone(self) -> None:
        """Go back to this version."""
        assert self.root is not None
        shutil.rmtree(self.root)
        self.root = None

    def _manage(self, *command: str) -> list[str]:
        root = self.root or Path(settings.BASE_DIR)
        return [sys.executable, str(root / "manage.py"), *command]

    def seed(self, what: str) -> dict[str, Any]:
        """Put people or a job into the shop."""
        done = subprocess.run(
            [sys.executable, "-m", "tests.browser.tablet.seed", what],
            capture_output=True,
            text=True,
            cwd=settings.BASE_DIR,
            env=self.environment,
            check=False,
        )
        assert done.returncode == 0, done.stderr
        made: dict[str, Any] = json.loads(done.stdout.splitlines()[-1])
        return made

    def kill(self) -> None:
        """Kill every process of the shop at once, without a word."""
        assert self.process is not None
        for pid in [*_descendants(self.process.pid), self.process.pid]:
            try:
                os.kill(pid, signal.SIGKILL)
            except ProcessLookupError:
                continue
        self.process.wait()
        self.process = None

    def rows(self, question: str, *told: object) -> list[dict[str, Any]]:
        """Ask the shop's database."""
        with closing(sqlite3.connect(self.folder / "fluewright.sqlite3", timeout=20)) as database:
            database.row_factory = sqlite3.Row
            return [dict(row) for row in database.execute(question, told)]

    def write(self, order: str, *told: object) -> int:
        """Change rows as somebody at another desk would; return how many."""
        with closing(sqlite3.connect(self.folder / "fluewright.sqlite3", timeout=20)) as database, database:
            return database.execute(order, told).rowcount

    def holds_once(self, entries: set[str]) -> None:
        """Fail unless every one of these entries is kept exactly once, photos byte for byte."""
        kept = self.rows("SELECT entry, kind, raw, photo_id FROM inspections_tabletentry")
        found = [row for row in kept if _hex(row["entry"]) in {_hex(one) for one in entries}]
        assert sorted(_hex(row["entry"]) for row in found) == sorted(map(_hex, entries)), (
            f"{len(entries)} entries were shown as saved, {len(found)} are kept"
        )
        answers = self.rows("SELECT entry, COUNT(*) AS times FROM inspections_answer GROUP BY entry")
        assert all(row["times"] == 1 for row in answers)
        photos = {row["id"]: row for row in self.rows("SELECT id, original, sha256 FROM inspections_photo")}
        for row in found:
            if row["kind"] != "photo":
                continue
            photo = photos[row["photo_id"]]
            content = (self.folder / "media" / photo["original"]).read_bytes()
            assert hashlib.sha256(content).hexdigest() == photo["sha256"]
            assert json.loads(row["raw"])["photo"]["sha256"] == photo["sha256"]


def _hex(entry: str) -> str:
    return str(entry).replace("-", "")


def _descendants(pid: int) -> list[int]:
    parents: dict[int, list[int]] = {}
    for stat in Path("/proc").glob("[0-9]*/stat"):
        try:
            told = stat.read_text().rpartition(")")[2].split()
        except OSError:
            continue
        parents.setdefault(int(told[1]), []).append(int(stat.parent.name))
    found, waiting = [], [pid]
    while waiting:
        children = parents.get(waiting.pop(), [])
        found += children
        waiting += children
    return found
