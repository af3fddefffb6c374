"""The current a car draws through a lead, against what outlet, cable and circuit may carry for hours.

Drawn is the least of the pilot at its present setting, the cable's coding and the on-board charger. A current
that is not known bounds nothing; what may be carried and is not known is never a pass.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from decimal import Decimal
from enum import StrEnum

from service.common.errors import Fault, Rejected
from service.common.working import Step, Working
from service.households.domain.ranges import of_phases, refuse
from service.safety.domain.arithmetic.pilot import LEAST_A
from service.safety.domain.arithmetic.quantities import CURRENT_MAX_A, plain, positive, with_unit
from service.safety.domain.arithmetic.rules import DRAWN_CURRENT, LEAD_SETTING
from service.safety.domain.arithmetic.supply_voltage import DECLARED_V


class LeadUse(StrEnum):
    """What may be done with a lead at an outlet; ``WITHIN`` speaks of the current alone, not of clearance."""

    WITHIN = "within"
    USE_WITH_LIMITS = "use_with_limits"
    DO_NOT_USE = "do_not_use"
    NOT_KNOWN = "not_known"


@dataclass(frozen=True)
class CarFeed:
    """What sets the current of a car, per phase [A]; None is not known.

    ``cable_a`` is left out of account where ``has_cable_coding`` is false (a lead or tethered cable that carries
    none). Settings are the currents that lead and car can be set to; empty where they cannot be set, or nobody
    knows. Those below 6 A are never used: the pilot cannot signal them.
    """

    pilot_a: Decimal | None
    cable_a: Decimal | None
    onboard_a: Decimal | None
    has_cable_coding: bool = True
    outlet_phases: int = 1
    onboard_phases: int = 1
    lead_settings_a: tuple[Decimal, ...] = ()
    car_settings_a: tuple[Decimal, ...] = ()

    def __post_init__(self) -> None:
        _check_currents({"pilot_a": self.pilot_a, "cable_a": self.cable_a, "onboard_a": self.onboard_a})
        for name in ("lead_settings_a", "car_settings_a"):
            settings: tuple[Decimal, ...] = getattr(self, name)
            _check_currents({f"{name}.{position}": value for position, value in enumerate(settings)})
        refuse(of_phases("outlet_phases", self.outlet_phases), of_phases("onboard_phases", self.onboard_phases))

    def parts(self) -> dict[str, Decimal | None]:
        """Return the parts that set the current at present, by name."""
        coding = {"cable coding": self.cable_a} if self.has_cable_coding else {}
        return {"pilot at its present setting": self.pilot_a, **coding, "on-board charger": self.onboard_a}

    def highest_a(self) -> Decimal | None:
        """Return the most that could flow if lead and car were set as high as they go; None if nothing bounds it."""
        pilot = None if self.pilot_a is None else max((self.pilot_a, *self.lead_settings_a))
        onboard = None if self.onboard_a is None else max((self.onboard_a, *self.car_settings_a))
        return _least([pilot, self.cable_a if self.has_cable_coding else None, onboard])


@dataclass(frozen=True)
class DrawnCurrent:
    """The current drawn on each phase [A].

    ``drawn_a`` is None where a part is not known; ``at_most_a`` is the least of what is known and bounds it.
    ``bound_by`` names the part that binds, the first of equals.
    """

    drawn_a: Decimal | None
    at_most_a: Decimal | None
    bound_by: str
    phases: int
    working: Working

    @property
    def power_w(self) -> Decimal | None:
        """Return the power at the declared voltage [W]; None where the current is not known."""
        return None if self.drawn_a is None else self.drawn_a * DECLARED_V * self.phases


@dataclass(frozen=True)
class LeadVerdict:
    """What may be done with this lead here.

    ``set_to_a`` and ``set_on`` ("lead" or "car") go with "use with limits", which holds only once a photo has
    confirmed the setting. ``may_carry_a`` is the least that outlet, cable and circuit may carry for hours.
    """

    use: LeadUse
    drawn: DrawnCurrent
    may_carry_a: Decimal | None
    governed_by: str
    working: Working
    set_to_a: Decimal | None = None
    set_on: str = ""
    is_confirmed: bool = False
    missing: tuple[str, ...] = ()

    @property
    def allows_current(self) -> bool:
        """Tell whether the current may flow now: within, or limited and the setting confirmed."""
        return self.use is LeadUse.WITHIN or (self.use is LeadUse.USE_WITH_LIMITS and self.is_confirmed)


def drawn_current(feed: CarFeed) -> DrawnCurrent:
    """Return the current that the car draws on each phase, and which part binds."""
    parts = feed.parts()
    known = {name: value for name, value in parts.items() if value is not None}
    bound_by = min(known, key=lambda name: known[name]) if known else ""
    at_most = known[bound_by] if known else None
    drawn = at_most if len(known) == len(parts) else None
    phases = min(feed.outlet_phases, feed.onboard_phases)
    result = f"{with_unit(at_most, 'A')} on {phases} phase(s)" + (f", set by: {bound_by}" if known else "")
    step = DRAWN_CURRENT.step(
        "Current that the car draws",
        {name: with_unit(value, "A") for name, value in parts.items()},
        "the least of the parts; a part that is not known leaves an upper bound",
        result if drawn is not None or not known else f"at most {result}",
    )
    return DrawnCurrent(drawn, at_most, bound_by, phases, Working((step,)))


def lead_verdict(
    feed: CarFeed, may_carry: Sequence[tuple[str, Decimal | None]], *, photo_shows_a: Decimal | None = None
) -> LeadVerdict:
    """Return whether the car may be fed through this lead here.

    Parameters
    ----------
    feed : CarFeed
        What sets the current.
    may_carry : sequence of (name, current)
        Outlet, cable, circuit and their like, and what each may carry for hours [A per phase]; None is not known.
    photo_shows_a : Decimal, optional
        The setting that a photo shows [A].

    Notes
    -----
    1. If what is drawn exceeds what is known to be carried: do not use with this lead, unless the whole way is
       known and the lead, else the car, can be set within it: use with limits, set to the highest such setting.
       Where the drawn current is not known either, "not known" stands for "do not use".
    2. Else, if a part of the way is not known: not known.
    3. Else, if lead and car could be set above it: use with limits, so that the limit outlives the present
       setting. Else within.
    """
    _check_currents({f"may_carry.{position}": value for position, (_, value) in enumerate(may_carry)})
    drawn = drawn_current(feed)
    known = {name: value for name, value in may_carry if value is not None}
    governed_by = min(known, key=lambda name: known[name]) if known else ""
    carry = known[governed_by] if known else None
    missing = tuple(name for name, value in may_carry if value is None)
    use, set_to, set_on = _decide(feed, drawn, carry, has_gaps=bool(missing) or not may_carry)
    is_confirmed = set_to is not None and photo_shows_a is not None and LEAST_A <= photo_shows_a <= set_to
    steps = [_carry_step(may_carry, carry, governed_by, drawn, use)]
    if set_to is not None:
        steps.append(_setting_step(feed, set_to, set_on, photo_shows_a, is_confirmed=is_confirmed))
    working = drawn.working.plus(*steps)
    return LeadVerdict(use, drawn, carry, governed_by, working, set_to, set_on, is_confirmed, missing)


def _decide(
    feed: CarFeed, drawn: DrawnCurrent, carry: Decimal | None, *, has_gaps: bool
) -> tuple[LeadUse, Decimal | None, str]:
    if carry is None:
        return LeadUse.NOT_KNOWN, None, ""
    set_to, set_on = _setting_within(feed, carry)
    if drawn.at_most_a is None or drawn.at_most_a > carry:
        if set_to is not None and not has_gaps:
            return LeadUse.USE_WITH_LIMITS, set_to, set_on
        return (LeadUse.NOT_KNOWN if drawn.drawn_a is None else LeadUse.DO_NOT_USE), None, ""
    if has_gaps:
        return LeadUse.NOT_KNOWN, None, ""
    highest = feed.highest_a()
    if highest is None or highest <= carry:
        return LeadUse.WITHIN, None, ""
    if set_to is None:
        set_to, set_on = drawn.at_most_a, "lead" if feed.lead_settings_a else "car"
    return LeadUse.USE_WITH_LIMITS, set_to, set_on


def _setting_within(feed: CarFeed, carry: Decimal) -> tuple[Decimal | None, str]:
    # the lead first: its setting stays with the outlet, whichever car comes
    for where, settings in (("lead", feed.lead_settings_a), ("car", feed.car_settings_a)):
        within = [value for value in settings if LEAST_A <= value <= carry]
        if within:
            return max(within), where
    return None, ""


def _carry_step(
    may_carry: Sequence[tuple[str, Decimal | None]],
    carry: Decimal | None,
    governed_by: str,
    drawn: DrawnCurrent,
    use: LeadUse,
) -> Step:
    inputs = {name: with_unit(value, "A") for name, value in may_carry}
    return DRAWN_CURRENT.step(
        "Current that may be carried for hours",
        {**inputs, "drawn": with_unit(drawn.at_most_a, "A")},
        "the least that outlet, cable and circuit may carry; the drawn current must not exceed it",
        f"{with_unit(carry, 'A')}" + (f", set by: {governed_by}" if governed_by else "") + f"; {_words(use)}",
    )


def _setting_step(
    feed: CarFeed, set_to: Decimal, set_on: str, photo_shows_a: Decimal | None, *, is_confirmed: bool
) -> Step:
    settings = feed.lead_settings_a if set_on == "lead" else feed.car_settings_a
    shown = ", ".join(plain(value) for value in sorted(settings)) or "not stated"
    return LEAD_SETTING.step(
        f"Setting of the {set_on}",
        {"settings": f"{shown} A", "photo shows": with_unit(photo_shows_a, "A")},
        "the highest setting within what may be carried; it holds once a photo shows it",
        f"set to {plain(set_to)} A" + ("" if is_confirmed else "; not confirmed by a photo"),
    )


def _words(use: LeadUse) -> str:
    return "do not use with this lead" if use is LeadUse.DO_NOT_USE else use.value.replace("_", " ")


def _least(values: Iterable[Decimal | None]) -> Decimal | None:
    return min((value for value in values if value is not None), default=None)


def _check_currents(values: dict[str, Decimal | None]) -> None:
    faults: list[Fault] = []
    for name, value in values.items():
        try:
            if value is not None:
                positive(name, value, CURRENT_MAX_A, "A")
        except Rejected as error:
            faults.extend(error.faults)
    refuse(faults)
