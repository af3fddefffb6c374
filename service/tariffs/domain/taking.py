"""Who can take a tariff, as the scheme records it: the meter and equipment it asks for, and what it binds a home to."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from service.common.errors import Fault, Rejected
from service.tariffs.domain.terms import MeterNeeded

OTHER_TERMS_LENGTH_MAX = 300
EXIT_FEE_MAX_PENCE = 100_000
"""Own bound: a thousand pounds."""
FIXED_MONTHS_MAX = 120
"""Own bound: ten years."""


@dataclass(frozen=True)
class TakingTerms:
    """Terms of a new contract; ``other_terms`` in words, None where a fee or a time is not known.

    Raises ``Rejected`` naming every field out of range.
    """

    meter_needed: str = MeterNeeded.ANY
    needs_charging_point: bool = False
    other_terms: str = ""
    is_open: bool = True
    exit_fee_pence: int | None = None
    fixed_months: int | None = None

    def __post_init__(self) -> None:
        faults = tuple(self._faults())
        if faults:
            raise Rejected(*faults)

    def _faults(self) -> Iterator[Fault]:
        words = [word.value for word in MeterNeeded]
        if self.meter_needed not in words:
            yield Fault("meter_needed", self.meter_needed, "must be one of: " + ", ".join(words))
        if len(self.other_terms) > OTHER_TERMS_LENGTH_MAX:
            yield Fault("other_terms", self.other_terms, f"must have at most {OTHER_TERMS_LENGTH_MAX} characters")
        if self.exit_fee_pence is not None and not 0 <= self.exit_fee_pence <= EXIT_FEE_MAX_PENCE:
            yield Fault("exit_fee_pence", self.exit_fee_pence, f"must lie between 0 and {EXIT_FEE_MAX_PENCE} pence")
        if self.fixed_months is not None and not 1 <= self.fixed_months <= FIXED_MONTHS_MAX:
            yield Fault("fixed_months", self.fixed_months, f"must lie between 1 and {FIXED_MONTHS_MAX} months")
