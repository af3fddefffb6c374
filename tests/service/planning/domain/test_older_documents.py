"""A plan stored before plans said as much is shown in today's shape, with nothing made up."""

from service.planning.domain.older_documents import completed

OLD = {
    "id": "p",
    "vehicles": [
        {
            "vehicle_id": "c",
            "outlet_id": "o",
            "outlet_label": "Garage",
            "stays": [{"blocks": [{"starts_at": "2026-11-25T01:00:00+00:00"}], "cost_pence": "8.1"}],
        }
    ],
}


def test_what_an_older_plan_does_not_say_is_not_known():
    found = completed(OLD)
    assert (found["turns"], found["sharing_gap_pence"]) == ([], None)
    (vehicle,) = found["vehicles"]
    assert (vehicle["other_ways"], vehicle["charge_doubt_percent"]) == ([], None)
    (block,) = vehicle["stays"][0]["blocks"]
    assert (block["starts_at"], block["outlet_label"]) == ("2026-11-25T01:00:00+00:00", "Garage")
    assert block["why"]["next_best_pence"] is None
    assert "turns" not in OLD


def test_a_plan_of_today_stays_as_it_is():
    found = completed(OLD)
    assert completed(found) == found
