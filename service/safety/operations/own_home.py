"""Nobody decides about the evidence of a home of their own: neither who lives there, nor who lived there."""

from __future__ import annotations

from service.accounts.models import Account
from service.accounts.operations import is_of_household
from service.common.errors import Forbidden
from service.infrastructure.db.sessions import SchemeSession
from service.safety.domain.link_rules import is_address_of_home
from service.safety.operations.link_list import home_addresses


class OwnHousehold(Forbidden):
    """Nobody decides about the evidence of a home of their own."""

    title = "Not for your own home"


def refuse_own_home(
    session: SchemeSession, by: str | None, household_id: str, *, who: str = "A safety officer"
) -> None:
    """Refuse who is or was of the home, a second account with the same mailbox included; raises ``OwnHousehold``."""
    if is_own_home(session, by, household_id):
        raise OwnHousehold(f"{who} who does not live in this home must decide about it.")


def is_own_home(session: SchemeSession, by: str | None, household_id: str) -> bool:
    """Say whether somebody is or was of the home, by this account or by another with the same mailbox."""
    if by is None:
        return False
    account = session.get(Account, by)
    is_same_mailbox = account is not None and is_address_of_home(account.email, home_addresses(session, household_id))
    return is_same_mailbox or is_of_household(session, by, household_id)
