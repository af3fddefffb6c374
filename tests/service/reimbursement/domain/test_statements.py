"""A statement: the same claims give the same bytes, in any order, and no place of a trip is in it."""

import random
from dataclasses import replace
from datetime import date

from service.reimbursement.domain.reckoning import reckon
from service.reimbursement.domain.statements import StatedClaim, canonical, digest_of, statement_document
from tests.factories.claims import claim, trip


def stated(place: int, **changes: object) -> StatedClaim:
    reckoning = reckon(claim("2026-06", [trip(date(2026, 6, place % 28 + 1), f"{place + 1}.3")])).to_json()
    one = StatedClaim(
        claim_id=f"{place:032x}", account_id=f"{place // 2:032x}", name=f"Person {place // 2}",
        reference=f"H-{place // 2:02d}", month="2026-06", ordinal=place % 2 + 1, corrects_id=None,
        sent_on=date(2026, 7, 1), approved_on=date(2026, 7, 2), approved_by="Somebody", reckoning=reckoning,
    )  # fmt: skip
    return replace(one, **changes)  # type: ignore[arg-type]


def test_any_order_of_claims_gives_the_same_bytes() -> None:
    claims = [stated(place) for place in range(12)]
    first = canonical(statement_document("2026-06", 1, claims))
    for seed in range(5):
        random.Random(seed).shuffle(claims)
        assert canonical(statement_document("2026-06", 1, claims)) == first


def test_totals_are_the_sums_of_people_claims_and_lines() -> None:
    document = statement_document("2026-06", 1, [stated(place) for place in range(12)])
    claims = [each for person in document["people"] for each in person["claims"]]
    lines = [line for each in claims for line in each["lines"]]
    total = sum(line["pence"] for line in lines)
    assert total == sum(each["total_pence"] for each in claims)
    assert total == sum(person["total_pence"] for person in document["people"])
    assert document["totals"] == {"claim_count": 12, "line_count": 12, "miles": "81.6", "total_pence": total}
    assert len(document["people"]) == 6


def test_where_people_drove_is_not_in_it() -> None:
    text = canonical(statement_document("2026-06", 1, [stated(0)])).decode()
    assert "survey of a site" in text
    assert "Depot" not in text
    assert "origin" not in text


def test_another_content_has_another_digest() -> None:
    first, second = (statement_document("2026-06", 1, [stated(place)]) for place in (0, 2))
    assert digest_of(first) != digest_of(second)
    assert len(digest_of(first)) == 64
