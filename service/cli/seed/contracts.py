"""Contracts of the demo: which tariff a home is on, from when until when, and its own meter's hours."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import asdict

from service.cli.seed.files import Node
from service.cli.seed.home_parts import HomeRows
from service.cli.seed.tariffs import tariff_id_of
from service.households import models
from service.households.domain.contract_details import (
    ContractDetails,
    MeterWindow,
    OtherContract,
    check_meter_windows,
    check_no_overlap,
)
from service.tariffs.domain.terms import Version


def add_contracts(rows: HomeRows, root: Node, tariffs: Mapping[str, tuple[Version, ...]]) -> None:
    """Keep the rows of a home's contracts; raises ``SeedError``."""
    others: list[OtherContract] = []
    for position, node in enumerate(root.items("contracts")):
        node.object("tariff", "starts_on", "ends_on", optional=("clock", "windows"))
        tariff = node.name("tariff")
        if tariff not in tariffs:
            raise node.at("tariff").fault(f"names {tariff!r}, which no file in tariffs/ describes")
        with node.checked():
            details = ContractDetails(
                tariff_id=tariff_id_of(tariff),
                starts_on=node.day("starts_on", rows.moment),
                ends_on=node.day("ends_on", rows.moment) if node.at("ends_on").value is not None else None,
                clock=node.or_none(node.text, "clock"),
                windows=_meter_windows(node),
            )
            check_no_overlap(details, others)
            check_meter_windows(details, [sheet for version in tariffs[tariff] for sheet in version.sheets])
        others.append(OtherContract(tariff, details.starts_on, details.ends_on))
        values = {**asdict(details), "windows": details.stored_windows()}
        contract_id = rows.id_of("contract", str(position))
        rows.add(1, models.Contract(id=contract_id, household_id=rows.household_id, **values))


def _meter_windows(node: Node) -> tuple[MeterWindow, ...]:
    windows = node.at("windows")
    if windows.value is None:
        return ()
    if not isinstance(windows.value, dict):
        raise windows.fault("must be an object of band names")
    return tuple(
        MeterWindow(band, span.wall_minutes("starts_at"), span.wall_minutes("ends_at"))
        for band in windows.value
        for span in (each.object("starts_at", "ends_at") for each in windows.items(band))
    )
