"""Bring in a tariff object of OCPI 2.2.1 as a tariff of the scheme with a draft; somebody looks at it and publishes."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime
from typing import Any

from service.common.errors import Rejected
from service.infrastructure.db.sessions import SchemeSession
from service.tariffs.domain.ocpi_bands import as_bands
from service.tariffs.domain.ocpi_tariff import read_ocpi_tariff
from service.tariffs.domain.terms import TariffClock, TariffKind
from service.tariffs.models import Tariff
from service.tariffs.operations.tariffs import create_tariff
from service.tariffs.operations.versions import Draft, create_draft

LABEL = "From an OCPI tariff object"


def import_ocpi(
    session: SchemeSession,
    *,
    name: str,
    valid_from_on: date,
    standing_up_per_day: int,
    tariff: Mapping[str, Any],
    at: datetime,
) -> Tariff:
    """Create a tariff with a draft version from such an object.

    Raises
    ------
    Rejected, TariffNameTaken
        Rejected with every reason, under ``tariff``, where the object is not one or rate bands cannot say it.
    """
    try:
        imported = as_bands(read_ocpi_tariff(tariff), standing_up_per_day=standing_up_per_day)
    except Rejected as error:
        raise Rejected(*(fault.under("tariff") for fault in error.faults)) from error
    row = create_tariff(session, name=name, kind=TariffKind.BANDED, clock=TariffClock.LOCAL, at=at)
    draft = Draft(valid_from_on, LABEL, imported.vat_percent, vat_included=False, sheets=(imported.sheet,))
    create_draft(session, row.id, draft)
    return row
