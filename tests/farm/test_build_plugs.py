"""Plugs that are bought in: they come ready to go on, are ordered with lead days, and are not sown."""

from pathlib import Path

import pytest
from helpers import farm_of, faults_of
from solving import got, solved

from scheduler.farm.crops import Handling
from scheduler.plan.audit import audit
from scheduler.plan.views.labels import labels_due

CROPS = (
    "crop,card,start,wait_tray,survival_tray_percent,margin_percent\n"
    "Butterhead,lettuce_butterhead,plugs,3,90,0\n"
)
SUPPLIES = (
    "item,kind,crop,pack_size,lead_days,price,order_days\nButterhead plugs,plugs,Butterhead,98,10,30,Tue\n"
)
ORDERS = (
    "order,customer,product,amount,weekdays,from,to\nR1,Inn,Butterhead head,12,Wed,2026-04-15,2026-04-15\n"
)


def test_plugs_stand_in_trays_only_for_their_wait(tmp_path: Path) -> None:
    crop = farm_of(tmp_path, crops=CROPS).crops["Butterhead"]
    assert (crop.bought, crop.tray.days, crop.tray.wait, crop.tray.survival) == (True, 0, 3, 9_000)
    assert (crop.handling, crop.minutes.sow, crop.seed_heat) == (
        Handling(keeping_days=crop.handling.keeping_days),
        0,
        None,
    )
    assert [stage.kind for stage in crop.route] == ["tray", "board", "raft"]


def test_they_wait_no_day_unless_the_row_says_so_and_none_is_lost(tmp_path: Path) -> None:
    table = "crop,card,start,margin_percent\nButterhead,lettuce_butterhead,plugs,0\n"
    tray = farm_of(tmp_path, crops=table).crops["Butterhead"].tray
    assert (tray.days, tray.wait, tray.survival) == (0, 0, 10_000)


def test_a_plan_orders_them_and_sets_them_out_when_they_come(tmp_path: Path) -> None:
    farm = farm_of(tmp_path, crops=CROPS.replace("3,90", "0,90"), supplies=SUPPLIES, orders=ORDERS)
    plan = solved(farm)
    assert audit(farm, plan) == []
    assert list(got(plan).values()) == [12]
    (lot,) = plan.lots
    trays = [row for row in plan.contents if row.rows]
    assert {row.leaves for row in trays} == {lot.sown}  # onto boards the day they come: no slot of the shelf
    assert not any(row.used for row in plan.use if row.place.startswith("Shelf"))
    (order,) = plan.supplies
    assert (order.kind, order.packs, order.amount, order.cost) == ("plugs", 1, 98, 30_00)
    assert order.arrive_by == lot.sown
    assert order.order_by <= lot.sown - 10
    assert farm.calendar.weekday(order.order_by) == 1
    note = next(task.note for task in plan.tasks if task.work == "sow")
    assert note == f"{lot.seeds} plugs, bought in: unpack, nothing is sown"
    assert [label.item for label in labels_due(farm, plan, 0, 55)][0] == "tray"


WRONG = [
    (
        {"supplies": SUPPLIES.replace(",plugs,B", ",seed,B")},
        ["supplies!B2: found seed for 'Butterhead', which is bought in as plugs; expected plugs"],
    ),
    (
        {"crops": CROPS.replace("plugs", "seed")},
        ["supplies!B2: found plugs for 'Butterhead', which is sown; expected seed"],
    ),
    (
        {"crops": "crop,card,start,days_tray\nButterhead,lettuce_butterhead,plugs,14\n"},
        [
            "crops!D2: found days_tray of 'Butterhead', which comes as plugs; expected a blank cell, "
            "or start seed"
        ],
    ),
    (
        {"supplies": SUPPLIES.replace(",Butterhead,98", ",,98")},
        ["supplies!C2: found no crop for 'Butterhead plugs'; expected the crop they are plugs of"],
    ),
]


@pytest.mark.parametrize(("tables", "expected"), WRONG)
def test_what_cannot_be_is_refused_at_its_cell(
    tmp_path: Path, tables: dict[str, str], expected: list[str]
) -> None:
    assert faults_of(tmp_path, None, **({"crops": CROPS, "supplies": SUPPLIES} | tables)) == expected


def test_plugs_of_a_crop_without_a_card_need_no_days_in_trays(tmp_path: Path) -> None:
    # they were asked for, and refused where they were given
    crops = (
        "crop,start,days_board,days_raft,harvest_window,survival_raft_percent,keeping_days,cuts\n"
        "Cress of ours,plugs,0,21,7,100,5,1\n"
    )
    products = "product,crop\nCress,Cress of ours\n"
    crop = farm_of(tmp_path, crops=crops, products=products, orders=None).crops["Cress of ours"]
    assert (crop.bought, crop.tray.days, crop.tray.wait) == (True, 0, 0)
