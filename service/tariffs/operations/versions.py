"""A version's life: drafted, edited, thrown away or published; once published it never changes."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal

from sqlalchemy import select
from sqlalchemy.orm.attributes import flag_modified

from service.accounts.operations import audit
from service.common.errors import Conflict, Fault, NotFound, Rejected
from service.infrastructure.db.sessions import SchemeSession
from service.infrastructure.outbox import announce
from service.tariffs.domain.events import TariffChanged
from service.tariffs.domain.rate_bands import RateSheet, check_sheets
from service.tariffs.domain.terms import TariffKind, Version
from service.tariffs.models import Tariff, TariffVersion
from service.tariffs.operations.sheets import load_sheets, store_sheets
from service.tariffs.operations.tariffs import tariff_row

LABEL_LENGTH_MAX = 80
LINE_LENGTH_MAX = 160


class VersionFrozen(Conflict):
    """A published version is what plans were made from, so it never changes."""

    title = "A published version does not change"


class VersionStartTaken(Conflict):
    """Two published versions cannot start on one day: nobody could say which one holds."""

    title = "Another published version starts on this day"


@dataclass(frozen=True)
class Draft:
    """What a person types in for a version."""

    valid_from_on: date
    label: str
    vat_percent: Decimal
    vat_included: bool
    sheets: tuple[RateSheet, ...]


@dataclass(frozen=True)
class VersionView:
    """A version in full; ``version`` counts its edits and is its ETag."""

    id: str
    tariff_id: str
    valid_from_on: date
    label: str
    published_at: datetime | None
    vat_percent: Decimal
    vat_included: bool
    sheets: tuple[RateSheet, ...]
    version: int


def create_draft(session: SchemeSession, tariff_id: str, draft: Draft) -> VersionView:
    """Add a draft version to a tariff; it prices nothing until it is published.

    Raises
    ------
    NotFound, Rejected
        If there is no such tariff; if the draft breaks a rule, with every fault named.
    """
    _check_draft(tariff_row(session, tariff_id), draft)
    row = TariffVersion(tariff_id=tariff_id)
    _fill(row, draft)
    session.add(row)
    session.flush()
    store_sheets(session, row.id, draft.sheets)
    return _view(row, draft.sheets)


def edit_draft(session: SchemeSession, tariff_id: str, version_id: str, draft: Draft) -> VersionView:
    """Replace everything a draft says.

    Raises
    ------
    NotFound, VersionFrozen, Rejected
        If there is no such version; if it is published; if the draft breaks a rule.
    """
    row = _draft_row(session, tariff_id, version_id)
    _check_draft(tariff_row(session, tariff_id), draft)
    _fill(row, draft)
    # Sheets are rows of their own: mark the version as touched, so that its ETag moves with them.
    flag_modified(row, "label")
    session.flush()
    store_sheets(session, row.id, draft.sheets)
    return _view(row, draft.sheets)


def delete_draft(session: SchemeSession, tariff_id: str, version_id: str) -> None:
    """Throw a draft away.

    Raises
    ------
    NotFound, VersionFrozen
        If there is no such version; if it is published.
    """
    row = _draft_row(session, tariff_id, version_id)
    session.delete(row)  # the foreign keys take sheets and bands along
    session.flush()


def get_version(session: SchemeSession, tariff_id: str, version_id: str) -> VersionView:
    """Return a version in full.

    Raises
    ------
    NotFound
        If the tariff has no such version.
    """
    row = _version_row(session, tariff_id, version_id)
    return _view(row, load_sheets(session, [row.id])[row.id])


def find_version(session: SchemeSession, version_id: str) -> TariffVersion | None:
    """Return the stored version of this id, of whichever tariff, or None."""
    return session.scalar(select(TariffVersion).where(TariffVersion.id == version_id))


def get_version_label(session: SchemeSession, version_id: str) -> str:
    """Return the version in a line of words: its tariff's name and its own label, cut to ``LINE_LENGTH_MAX``.

    Raises
    ------
    NotFound
        If the scheme has no such version.
    """
    row = session.execute(
        select(Tariff.name, TariffVersion.label)
        .join(TariffVersion, TariffVersion.tariff_id == Tariff.id)
        .where(TariffVersion.id == version_id)
    ).first()
    if row is None:
        raise NotFound("No such version.")
    return f"{row.name}: {row.label}"[:LINE_LENGTH_MAX]


def publish_version(
    session: SchemeSession, tariff_id: str, version_id: str, *, by: str | None, at: datetime
) -> TariffVersion:
    """Publish a draft and announce ``TariffChanged``; of a published version, only return it.

    Parameters
    ----------
    by : str or None
        Account that publishes, kept with the version; None where no person did.

    Raises
    ------
    NotFound, VersionStartTaken
        If there is no such version; if another published one starts on the same day.
    """
    tariff_row(session, tariff_id, lock=True)  # one publication at a time, or two could take one day
    row = _version_row(session, tariff_id, version_id)
    if row.published_at is not None:
        return row
    _check_start_is_free(session, row)
    row.published_at, row.published_by = at, by
    session.flush()
    announce(session, TariffChanged(tariff_id, version_id), at=at)
    audit(
        session,
        account_id=by,
        action="publish_version",
        subject_kind="tariff_version",
        subject_id=version_id,
        at=at,
        fields=("published_at",),
    )
    return row


def _check_start_is_free(session: SchemeSession, row: TariffVersion) -> None:
    label = session.scalar(
        select(TariffVersion.label).where(
            TariffVersion.tariff_id == row.tariff_id,
            TariffVersion.valid_from_on == row.valid_from_on,
            TariffVersion.published_at.is_not(None),
        )
    )
    if label is not None:
        raise VersionStartTaken(
            f"The published version {label} already starts on {row.valid_from_on.isoformat()}. "
            "Give this draft another start, then publish it."
        )


def _check_draft(tariff: Tariff, draft: Draft) -> None:
    """Refuse a draft with every fault that it has."""
    faults: list[Fault] = []
    if not 0 < len(draft.label.strip()) <= LABEL_LENGTH_MAX:
        faults.append(Fault("label", draft.label, f"must have 1 to {LABEL_LENGTH_MAX} characters"))
    try:
        Version(draft.valid_from_on, draft.sheets, draft.vat_included, draft.vat_percent)
    except Rejected as rejected:
        faults.extend(rejected.faults)
    try:
        check_sheets(draft.sheets, has_bands=tariff.kind == TariffKind.BANDED.value)
    except Rejected as rejected:
        faults.extend(rejected.faults)
    if faults:
        raise Rejected(*faults)


def _fill(row: TariffVersion, draft: Draft) -> None:
    row.valid_from_on, row.label = draft.valid_from_on, draft.label.strip()
    row.vat_percent, row.vat_included = draft.vat_percent, draft.vat_included


def _version_row(session: SchemeSession, tariff_id: str, version_id: str) -> TariffVersion:
    # populate_existing: a publisher that waited for another's lock must see what the other wrote.
    row = session.scalar(
        select(TariffVersion)
        .where(TariffVersion.id == version_id, TariffVersion.tariff_id == tariff_id)
        .execution_options(populate_existing=True)
    )
    if row is None:
        raise NotFound("No such version of this tariff.")
    return row


def _draft_row(session: SchemeSession, tariff_id: str, version_id: str) -> TariffVersion:
    row = _version_row(session, tariff_id, version_id)
    if row.published_at is not None:
        raise VersionFrozen(
            f"{row.label} was published on {row.published_at.date().isoformat()}. Add a new version instead."
        )
    return row


def _view(row: TariffVersion, sheets: tuple[RateSheet, ...]) -> VersionView:
    return VersionView(
        id=row.id,
        tariff_id=row.tariff_id,
        valid_from_on=row.valid_from_on,
        label=row.label,
        published_at=row.published_at,
        vat_percent=row.vat_percent,
        vat_included=row.vat_included,
        sheets=sheets,
        version=row.version,
    )
