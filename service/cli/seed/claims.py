"""Claims of the demo: the scheme's rule, whose cars they are, last month's claims and an open trip of today."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal

from sqlalchemy import select

from service.accounts.domain import normal_email
from service.accounts.models import Membership
from service.cli.seed.files import Moment, Node, SeedError, stable_id
from service.households.models import Vehicle
from service.infrastructure.db.sessions import SchemeSession
from service.reimbursement.domain.kinds import ClaimState, HeldAs, MessageKind, TripSource
from service.reimbursement.domain.months import Month
from service.reimbursement.domain.rules import SchemeRule
from service.reimbursement.domain.trip_details import TripDetails
from service.reimbursement.models import BusinessTrip, CarHolding, Claim, ClaimMessage, ReimbursementRule
from service.reimbursement.operations.claims import STATED, reckon_claim
from service.reimbursement.operations.trips import Owner

CLAIMS_FILE = "claims.json"
_HELD_DAYS = 700


@dataclass(frozen=True)
class SeededClaim:
    """Last month's claim of one member."""

    state: ClaimState
    trips: tuple[TripDetails, ...]
    question: str


@dataclass(frozen=True)
class SeededClaimant:
    """A member who drives for work: with which car, whose it is, what was claimed and what is open."""

    email: str
    car: str
    held_as: HeldAs
    claim: SeededClaim | None
    open_trips: tuple[TripDetails, ...]

    @property
    def account_id(self) -> str:
        """Return the id of the member's account."""
        return stable_id("account", self.email)


@dataclass(frozen=True)
class SeededClaims:
    """Everything the file says, checked."""

    rules: tuple[SchemeRule, ...]
    claimants: tuple[SeededClaimant, ...]


def read_claims(root: Node, moment: Moment) -> SeededClaims:
    """Return what the file describes; raises ``SeedError``."""
    root.object("rules", "members")
    return SeededClaims(
        tuple(_rule(node, moment) for node in root.items("rules")),
        tuple(_claimant(node, moment) for node in root.items("members")),
    )


def store_claims(session: SchemeSession, claims: SeededClaims, moment: Moment) -> None:
    """Store what is missing, once the homes are stored; a claim is stored whole or not at all.

    Raises
    ------
    SeedError
        Where a claim cannot be worked out, or names a car that is not there.
    """
    for place, rule in enumerate(claims.rules):
        rule_id = stable_id("reimbursement rule", str(place))
        if session.get(ReimbursementRule, (session.scheme_id, rule_id)) is None:
            session.add(
                ReimbursementRule(
                    id=rule_id, from_on=rule.from_on, company_method=rule.company_method,
                    monthly_cap_pence=rule.monthly_cap_pence, claim_within_days=rule.claim_within_days,
                    recorded_at=moment.now,
                )
            )  # fmt: skip
    session.flush()
    for claimant in claims.claimants:
        claim_id, holding_id = stable_id("claim", claimant.email), stable_id("car holding", claimant.email)
        known = [(Claim, claim_id), (CarHolding, holding_id)]
        if not any(session.get(model, (session.scheme_id, row_id)) for model, row_id in known):
            _store_claimant(session, claimant, moment)


def _rule(node: Node, moment: Moment) -> SchemeRule:
    node.object("from_on", "company_method", "monthly_cap_pence", "claim_within_days")
    with node.checked():
        return SchemeRule(
            node.day("from_on", moment), node.name("company_method"), node.or_none(node.whole, "monthly_cap_pence"),
            node.or_none(node.whole, "claim_within_days"),
        )


def _claimant(node: Node, moment: Moment) -> SeededClaimant:
    node.object("email", "car", "held_as", optional=("claim", "open_trips"))
    claim = node.at("claim")
    return SeededClaimant(
        normal_email(node.name("email")), node.name("car"), node.word("held_as", HeldAs),
        None if claim.value is None else _claim(claim, moment),
        tuple(
            _trip(trip, moment.today - timedelta(days=trip.whole("ago")), "ago") for trip in node.items("open_trips")
        ),
    )


def _claim(node: Node, moment: Moment) -> SeededClaim:
    node.object("state", "trips", optional=("question",))
    first_on = _last_month(moment).first_on
    return SeededClaim(
        node.word("state", ClaimState),
        tuple(_trip(trip, first_on + timedelta(days=trip.whole("day") - 1), "day") for trip in node.items("trips")),
        node.or_none(node.name, "question") or "",
    )


def _last_month(moment: Moment) -> Month:
    return Month.of(moment.today.replace(day=1) - timedelta(days=1))


def _trip(node: Node, on: date, when: str) -> TripDetails:
    node.object(when, "from", "to", "reason", "miles")
    with node.checked():
        return TripDetails(on, node.name("from"), node.name("to"), node.name("reason"), node.decimal("miles"))


def _store_claimant(session: SchemeSession, claimant: SeededClaimant, moment: Moment) -> None:
    owner = _owner(session, claimant)
    vehicle_id = session.scalar(
        select(Vehicle.id).where(Vehicle.household_id == owner.household_id, Vehicle.label == claimant.car)
    )
    if vehicle_id is None:
        raise SeedError(f"{CLAIMS_FILE}: {claimant.email} has no car that is called {claimant.car}")
    session.add(
        CarHolding(
            id=stable_id("car holding", claimant.email), household_id=owner.household_id, vehicle_id=vehicle_id,
            from_on=moment.today - timedelta(days=_HELD_DAYS), held_as=claimant.held_as.value, recorded_at=moment.now,
        )
    )  # fmt: skip
    session.add_all(_trips(claimant.open_trips, claimant, owner, vehicle_id, moment, None))
    session.flush()
    if claimant.claim is not None:
        _store_claim(session, claimant, claimant.claim, owner, vehicle_id, moment)


def _store_claim(
    session: SchemeSession,
    claimant: SeededClaimant,
    seeded: SeededClaim,
    owner: Owner,
    vehicle_id: str,
    moment: Moment,
) -> None:
    """Store a claim, frozen as sending freezes it, and set it to where the file says it stands."""
    claim = Claim(
        id=stable_id("claim", claimant.email), account_id=owner.account_id, household_id=owner.household_id,
        month_on=_last_month(moment).first_on, ordinal=1, state=ClaimState.DRAFT.value, miles=Decimal(0),
        total_pence=0, reckoning={STATED: {}}, created_at=moment.now,
    )  # fmt: skip
    session.add(claim)
    session.flush()
    session.add_all(_trips(seeded.trips, claimant, owner, vehicle_id, moment, claim.id))
    session.flush()
    reckoning = reckon_claim(session, owner, claim)
    if not reckoning.is_ready:
        what = "; ".join(f"{each.what}: {each.rule}" for each in reckoning.blockers)
        raise SeedError(f"{CLAIMS_FILE}: the claim of {claimant.email} cannot be worked out: {what}")
    claim.reckoning = {**reckoning.to_json(), STATED: {}}
    claim.miles, claim.total_pence = reckoning.miles, reckoning.total_pence
    claim.state, claim.sent_at = seeded.state.value, moment.now
    if seeded.state is ClaimState.APPROVED:
        claim.decided_at = moment.now
    if seeded.question:
        session.add(
            ClaimMessage(
                id=stable_id("claim message", claimant.email), claim_id=claim.id, kind=MessageKind.QUERY.value,
                text=seeded.question, written_at=moment.now,
            )
        )  # fmt: skip
    session.flush()


def _owner(session: SchemeSession, claimant: SeededClaimant) -> Owner:
    household_id = session.scalar(
        select(Membership.household_id).where(
            Membership.account_id == claimant.account_id, Membership.household_id.is_not(None)
        )
    )
    if household_id is None:
        raise SeedError(f"{CLAIMS_FILE}: {claimant.email} is of no home")
    return Owner(claimant.account_id, household_id)


def _trips(
    trips: tuple[TripDetails, ...],
    claimant: SeededClaimant,
    owner: Owner,
    vehicle_id: str,
    moment: Moment,
    claim_id: str | None,
) -> Iterator[BusinessTrip]:
    for place, trip in enumerate(trips):
        yield BusinessTrip(
            id=stable_id("business trip", claimant.email, "open" if claim_id is None else "claimed", str(place)),
            account_id=owner.account_id, household_id=owner.household_id, vehicle_id=vehicle_id, on_date=trip.on_date,
            origin=trip.origin, destination=trip.destination, reason=trip.reason, miles=trip.miles,
            source=TripSource.TYPED.value, claim_id=claim_id, created_at=moment.now,
        )  # fmt: skip
