"""Where uploads lie: one folder a scheme, each file under the hash of what it holds.

The same content of two schemes is kept twice, so that nobody learns from a hash what another scheme has.  A file is
written aside, forced to disk and then named, before its row is committed: a row never points at nothing.  A row that
was not committed leaves a file without one, which ``sweep`` takes away after a while.
"""

from __future__ import annotations

import os
import re
import tempfile
from collections.abc import Callable, Iterator
from datetime import datetime
from pathlib import Path

from service.common.errors import NotFound

_HASH = re.compile(r"[0-9a-f]{64}")
_SCHEME = re.compile(r"[0-9a-f]{32}")
ASIDE = ".aside-"


class FilesOnDisk:
    """The folder of uploads."""

    def __init__(self, folder: str | Path) -> None:
        self.folder = Path(folder)

    def put(self, scheme_id: str, sha256: str, content: bytes) -> None:
        """Keep the content under its hash; kept again it is written again, so that no sweep finds it old."""
        place = self._place(scheme_id, sha256)
        place.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        handle, aside = tempfile.mkstemp(prefix=ASIDE, dir=place.parent)
        try:
            with os.fdopen(handle, "wb") as file:
                file.write(content)
                file.flush()
                os.fsync(file.fileno())
            Path(aside).replace(place)
        except BaseException:
            Path(aside).unlink(missing_ok=True)
            raise
        _sync_folder(place.parent)

    def read(self, scheme_id: str, sha256: str) -> bytes:
        """Return what is kept under a hash; raises ``NotFound`` where it is gone from the folder."""
        try:
            return self._place(scheme_id, sha256).read_bytes()
        except FileNotFoundError:
            raise NotFound("The file is recorded, but is no longer in the folder of files. Upload it again.") from None

    def schemes(self) -> list[str]:
        """Return the schemes that have a folder here."""
        if not self.folder.is_dir():
            return []
        return sorted(path.name for path in self.folder.iterdir() if path.is_dir() and _SCHEME.fullmatch(path.name))

    def older_than(self, scheme_id: str, before: datetime) -> Iterator[str]:
        """Yield the names of a scheme's files, unfinished ones too, that were last written before an instant."""
        for path in sorted((self.folder / self._checked(scheme_id)).iterdir()):
            if (_HASH.fullmatch(path.name) or path.name.startswith(ASIDE)) and _written_at(path) < before.timestamp():
                yield path.name

    def sweep(self, scheme_id: str, names: list[str], *, before: datetime, is_wanted: Callable[[str], bool]) -> int:
        """Remove those of the named files that still are old and not wanted; return how many."""
        count = 0
        for name in names:
            path = self.folder / self._checked(scheme_id) / name
            # Asked last, right before it goes: an upload of the same content meanwhile has written it anew.
            if not is_wanted(name) and _written_at(path) < before.timestamp():
                path.unlink(missing_ok=True)
                count += 1
        return count

    def _place(self, scheme_id: str, sha256: str) -> Path:
        if not _HASH.fullmatch(sha256):
            raise ValueError("a stored file is named by the SHA-256 of what it holds")
        return self.folder / self._checked(scheme_id) / sha256

    @staticmethod
    def _checked(scheme_id: str) -> str:
        if not _SCHEME.fullmatch(scheme_id):
            raise ValueError("a folder of files is named by its scheme")
        return scheme_id


def _written_at(path: Path) -> float:
    try:
        return path.stat().st_mtime
    except FileNotFoundError:
        return float("inf")


def _sync_folder(folder: Path) -> None:
    """Force the new name itself to disk."""
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    finally:
        os.close(handle)
