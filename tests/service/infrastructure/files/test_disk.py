"""Files lie under their hash, one folder a scheme; what no row names is swept once it is old."""

import hashlib
import os
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from service.common.errors import NotFound
from service.infrastructure.files import FilesOnDisk

OURS, THEIRS = "a" * 32, "b" * 32
CONTENT = b"a certificate"
HASH = hashlib.sha256(CONTENT).hexdigest()


@pytest.fixture
def disk(tmp_path: Path) -> FilesOnDisk:
    return FilesOnDisk(tmp_path / "files")


def grow_old(disk: FilesOnDisk, scheme_id: str, name: str, days: float = 2) -> None:
    then = (datetime.now(UTC) - timedelta(days=days)).timestamp()
    os.utime(disk.folder / scheme_id / name, (then, then))


def yesterday() -> datetime:
    return datetime.now(UTC) - timedelta(days=1)


def test_what_is_kept_is_given_back_to_its_own_scheme_only(disk: FilesOnDisk) -> None:
    disk.put(OURS, HASH, CONTENT)
    assert disk.read(OURS, HASH) == CONTENT
    with pytest.raises(NotFound):
        disk.read(THEIRS, HASH)


def test_the_same_content_of_two_schemes_is_kept_twice(disk: FilesOnDisk) -> None:
    for scheme_id in (OURS, THEIRS):
        disk.put(scheme_id, HASH, CONTENT)
    assert disk.schemes() == [OURS, THEIRS]
    (disk.folder / OURS / HASH).unlink()
    assert disk.read(THEIRS, HASH) == CONTENT


def test_a_write_that_fails_leaves_nothing_behind(disk: FilesOnDisk, monkeypatch: pytest.MonkeyPatch) -> None:
    def full(*_: object) -> None:
        raise OSError("no space left")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(OSError, match="no space"):
        disk.put(OURS, HASH, CONTENT)
    assert list((disk.folder / OURS).iterdir()) == []


@pytest.mark.parametrize(("scheme_id", "name"), [("../x", HASH), (OURS, "../" + HASH[3:]), (OURS, HASH.upper())])
def test_no_name_leads_out_of_the_folder(disk: FilesOnDisk, scheme_id: str, name: str) -> None:
    with pytest.raises(ValueError, match="named by"):
        disk.put(scheme_id, name, CONTENT)


def test_only_old_files_are_offered_to_a_sweep_unfinished_ones_too(disk: FilesOnDisk) -> None:
    disk.put(OURS, HASH, CONTENT)
    (disk.folder / OURS / ".aside-x").write_bytes(b"half")
    (disk.folder / OURS / "notes.txt").write_bytes(b"somebody else's")
    assert list(disk.older_than(OURS, yesterday())) == []
    for name in (HASH, ".aside-x", "notes.txt"):
        grow_old(disk, OURS, name)
    assert sorted(disk.older_than(OURS, yesterday())) == [".aside-x", HASH]


def test_a_sweep_keeps_what_is_wanted_and_what_was_written_anew_meanwhile(disk: FilesOnDisk) -> None:
    other = "0" * 64
    for name in (HASH, other):
        disk.put(OURS, name, CONTENT)
        grow_old(disk, OURS, name)
    old = list(disk.older_than(OURS, yesterday()))
    disk.put(OURS, other, CONTENT)
    assert disk.sweep(OURS, old, before=yesterday(), is_wanted=lambda name: False) == 1
    assert [path.name for path in (disk.folder / OURS).iterdir()] == [other]
    grow_old(disk, OURS, other)
    assert disk.sweep(OURS, [other], before=yesterday(), is_wanted=lambda name: True) == 0
