"""Every step of issuing a certificate at which the power may go, in one place, and how a process gets there.

Nothing of it is in the program: the forked process patches itself, then does what a shop does.
"""

from __future__ import annotations

#: What every process has loaded before it is forked.
PRELUDE = """
import re
from datetime import UTC, datetime, timedelta
from pathlib import Path
from django.conf import settings
from django.db import connection
from django.urls import reverse
from calcs.rulebook import codes, load_rulebook
from calcs.units import format_quantity
from inspections.checklists import checklist_for
from inspections.errors import InspectionsError
from inspections.models import Certificate, SignOff, SiteRecord
from inspections.services import certificates, reopening, signoff
from jobs import seal_keys
from jobs.models import Document, User
from jobs.services import documents, kept_files, papers, seals, time_stamps
from jobs.tasks import render_document
from tests.inspections.closing import INK
from tests.inspections.reopened import REOPENED_AT, WHY
from tests.seals import plain_pdf
render_document.delay = lambda pk: None
blank = plain_pdf()
# What every one of them would load again for itself: addresses, units, rule books, the checklist.
reverse("today"), format_quantity(12.0, "draft", "metric"), [load_rulebook(code) for code in codes()]
checklist_for(kind="annual sweep", route="flat ceiling").in_units("imperial")
"""

#: What a shop does with certificates, one transaction each. `{at}` hours have gone since the first.
ACTS = {
    "sign off": (
        "signoff.record_sign_off(record=SiteRecord.objects.get(), by=by, name=by.name, now=now, **INK)"
    ),
    "reissue": (
        "old = Certificate.objects.get(superseded_by=None)\n"
        "certificates.certificate_issue(sign_off=old.sign_off, by=by, now=now, supersedes=old, reason=WHY)"
    ),
    "withdraw": (
        "old = Certificate.objects.get(superseded_by=None)\n"
        "certificates.certificate_withdraw(certificate=old, by=by, reason=WHY, now=now)"
    ),
    "reopen": (
        "record = SiteRecord.objects.get()\n"
        "first = record.stages.order_by('position').first().key\n"
        "reopening.record_reopen(record=record, by=by, reason=WHY, stages=[first], now=now)"
    ),
}

#: Kills before the nth statement that writes; what is read in between changes nothing that could stay.
STATEMENT = """
seen = 0
def watch(execute, sql, params, many, context):
    global seen
    if re.match(r"\\s*(INSERT|UPDATE|DELETE)", sql):
        seen += 1
        if seen == {nth}:
            die()
    return execute(sql, params, many, context)
def commit():
    print("about to commit", flush=True)
    die()
connection.ensure_connection()
connection._commit = commit
connection.execute_wrappers.append(watch)
"""
#: Kills when the database has the transaction and nobody has been told of it.
COMMITTED = """
connection.ensure_connection()
dying(connection, "_commit", "after")
"""

#: Steps of making the paper, in their order: what has just been reached -> owner, call, side.
PAPER = {
    "about to claim": ("documents.Document", "claim", "before"),
    "claimed": ("documents.Document", "claim", "after"),
    "context read, about to render": ("papers", "paper_render", "before"),
    "rendered": ("papers", "paper_render", "after"),
    "about to seal": ("seals", "paper_seal", "before"),
    "key loaded": ("seals", "seal_key_load", "after"),
    "its certificate remembered": ("seals", "_remember", "after"),
    "about to ask for a time stamp": ("time_stamps.Stamper", "_post", "before"),
    "time stamp given": ("time_stamps.Stamper", "_post", "after"),
    "sealed": ("seals", "paper_seal", "after"),
    "about to keep the file": ("documents", "file_keep", "before"),
    "draft written, not flushed": ("kept_files.os", "fsync", "before"),
    "draft flushed, about to be renamed": ("Path", "replace", "before"),
    "renamed": ("Path", "replace", "after"),
    "folder flushed": ("kept_files", "_flush_folder", "after"),
    "file kept, about to record it": ("documents", "_record_file", "before"),
    "recorded, about to clear away": ("documents", "file_drop_others", "before"),
    "cleared away": ("documents", "file_drop_others", "after"),
}
#: Steps at which the shop's first certificate has its key made.
FIRST_KEY = {
    "about to make the key": ("seal_keys", "seal_key_make", "before"),
    "key made": ("seal_keys", "seal_key_make", "after"),
    "key written, not flushed": ("seal_keys.os", "fsync", "before"),
    "key flushed, not under its name": ("seal_keys.os", "link", "before"),
    "key under its name": ("seal_keys.os", "link", "after"),
}
#: From here on the row says that the paper is ready.
RECORDED = {"recorded, about to clear away", "cleared away"}


def act(name: str, *, by: int, at: float) -> str:
    """Code that does one of the acts."""
    return (
        f"by = User.objects.get(pk={by})\nnow = datetime(2026, 5, 4, 13, tzinfo=UTC)"
        f" + timedelta(hours={at})\n{ACTS[name]}"
    )


def killed_at(point: tuple[str, str, str]) -> str:
    """Code that has the process killed at a step of the paper."""
    owner, name, side = point
    return f"dying({owner}, {name!r}, {side!r})\n"
