"""The archive itself: writing members with their checksums, and reading only what they vouch for."""

from __future__ import annotations

import hashlib
import io
import json
import os
import shutil
import tarfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path, PurePosixPath
from typing import IO, Any

from django.core.management import CommandError

FORMAT = 1
MANIFEST = "manifest.json"


class _Hashing(io.RawIOBase):
    """Passes a file on and takes its checksum on the way."""

    def __init__(self, file: IO[bytes]) -> None:
        self.file = file
        self.sha256 = hashlib.sha256()

    def read(self, size: int = -1) -> bytes:
        part = self.file.read(size)
        self.sha256.update(part)
        return part


class ArchiveWriter:
    """Adds files to an archive and notes their checksums."""

    def __init__(self, tar: tarfile.TarFile) -> None:
        self.tar = tar
        self.files: dict[str, str] = {}

    def add(self, name: str, path: Path) -> None:
        """Add one file under a name."""
        with path.open("rb") as file:
            member = tarfile.TarInfo(name)
            status = os.fstat(file.fileno())
            member.size, member.mtime, member.mode = status.st_size, int(status.st_mtime), 0o600
            hashing = _Hashing(file)
            self.tar.addfile(member, hashing)
        self.files[name] = hashing.sha256.hexdigest()

    def finish(self, **facts: Any) -> None:
        """Write the manifest, which makes the archive whole."""
        content = json.dumps({"format": FORMAT, **facts, "files": self.files}, indent=1).encode()
        member = tarfile.TarInfo(MANIFEST)
        member.size, member.mode = len(content), 0o600
        self.tar.addfile(member, io.BytesIO(content))


@contextmanager
def archive_write(path: Path) -> Iterator[ArchiveWriter]:
    """Write an archive that gets its name only when it is whole, readable by its owner alone."""
    part = path.with_name(f"{path.name}.part")
    try:
        handle = os.open(part, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600)
    except OSError as error:
        raise CommandError(f"{part} cannot be written ({error.strerror}). Name another place.") from error
    try:
        with os.fdopen(handle, "wb") as file:
            with tarfile.open(fileobj=file, mode="w") as tar:
                yield ArchiveWriter(tar)
            file.flush()
            os.fsync(file.fileno())
        part.rename(path)
    finally:
        part.unlink(missing_ok=True)


def archive_read(path: Path, folder: Path) -> dict[str, Any]:
    """Unpack an archive into a folder and return its manifest; refuse it when anything in it is not right."""
    try:
        with tarfile.open(path, mode="r:") as tar:
            taken = {member.name: _unpack(tar, member, folder) for member in tar}
    except FileNotFoundError as error:
        raise CommandError(f"There is no file {path}.") from error
    except (tarfile.TarError, EOFError) as error:
        raise CommandError(f"{path} is damaged or no archive of bin/backup ({error}).") from error
    if MANIFEST not in taken:
        raise CommandError(f"{path} is not whole: its manifest is missing. Take another backup.")
    manifest: dict[str, Any] = json.loads((folder / MANIFEST).read_text())
    if manifest.get("format") != FORMAT:
        raise CommandError(f"{path} was written by another version of this program.")
    del taken[MANIFEST]
    promised = manifest["files"]
    damaged = sorted(name for name in promised.keys() | taken.keys() if promised.get(name) != taken.get(name))
    if damaged:
        raise CommandError(f"{path} is damaged: {', '.join(damaged[:5])} is not what the manifest says.")
    return manifest


def _unpack(tar: tarfile.TarFile, member: tarfile.TarInfo, folder: Path) -> str:
    name = PurePosixPath(member.name)
    if not member.isreg() or name.is_absolute() or ".." in name.parts:
        raise CommandError(
            f"{member.name} is in the archive, and bin/backup never writes such. Nothing was done."
        )
    target = folder.joinpath(*name.parts)
    target.parent.mkdir(parents=True, exist_ok=True)
    source = tar.extractfile(member)
    if source is None:
        raise CommandError(f"{member.name} cannot be read from the archive.")
    hashing = _Hashing(source)
    with target.open("wb") as file:
        shutil.copyfileobj(hashing, file)
    return hashing.sha256.hexdigest()
