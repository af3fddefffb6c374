"""Tariffs ranked for a home over HTTP, and what its house uses: for its members, and for an administrator as totals."""

from __future__ import annotations

from decimal import Decimal
from fractions import Fraction
from typing import Any

from flask.views import MethodView

from service.advice.api.routes import blueprint
from service.advice.domain.bill import in_pence
from service.advice.domain.house_use import HouseUse
from service.advice.domain.petrol import PetrolAsked
from service.advice.domain.tariff_comparison import BreakEven, Place, Ranking
from service.advice.domain.tariff_firmness import CLOSE_RULE, Flip, FlipInput
from service.advice.operations.house_use import get_house_use
from service.advice.operations.tariffs import Comparison, compare_tariffs
from service.advice.schemas.tariffs import HouseUseSchema, TariffComparisonSchema, TariffQuery
from service.common.money import round_half_up
from service.infrastructure.http.access import principal, require_visible_household, requires
from service.infrastructure.http.transactions import now, scheme_session
from service.planning.domain.worth import WEEKS_A_YEAR

HOME = "/households/<id:household_id>"
NO_HOUSEHOLD = "No such household"
_WITHOUT_HOURS: dict[str, Any] = {"bands": [], "break_even": None, "working": []}
"""What an administrator gets: with windows of their own making a tariff's bands would tell when a home charges."""


@blueprint.route(f"{HOME}/house_use")
class HouseUseView(MethodView):
    """What the house uses."""

    @requires("administrator", "member")
    @blueprint.response(200, HouseUseSchema)
    @blueprint.alt_response(404, description=NO_HOUSEHOLD)
    def get(self, household_id: str) -> object:
        """Return the house's use in the coming year without its cars, and how it is known."""
        require_visible_household(household_id)
        return _shown_use(get_house_use(scheme_session(), household_id, at=now()))


@blueprint.route(f"{HOME}/tariff_comparison")
class TariffComparisonView(MethodView):
    """Tariffs for a home."""

    @requires("administrator", "member")
    @blueprint.arguments(TariffQuery, location="query")
    @blueprint.response(200, TariffComparisonSchema)
    @blueprint.alt_response(404, description=NO_HOUSEHOLD)
    def get(self, query: dict[str, Any], household_id: str) -> object:
        """Rank the scheme's tariffs by the home's whole year; an administrator gets no hours and no working."""
        require_visible_household(household_id)
        found = compare_tariffs(scheme_session(), household_id, PetrolAsked(**query), at=now())
        return _shown(found, is_own=principal().household_id == household_id)


def _shown_use(use: HouseUse) -> dict[str, Any]:
    working = [step.to_json() for step in use.steps]
    return {"yearly_wh": use.yearly_wh, "source": use.source, "working": working}


def _shown(found: Comparison, *, is_own: bool) -> dict[str, Any]:
    week = found.car_week
    return {
        "starts_on": found.starts_on,
        "ends_on": found.ends_on,
        "meter_kind": found.household.meter_kind,
        "region": found.household.region,
        "payment": found.household.payment,
        "house_use": _shown_use(found.use),
        "car_wh": int(week.energy_wh.sum()) * WEEKS_A_YEAR,
        "car_miles_a_year": _whole(week.miles * WEEKS_A_YEAR),
        "petrol": {
            "up_per_mile": found.petrol.up_per_mile,
            "is_current": found.petrol.is_current,
            "working": [found.petrol.step.to_json()],
        },
        "items": [_shown_place(place) | ({} if is_own else _WITHOUT_HOURS) for place in found.ranking.places],
        "left_out": found.ranking.left_out,
        "firmness": _shown_firmness(found.ranking) | ({} if is_own else {"flips": []}),
        "leaving": found.leaving.words,
        "notes": found.notes,
    }


def _shown_place(place: Place) -> dict[str, Any]:
    candidate, year = place.candidate, place.candidate.year
    return {
        "rank": place.rank,
        "tariff_id": candidate.tariff_id,
        "name": candidate.name,
        "is_present": candidate.is_present,
        "is_estimate": candidate.is_estimate,
        "yearly_pence": year.whole.total_pence,
        "house_pence": in_pence(year.cost.house_np),
        "car_pence": in_pence(year.car_np),
        "standing_pence": in_pence(year.cost.standing_np),
        "vat_pence": in_pence(year.whole.vat_np),
        "car_wh": year.car_wh,
        "up_per_mile": year.up_per_mile,
        "difference_pence": place.difference_pence,
        "leaving_pence": place.leaving_pence,
        "year_one_pence": place.year_one_pence,
        "bands": [
            {"name": line.band, "energy_wh": line.energy_wh, "cost_pence": in_pence(line.cost_np)}
            for line in year.whole.lines
        ],
        "reasons": place.reasons,
        "questions": candidate.questions,
        "break_even": None if place.break_even is None else _shown_break_even(place.break_even),
        "working": [step.to_json() for step in year.steps],
    }


def _shown_break_even(found: BreakEven) -> dict[str, Any]:
    return {
        "against": found.against,
        "share_permille": None if found.share is None else _whole(found.share * 1000),
        "own_share_permille": _whole(found.own_share * 1000),
    }


def _shown_firmness(ranking: Ranking) -> dict[str, Any]:
    first_two = ranking.places[:2]
    totals = [place.candidate.year.whole.total_pence for place in first_two]
    return {
        "verdict": ranking.verdict.firmness,
        "between": [place.candidate.name for place in first_two],
        "difference_pence": totals[1] - totals[0] if len(totals) > 1 else None,
        "flips": [_shown_flip(flip) for flip in ranking.verdict.flips],
        "reasons": ranking.verdict.reasons,
        "rule": CLOSE_RULE,
    }


def _shown_flip(flip: Flip) -> dict[str, Any]:
    scale = 100 if flip.what is FlipInput.SHARE else 1
    return {
        "what": flip.what,
        "of": flip.of,
        "value": _tenths(flip.value * scale),
        "flips_at": None if flip.flips_at is None else _tenths(flip.flips_at * scale),
        "is_near": flip.is_near,
    }


def _tenths(value: Fraction) -> Decimal:
    return Decimal(_whole(value * 10)) / 10


def _whole(value: Fraction) -> int:
    return round_half_up(value.numerator, value.denominator)
