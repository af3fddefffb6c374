"""A second car that is asked about: on working days, at the same outlet, with the lead used there."""

from __future__ import annotations

from decimal import Decimal

import pytest

from service.advice.domain.upgrade_second_car import OneMoreCar
from service.advice.domain.upgrade_works import Target
from service.common.errors import Rejected
from tests.factories.comparable_homes import CAR, LEAD, SOCKET


def test_it_drives_from_monday_to_friday_and_charges_where_the_first_does() -> None:
    second = OneMoreCar(Decimal(40), 480, 1080, 50_000, Decimal("3.5"), 32).at(Target(SOCKET, (CAR,)))
    assert [departure.weekday for departure in second.departures] == [0, 1, 2, 3, 4]
    assert {departure.miles for departure in second.departures} == {Decimal(40)}
    assert (second.details.outlet_id, second.details.lead_id) == (SOCKET.id, LEAD.id)


def test_every_fault_is_named_by_the_question_at_once() -> None:
    with pytest.raises(Rejected) as refused:
        OneMoreCar(Decimal(40), 1080, 480, -1, Decimal("3.5"), 32)
    fields = {fault.field for fault in refused.value.faults}
    assert len(fields) >= 2 and all(field.startswith("second_") for field in fields)
