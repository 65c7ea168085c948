"""Tablets at work on a line where everything goes wrong: the server must have each entry exactly once.

The app's own modules run in node, their databases in memory, against a real server over HTTP. By seed,
requests are lost, cut, doubled and delayed, proxies answer in the server's place, logins expire, others
sign in, and the app is killed at any point. Runs begin for two minutes, at most two hundred;
FLUEWRIGHT_FAULT_RUNS asks for a number of them, however long it takes, and FLUEWRIGHT_FAULT_SEED repeats one.
"""

from __future__ import annotations

import hashlib
import json
import os
import subprocess
import sys
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

import pytest

from inspections.models import Answer, Defect, Photo, Signature, SiteRecord, TabletEntry
from jobs.models import Role
from tests.factories import TechnicianFactory, UserFactory
from tests.inspections.closing import job_ready_to_begin
from tests.node import ROOT, node
from tests.tablet_faults.office import Office

ASKED_FOR = os.environ.get("FLUEWRIGHT_FAULT_RUNS", "")
RUNS = int(ASKED_FOR or "200")
#: No run begins later, unless a number of them was asked for [s].
TIME = None if ASKED_FOR else 110
#: So many fit into that on the slowest machine.
LEAST_RUNS = 5
SEED = os.environ.get("FLUEWRIGHT_FAULT_SEED", "")
#: Share of requests that meet a fault.
RATE = 0.3
#: One run in so many has two tablets on its job.
TWO_TABLETS = 4


@dataclass
class Figures:
    """What the runs came to."""

    runs: int = 0
    saved: int = 0
    photos: int = 0
    refused: int = 0
    late: int = 0
    kills: int = 0
    requests: int = 0
    faults: Counter[str] = field(default_factory=Counter)
    refusals: Counter[str] = field(default_factory=Counter)
    lost: list[str] = field(default_factory=list)
    doubled: list[str] = field(default_factory=list)
    wrong: list[str] = field(default_factory=list)

    def __str__(self) -> str:
        return (
            f"{self.runs} runs, {self.saved} entries saved ({self.photos} photos), {len(self.lost)} lost,"
            f" {len(self.doubled)} doubled, {sum(self.faults.values())} faults in"
            f" {self.requests} requests, {self.kills} times killed,"
            f" {self.late} late, {self.refused} refused"
        )


@pytest.fixture
def rough_office(other_processes, settings) -> Iterator[Office]:
    """Return an office that serves what the test makes."""
    office = Office(other_processes)
    settings.MEDIA_ROOT = office.shop.folder / "media"
    yield office
    office.close()


def test_every_entry_a_tablet_called_saved_is_on_the_server_exactly_once(
    rough_office, as_user, capsys
) -> None:
    runs = [_run(seed, as_user) for seed in ([int(SEED)] if SEED else range(1, RUNS + 1))]
    stranger = as_user(TechnicianFactory(user__name="Sten Stranger").user)
    rough_office.open()
    told = {
        "base": f"{rough_office.url}/tablet/api/",
        "stranger": stranger.cookies["sessionid"].value,
        "rate": RATE,
        "seconds": TIME,
        "runs": runs,
    }
    done = subprocess.run(
        [node(), "tests/tablet_faults/runs.js"],
        input=json.dumps(told), cwd=ROOT, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    rough_office.close()
    rough_office.take_back()

    figures = Figures()
    for run in json.loads(done.stdout):
        _weigh(run, figures)
    with capsys.disabled():
        sys.stdout.write(f"\n{figures}\n{dict(figures.faults)}\n{dict(figures.refusals)}\n")
    assert not figures.lost, "\n".join(figures.lost)
    assert not figures.doubled, "\n".join(figures.doubled)
    assert not figures.wrong, "\n".join(figures.wrong)
    assert figures.runs >= min(len(runs), LEAST_RUNS if TIME else len(runs))
    assert figures.saved > figures.runs * 5
    assert sum(figures.faults.values()) > figures.runs * 4


def _run(seed: int, as_user) -> dict[str, Any]:
    """Make a job and its crew for one run: one tablet, or two."""
    first = TechnicianFactory(user__name=f"Ivo {seed}")
    crew = [first.user]
    if seed % TWO_TABLETS == 0:
        crew.append(TechnicianFactory(user__name=f"Ida {seed}", crew=first.crew).user)
    job = job_ready_to_begin(office=UserFactory(role=Role.OFFICE), crew=first.crew)
    people = [
        {
            "person": {"id": one.pk, "name": one.name, "role": one.role},
            "session": as_user(one).cookies["sessionid"].value,
        }
        for one in crew
    ]
    return {"seed": seed, "job": job.pk, "crew": people}


def _weigh(run: dict[str, Any], figures: Figures) -> None:
    """Hold what the tablets of a run said against what the server has."""
    figures.runs += 1
    taken = {str(one.entry): one for one in TabletEntry.objects.filter(job=run["job"])}
    for tablet in run["tablets"]:
        where = f"seed {run['seed']}, tablet {tablet['device']}"
        figures.faults.update(tablet["faults"])
        figures.kills += tablet["kills"]
        figures.requests += tablet["requests"]
        figures.wrong += [f"{where}: {fault}" for fault in tablet["appFaults"]]
        if not tablet["through"]:
            figures.wrong.append(f"{where}: stuck, {tablet['state']}, {tablet['left']}")
        left = {one["entry"]: one for one in tablet["left"]}
        figures.refusals.update(one.get("code", "waiting") for one in left.values())
        for entry in tablet["saved"]:
            _weigh_entry(entry, taken.get(entry["entry"]), left.get(entry["entry"]), where, figures)
        figures.wrong += [f"{where}: {words}" for words in _out_of_order(tablet["saved"], taken)]
    figures.late += sum(one.is_late for one in taken.values())
    figures.doubled += [f"seed {run['seed']}: {words}" for words in _doubled(run["job"], taken)]


def _weigh_entry(
    said: dict[str, Any], taken: TabletEntry | None, left: dict[str, Any] | None, where: str, figures: Figures
) -> None:
    figures.saved += 1
    name = f"{where}: {said['kind']} {said['stage']}/{said['item']} {said['entry']}"
    if taken is None:
        if left is None or left["state"] != "refused":
            figures.lost.append(name)
        figures.refused += 1
        return
    if left is not None:
        figures.wrong.append(f"{name}: acknowledged and still on the tablet")
    if (taken.kind, taken.stage, taken.item, taken.device) != (
        said["kind"], said["stage"], said["item"], said["device"],
    ):  # fmt: skip
        figures.wrong.append(f"{name}: arrived as {taken}")
    if said["kind"] == "photo":
        figures.photos += 1
        photo = Photo.objects.filter(entry=said["entry"], sha256=said["sha256"]).first()
        if photo is None or _sha256(photo) != said["sha256"]:
            figures.lost.append(f"{name}: its photo")


def _sha256(photo: Photo) -> str:
    with photo.original.open("rb") as content:
        return hashlib.sha256(content.read()).hexdigest()


def _doubled(job: int, taken: dict[str, TabletEntry]) -> list[str]:
    """Return what the server has more of than the tablets entered."""
    record = SiteRecord.objects.filter(job=job).first()
    if record is None:
        return []
    kept = Counter(one.kind for one in taken.values() if not one.is_late)
    photos = sum(one.kind == "photo" for one in taken.values())
    has = {
        "answers": (Answer.objects.filter(stage__record=record).count(), kept["answer"] + kept["photo"]),
        "photos": (Photo.objects.filter(job=job, tablet_entry__isnull=False).count(), photos),
        "defects by hand": (
            Defect.objects.filter(stage__record=record, item__startswith="defect-").count(), kept["defect"],
        ),
        "signatures": (Signature.objects.filter(stage__record=record).count(), kept["signature"]),
    }  # fmt: skip
    return [
        f"{found} {noun}, {entered} entered" for noun, (found, entered) in has.items() if found != entered
    ]


def _out_of_order(saved: list[dict[str, Any]], taken: dict[str, TabletEntry]) -> list[str]:
    """Return signatures that overtook what their tablet had entered before, or were not believed."""
    found = []
    for signature in (one for one in saved if one["kind"] == "signature" and one["entry"] in taken):
        row = taken[signature["entry"]]
        before = [
            taken[one["entry"]] for one in saved if one["seq"] < signature["seq"] and one["entry"] in taken
        ]
        found += [f"{row.stage} was signed before {one}" for one in before if one.pk > row.pk]
    return found
