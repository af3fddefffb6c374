"""What is due for a member's trips of a month: pure, so that the same inputs always give the same claim."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Any

from service.common.working import Step
from service.figures.domain.book import Figure, FigureBook, FigureNotKnown
from service.reimbursement.domain.actual_cost import CarMonth, actual_cost_faults, actual_cost_lines, blockers_of
from service.reimbursement.domain.advisory import MonthEnergy, advisory_line, blocker_without_shares, shares_of
from service.reimbursement.domain.holdings import Holding, held_on
from service.reimbursement.domain.kinds import CompanyMethod, HeldAs
from service.reimbursement.domain.lines import Blocker, Line, LineKind, Trip, plain, reversal
from service.reimbursement.domain.months import Month, tax_year_from
from service.reimbursement.domain.own_car import YearBefore, own_car_lines
from service.reimbursement.domain.purse import Purse
from service.reimbursement.domain.rules import SchemeRule, rule_of, rule_on
from service.reimbursement.domain.words import CAUTION, EXCESS_NOTE, ROUNDING_RULE, VAT_NOTE

NO_FIGURE = "a figure is not known"


@dataclass(frozen=True)
class MonthBefore:
    """What the month's other claims that count come to before the cap, and what the cap took off them [pence]."""

    uncapped_pence: int = 0
    cap_pence: int = 0


@dataclass(frozen=True)
class ClaimInputs:
    """All that a claim is reckoned from.

    ``years`` says what stands of each tax year before, ``energy`` and ``cars`` what is known of each vehicle's month,
    ``home_percents`` the shares that the member states, ``corrected`` the frozen lines that a correction takes back.
    """

    month: Month
    trips: Sequence[Trip]
    holdings: Sequence[Holding]
    rules: Sequence[SchemeRule]
    book: FigureBook
    years: Mapping[date, YearBefore] = field(default_factory=dict)
    energy: Mapping[str, MonthEnergy] = field(default_factory=dict)
    home_percents: Mapping[str, Decimal] = field(default_factory=dict)
    cars: Mapping[str, CarMonth] = field(default_factory=dict)
    month_before: MonthBefore = MonthBefore()
    corrected: Sequence[Mapping[str, Any]] = ()


@dataclass(frozen=True)
class Reckoning:
    """A claim worked out: its lines as JSON holds them, what stands in the way, and the figures used."""

    month: Month
    lines: tuple[Mapping[str, Any], ...]
    blockers: tuple[Blocker, ...]
    figures: tuple[Figure, ...]
    miles: Decimal
    total_pence: int

    @property
    def is_ready(self) -> bool:
        """Say whether it can be sent: nothing stands in the way and there is something in it."""
        return not self.blockers and bool(self.lines)

    def to_json(self) -> dict[str, Any]:
        """Return it as a claim freezes it."""
        return {
            "month": str(self.month),
            "is_ready": self.is_ready,
            "blockers": [each.to_json() for each in self.blockers],
            "miles": plain(Fraction(self.miles)),
            "total_pence": self.total_pence,
            "lines": [dict(line) for line in self.lines],
            "figures": [_figure_json(figure) for figure in self.figures],
            "vat_note": VAT_NOTE,
            "tax_note": EXCESS_NOTE,
            "rounding_rule": ROUNDING_RULE,
            "caution": CAUTION,
            "working": [self._total_step().to_json()],
        }

    def _total_step(self) -> Step:
        return Step(
            what="total of the claim",
            inputs={"lines": str(len(self.lines)), "miles": plain(Fraction(self.miles))},
            rule="the sum of the lines' whole pence",
            source=ROUNDING_RULE,
            result=f"{self.total_pence} p",
        )


def reckon(inputs: ClaimInputs) -> Reckoning:
    """Return what is due, and what stands in the way of it: a figure or fact that is missing is never guessed."""
    work = _Work(inputs)
    own, company = work.by_holding()
    work.reckon_own(own)
    work.reckon_company(company)
    lines = sorted(work.lines, key=_order)
    corrected = [reversal(line) for line in inputs.corrected]
    frozen = [*corrected, *(line.to_json() for line in lines)]
    frozen += [line.to_json() for line in _cap_lines(inputs, sum(line.pence for line in lines))]
    return Reckoning(
        month=inputs.month,
        lines=tuple(frozen),
        blockers=tuple(sorted(work.blockers, key=_blocker_order)),
        figures=_once(work.figures),
        miles=sum((Decimal(line["miles"]) for line in frozen), Decimal(0)),
        total_pence=sum(line["pence"] for line in frozen),
    )


class _Work:
    """One claim while it is worked out."""

    def __init__(self, inputs: ClaimInputs) -> None:
        self.inputs = inputs
        self.lines: list[Line] = []
        self.blockers: list[Blocker] = []
        self.figures: list[Figure] = []

    def by_holding(self) -> tuple[list[Trip], list[Trip]]:
        """Return the trips in own cars and in company cars; what nobody has said stands in the way."""
        own: list[Trip] = []
        company: list[Trip] = []
        for trip in sorted(self.inputs.trips, key=lambda each: (each.on_date, each.id)):
            held = held_on(self.inputs.holdings, trip.vehicle_id, trip.on_date)
            if rule_on(self.inputs.rules, trip.on_date) is None:
                self._block(trip, "the scheme's rule is not known", "the scheme has not said how it pays on this day")
            elif held is None:
                self._block(
                    trip, "whose car it was is not known",
                    f"say whether {trip.vehicle_label} was an own car or a company car on this day",
                )  # fmt: skip
            else:
                (own if held is HeldAs.OWN_CAR else company).append(trip)
        return own, company

    def reckon_own(self, trips: Sequence[Trip]) -> None:
        """Reckon the trips in own cars, tax year by tax year; a year that is only corrected is looked at too."""
        years: dict[date, list[Trip]] = defaultdict(list)
        for line in self.inputs.corrected:
            if line["tax_year_from_on"]:
                years[date.fromisoformat(line["tax_year_from_on"])] = []
        for trip in trips:
            years[tax_year_from(trip.on_date)].append(trip)
        for from_on, of_year in sorted(years.items()):
            try:
                lines, figures = own_car_lines(
                    of_year,
                    self.inputs.years.get(from_on, YearBefore()),
                    self.inputs.book,
                    year_from_on=from_on,
                    on=max(from_on, self.inputs.month.first_on),
                )
            except FigureNotKnown as missing:
                rule = missing.faults[0].rule
                self.blockers += [Blocker(trip.id, trip.on_date, NO_FIGURE, rule) for trip in of_year]
                if not of_year:
                    self.blockers.append(Blocker(None, None, NO_FIGURE, rule))
                continue
            self.lines += lines
            self.figures += figures

    def reckon_company(self, trips: Sequence[Trip]) -> None:
        """Reckon the trips in company cars by the scheme's method of each day."""
        purse = Purse()
        at_cost: dict[str, list[Trip]] = defaultdict(list)
        for trip in trips:
            rule = rule_on(self.inputs.rules, trip.on_date)
            if rule is not None and rule.company_method == CompanyMethod.ACTUAL_COST:
                at_cost[trip.vehicle_id].append(trip)
            else:
                self._reckon_advisory(trip, purse)
        for vehicle_id, of_car in sorted(at_cost.items()):
            month = self.inputs.cars[vehicle_id]
            faults = actual_cost_faults(of_car, month)
            if faults:
                self.blockers += blockers_of(of_car, faults)
            else:
                self.lines += actual_cost_lines(of_car, month, self.inputs.book, purse)

    def _reckon_advisory(self, trip: Trip, purse: Purse) -> None:
        inputs = self.inputs
        energy = inputs.energy.get(trip.vehicle_id, MonthEnergy())
        shares = shares_of(energy, inputs.home_percents.get(trip.vehicle_id), inputs.month)
        if shares is None:
            self.blockers.append(blocker_without_shares(trip))
            return
        try:
            line, figures = advisory_line(trip, shares, inputs.book, purse)
        except FigureNotKnown as missing:
            self._block(trip, NO_FIGURE, missing.faults[0].rule)
            return
        self.lines.append(line)
        self.figures += figures

    def _block(self, trip: Trip, what: str, rule: str) -> None:
        self.blockers.append(Blocker(trip.id, trip.on_date, what, rule))


def _cap_lines(inputs: ClaimInputs, new_pence: int) -> list[Line]:
    """Return the line that keeps the member's month within the scheme's cap, where it changes anything."""
    rule, before = rule_of(inputs.rules, inputs.month), inputs.month_before
    cap = rule.monthly_cap_pence if rule else None
    due = before.uncapped_pence + new_pence
    over = 0 if cap is None else max(0, due - cap)
    pence = -over - before.cap_pence
    if not pence:
        return []
    step = Step(
        what="cap of the month",
        inputs={
            "due for the month without a cap": f"{due} p",
            "cap": "none" if cap is None else f"{cap} p",
            "taken off by earlier claims of the month": f"{-before.cap_pence} p",
        },
        rule="no more than the scheme's cap is paid for a member's month",
        source="the scheme's own rule",
        result=f"{pence} p",
    )
    text = f"beyond the scheme's cap of {cap} p a month" if pence < 0 else "given back: the month is within the cap"
    return [Line(LineKind.CAP, None, Decimal(0), (), Fraction(pence), pence, text, (step,))]


def _order(line: Line) -> tuple[date, str]:
    return (line.trip.on_date, line.trip.id) if line.trip else (date.max, line.kind.value)


def _blocker_order(blocker: Blocker) -> tuple[date, str, str]:
    return blocker.on_date or date.max, blocker.trip_id or "", blocker.rule


def _once(figures: Iterable[Figure]) -> tuple[Figure, ...]:
    return tuple(sorted(set(figures), key=lambda each: (each.name, each.key, each.from_on)))


def _figure_json(figure: Figure) -> dict[str, Any]:
    return {
        "name": figure.name,
        "key": figure.key,
        "from_on": figure.from_on.isoformat(),
        "value": plain(Fraction(figure.value)),
        "unit": figure.unit,
        "standing": figure.standing,
        "source": figure.source,
    }
