"""All records of one home that its clearances are derived from."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from datetime import datetime

from service.safety.domain.circuit_limit import RunInputs
from service.safety.domain.evidence import CheckRecord, InspectionRecord, LeadTestRecord
from service.safety.domain.extension_use import ExtensionRecord
from service.safety.domain.intervals import SchemeInterval
from service.safety.domain.overrides import OverrideRecord
from service.safety.domain.sign_reports import SignReport
from service.safety.domain.supervised_charge import SupervisedRecord


@dataclass(frozen=True)
class Evidence:
    """Records in the order they were made; ``runs`` holds the runs of each circuit by its id."""

    inspections: tuple[InspectionRecord, ...] = ()
    signs: tuple[SignReport, ...] = ()
    tests: tuple[LeadTestRecord, ...] = ()
    checks: tuple[CheckRecord, ...] = ()
    supervised: tuple[SupervisedRecord, ...] = ()
    overrides: tuple[OverrideRecord, ...] = ()
    runs: Mapping[str, tuple[RunInputs, ...]] = field(default_factory=dict)
    scheme_rules: tuple[SchemeInterval, ...] = ()
    extensions: tuple[ExtensionRecord, ...] = ()

    def known_at(self) -> Iterator[datetime]:
        """Yield each instant at which something of it came to be known."""
        for record in self.inspections:
            closings = (finding.closed_at for finding in record.observations)
            yield from _given(
                record.recorded_at, record.accepted_at, record.refused_at, record.superseded_at, *closings
            )
        for report in self.signs:
            yield from _given(report.reported_at, report.withdrawn_at)
        for test in self.tests:
            yield max(test.done_at, test.recorded_at)
        for check in self.checks:
            yield check.made_at
        for charge in self.supervised:
            yield from _given(charge.ended_at)
        for override in self.overrides:
            yield from _given(override.made_at, override.ended_at)
        for extension in self.extensions:
            yield from _given(extension.recorded_at, extension.ended_at)


def _given(*instants: datetime | None) -> Iterator[datetime]:
    yield from (instant for instant in instants if instant is not None)
