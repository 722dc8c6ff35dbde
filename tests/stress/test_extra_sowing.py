"""Extra sowing for a wished chance: least cost, room in the plan, proof by replaying."""

from dataclasses import replace

import pytest
from farms import delivery, make_farm
from scipy.stats import binom
from stressed import LOSSES_ALONE, RUNS, crop_that_comes_up, hits, lot, sound

from scheduler.farm.crops import Handling
from scheduler.plan.audit import audit
from scheduler.stress.lift import Lifter
from scheduler.stress.replay import Replay

SHARE = 7500
CELLS = 4
"""Cells of a row of the trays of these farms."""


def priced(crop, cost):
    """Return a crop with a price of a thousand seeds, in hundredths."""
    return replace(crop, handling=Handling(seed_cost=cost))


def lifted(farm, plan, wish=0.95, names=None):
    """Return what is found for the firm deliveries, and the tally before."""
    base = Replay(farm, plan, LOSSES_ALONE)
    before = base.tally(range(RUNS))
    wanted = [each for each in farm.demands if names is None or each.name in names]
    return Lifter(base, plan, lambda replay: replay.tally(range(RUNS)), wish).lift(
        wanted, before, lambda _: None
    )


def nearly_full():
    """A farm with a delivery of six heads from a raft of six holes, eight cells sown."""
    farm = make_farm(crops=[crop_that_comes_up(SHARE)], demands=[delivery("Lettuce", 34, 6)])
    return farm, sound(farm, lot(34, 6, rows=2), fills=[("Lettuce 34", "LET-260302", 34, 6)])


def test_as_few_rows_are_sown_as_the_binomial_asks_for():
    farm, plan = nearly_full()
    rows = next(more for more in range(9) if binom.sf(5, 8 + CELLS * more, SHARE / 10_000) >= 0.95)
    (found,) = lifted(farm, plan).lifted
    assert rows == 1
    (sowing,) = found.sowings
    assert (sowing.lot, sowing.day, sowing.rows, sowing.cells) == ("LET-260302", 0, rows, CELLS * rows)
    assert found.before < 0.95 <= found.after
    assert found.why_not == ""


def test_the_plan_with_extra_sowing_keeps_every_rule_and_is_what_was_replayed():
    farm, plan = nearly_full()
    found = lifted(farm, plan, wish=0.99)
    assert [str(fault) for fault in audit(farm, found.plan)] == []
    assert found.plan.lots[0].cells > plan.lots[0].cells
    again = Replay(farm, found.plan, LOSSES_ALONE, Replay(farm, plan, LOSSES_ALONE)).tally(range(RUNS))
    assert again == found.tally
    assert found.lifted[0].after == again.filled[0] / RUNS


def test_a_chance_that_is_there_already_takes_no_seed():
    farm, plan = nearly_full()
    found = lifted(farm, plan, wish=0.2)
    assert found.lifted == ()
    assert found.plan is plan


def test_the_cheaper_seed_is_sown_where_two_crops_would_do():
    crops = [
        priced(crop_that_comes_up(SHARE), 9000_00),
        priced(crop_that_comes_up(SHARE, "Salanova", code="SAL"), 100),
    ]
    mixed = {"Mix": {"Lettuce": 1000, "Salanova": 1000}}
    farm = make_farm(crops=crops, products=mixed, demands=[delivery("Mix", 34, 10)])
    plan = sound(
        farm,
        lot(34, 6, rows=2),
        lot(34, 6, rows=2, crop="Salanova"),
        fills=[("Mix 34", "LET-260302", 34, 4), ("Mix 34", "SAL-260302", 34, 6)],
    )
    (found,) = lifted(farm, plan).lifted
    assert {sowing.crop for sowing in found.sowings} == {"Salanova"}
    assert found.cost == 1


def test_new_boards_and_rafts_are_used_where_holes_run_out():
    farm = make_farm(
        crops=[crop_that_comes_up(10_000, raft=(14, 6, 7000))], demands=[delivery("Lettuce", 34, 8)]
    )
    plan = sound(
        farm,
        lot(34, 12, boards=(12,), cuts=((34, 6, 4),)),
        fills=[("Lettuce 34", "LET-260302", 34, 8)],
    )
    found = lifted(farm, plan)
    (sowing,) = found.lifted[0].sowings
    assert sowing.units["6-hole raft"] == 1
    assert sowing.units["12-hole board"] == 1
    rafts = [row for row in found.plan.positions if row.place == "Trough 1"]
    assert sorted(row.slot for row in rafts) == [1, 2, 3]


@pytest.mark.parametrize(
    ("needs", "why"),
    [
        ({"lane_slots": 2}, "Trough 1 is full on 22 Mar 2026"),
        ({"rafts": 2}, "every 6-hole raft is in use on 22 Mar 2026"),
        ({"zone_slots": 1}, "Trough has no slot for another board all the time, 12 to 21 Mar 2026"),
    ],
)
def test_where_there_is_no_room_it_is_said_what_is_full(needs, why):
    farm = make_farm(
        crops=[crop_that_comes_up(10_000, raft=(14, 6, 7000))], demands=[delivery("Lettuce", 34, 8)], **needs
    )
    plan = sound(
        farm, lot(34, 12, boards=(12,), cuts=((34, 6, 4),)), fills=[("Lettuce 34", "LET-260302", 34, 8)]
    )
    found = lifted(farm, plan)
    assert found.lifted[0].sowings == ()
    assert why in found.lifted[0].why_not
    assert found.plan is plan


def test_one_plan_carries_the_extra_sowing_of_all_deliveries():
    demands = [delivery("Lettuce", 34, 6), delivery("Lettuce", 41, 6)]
    farm = make_farm(crops=[crop_that_comes_up(SHARE)], demands=demands)
    plan = sound(
        farm,
        lot(34, 6, rows=2),
        lot(41, 6, rows=2),
        fills=[("Lettuce 34", "LET-260302", 34, 6), ("Lettuce 41", "LET-260309", 41, 6)],
    )
    found = lifted(farm, plan)
    assert [each.after >= 0.95 for each in found.lifted] == [True, True]
    assert min(hits(farm, found.tally).values()) >= 0.95 * RUNS
    assert len({sowing.lot for each in found.lifted for sowing in each.sowings}) == 2


def test_what_was_sown_before_today_cannot_be_sown_again():
    farm, plan = nearly_full()
    late = replace(farm, today=5)
    found = lifted(late, plan)
    assert found.lifted[0].sowings == ()
    assert "no lot that can still be sown reaches it" in found.lifted[0].why_not
