"""Files of a home: kept once, given back to their own home, and swept where no row names them."""

import os
from datetime import UTC, datetime, timedelta
from itertools import count
from pathlib import Path

import pytest

from service.common.errors import NotFound, Rejected
from service.infrastructure.db.sessions import Database, SchemeSession
from service.infrastructure.files import FilesOnDisk, StoredFile, check_content
from service.safety import operations
from service.safety.operations import files
from tests.factories.households import NOON, furnished_home, open_home
from tests.factories.visits import CERTIFICATE, agreed_visit, photo, sent_link


@pytest.fixture
def disk(tmp_path: Path) -> FilesOnDisk:
    return FilesOnDisk(tmp_path / "files")


def keep(
    session: SchemeSession, disk: FilesOnDisk, home_id: str, content: bytes = CERTIFICATE, purpose: str = "certificate"
) -> StoredFile:
    upload = check_content(content)
    return operations.keep_file(session, disk, home_id, upload, purpose=purpose, name="../a.pdf", at=NOON)


def test_a_file_is_kept_under_its_hash_and_given_back(session: SchemeSession, disk: FilesOnDisk) -> None:
    home_id = open_home(session)
    file = keep(session, disk, home_id)
    assert (file.media_type, file.size_bytes, file.name) == ("application/pdf", len(CERTIFICATE), "a.pdf")
    assert (disk.folder / session.scheme_id / file.sha256).read_bytes() == CERTIFICATE
    assert operations.read_file(session, disk, home_id, file.id) == (file, CERTIFICATE)


def test_the_same_file_twice_is_kept_once_and_for_another_purpose_again(
    session: SchemeSession, disk: FilesOnDisk
) -> None:
    home_id = open_home(session)
    first = keep(session, disk, home_id)
    assert keep(session, disk, home_id).id == first.id
    assert keep(session, disk, home_id, purpose="consent").id != first.id


def test_another_homes_file_is_not_there(session: SchemeSession, disk: FilesOnDisk) -> None:
    file = keep(session, disk, open_home(session))
    with pytest.raises(NotFound):
        operations.read_file(session, disk, open_home(session, reference="H-2"), file.id)


def test_a_photo_is_a_picture(session: SchemeSession, disk: FilesOnDisk) -> None:
    home_id = open_home(session)
    for purpose in ("photo", "setting_photo"):
        assert keep(session, disk, home_id, photo(), purpose).media_type == "image/jpeg"
        with pytest.raises(Rejected, match="picture"):
            keep(session, disk, home_id, CERTIFICATE, purpose)


def test_nobody_fills_the_disk_and_nobody_uses_up_what_another_may_keep(
    session: SchemeSession, disk: FilesOnDisk, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(files, "FILES_MAX", 1)
    monkeypatch.setattr(files, "LINK_FILES_MAX", 2)
    home = furnished_home(session)
    links = [sent_link(session, agreed_visit(session, home)).link.id for _ in range(2)]
    elsewhere = open_home(session, reference="H-2")
    sizes = count(8)

    def kept(home_id: str, **whose: str) -> int:
        """Keep new pictures for somebody until one is refused; return how many were."""
        for number in range(4):
            picture = check_content(photo(size=(8, next(sizes))))
            try:
                operations.keep_file(session, disk, home_id, picture, purpose="photo", name="a", at=NOON, **whose)
            except files.TooManyFiles:
                return number
        return 4

    assert [kept(home.id, link_id=link_id) for link_id in links] == [2, 2]
    assert [kept(home.id, by=account) for account in ("a" * 32, "b" * 32)] == [1, 1]
    assert kept(elsewhere, by="a" * 32) == 1


def test_a_sweep_takes_old_files_without_a_row_and_nothing_else(
    database: Database, scheme: str, disk: FilesOnDisk
) -> None:
    with database.scheme(scheme, write=True) as session:
        home_id = open_home(session)
        kept = keep(session, disk, home_id).sha256
    with database.scheme_session(scheme, write=True) as session:
        lost = keep(session, disk, home_id, photo()).sha256  # never committed
    now = datetime.now(UTC)
    assert operations.sweep_files(database, disk, at=now) == 0
    then = (now - timedelta(days=2)).timestamp()
    for name in (kept, lost):
        os.utime(disk.folder / scheme / name, (then, then))
    assert operations.sweep_files(database, disk, at=now) == 1
    assert [path.name for path in (disk.folder / scheme).iterdir()] == [kept]
