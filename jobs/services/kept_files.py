"""Files in storage that are whole or not there at all."""

from __future__ import annotations

import os
import tempfile
import uuid
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import IO

from django.core.files.base import ContentFile, File
from django.core.files.storage import FileSystemStorage, default_storage, storages


def file_keep(*, name: str, content: bytes) -> str:
    """Write a file under a name and return the name; a kill half-way leaves nothing under it.

    A folder gets the bytes under another name first, flushed to the disk, then renamed. Object stores
    show an upload only when it is complete.
    """
    if not isinstance(storages["default"], FileSystemStorage):
        return default_storage.save(name, ContentFile(content))
    target = Path(default_storage.path(name))
    target.parent.mkdir(parents=True, exist_ok=True)
    draft = target.with_name(f".{target.name}.{uuid.uuid4().hex}")
    try:
        with draft.open("xb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        draft.replace(target)
        _flush_folder(target.parent)
    finally:
        draft.unlink(missing_ok=True)
    return name


@contextmanager
def file_write(*, name: str) -> Iterator[IO[bytes]]:
    """Give a file to write to, a piece at a time; it is under its name when it is whole, and not before."""
    storage = storages["default"]
    if not isinstance(storage, FileSystemStorage):
        with tempfile.TemporaryFile() as draft:
            yield draft
            draft.seek(0)
            storage.save(name, File(draft))
        return
    target = Path(storage.path(name))
    target.parent.mkdir(parents=True, exist_ok=True)
    beside = target.with_name(f".{target.name}.{uuid.uuid4().hex}")
    try:
        with beside.open("xb") as file:
            yield file
            file.flush()
            os.fsync(file.fileno())
        beside.replace(target)
        _flush_folder(target.parent)
    finally:
        beside.unlink(missing_ok=True)


def file_read(*, name: str) -> bytes:
    """Return a file's bytes."""
    with default_storage.open(name) as file:
        content: bytes = file.read()
    return content


def files_drop(*, stem: str) -> None:
    """Remove every file whose name begins so, drafts of killed attempts too; none is no error."""
    folder, _, start = stem.rpartition("/")
    try:
        _, files = default_storage.listdir(folder)
    except FileNotFoundError:
        return
    for file in files:
        if file.removeprefix(".").startswith(start):
            default_storage.delete(f"{folder}/{file}")


def file_drop_others(*, stem: str, keep: str) -> None:
    """Remove files that earlier, killed attempts left beside one that counts."""
    folder, _, start = stem.rpartition("/")
    _, files = default_storage.listdir(folder)
    for file in files:
        if file.removeprefix(".").startswith(start) and f"{folder}/{file}" != keep:
            default_storage.delete(f"{folder}/{file}")


def _flush_folder(folder: Path) -> None:
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
