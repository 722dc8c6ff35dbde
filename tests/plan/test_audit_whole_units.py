"""Whole units and losses: full passes, one more cell, plant, head or seed is told."""

from dataclasses import replace

import pytest
from farms import delivery, growing, make_crop, make_farm
from plans import Batch, build, edit, join, judged, told

from scheduler.farm.crops import StageKind


def test_a_raft_holds_its_holes_and_not_one_plant_more():
    batch = Batch(rows=4, boards=(12,), rafts=(6, 6))
    assert judged(make_farm(), batch) == []
    fuller = Batch(rows=4, boards=(12, 1), rafts=(6, 7), cuts=((34, 6),))
    assert judged(make_farm(), fuller) == ["whole units | R2 | 2026-03-22: holds 7 plants, 6 fit"]


def test_a_board_holds_its_holes_and_not_one_plant_more():
    assert judged(make_farm(), Batch(rows=4, boards=(13,))) == [
        "whole units | B1 | 2026-03-12: holds 13 plants, 12 fit"
    ]


def test_a_tray_holds_its_rows_and_not_one_row_more():
    farm = make_farm()
    plan = build(farm, Batch(rows=5))
    assert told(farm, plan) == []
    plan = edit(
        edit(plan, "contents", {"unit": "T1"}, rows=6, plants=24), "lots", {}, cells=24, seeds=24, plants=24
    )
    assert told(farm, plan) == ["whole units | T1 | 2026-03-02: 6 rows sown, 5 there"]


def test_a_tray_is_sown_in_whole_rows():
    farm = make_farm()
    plan = build(farm, Batch(rows=4))
    plan = edit(edit(plan, "contents", {"unit": "T1"}, plants=15), "lots", {}, cells=15, seeds=15, plants=15)
    assert told(farm, plan) == [
        "whole units | T1 | 2026-03-02: 15 cells of LET-260302 in 4 rows, which have 16"
    ]


def test_a_unit_holds_at_least_one_plant_of_each_lot():
    farm = make_farm()
    plan = build(farm, Batch(rafts=(6, 6, 1), cuts=((34, 6),), boards=(12,), rows=4))
    plan = edit(edit(plan, "contents", {"unit": "R3"}, plants=0), "cuts", {"unit": "R3"}, plants=0, heads=0)
    assert told(farm, plan) == [
        "whole units | R3 | 2026-03-22: holds 0 plants of LET-260302",
        "whole units | R3 | 2026-04-05: cut 1 of LET-260302 is of 0 plants and 0 heads",
    ]


def test_a_cut_takes_at_least_one_plant_and_never_fewer_heads_than_none():
    farm = make_farm()
    plan = build(farm, Batch())
    more = replace(plan.cuts[0], plants=-2, heads=-2)
    assert "whole units | R1 | 2026-04-05: cut 1 of LET-260302 is of -2 plants and -2 heads" in told(
        farm, replace(plan, cuts=(*plan.cuts, more))
    )


def test_only_trays_that_are_sown_have_rows_of_cells():
    farm = make_farm()
    plan = build(farm, Batch())
    assert told(farm, edit(plan, "contents", {"unit": "B1"}, rows=1)) == [
        "whole units | B1 | 2026-03-12: 1 rows of LET-260302 sown, but nothing is sown in it"
    ]


def test_a_lot_counts_on_just_the_seedlings_its_cells_give():
    farm = make_farm()
    plan = build(farm, Batch(rows=4))
    assert told(farm, edit(plan, "lots", {}, plants=15)) == [
        "whole units | LET-260302 | 2026-03-02: 15 plants, but 16 cells give 16"
    ]


TWO_LOTS = (
    Batch(rows=2, boards=(6,), rafts=(3,), cuts=((34, 3),)),
    Batch(crop="Chard", rows=2, boards=(6,), rafts=(3,), cuts=((34, 3),)),
)
CROPS = [make_crop("Lettuce"), make_crop("Chard")]


@pytest.mark.parametrize(
    ("item", "unit", "day"), [("tray", "T", "03-02"), ("board", "B", "03-12"), ("raft", "R", "03-22")]
)
def test_lots_share_a_unit_only_where_the_farm_allows_it(item, unit, day):
    for allowed, faults in (
        (True, []),
        (
            False,
            [
                f"whole units | {unit}1 | 2026-{day}: CHA-260302 and LET-260302 share a {item}, "
                "which the farm does not allow"
            ],
        ),
    ):
        farm = make_farm(crops=CROPS, rules={f"share_{item}s": allowed})
        plan = build(farm, *TWO_LOTS)
        assert told(farm, join(plan, f"{unit}2", into=f"{unit}1")) == faults


def test_lots_of_different_spacing_never_share_a_board():
    farm = make_farm(
        crops=[make_crop("Lettuce"), make_crop("Chard", per_board=11)], rules={"share_boards": True}
    )
    fewer = [replace(batch, boards=(5,)) for batch in TWO_LOTS]
    plan = build(farm, *fewer)
    assert told(farm, join(plan, "B2", into="B1")) == [
        "whole units | B1 | 2026-03-12: CHA-260302 and LET-260302 share a board, "
        "but stand at different spacings"
    ]


def test_one_raft_has_plants_of_one_board_day_unless_rafts_are_shared():
    early = Batch(rows=2, boards=(6,), rafts=(3,), cuts=((35, 3),), raft_day=21)
    late = Batch(rows=2, board_day=11, boards=(6,), raft_day=21, rafts=(3,), cuts=((35, 3),))
    for allowed, number in ((True, 0), (False, 1)):
        farm = make_farm(rules={"share_rafts": allowed})
        plan = join(build(farm, early, late), "R2", into="R1")
        faults = told(farm, _one_cut(plan))
        assert len(faults) == number
        assert all("LET-260302 of several days share a raft" in fault for fault in faults)


def _one_cut(plan):
    cuts = (replace(plan.cuts[0], plants=6, heads=6),)
    return replace(plan, cuts=cuts)


def test_lots_that_entered_on_two_days_never_share_a_unit():
    farm = make_farm(crops=CROPS, rules={"share_boards": True})
    chard = Batch(crop="Chard", rows=2, board_day=11, boards=(6,), raft_day=21, rafts=(6,), cuts=((35, 6),))
    plan = join(build(farm, TWO_LOTS[0], chard), "B2", into="B1")
    assert any("CHA-260302 enters on 2026-03-13, B1 on 2026-03-12" in fault for fault in told(farm, plan))


def test_a_crop_is_grown_in_its_own_kind_of_unit():
    farm = make_farm(crops=[make_crop("Lettuce", kinds=("20-cell tray", "12-hole board", "12-hole board"))])
    assert (
        "whole units | R1 | 2026-03-22: LET-260302 stands in a 6-hole raft, but Lettuce uses a 12-hole board"
        in (told(farm, _on_rafts(build(farm, Batch(rafts=(6,))))))
    )


def _on_rafts(plan):
    return edit(plan, "units", {"item": "raft"}, kind="6-hole raft")


def test_a_crop_without_boards_never_stands_on_one():
    with_boards, without = make_farm(), make_farm(crops=[make_crop("Lettuce", board=None)])
    faults = told(without, build(with_boards, Batch()))
    assert (
        "whole units | B1 | 2026-03-12: LET-260302 stands on a board, but Lettuce has no such stage" in faults
    )


LOSSES = make_crop("Lettuce", tray=(10, 3, 8000), board=(10, 3, 9000), raft=(14, 6, 9500), saleable=9000)


def test_plants_set_on_boards_are_what_tray_losses_leave_rounded_down():
    farm = make_farm(crops=[LOSSES])
    # 16 cells x 0.8 = 12.8: twelve may be set, thirteen not; 12 x 0.9 = 10.8: ten on rafts, eleven not.
    assert judged(farm, Batch(rows=4, boards=(12,), rafts=(6, 4), cuts=((34, 4, 3),))) == []
    assert judged(farm, Batch(rows=4, boards=(7, 6), rafts=(6, 4), cuts=((34, 4, 3),))) == [
        "whole units | LET-260302 | 2026-03-12: 13 plants set out, "
        "but 16 cells leave trays that day and give 12"
    ]


def test_plants_set_on_rafts_are_what_board_losses_leave_rounded_down():
    farm = make_farm(crops=[LOSSES])
    assert judged(farm, Batch(rows=4, boards=(12,), rafts=(6, 5), cuts=((34, 5, 4),))) == [
        "whole units | LET-260302 | 2026-03-22: 11 plants set on rafts, "
        "but 12 leave boards of 2026-03-12 and give 10"
    ]


def test_losses_are_taken_group_by_group_and_not_from_the_sum():
    farm = make_farm(crops=[LOSSES])
    # 5 x 0.9 = 4.5 twice is 4 and 4, although 10 x 0.9 is 9.
    first = Batch(rows=2, boards=(5,), rafts=(4,), cuts=((34, 4, 3),))
    second = Batch(rows=2, boards=(5,), raft_day=21, rafts=(5,), cuts=((35, 5, 4),))
    faults = judged(farm, first, second)
    assert faults == [
        "whole units | LET-260302 | 2026-03-23: 5 plants set on rafts, "
        "but 5 leave boards of 2026-03-12 and give 4"
    ]


def test_plants_that_come_out_of_nothing_are_told():
    farm = make_farm()
    plan = build(farm, Batch())
    plan = edit(plan, "contents", {"unit": "R2"}, from_day=9)
    assert told(farm, plan) == [
        "whole units | LET-260302 | 2026-03-22: 6 plants set on rafts, "
        "but 0 leave boards of 2026-03-11 and give 0"
    ]


def test_heads_are_what_losses_leave_of_all_plants_cut_so_far():
    farm = make_farm(crops=[LOSSES])  # 0.95 x 0.9 = 0.855: 12 plants give 10 heads, 6 give 5
    batch = {"rows": 5, "boards": (12, 2), "rafts": (6, 6)}
    assert judged(farm, Batch(**batch, cuts=((34, 6, 5),))) == []
    assert judged(farm, Batch(**batch, cuts=((34, 6, 6),))) == [
        "whole units | LET-260302 | 2026-04-05: 12 heads of cut 1 so far from 12 plants, which give 10"
    ]


def test_heads_rounded_down_on_one_day_may_be_made_up_on_the_next_but_not_before():
    farm = make_farm(crops=[LOSSES])
    plan = build(
        farm, Batch(rows=3, boards=(9,), rafts=(6,), cuts=((36, 3, 2),))
    )  # 3 plants give 2, 6 give 5
    for first, second, number in ((2, 3, 0), (3, 2, 1), (2, 4, 1)):
        assert len(told(farm, _two_days(plan, first, second))) == number


def _two_days(plan, first, second):
    cut = plan.cuts[0]
    return replace(plan, cuts=(replace(cut, day=35, heads=first), replace(cut, heads=second)))


def test_plants_cut_are_no_more_than_stand_on_the_raft():
    assert judged(make_farm(), Batch(rafts=(6, 5), cuts=((34, 5),))) == []
    assert judged(make_farm(), Batch(rafts=(6, 5), cuts=((34, 6),))) == [
        "whole units | R2 | 2026-04-05: cut 1 of LET-260302 takes 6 plants, 1 more than are there to cut"
    ]


def test_heads_delivered_are_no_more_than_were_cut_that_day():
    farm = make_farm(demands=[delivery("Lettuce", 34, 12), delivery("Lettuce", 35, 12)])
    fills = [("Lettuce 34", "LET-260302", 34, 11), ("Lettuce 35", "LET-260302", 34, 1)]
    assert judged(farm, Batch(), fills=fills) == []
    twice = told(farm, build(farm, Batch(), fills=[fills[0], ("Lettuce 35", "LET-260302", 34, 2)]))
    assert twice[0] == "whole units | LET-260302 | 2026-04-05: 13 heads delivered, 12 cut that day"


def test_seed_is_cells_times_seeds_per_cell():
    farm = make_farm(crops=[make_crop("Lettuce", handling={"seeds_per_cell": 3})])
    plan = build(farm, Batch())
    assert [row.seeds for row in plan.seed] == [36]
    assert told(farm, plan) == []
    assert told(farm, edit(plan, "lots", {}, seeds=35)) == [
        "whole units | LET-260302 | 2026-03-02: 35 seeds for 12 cells, which take 36"
    ]


def test_cells_of_a_lot_are_those_of_its_trays():
    farm = make_farm()
    plan = build(farm, Batch())
    assert told(farm, edit(plan, "lots", {}, cells=16, seeds=16, plants=16)) == [
        "whole units | LET-260302 | 2026-03-02: 16 cells, but its trays hold 12"
    ]


def test_a_lot_counts_on_no_more_plants_than_its_cells_give_and_no_fewer_than_its_rafts_hold():
    farm = make_farm()
    plan = build(farm, Batch())
    assert told(farm, edit(plan, "lots", {}, plants=13)) == [
        "whole units | LET-260302 | 2026-03-02: 13 plants, but 12 cells give 12"
    ]
    assert told(farm, edit(plan, "lots", {}, plants=11)) == [
        "whole units | LET-260302 | 2026-03-02: 11 plants, but 12 are set on rafts"
    ]


def test_a_lot_is_of_one_cell_at_least():
    farm = make_farm()
    plan = build(farm, Batch())
    none = replace(plan.lots[0], lot="LET-260303", sown=1, cells=0, seeds=0, plants=0)
    assert told(farm, replace(plan, lots=(*plan.lots, none))) == [
        "whole units | LET-260303 | 2026-03-03: 0 cells are sown of it"
    ]


def test_what_rounding_left_over_before_the_first_day_counts_with_the_cut_it_is_of():
    # 0.855 of 6 plants is 5.13
    def of(part, heads, **found):
        left = growing("Lettuce", StageKind.RAFT, -14, 6, 1, part_heads=part, **found)
        batch = Batch(found=left, cuts=((4, 6, heads),))
        return judged(make_farm(crops=[LOSSES], growing=[left]), batch)

    assert of(8_700, 6) == []
    assert of(8_699, 6) == [
        "whole units | G | 2026-03-06: 6 heads of cut 1 so far from 6 plants, which give 5"
    ]
    assert "whole units | G | 2026-03-06: 7 heads of cut 1 so far from 6 plants, which give 6" in of(9_999, 7)
