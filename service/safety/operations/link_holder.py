"""Who holds an electrician's link: its secret is looked up by its hash, in one statement whatever the answer."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import text

from service.common.errors import Gone, NotFound
from service.infrastructure.db.sessions import Database
from service.infrastructure.db.types import UtcInstant
from service.safety.domain.link_rules import hash_of

UNKNOWN = "No such link. Open it from the e-mail again, whole, or ask the scheme for a new one."
REVOKED = "This link was withdrawn. Ask the scheme for a new one."
EXPIRED = "This link has expired. Ask the scheme for a new one."
SPENT = "This link is spent: what was recorded with it has been received. For a correction ask the scheme for a link."


@dataclass(frozen=True)
class LinkHolder:
    """A link that is still open: its scheme and id, and whether all its visits are recorded already."""

    scheme_id: str
    link_id: str
    is_spent: bool


# Written out: it is asked before any scheme is known, at every request of an electrician.
_WHO = text(
    "SELECT l.scheme_id, l.id, l.expires_at, l.revoked_at,"
    " (SELECT count(*) FROM linked_visits v"
    "  WHERE v.scheme_id = l.scheme_id AND v.link_id = l.id AND v.spent_at IS NULL) AS left_over"
    " FROM inspection_links l WHERE l.token_hash = :hashed"
).columns(expires_at=UtcInstant, revoked_at=UtcInstant)


def find_holder(database: Database, secret: str, *, at: datetime) -> LinkHolder:
    """Return the link of a secret.

    Raises
    ------
    NotFound, Gone
        Gone for a link that was revoked or has expired.  A spent one is returned and says so: the same submission
        may be asked for again where its answer was lost.
    """
    rows = database.system_rows(_WHO, {"hashed": hash_of(secret)})
    if not rows:
        raise NotFound(UNKNOWN)
    row = rows[0]
    if row.revoked_at is not None:
        raise Gone(REVOKED)
    if at >= row.expires_at:
        raise Gone(EXPIRED)
    return LinkHolder(row.scheme_id, row.id, row.left_over == 0)
