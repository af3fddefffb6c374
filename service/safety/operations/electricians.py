"""The scheme's list of electricians: what they recorded while on it counts without a safety officer's acceptance.

Safety officers keep it, and who last set an address is kept: it vouches for whose post box it is.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime
from typing import Any

from sqlalchemy import select

from service.accounts.domain import normal_email
from service.accounts.operations import audit
from service.common.errors import Conflict, NotFound
from service.households.operations.stored import fill, read_details
from service.infrastructure.db.sessions import SchemeSession
from service.safety.domain.visit_details import ElectricianDetails
from service.safety.models import Electrician


class OnTheListAlready(Conflict):
    """Another electrician of the list has this address."""

    title = "On the list already"


def list_electricians(session: SchemeSession) -> list[Electrician]:
    """Return everybody who is or was on the list, those on it first, by name."""
    found = session.scalars(select(Electrician).order_by(Electrician.name, Electrician.id)).all()
    return sorted(found, key=lambda each: each.unlisted_at is not None)


def get_electrician(session: SchemeSession, electrician_id: str) -> Electrician:
    """Return one of the list; raises ``NotFound``."""
    electrician = session.get(Electrician, (session.scheme_id, electrician_id))
    if electrician is None:
        raise NotFound("No such electrician.")
    return electrician


def list_electrician(
    session: SchemeSession, details: ElectricianDetails, *, by: str | None, at: datetime
) -> Electrician:
    """Put somebody on the list; who was taken off it is put on again, and counts from now.

    Raises
    ------
    OnTheListAlready
        If somebody on the list has the address.
    """
    details = replace(details, email=normal_email(details.email))
    electrician = session.scalar(select(Electrician).where(Electrician.email == details.email))
    if electrician is None:
        electrician = Electrician()
        session.add(electrician)
    elif electrician.unlisted_at is None:
        raise OnTheListAlready(f"{electrician.name} is on the list with this address. Change that entry.")
    fill(electrician, details)
    electrician.listed_at, electrician.listed_by, electrician.unlisted_at = at, by, None
    electrician.address_by = by
    session.flush()
    audit(session, account_id=by, action="list", subject_kind="electrician", subject_id=electrician.id, at=at)
    return electrician


def change_electrician(
    session: SchemeSession, electrician_id: str, changes: Mapping[str, Any], *, by: str | None, at: datetime
) -> Electrician:
    """Change what is stated of somebody on the list; raises ``NotFound``, ``Rejected`` or ``OnTheListAlready``."""
    electrician = get_electrician(session, electrician_id)
    details = replace(read_details(ElectricianDetails, electrician), **changes)
    details = replace(details, email=normal_email(details.email))
    other = select(Electrician.id).where(Electrician.email == details.email, Electrician.id != electrician_id)
    if session.scalar(other) is not None:
        raise OnTheListAlready("Another electrician has this address.")
    changed = fill(electrician, details)
    if "email" in changed:
        electrician.address_by = by
    session.flush()
    if changed:
        audit(
            session, account_id=by, action="change", subject_kind="electrician", subject_id=electrician_id, at=at,
            fields=changed,
        )
    return electrician


def unlist_electrician(
    session: SchemeSession, electrician_id: str, *, by: str | None, at: datetime
) -> Electrician:
    """Take somebody off the list: what they recorded before keeps its acceptance, what comes now waits."""
    electrician = get_electrician(session, electrician_id)
    if electrician.unlisted_at is None:
        electrician.unlisted_at = at
        session.flush()
        audit(session, account_id=by, action="unlist", subject_kind="electrician", subject_id=electrician_id, at=at)
    return electrician
