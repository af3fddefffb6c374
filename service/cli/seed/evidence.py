"""Evidence of the demo: recorded inspections with their findings, and what falls due again.

The recheck that an inspection sets follows the same rule as one recorded by hand: the newest
inspection of an outlet sets its one open date, and completes what the one before it set.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from datetime import UTC, date, datetime, time

from service.cli.seed.certificates import Certificate, certificate
from service.cli.seed.files import Moment, Node, stable_id
from service.cli.seed.results import Templates, came_in, result_fields
from service.households.models import Outlet
from service.safety import models
from service.safety.domain.clearance import Clearance
from service.safety.domain.evidence import RecheckItem
from service.safety.domain.inspection_details import (
    InspectionDetails,
    ObservationDetails,
    check_done_on,
    check_not_ahead,
)
from service.safety.operations.rechecks import INSPECTION_RULE

_COLUMNS = (
    "outlet_id", "inspected_on", "next_due_on", "certificate_number", "electrician", "certificate_kind", "was_tested",
    "knew_use", "limitation", "limit_a", "limit_reason", "is_partial",
)  # fmt: skip


@dataclass
class EvidenceRows:
    """The evidence of one home: inspections and rechecks refer to its things, findings to inspections."""

    status: models.ClearanceStatus
    inspections: list[models.Inspection] = field(default_factory=list)
    observations: list[models.Observation] = field(default_factory=list)
    certificates: list[Certificate] = field(default_factory=list)
    rechecks: list[models.Recheck] = field(default_factory=list)


def evidence_rows(
    root: Node,
    household_id: str,
    outlets: dict[str, Outlet],
    items: dict[tuple[str, str], str],
    moment: Moment,
    templates: Templates,
) -> EvidenceRows:
    """Return the evidence in a home's file; raises ``SeedError``.

    ``items`` gives the id of a thing by kind and label, ``templates`` the answers that results start from. The
    standing is a blank to be derived once all is stored.
    """
    standing_id = stable_id("standing", household_id)
    rows = EvidenceRows(
        models.ClearanceStatus(
            id=standing_id, household_id=household_id, clearance=Clearance.NOT_KNOWN.value, derived_at=moment.now
        )
    )
    for node in root.items("inspections"):
        _add_inspection(rows, node, household_id, root.text("reference"), outlets, moment, templates)
    rows.rechecks.extend(_set_by_inspections(rows.inspections))
    for node in root.items("rechecks"):
        rows.rechecks.append(_recheck(node, household_id, items, moment))
    return rows


def _add_inspection(
    rows: EvidenceRows,
    node: Node,
    household_id: str,
    reference: str,
    outlets: dict[str, Outlet],
    moment: Moment,
    templates: Templates,
) -> None:
    names = ("outlet", "inspected_on", "next_due_on", "certificate_number", "electrician", "observations")
    node.object(*names, optional=("result",))
    has_result = node.at("result").value is not None
    findings = [_observation(finding, moment) for finding in node.items("observations")]
    outlet = outlets.get(node.text("outlet"))
    if outlet is None:
        raise node.at("outlet").fault("must be the label of an outlet of this home")
    with node.checked():
        details = InspectionDetails(
            outlet.id,
            node.day("inspected_on", moment),
            node.day("next_due_on", moment),
            node.text("certificate_number"),
            node.text("electrician"),
            tuple(findings),
            **(result_fields(node.at("result"), templates) if has_result else {}),
        )
        check_not_ahead(details, on=moment.today)
    inspection_id = stable_id("inspection", household_id, details.certificate_number)
    row = models.Inspection(
        id=inspection_id,
        household_id=household_id,
        # At the day's first instant, so that it is never recorded after the demo was loaded.
        recorded_at=datetime.combine(details.inspected_on, time(), tzinfo=UTC),
        answers=details.answers.to_json() if details.answers else {},
        **{name: getattr(details, name) for name in _COLUMNS},
    )
    rows.inspections.append(row)
    if has_result:
        came_in(row, node.at("result"), moment)
        document = certificate(household_id, reference, details)
        rows.certificates.append(document)
        row.file_id = document.row.id
    for position, finding in enumerate(findings):
        rows.observations.append(
            models.Observation(
                id=stable_id("observation", inspection_id, str(position)),
                inspection_id=inspection_id,
                position=position,
                code=finding.code,
                note=finding.note,
                closed_on=finding.closed_on,
            )
        )


def _observation(node: Node, moment: Moment) -> ObservationDetails:
    node.object("code", "note", "closed_on")
    closed_on = node.or_none(lambda name: node.day(name, moment), "closed_on")
    with node.checked():
        return ObservationDetails(node.text("code"), node.text("note"), closed_on)


def _set_by_inspections(inspections: Iterable[models.Inspection]) -> Iterator[models.Recheck]:
    """Yield the recheck of each inspection; a later one of the same outlet completed it."""
    next_on: dict[str, date] = {}
    for inspection in sorted(inspections, key=lambda each: each.inspected_on, reverse=True):
        yield models.Recheck(
            id=stable_id("recheck", inspection.id),
            household_id=inspection.household_id,
            item_kind=RecheckItem.OUTLET.value,
            item_id=inspection.outlet_id,
            due_on=inspection.next_due_on,
            rule=INSPECTION_RULE,
            done_on=next_on.get(inspection.outlet_id),
        )
        next_on[inspection.outlet_id] = inspection.inspected_on


def _recheck(node: Node, household_id: str, items: dict[tuple[str, str], str], moment: Moment) -> models.Recheck:
    node.object("item_kind", "item", "due_on", "rule", "done_on")
    kind = node.word("item_kind", RecheckItem)
    item_id = items.get((kind.value, node.text("item")))
    if item_id is None:
        raise node.at("item").fault(f"must be the label of a {kind.value} of this home")
    due_on = node.day("due_on", moment)
    done_on = node.or_none(lambda name: node.day(name, moment), "done_on")
    if done_on is not None:
        with node.checked():
            check_done_on(done_on, on=moment.today)
    return models.Recheck(
        id=stable_id("recheck", household_id, kind.value, item_id, node.text("due_on")),
        household_id=household_id,
        item_kind=kind.value,
        item_id=item_id,
        due_on=due_on,
        rule=node.name("rule"),
        done_on=done_on,
    )
