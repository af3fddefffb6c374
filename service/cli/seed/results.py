"""An electrician's result in a home's file: what he recorded, and whether it was accepted; without it, a claim."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, date, datetime, time
from typing import Any

from service.cli.seed.files import Moment, Node, SeedError
from service.safety import models
from service.safety.domain.evidence import AcceptanceGround, InspectionSource
from service.safety.domain.inspection_answers import InspectionAnswers

ANSWERS_FILE = "answers.json"
FIELDS = ("certificate_kind", "answers", "limit_a", "limit_reason", "limitation", "is_partial", "accepted_on")
Templates = Mapping[str, Mapping[str, Any]]


def result_fields(node: Node, templates: Templates) -> dict[str, Any]:
    """Return what the electrician recorded, as ``InspectionDetails`` takes it; raises ``SeedError``."""
    node.object("certificate_kind", optional=FIELDS)
    return {
        "certificate_kind": node.text("certificate_kind"),
        "was_tested": "yes",
        "knew_use": "yes",
        "answers": node.or_none(lambda name: _answers(node.at(name), templates), "answers"),
        "limit_a": node.or_none(node.whole, "limit_a"),
        "limit_reason": node.or_none(node.text, "limit_reason") or "",
        "limitation": node.or_none(node.text, "limitation") or "",
        "is_partial": bool(node.or_none(node.flag, "is_partial")),
    }


def _answers(node: Node, templates: Templates) -> InspectionAnswers:
    """Return the answers that are like those of a template but for what the file names."""
    like = node.text("like")
    if like not in templates:
        raise node.at("like").fault(f"must be one of {', '.join(templates)}")
    changes = {name: value for name, value in node.value.items() if name != "like"}
    with node.checked():
        return InspectionAnswers.from_json({**templates[like], **changes})


def came_in(row: models.Inspection, node: Node, moment: Moment) -> None:
    """Let a row say that it came by an electrician's link, and when it was accepted; raises ``SeedError``."""
    row.source = InspectionSource.LINK.value
    row.received_by = "the demo's post box (invented)"
    accepted_on = row.inspected_on if "accepted_on" not in node.value else _day(node, moment)
    if accepted_on is not None:
        if not row.inspected_on <= accepted_on <= moment.today:
            raise node.at("accepted_on").fault("must lie between the inspection and today")
        row.accepted_at = datetime.combine(accepted_on, time(), tzinfo=UTC)
        row.acceptance_ground = AcceptanceGround.LISTED.value


def _day(node: Node, moment: Moment) -> date | None:
    return node.or_none(lambda name: node.day(name, moment), "accepted_on")


def read_templates(root: Node) -> Templates:
    """Return the answers that homes' files start from; raises ``SeedError``."""
    if not isinstance(root.value, dict) or not all(isinstance(value, dict) for value in root.value.values()):
        raise SeedError(f"{root.file}: must hold an object of answers by name")
    for name, value in root.value.items():
        with root.at(name).checked():
            InspectionAnswers.from_json(value)
    return root.value
