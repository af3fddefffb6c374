"""The words of reimbursement: how a car is held, how it is paid, where a claim stands."""

from enum import StrEnum


class HeldAs(StrEnum):
    """Whose car it is; one on salary sacrifice is a company car."""

    OWN_CAR = "own_car"
    COMPANY_CAR = "company_car"


class CompanyMethod(StrEnum):
    """How business miles of a company car are paid."""

    ADVISORY_RATE = "advisory_rate"
    ACTUAL_COST = "actual_cost"


class TripSource(StrEnum):
    """How a business trip came in."""

    TYPED = "typed"
    CSV = "csv"
    JOURNEY = "journey"


class ClaimState(StrEnum):
    """Where a claim stands."""

    DRAFT = "draft"
    SENT = "sent"
    QUERIED = "queried"
    APPROVED = "approved"
    REFUSED = "refused"
    STATED = "stated"  # on a statement: frozen


class MessageKind(StrEnum):
    """What a message on a claim is."""

    QUERY = "query"
    ANSWER = "answer"
    REFUSAL = "refusal"
    REASON = "reason"  # of a correction
