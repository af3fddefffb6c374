"""Who can take a tariff is checked as it is put together, every fault at once."""

import pytest

from service.common.errors import Rejected
from service.tariffs.domain.taking import TakingTerms


def test_nothing_said_lets_anybody_take_it() -> None:
    terms = TakingTerms()
    assert (terms.meter_needed, terms.is_open, terms.exit_fee_pence) == ("any", True, None)


def test_every_fault_is_named() -> None:
    with pytest.raises(Rejected) as refused:
        TakingTerms("steam", other_terms="x" * 301, exit_fee_pence=-1, fixed_months=0)
    fields = [fault.field for fault in refused.value.faults]
    assert fields == ["meter_needed", "other_terms", "exit_fee_pence", "fixed_months"]
