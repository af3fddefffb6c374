"""What the members of the demo looked at: supervised first charges and checks, all of them clear."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime, timedelta
from typing import Any

from service.cli.seed.files import Node, stable_id
from service.cli.seed.home_parts import HomeRows, found
from service.safety import models
from service.safety.domain.cold_check import QUESTIONS
from service.safety.domain.supervised_charge import FIRST_AFTER, LATER_AFTER

CLEAR_ANSWERS = [[question.name, question.answers[0].name] for question in QUESTIONS]


def look_rows(root: Node, rows: HomeRows) -> Iterator[Any]:
    """Yield the rows of a home's supervised charges and checks; raises ``SeedError``."""
    for node in root.items("supervised_charges"):
        node.object("outlet", "lead", "started_at", "current_a")
        started_at = _past(node, "started_at", rows)
        first, later = started_at + FIRST_AFTER, started_at + LATER_AFTER
        yield models.SupervisedCharge(
            **_of(node, rows, "supervised"),
            started_at=started_at,
            current_a=node.whole("current_a"),
            first_felt_at=first,
            first_answer="cool",
            later_felt_at=later,
            later_answer="noticeable",
            ended_at=later,
            is_clear=True,
        )
    for node in root.items("checks"):
        node.object("outlet", "lead", "made_at")
        yield models.Check(
            **_of(node, rows, "check"), made_at=_past(node, "made_at", rows), answers=CLEAR_ANSWERS, is_clear=True
        )


def _of(node: Node, rows: HomeRows, kind: str) -> dict[str, Any]:
    outlet, lead = found(rows.outlets, node, "outlet"), found(rows.leads, node, "lead")
    if outlet is None:
        raise node.at("outlet").fault("must be the label of an outlet of this home")
    return {
        "id": stable_id(kind, rows.household_id, node.path),
        "household_id": rows.household_id,
        "outlet_id": outlet.id,
        "lead_id": lead.id if lead else None,
    }


def _past(node: Node, name: str, rows: HomeRows) -> datetime:
    at = node.instant(name, rows.moment, rows.zone)
    if at + timedelta(hours=12) > rows.moment.now:
        raise node.at(name).fault("must lie half a day or more before the loading")
    return at
