"""A car, the lead it charges with and the outlet together: does it draw more than the outlet may carry for hours?

Drawn is the least of what lead or charging point offers as set, the lead's rating and the car's charger. Where it is
more than the outlet may carry, no charging is planned, unless the lead can be set within it and a photo has shown
that it is.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from service.common.working import Working
from service.households.domain.equipment import LeadKind, OutletKind
from service.households.domain.homes import LeadInputs, OutletInputs
from service.safety.domain.arithmetic.drawn_current import CarFeed, LeadUse, LeadVerdict, lead_verdict
from service.safety.domain.arithmetic.pilot import LEAST_A

DO_NOT_USE_WORDS = "do not use with this lead"


@dataclass(frozen=True)
class PairVerdict:
    """Whether a car may be planned with its lead at its outlet.

    ``limit_a`` is what it draws at most [A per phase]; ``words`` say what to do where charging is not allowed, or
    what the setting must not be raised above, "" where there is nothing to say. ``drawn_a`` is what it would draw as
    lead or charging point are set now.
    """

    allows_charging: bool
    limit_a: int | None
    words: str
    set_to_a: int | None
    working: Working
    drawn_a: int


def pair_verdict(
    outlet: OutletInputs,
    lead: LeadInputs | None,
    onboard_limit_a: int,
    may_carry_a: int | None,
    *,
    lead_limit_a: int | None = None,
) -> PairVerdict:
    """Return whether a car may charge with a lead at an outlet.

    Parameters
    ----------
    outlet : OutletInputs
        The outlet; a charging point signals its own limit to the car.
    lead : LeadInputs or None
        The lead or loose cable; None where the cable is part of the outlet.
    onboard_limit_a : int
        The car's own limit [A per phase].
    may_carry_a : int or None
        What the outlet's clearance allows for hours [A]; None where it allows no charging, which stands anyway.
    lead_limit_a : int or None
        What the lead's clearance allows [A], a safety officer's decision reckoned; None where it sets nothing.
    """
    settings = _settings(lead)
    feed = CarFeed(
        pilot_a=Decimal(_offered_a(outlet, lead)),
        cable_a=Decimal(lead.rated_a) if lead else None,
        onboard_a=Decimal(onboard_limit_a),
        has_cable_coding=lead is not None,
        lead_settings_a=tuple(Decimal(each) for each in settings),
    )
    shown = lead.setting_shown_a if lead else None
    limits: list[tuple[str, int | None]] = [("outlet", may_carry_a)]
    where = outlet.label
    if may_carry_a is not None and lead is not None and lead_limit_a is not None and lead_limit_a < may_carry_a:
        limits.append(("lead", lead_limit_a))
        may_carry_a, where = lead_limit_a, lead.label
    verdict = lead_verdict(
        feed,
        [(name, None if most is None else Decimal(most)) for name, most in limits],
        photo_shows_a=None if shown is None else Decimal(shown),
    )
    drawn = int(verdict.drawn.at_most_a or 0)
    if may_carry_a is None:
        return PairVerdict(False, None, "", None, verdict.working, drawn)
    if drawn <= may_carry_a:
        kept = verdict.use is LeadUse.USE_WITH_LIMITS
        words = f"keep the lead set to {may_carry_a} A or less" if kept and settings else ""
        return PairVerdict(True, drawn, words, None, verdict.working, drawn)
    if verdict.set_to_a is not None and verdict.is_confirmed and shown is not None:
        within = min(shown, drawn)
        return PairVerdict(True, within, f"keep the lead set to {shown} A", shown, verdict.working, drawn)
    words = _words(outlet, lead, where, drawn, may_carry_a, verdict)
    return PairVerdict(False, None, words, _whole(verdict), verdict.working, drawn)


def _offered_a(outlet: OutletInputs, lead: LeadInputs | None) -> int:
    """Return what is signalled to the car: by the box of a Mode 2 lead, else by the charging point."""
    if lead is not None and (lead.kind == LeadKind.MODE_2 or outlet.kind == OutletKind.SOCKET_13A):
        return lead.set_a
    return outlet.limit_a


def _settings(lead: LeadInputs | None) -> tuple[int, ...]:
    if lead is None or lead.kind != LeadKind.MODE_2:
        return ()
    return tuple(each for each in lead.settings_a if LEAST_A <= each <= lead.rated_a)


def _words(
    outlet: OutletInputs, lead: LeadInputs | None, where: str, drawn: int, may_carry_a: int, verdict: LeadVerdict
) -> str:
    too_much = f"the car would draw {drawn} A, and {where} may carry {may_carry_a} A"
    if verdict.set_to_a is not None:
        return f"set the lead to {_whole(verdict)} A and show it in a photo: {too_much}"
    if lead is None or (lead.kind != LeadKind.MODE_2 and outlet.kind == OutletKind.CHARGING_POINT):
        return f"have the charging point set to {may_carry_a} A: {too_much}"
    return f"{DO_NOT_USE_WORDS}: {too_much}"


def _whole(verdict: LeadVerdict) -> int | None:
    return None if verdict.set_to_a is None else int(verdict.set_to_a)
