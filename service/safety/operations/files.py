"""Keep an upload for a home, give it back, and sweep away what no row names."""

from __future__ import annotations

from datetime import datetime, timedelta

from sqlalchemy import func, select

from service.accounts.operations import audit
from service.common.errors import Conflict, Fault, NotFound, Rejected
from service.households.operations import get_household
from service.infrastructure.db.sessions import Database, SchemeSession
from service.infrastructure.files import CheckedContent, FilesOnDisk, StoredFile, clean_name
from service.infrastructure.files.content import PDF

FILES_MAX = 150
"""Own bound for one person in one home: more than years of certificates and photos, an end to filling the disk, and
nobody else's to use up."""

LINK_FILES_MAX = 40
"""Own bound for one link in one home: its certificate and a photo of each thing looked at."""

GRACE = timedelta(days=1)
"""How long a file may lie without a row: longer than any request takes to commit its row."""

PICTURES_ONLY = frozenset({"photo", "setting_photo"})


class TooManyFiles(Conflict):
    """Whoever uploads has as many files in the home as are kept of one."""

    title = "Too many files"


def keep_file(
    session: SchemeSession,
    disk: FilesOnDisk,
    household_id: str,
    upload: CheckedContent,
    *,
    purpose: str,
    name: str,
    at: datetime,
    by: str | None = None,
    link_id: str | None = None,
) -> StoredFile:
    """Keep an upload whose content was checked; the same content twice in a home for one purpose is kept once.

    Raises
    ------
    NotFound, Rejected, TooManyFiles
        Rejected for a document where a photo is asked for; TooManyFiles where this link, or this person, has as many
        in the home as are kept.
    """
    get_household(session, household_id)
    if purpose in PICTURES_ONLY and upload.media_type == PDF:
        raise Rejected(Fault("purpose", purpose, "must be a picture, JPEG or PNG; this is a PDF"))
    known = session.scalar(
        select(StoredFile).where(
            StoredFile.household_id == household_id,
            StoredFile.sha256 == upload.sha256,
            StoredFile.purpose == purpose,
            StoredFile.link_id == link_id if link_id is not None else StoredFile.link_id.is_(None),
        )
    )
    if known is not None:
        disk.put(session.scheme_id, upload.sha256, upload.content)
        return known
    _check_count(session, household_id, by, link_id)
    disk.put(session.scheme_id, upload.sha256, upload.content)
    file = StoredFile(
        household_id=household_id, purpose=purpose, sha256=upload.sha256, media_type=upload.media_type,
        size_bytes=len(upload.content), name=clean_name(name, upload.media_type, otherwise=purpose), uploaded_at=at,
        uploaded_by=by, link_id=link_id,
    )
    session.add(file)
    session.flush()
    audit(session, account_id=by, action="upload", subject_kind="file", subject_id=file.id, at=at)
    return file


def _check_count(session: SchemeSession, household_id: str, by: str | None, link_id: str | None) -> None:
    """Refuse one file more than a link, or a person, may have in a home: each has a count of its own."""
    mine = StoredFile.link_id == link_id if link_id is not None else StoredFile.uploaded_by == by
    count = select(func.count()).select_from(StoredFile).where(StoredFile.household_id == household_id, mine)
    most, whose = (LINK_FILES_MAX, "one link") if link_id is not None else (FILES_MAX, "one person")
    if (session.scalar(count) or 0) >= most:
        raise TooManyFiles(f"A home keeps at most {most} files of {whose}. Ask the scheme what can be left out.")


def read_file(
    session: SchemeSession, disk: FilesOnDisk, household_id: str, file_id: str
) -> tuple[StoredFile, bytes]:
    """Return a file of the home and what it holds; raises ``NotFound``."""
    file = session.get(StoredFile, (session.scheme_id, file_id))
    if file is None or file.household_id != household_id:
        raise NotFound("This home has no such file.")
    return file, disk.read(session.scheme_id, file.sha256)


def sweep_files(database: Database, disk: FilesOnDisk, *, at: datetime) -> int:
    """Remove the files that have lain without a row for longer than the grace; return how many."""
    count = 0
    before = at - GRACE
    for scheme_id in disk.schemes():
        old = list(disk.older_than(scheme_id, before))
        if not old:
            continue
        # The write lock: on SQLite nobody commits a row between the look and the removal.
        with database.scheme(scheme_id, write=True) as session:
            count += disk.sweep(scheme_id, old, before=before, is_wanted=lambda name: _is_named(session, name))
    return count


def _is_named(session: SchemeSession, sha256: str) -> bool:
    return session.scalars(select(StoredFile.id).where(StoredFile.sha256 == sha256)).first() is not None
