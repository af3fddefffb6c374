"""Whether the network operator is told after connecting or asked before.

Any doubt about the supply means asking before. The older form's text was read; the current combined form lists
its criteria in its section B, which is to be checked.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from enum import StrEnum
from typing import Final

from service.common.errors import Fault, Rejected
from service.common.working import Step, Working
from service.households.domain.equipment import YesNo
from service.safety.domain.arithmetic.quantities import CURRENT_MAX_A, checked, plain, with_unit
from service.safety.domain.arithmetic.rules import NETWORK, NETWORK_SOCKET, OLD_CUT_OUT
from service.safety.domain.arithmetic.supply_voltage import supply_kva

FUSE_SIZES_A: Final = (60, 80, 100)
NOTIFY_MAX_DEMAND_A: Final = Decimal(60)  # 13.8 kVA on one phase
NOTIFY_WITHIN: Final = timedelta(days=28)  # days, not a month
OLD_CUT_OUT_A: Final = 60


class NetworkAction(StrEnum):
    """What has to be done with the network operator."""

    CONNECT_AND_NOTIFY = "connect_and_notify"
    APPLY_FIRST = "apply_first"


@dataclass(frozen=True, slots=True)
class SupplyState:
    """What is known of the supply; every answer may be "not known".

    ``has_doubt``: about cut-out, tails or earthing. ``is_upgrade_certain``: the supply must grow anyway.
    ``is_area_scheme``: one of a planned group of installations in one area.
    """

    fuse_a: int | None
    is_looped: YesNo
    is_unmetered: YesNo
    is_adequate: YesNo
    has_doubt: YesNo
    is_upgrade_certain: YesNo
    is_area_scheme: YesNo

    def __post_init__(self) -> None:
        if self.fuse_a is not None and self.fuse_a not in FUSE_SIZES_A:
            raise Rejected(Fault("fuse_a", self.fuse_a, "must be 60, 80 or 100 A, or not known"))


@dataclass(frozen=True)
class NetworkNotice:
    """What to do, and why asking first is needed where it is; ``reasons`` is empty for a notice afterwards."""

    action: NetworkAction
    reasons: tuple[str, ...]
    working: Working


def network_notice(
    demand_a: Decimal | int | None, supply: SupplyState, *, is_existing_socket: bool = False
) -> NetworkNotice:
    """Return whether to connect and notify within 28 days, or to apply first.

    Parameters
    ----------
    demand_a : Decimal, int or None
        New maximum demand of the home [A]; None is not known.
    supply : SupplyState
        What is known of it.
    is_existing_socket : bool
        The load is a Mode 2 lead in a socket that is there already. The action stays; the working adds that no
        form is normally sent, which is from memory.
    """
    demand = None if demand_a is None else checked("demand_a", demand_a, 0, CURRENT_MAX_A, "A")
    reasons = (*_demand_reasons(demand, supply), *_supply_reasons(supply))
    action = NetworkAction.APPLY_FIRST if reasons else NetworkAction.CONNECT_AND_NOTIFY
    within = f"connect, then notify within {NOTIFY_WITHIN.days} days"
    steps = [_notice_step(demand, supply, f"apply first: {'; '.join(reasons)}" if reasons else within)]
    if is_existing_socket:
        steps.append(
            NETWORK_SOCKET.step(
                "Form for a lead in an existing socket",
                {"outlet": "13 A socket, already there"},
                "no form is normally sent; the load is still to be checked",
                "advice only, the answer above stands",
            )
        )
    return NetworkNotice(action, reasons, Working(tuple(steps)))


def notify_by(connected_on: date) -> date:
    """Return the last day on which a connection may be notified.

    >>> notify_by(date(2026, 1, 31))
    datetime.date(2026, 2, 28)
    """
    return connected_on + NOTIFY_WITHIN


@dataclass(frozen=True, slots=True)
class AssumedFuse:
    """What an unmarked cut-out is reckoned as [A]; None: nothing may be assumed. It never counts as known."""

    rating_a: int | None
    working: Working


def assumed_fuse(*, is_marked: bool, is_older_black_or_metal: YesNo) -> AssumedFuse:
    """Return what to reckon with where a cut-out's fuse is not known: 60 A for an unmarked older one."""
    is_old = not is_marked and is_older_black_or_metal is YesNo.YES
    rating = OLD_CUT_OUT_A if is_old else None
    step = OLD_CUT_OUT.step(
        "Fuse of an older cut-out",
        {"marked": "yes" if is_marked else "no", "older black plastic or metal-clad": is_older_black_or_metal.value},
        "unmarked and older: reckon with 60 A; the fuse stays not known",
        with_unit(rating, "A"),
    )
    return AssumedFuse(rating, Working((step,)))


def _demand_reasons(demand: Decimal | None, supply: SupplyState) -> list[str]:
    if demand is None:
        return ["the new maximum demand is not known"]
    reasons = []
    if demand > NOTIFY_MAX_DEMAND_A:
        reasons.append(f"new maximum demand above {NOTIFY_MAX_DEMAND_A} A")
    if supply.fuse_a is not None and demand > supply.fuse_a:
        reasons.append(f"new maximum demand above the cut-out's {supply.fuse_a} A")
    return reasons


def _supply_reasons(supply: SupplyState) -> list[str]:
    reasons = [] if supply.fuse_a is not None else ["the cut-out's fuse is not known"]
    for answer, stops_at, why in (
        (supply.is_looped, YesNo.YES, "looped supply"),
        (supply.is_unmetered, YesNo.YES, "unmetered supply"),
        (supply.is_adequate, YesNo.NO, "inadequate supply"),
        (supply.has_doubt, YesNo.YES, "doubt about cut-out, tails or earthing"),
        (supply.is_upgrade_certain, YesNo.YES, "certain upgrade"),
        (supply.is_area_scheme, YesNo.YES, "planned group of installations in one area"),
    ):
        if answer is stops_at:
            reasons.append(why)
        elif answer is YesNo.NOT_KNOWN:
            reasons.append(f"not known: {why}")
    return reasons


def _notice_step(demand: Decimal | None, supply: SupplyState, result: str) -> Step:
    fuse = "not known" if supply.fuse_a is None else f"{supply.fuse_a} A = {plain(supply_kva(supply.fuse_a))} kVA"
    return NETWORK.step(
        "Network operator",
        {
            "new maximum demand": with_unit(demand, "A"),
            "cut-out fuse": fuse,
            "looped": _words(supply.is_looped),
            "unmetered": _words(supply.is_unmetered),
            "adequate": _words(supply.is_adequate),
            "doubt": _words(supply.has_doubt),
        },
        "up to 60 A and the cut-out's rating, supply known and adequate: connect and notify; else apply first",
        result,
    )


def _words(answer: YesNo) -> str:
    return answer.value.replace("_", " ")
