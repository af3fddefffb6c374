"""Which homes of a scheme first for a budget, from what the clock reckoned of each."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime

from sqlalchemy import select

from service.advice.domain.budget_ranking import Ranking, SchemeHome, rank_homes
from service.advice.domain.upgrade_quotes import QuoteDetails
from service.advice.domain.upgrade_verdict import NO_QUESTION_WORDS, Money, weigh
from service.advice.domain.upgrade_works import NoQuestion
from service.advice.models import UpgradeStanding
from service.advice.operations.upgrade_quotes import load_quotes
from service.advice.operations.upgrade_standings import FAILED, KeptWorks, week_of
from service.figures.operations import load_book
from service.households.domain.equipment import Earthing, OutletKind, Place
from service.households.models import Household, Outlet, Supply
from service.infrastructure.db.sessions import SchemeSession
from service.safety.domain.levels import Clearance
from service.safety.domain.risk_order import RiskFacts, risk_of
from service.safety.models import ClearanceStatus, Inspection

FAILED_WORDS = "what is recorded of this home could not be planned: look at it by hand"


@dataclass(frozen=True)
class SchemeUpgrades:
    """The ranking, and how many of the scheme's homes are reckoned as they are now."""

    ranking: Ranking
    reckoned_count: int
    home_count: int
    life_years: int
    rate_percent: str


@dataclass(frozen=True)
class _Standing:
    clearance: str
    is_stopped: bool
    is_overdue: bool


def rank_upgrades(session: SchemeSession, budget_pounds: int, *, at: datetime) -> SchemeUpgrades:
    """Return the scheme's homes in the order in which a budget should reach them; raises ``Rejected``."""
    today = at.date()
    homes = session.execute(
        select(Household.id, Household.reference, Household.change_counter).order_by(Household.reference)
    ).all()
    kept = {row.id: row for row in session.scalars(select(UpgradeStanding))}
    standings = _standings(session, today)
    quotes = load_quotes(session, [home.id for home in homes])
    money = Money.of(load_book(session), today)
    risks = _risks(session, {home_id: each for home_id, each in standings.items() if each.is_stopped}, kept)
    listed, reckoned = [], 0
    for home_id, reference, counter in homes:
        row = kept.get(home_id)
        reckoned += row is not None and (row.change_counter, row.week_on) == (counter, week_of(at))
        listed.append(
            _home(home_id, reference, standings.get(home_id), row, quotes.get(home_id, ()), money, risks)
        )
    ranking = rank_homes(listed, budget_pounds)
    rate = f"{money.terms.rate.value.normalize():f}"
    return SchemeUpgrades(ranking, reckoned, len(homes), money.terms.years, rate)


def _home(
    home_id: str,
    reference: str,
    standing: _Standing | None,
    row: UpgradeStanding | None,
    quotes: Sequence[QuoteDetails],
    money: Money,
    risks: Mapping[str, int],
) -> SchemeHome:
    clearance = standing.clearance if standing else Clearance.NOT_KNOWN.value
    is_stopped = standing is not None and standing.is_stopped
    weighed, why, at = None, "", None
    if row is not None:
        works, at = KeptWorks.from_json(row.document), row.reckoned_at
        weighed = () if works.why_not else weigh(works.works, works.weeks, quotes, money)
        why = _words(works.why_not)
    return SchemeHome(home_id, reference, clearance, is_stopped, risks.get(home_id, 0), weighed, why, at)


def _words(why_not: str) -> str:
    if not why_not:
        return ""
    return FAILED_WORDS if why_not == FAILED else NO_QUESTION_WORDS[NoQuestion(why_not)]


def _standings(session: SchemeSession, today: date) -> dict[str, _Standing]:
    """Return what is kept of each home's clearance; evidence that has ended since is not known."""
    found = {}
    for row in session.scalars(select(ClearanceStatus)):
        is_stopped = row.clearance == Clearance.DO_NOT_USE
        has_lapsed = not is_stopped and row.valid_until_on is not None and row.valid_until_on <= today
        clearance = Clearance.NOT_KNOWN.value if has_lapsed else row.clearance
        is_overdue = row.next_recheck_on is not None and row.next_recheck_on < today
        found[row.household_id] = _Standing(clearance, is_stopped, is_overdue)
    return found


def _risks(
    session: SchemeSession, stopped: Mapping[str, _Standing], kept: Mapping[str, UpgradeStanding]
) -> dict[str, int]:
    """Return by home the whole number that orders stopped homes: the weights by which visits are ordered."""
    ids = list(stopped)
    supplies = session.execute(select(Supply.household_id, Supply.earthing).where(Supply.household_id.in_(ids)))
    earthing: dict[str, str] = dict(supplies.all())
    inspected = set(
        session.scalars(
            select(Inspection.outlet_id).where(Inspection.household_id.in_(ids), Inspection.superseded_at.is_(None))
        )
    )
    outlets: dict[str, list[Outlet]] = {}
    for outlet in session.scalars(select(Outlet).where(Outlet.household_id.in_(ids))):
        outlets.setdefault(outlet.household_id, []).append(outlet)
    return {
        home_id: risk_of(
            RiskFacts(
                is_stopped=True,
                was_never_inspected=any(outlet.id not in inspected for outlet in outlets.get(home_id, [])),
                is_overdue=standing.is_overdue,
                has_socket=any(outlet.kind == OutletKind.SOCKET_13A for outlet in outlets.get(home_id, [])),
                nights_a_week=_nights(kept.get(home_id)),
                may_lose_pen_outdoors=_may_lose_pen(earthing.get(home_id), outlets.get(home_id, [])),
                days_waiting=0,
            )
        )[0]
        for home_id, standing in stopped.items()
    }


def _nights(row: UpgradeStanding | None) -> int | None:
    return None if row is None else int(row.document["night_count"])


def _may_lose_pen(earthing: str | None, outlets: Sequence[Outlet]) -> bool:
    may_be_pme = earthing in (None, Earthing.TN_C_S, Earthing.NOT_KNOWN)
    return may_be_pme and any(_may_stand_outdoors(outlet) for outlet in outlets)


def _may_stand_outdoors(outlet: Outlet) -> bool:
    return (outlet.car_place if outlet.car_place != Place.NOT_KNOWN else outlet.place) != Place.INDOORS
