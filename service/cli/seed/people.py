"""People of the demo: who signs in, and the accounts that let them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from argon2 import PasswordHasher

from service.accounts.domain import normal_email
from service.accounts.models import Account
from service.cli.seed.files import Moment, Node, stable_id

_ENDING = ".example"  # RFC 2606: a name that is nobody's, so demo mail can reach nobody


@dataclass(frozen=True)
class Person:
    """Somebody with an account; the flags are an administrator's duties."""

    account_id: str
    name: str
    email: str
    is_safety_officer: bool = False
    is_duty_contact: bool = False


def person(node: Node) -> Person:
    """Return the person an object describes; raises ``SeedError``."""
    return _person(node.object("name", "email"))


def administrator(node: Node) -> Person:
    """Return the administrator an object describes, with the duties it names; raises ``SeedError``."""
    duties = ("is_safety_officer", "is_duty_contact")
    found = _person(node.object("name", "email", optional=duties))
    is_officer, is_contact = (bool(node.or_none(node.flag, name)) for name in duties)
    return replace(found, is_safety_officer=is_officer, is_duty_contact=is_contact)


def _person(node: Node) -> Person:
    email = normal_email(node.name("email"))
    if not email.endswith(_ENDING) or email.count("@") != 1:
        raise node.at("email").fault(f"must be an address that ends in {_ENDING}")
    return Person(stable_id("account", email), node.name("name"), email)


def accounts(people: Iterable[Person], password: str, hasher: PasswordHasher, moment: Moment) -> list[Account]:
    """Return the people's accounts; each hash has a salt of its own though the demo's password is one."""
    return [
        Account(
            id=each.account_id,
            email=each.email,
            name=each.name,
            password_hash=hasher.hash(password),
            created_at=moment.now,
        )
        for each in people
    ]
