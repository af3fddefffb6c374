"""Whether a home could take a tariff: what rules it out, and what has to be asked of whoever sells it.

What is not recorded of a home is not known and lets nothing pass: the tariff is left out and says what to record.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from service.households.domain.equipment import MeterKind
from service.tariffs.domain.taking import TakingTerms
from service.tariffs.domain.terms import MeterNeeded

_METERS = {MeterKind.SINGLE_RATE: "a single-rate meter", MeterKind.TWO_RATE: "a two-rate meter"}
_NEEDED = {MeterNeeded.TWO_RATE: "a meter that tells two rates apart", MeterNeeded.HALF_HOURLY: "a half-hourly meter"}


@dataclass(frozen=True, slots=True)
class Applicant:
    """What of a home decides which tariffs it can take; ``is_on_it``: it has a contract for this one today."""

    meter_kind: str
    has_charging_point: bool
    is_on_it: bool = False


def reasons_against(terms: TakingTerms, home: Applicant) -> tuple[str, ...]:
    """Return every reason why a home could not take a tariff, in words; none for the one it is on."""
    return () if home.is_on_it else tuple(_reasons(terms, home))


def _reasons(terms: TakingTerms, home: Applicant) -> Iterator[str]:
    if not terms.is_open:
        yield "It is closed to new contracts."
    needed = MeterNeeded(terms.meter_needed)
    if needed is not MeterNeeded.ANY:
        if home.meter_kind == MeterKind.NOT_KNOWN:
            yield f"It asks for {_NEEDED[needed]}, and which meter this home has is not known: record it first."
        elif home.meter_kind not in _SERVED_BY[needed]:
            yield f"It asks for {_NEEDED[needed]}, and this home has {_METERS[MeterKind(home.meter_kind)]}."
    if terms.needs_charging_point and not home.has_charging_point:
        yield "It asks for a charging point, and none is recorded at this home."


# A half-hourly meter tells two rates apart as well.
_SERVED_BY = {
    MeterNeeded.TWO_RATE: (MeterKind.TWO_RATE, MeterKind.HALF_HOURLY),
    MeterNeeded.HALF_HOURLY: (MeterKind.HALF_HOURLY,),
}


def questions(terms: TakingTerms, home: Applicant) -> tuple[str, ...]:
    """Return what a home has to ask before it takes a tariff; nothing of the one it is on."""
    if home.is_on_it:
        return ()
    other = terms.other_terms.strip().rstrip(".")
    asked = [f"Do you meet its other terms: {other}?"] if other else []
    if terms.fixed_months:
        fee = _pounds(terms.exit_fee_pence) if terms.exit_fee_pence is not None else "an amount that is not known"
        asked.append(f"It binds you for {terms.fixed_months} months: leaving earlier costs {fee}.")
    return tuple(asked)


@dataclass(frozen=True, slots=True)
class LeavingCost:
    """What leaving the present contract costs [pence], None where not known, and why in words."""

    pence: int | None
    words: str


def leaving_cost(fixed_until_on: date | None, exit_fee_pence: int | None, *, on: date) -> LeavingCost:
    """Return what it costs to leave a contract on a day."""
    if fixed_until_on is not None and fixed_until_on <= on:
        return LeavingCost(0, f"The fixed time of the present contract ended on {fixed_until_on}.")
    if fixed_until_on is None and exit_fee_pence is None:
        return LeavingCost(None, "Whether leaving the present contract costs anything is not recorded: look it up.")
    if exit_fee_pence == 0:
        return LeavingCost(0, "Leaving the present contract costs nothing.")
    until = f"before {fixed_until_on}" if fixed_until_on else "the present contract"
    if exit_fee_pence is None:
        return LeavingCost(None, f"What leaving {until} costs is not known: look it up in the contract.")
    return LeavingCost(exit_fee_pence, f"Leaving {until} costs {_pounds(exit_fee_pence)}, once.")


def _pounds(pence: int) -> str:
    return f"£{pence // 100}.{pence % 100:02d}"
