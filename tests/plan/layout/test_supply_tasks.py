"""Orders among the tasks: on their day, known by item and number, with what a grower must know."""

from dataclasses import replace

import pytest
from farms import delivery, make_farm
from plan.layout.amounts import Batch, laid

from scheduler.farm.supplies import Supply

SEED = Supply(item="Lettuce seed", kind="seed", crop="Lettuce", pack_size=10, lead_days=3, price=550)
BATCHES = (
    Batch(sown=4, board_day=14, raft_day=24, cuts=((38, 12),)),
    Batch(sown=20, board_day=30, raft_day=40, cuts=((54, 12),)),
)


def order_tasks(supply, **farm):
    made = replace(
        make_farm(rules={"supply_weeks": 1}, demands=[delivery("Lettuce", 38, 5)], **farm), supplies=(supply,)
    )
    plan = laid(made, *BATCHES, fills=[("Lettuce", 38, "Lettuce 38", 5)])
    return [task for task in plan.tasks if task.work == "order"]


def test_an_order_is_a_task_of_its_day_with_packs_pieces_reason_and_price():
    first = order_tasks(SEED)[0]
    assert (first.key, first.day, first.crop, first.units, first.plants) == (
        "order Lettuce seed 1",
        1,
        "Lettuce seed",
        2,
        20,
    )
    assert first.note == "for Lettuce, needed from Fri 6 Mar, for use through Thu 12 Mar; 11.00 EUR"


def test_a_key_counts_the_orders_of_an_item_and_stays_when_its_day_moves():
    soon, later = order_tasks(SEED), order_tasks(replace(SEED, lead_days=1))
    assert [task.key for task in soon] == ["order Lettuce seed 1", "order Lettuce seed 2"]
    assert [task.key for task in later] == [task.key for task in soon]
    assert [task.day for task in soon] == [1, 17]
    assert [task.day for task in later] == [3, 19]


def test_a_late_order_is_for_today_and_says_what_runs_out_and_when_it_comes():
    first = order_tasks(replace(SEED, lead_days=9, price=0))[0]
    assert first.day == 0
    assert first.note == (
        "late, Wed 25 Feb was the last day: ordered today it comes on Wed 11 Mar, stock runs out "
        "on Fri 6 Mar; for Lettuce, needed from Fri 6 Mar, for use through Thu 12 Mar"
    )


@pytest.mark.parametrize("supply", [SEED, replace(SEED, in_stock=1000)])
def test_orders_stand_first_on_a_day(supply):
    farm = replace(make_farm(), supplies=(replace(supply, lead_days=0),))
    plan = laid(farm, Batch())
    works = [task.work for task in plan.tasks if task.day == 0]
    assert works == (["order", "sow"] if supply is SEED else ["sow"])
