"""What frozen claims say: how far the tax year and the month have come, and what may be shown to whom."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from datetime import date
from decimal import Decimal
from fractions import Fraction
from typing import Any

from service.figures.domain.book import FigureBook
from service.reimbursement.domain.lines import OWN_CAR, LineKind, plain
from service.reimbursement.domain.own_car import YearBefore
from service.reimbursement.domain.reckoning import MonthBefore

HIDDEN_FROM_REVIEWERS = ("origin", "destination")


def own_lines(reckoning: Mapping[str, Any]) -> list[Mapping[str, Any]]:
    """Return a claim's lines without those that take back an earlier claim's: what a correction of it reverses."""
    return [line for line in reckoning["lines"] if line["kind"] != LineKind.REVERSAL.value]


def year_before(reckonings: Iterable[Mapping[str, Any]], from_on: date, elsewhere: Decimal) -> YearBefore:
    """Return what stands of a tax year in own cars, from the frozen claims that count."""
    claimed = first = Decimal(0)
    exact, pence = Fraction(0), 0
    for reckoning in reckonings:
        for line in own_lines(reckoning):
            if line["kind"] not in OWN_CAR or line["tax_year_from_on"] != from_on.isoformat():
                continue
            claimed += Decimal(line["miles"])
            first += sum((Decimal(part["miles"]) for part in line["parts"] if part["is_first"]), Decimal(0))
            exact += Fraction(line["pence_exact"])
            pence += line["pence"]
    return YearBefore(elsewhere, claimed, first, exact, pence)


def miles_by_car(reckonings: Iterable[Mapping[str, Any]]) -> dict[str, Decimal]:
    """Return vehicle id -> the miles of its trips in frozen claims."""
    found: dict[str, Decimal] = {}
    for line in (line for reckoning in reckonings for line in own_lines(reckoning)):
        if line["vehicle_id"]:
            found[line["vehicle_id"]] = found.get(line["vehicle_id"], Decimal(0)) + Decimal(line["miles"])
    return found


def month_before(reckonings: Iterable[Mapping[str, Any]]) -> MonthBefore:
    """Return what the frozen claims of a month come to before the cap, and what the cap took off."""
    lines = [line for reckoning in reckonings for line in own_lines(reckoning)]
    cap = sum(line["pence"] for line in lines if line["kind"] == LineKind.CAP.value)
    return MonthBefore(sum(line["pence"] for line in lines) - cap, cap)


def for_reviewers(reckoning: Mapping[str, Any]) -> dict[str, Any]:
    """Return a reckoning without where trips began and ended: whoever pays sees day, miles, reason and money."""
    return {**reckoning, "lines": [without_places(line) for line in reckoning["lines"]]}


def without_places(line: Mapping[str, Any]) -> dict[str, Any]:
    """Return a line without the places of its trip."""
    return {name: value for name, value in line.items() if name not in HIDDEN_FROM_REVIEWERS}


def changed_figures(frozen: Mapping[str, Any], book: FigureBook) -> list[str]:
    """Return, in words, which figures a claim was frozen with are given otherwise in a book for its trips' days."""
    days = sorted({date.fromisoformat(line["on_date"]) for line in own_lines(frozen) if line["on_date"]})
    found: dict[str, None] = {}
    for name, key in sorted({(each["name"], each["key"]) for each in frozen["figures"]}):
        used = [each for each in frozen["figures"] if (each["name"], each["key"]) == (name, key)]
        for day in days:
            then = [each for each in used if date.fromisoformat(each["from_on"]) <= day]
            now = book.find(name, day, key)
            if not then:
                continue
            was = max(then, key=lambda each: str(each["from_on"]))["value"]
            if now is None or Decimal(was) != now.value:
                words = "not known" if now is None else plain(Fraction(now.value))
                found[f"{name.replace('_', ' ')}: {was}, now {words}"] = None
    return list(found)


def difference_note(frozen: Mapping[str, Any], changed: Sequence[str], today_pence: int | None) -> str | None:
    """Return in words that a claim would come out otherwise with today's figures, or None where they are the same."""
    if not changed:
        return None
    would = "could not be worked out" if today_pence is None else f"would come to {today_pence} p"
    return (
        f"Figures were recorded otherwise since it was sent ({'; '.join(changed)}). With them this claim {would} "
        f"instead of {frozen['total_pence']} p. It stands as it was sent; a difference is put right by a correction."
    )
