"""Homes of the demo: one file each, from the supply to the cars' weeks, contracts and inspections.

Every value passes the domain constructor that checks what people type in; rows are then filled
from that value, with ids that follow from the home's reference and the thing's label.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict
from typing import Any
from zoneinfo import ZoneInfo

from service.accounts.models import Membership, Role
from service.cli.seed.cars import add_car
from service.cli.seed.contracts import add_contracts
from service.cli.seed.evidence import evidence_rows
from service.cli.seed.files import Moment, Node, stable_id
from service.cli.seed.habits import habit_values
from service.cli.seed.home_parts import HomeRows, claim, found
from service.cli.seed.looks import look_rows
from service.cli.seed.people import person
from service.cli.seed.results import Templates
from service.households import models
from service.households.domain.equipment import OutletControl
from service.households.domain.equipment_details import CircuitDetails, LeadDetails, OutletDetails, RunDetails
from service.households.domain.home_details import HomeDetails, SupplyDetails
from service.tariffs.domain.terms import Version


def home_rows(
    root: Node, moment: Moment, tariffs: Mapping[str, tuple[Version, ...]], templates: Templates
) -> HomeRows:
    """Return the rows of one home's file; raises ``SeedError``.

    ``tariffs`` are the versions by tariff, ``templates`` the answers that inspections' results start from.
    """
    root.object(
        "reference", "shows", "members", "address", "postcode", "zone", "nation", "region", "payment", "supply",
        "circuits", "outlets", "leads", "cars", "contracts", "inspections", "rechecks",
        optional=("supervised_charges", "checks", "habits"),
    )
    people = [person(node) for node in root.items("members")]
    if not people:
        raise root.at("members").fault("must name at least one person")
    with root.checked():
        texts: dict[str, Any] = {
            name: root.text(name) for name in ("reference", "address", "postcode", "zone", "nation")
        }
        details = HomeDetails(
            member_name=people[0].name,
            region=root.or_none(root.text, "region"),
            payment=root.or_none(root.text, "payment"),
            **texts,
        )
    household_id = stable_id("household", details.reference)
    rows = HomeRows(household_id, details.reference, moment, ZoneInfo(details.zone), people)
    values = {**asdict(details), **habit_values(root)}
    rows.add(0, models.Household(id=household_id, created_at=moment.now, change_counter=1, **values))
    _add_memberships(rows)
    _add_supply(rows, root.at("supply"))
    for add, name in ((_add_circuit, "circuits"), (_add_outlet, "outlets"), (_add_lead, "leads"), (add_car, "cars")):
        for position, node in enumerate(root.items(name)):
            add(rows, node, position)
    add_contracts(rows, root, tariffs)
    _add_evidence(rows, root, templates)
    return rows


def _add_memberships(rows: HomeRows) -> None:
    for each in rows.people:
        rows.add(
            1,
            Membership(
                id=rows.id_of("membership", each.email),
                account_id=each.account_id,
                role=Role.MEMBER.value,
                household_id=rows.household_id,
                since_at=rows.moment.now,
            ),
        )


def _add_evidence(rows: HomeRows, root: Node, templates: Templates) -> None:
    items = {("outlet", label): outlet.id for label, outlet in rows.outlets.items()}
    items |= {("lead", label): lead.id for label, lead in rows.leads.items()}
    items |= {("circuit", label): circuit_id for label, circuit_id in rows.circuits.items()}
    evidence = evidence_rows(root, rows.household_id, rows.outlets, items, rows.moment, templates)
    rows.certificates.extend(evidence.certificates)
    for document in evidence.certificates:
        rows.add(1, document.row)
    for row in (*evidence.inspections, *evidence.rechecks, evidence.status, *look_rows(root, rows)):
        rows.add(3, row)
    for row in evidence.observations:
        rows.add(4, row)


def _add_supply(rows: HomeRows, node: Node) -> None:
    node.object("fuse_a", "phases", "earthing", "looped", "other_loads")
    with node.checked():
        details = SupplyDetails(
            fuse_a=node.or_none(node.whole, "fuse_a"),
            phases=node.whole("phases"),
            earthing=node.text("earthing"),
            looped=node.text("looped"),
            other_loads=node.text("other_loads"),
        )
    rows.add(1, models.Supply(id=rows.id_of("supply"), household_id=rows.household_id, **asdict(details)))


def _add_circuit(rows: HomeRows, node: Node, position: int) -> None:
    node.object("label", "runs")
    runs = [_run(run) for run in node.items("runs")]
    with node.checked():
        details = CircuitDetails(node.text("label"), tuple(runs))
    circuit_id = claim(rows.circuits, node, rows.id_of("circuit", details.label))
    rows.add(1, models.Circuit(id=circuit_id, household_id=rows.household_id, label=details.label))
    for place, run in enumerate(details.runs):
        run_id = stable_id("run", circuit_id, str(place))
        rows.add(2, models.CircuitRun(id=run_id, circuit_id=circuit_id, position=place, **asdict(run)))


def _run(node: Node) -> RunDetails:
    node.object("kind", "device", "cable", "method", "length_m")
    with node.checked():
        texts: dict[str, Any] = {name: node.text(name) for name in ("kind", "device", "cable", "method")}
        return RunDetails(**texts, length_m=node.or_none(node.decimal, "length_m"))


def _add_outlet(rows: HomeRows, node: Node, position: int) -> None:
    node.object(
        "label", "kind", "is_tethered", "place", "limit_a", "phases", "circuit", *_IDENTITY,
        optional=("control", "start_delay_s"),
    )
    with node.checked():
        details = OutletDetails(
            label=node.text("label"),
            kind=node.text("kind"),
            limit_a=node.whole("limit_a"),
            phases=node.whole("phases"),
            is_tethered=node.or_none(node.flag, "is_tethered"),
            place=node.text("place"),
            circuit_id=found(rows.circuits, node, "circuit"),
            control=node.or_none(node.text, "control") or OutletControl.NOT_KNOWN,
            start_delay_s=node.or_none(node.whole, "start_delay_s"),
            **_identity(node, rows.moment),
        )
    outlet = models.Outlet(
        id=rows.id_of("outlet", details.label), household_id=rows.household_id, ordinal=position + 1, **asdict(details)
    )
    rows.add(2, claim(rows.outlets, node, outlet))


def _add_lead(rows: HomeRows, node: Node, position: int) -> None:
    node.object("label", "kind", "rated_a", "set_a", *_IDENTITY, optional=("settings_a", "setting_shown_a"))
    with node.checked():
        details = LeadDetails(
            label=node.text("label"),
            kind=node.text("kind"),
            rated_a=node.whole("rated_a"),
            set_a=node.whole("set_a"),
            settings_a=tuple(node.value.get("settings_a", ())),
            **_identity(node, rows.moment),
        )
    lead = models.Lead(id=rows.id_of("lead", details.label), household_id=rows.household_id, **asdict(details))
    lead.setting_shown_a = node.or_none(node.whole, "setting_shown_a")
    lead.setting_shown_at = rows.moment.now if lead.setting_shown_a is not None else None
    rows.add(1, claim(rows.leads, node, lead))


_IDENTITY = ("maker_model", "serial_or_batch", "supplied_by", "since_on")


def _identity(node: Node, moment: Moment) -> dict[str, Any]:
    texts = {name: node.text(name) for name in _IDENTITY[:3]}
    return {**texts, "since_on": node.or_none(lambda name: node.day(name, moment), "since_on")}
