"""Tariffs ranked for one home by its whole year, with reasons, what was left out and why, and how firm it is."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from service.advice.domain.bill import in_pence
from service.advice.domain.break_even import share_needed
from service.advice.domain.house_use import LIKELY_PERMILLE, HouseUse
from service.advice.domain.tariff_eligibility import LeavingCost
from service.advice.domain.tariff_firmness import Firmness, Side, Verdict, firmness_of
from service.advice.domain.tariff_years import TariffYear


@dataclass(frozen=True, eq=False)
class Candidate:
    """A tariff that the home could take, and its year under it."""

    tariff_id: str
    name: str
    year: TariffYear
    is_present: bool = False
    is_estimate: bool = False
    questions: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A tariff that is not ranked, and every reason."""

    tariff_id: str
    name: str
    reasons: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class BreakEven:
    """The share of use in a tariff's cheap hours at which it costs what a flat one does, and the home's own share."""

    against: str
    share: Fraction | None
    own_share: Fraction


@dataclass(frozen=True, eq=False)
class Place:
    """A tariff in its place; money in whole pence, each rounded once from the exact sum.

    ``difference_pence`` is to the present tariff, below 0 where this is cheaper, None without a present one;
    ``year_one_pence`` has what leaving costs in it, None where that is not known.
    """

    rank: int
    candidate: Candidate
    difference_pence: int | None
    leaving_pence: int | None
    year_one_pence: int | None
    reasons: tuple[str, ...]
    break_even: BreakEven | None


@dataclass(frozen=True, eq=False)
class Ranking:
    """All of it; ``firmness`` is about the first two places."""

    places: tuple[Place, ...]
    left_out: tuple[LeftOut, ...]
    verdict: Verdict


def rank(candidates: Sequence[Candidate], left_out: Sequence[LeftOut], use: HouseUse, leaving: LeavingCost) -> Ranking:
    """Return the tariffs by what the year costs, the cheapest first; equal ones by name, so that it never changes."""
    ordered = sorted(candidates, key=lambda each: (each.year.whole.total_np, each.name, each.tariff_id))
    present = next((each for each in ordered if each.is_present), None)
    flat = next((each for each in ordered if each.year.cheap is None and not each.is_estimate), None)
    places = tuple(
        Place(
            rank=position,
            candidate=each,
            difference_pence=None if present is None else _difference(each, present),
            leaving_pence=0 if each.is_present else leaving.pence,
            year_one_pence=_year_one(each, leaving),
            reasons=_reasons(each, present),
            break_even=_break_even(each, flat),
        )
        for position, each in enumerate(ordered, 1)
    )
    ranked = sorted(left_out, key=lambda each: (each.name, each.tariff_id))
    return Ranking(places, tuple(ranked), _verdict(ordered, use))


def _verdict(ordered: Sequence[Candidate], use: HouseUse) -> Verdict:
    if len(ordered) < 2:
        return Verdict(Firmness.ONLY_ONE if ordered else Firmness.NONE)
    first, second = ordered[:2]
    return firmness_of(
        _side(first),
        _side(second),
        house_wh=use.yearly_wh,
        house_likely_permille=LIKELY_PERMILLE[use.source],
        miles=first.year.miles,
    )


def _side(each: Candidate) -> Side:
    return Side(each.name, each.year.cost, each.year.cheap, each.is_estimate)


def _difference(each: Candidate, present: Candidate) -> int:
    return in_pence(each.year.whole.total_np) - in_pence(present.year.whole.total_np)


def _year_one(each: Candidate, leaving: LeavingCost) -> int | None:
    total = each.year.whole.total_pence
    if each.is_present:
        return total
    return None if leaving.pence is None else total + leaving.pence


def _break_even(each: Candidate, flat: Candidate | None) -> BreakEven | None:
    if flat is None or each.year.cheap is None or each.is_estimate:
        return None
    share = share_needed(each.year.cheap, each.year.whole.total_np, flat.year.whole.total_np)
    return BreakEven(flat.name, share, each.year.cheap.share)


def _reasons(each: Candidate, present: Candidate | None) -> tuple[str, ...]:
    """Say what makes the difference to the present tariff, part by part; parts that are alike go unsaid."""
    if each.is_present:
        return ("This is the tariff the home is on.",)
    said = []
    if present is not None:
        own, now = each.year.cost, present.year.cost
        parts = (
            ("the house's own use", own.house_np - now.house_np),
            ("the cars", own.car_np - now.car_np),
            ("the standing charge", own.standing_np - now.standing_np),
        )
        words = [
            f"{part} {_pounds(abs(in_pence(cost)))} {'more' if cost > 0 else 'less'}"
            for part, cost in parts
            if in_pence(cost)
        ]
        against = f"Against the present tariff, a year: {', '.join(words)}."
        said = [against if words else "It costs what the present tariff does."]
    if each.year.cheap is not None:
        percent = round(float(each.year.cheap.share) * 100)
        said.append(f"{percent} % of the year's use would fall in its hours of {each.year.cheap_band}.")
    if each.is_estimate:
        said.append("An estimate: means of the half-hourly prices known so far stand for the year.")
    return tuple(said)


def _pounds(pence: int) -> str:
    return f"£{pence // 100}.{pence % 100:02d}"
