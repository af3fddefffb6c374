"""Photos that a record names: only one that is kept for the same home, and only for what it was taken."""

from __future__ import annotations

from service.common.errors import Fault, Rejected
from service.infrastructure.db.sessions import SchemeSession
from service.infrastructure.files import StoredFile


def check_photo(session: SchemeSession, household_id: str, file_id: str | None, *purposes: str) -> None:
    """Refuse a file that is not kept for this home with one of the purposes; None passes. Raises ``Rejected``."""
    if file_id is None:
        return
    file = session.get(StoredFile, (session.scheme_id, file_id))
    if file is None or file.household_id != household_id:
        raise Rejected(Fault("file_id", file_id, "is not a file kept for this home"))
    if file.purpose not in purposes:
        raise Rejected(Fault("file_id", file_id, f"was kept as {file.purpose}, not as " + " or ".join(purposes)))
