"""Each line of a work sheet in words: what, how many, from where, where to, what to mind, what is counted."""

import re
from dataclasses import replace

import pytest
from farms import delivery, growing, make_crop, make_farm, make_greens, target
from plans import Batch, build, edit
from reports import lines_of
from solving import solved

from scheduler.farm.crops import StageKind
from scheduler.outputs.report.rows import row_of
from scheduler.outputs.report.supply_rows import packs
from scheduler.outputs.report.week import sum_of
from scheduler.outputs.show.answer import answer
from scheduler.outputs.show.page import rendered
from scheduler.outputs.words import headline
from scheduler.plan.rows import PositionRow, SupplyRow
from scheduler.plan.views.week import week_sheets

LOT = "LET-260302"


def rows(farm, plan, work):
    """Return the rows of a kind of work as lists of text: what, how many, from, to, note, count."""
    found = []
    for _, kind, line in lines_of(week_sheets(farm, plan)):
        if kind == work:
            row = row_of(line, farm)
            cells = [[row.what, row.code], row.many, row.source, row.target, row.note, [row.count]]
            found.append([[text(each) for each in cell if each] for cell in cells])
    return found


def text(markup):
    return (
        " ".join(markup.replace("&nbsp;", " ").striptags().split())
        if hasattr(markup, "striptags")
        else markup
    )


def test_sowing():
    handling = {"seeds_per_cell": 3, "soak_hours": 1450, "dark_days": 2, "dome_days": 4}
    farm = make_farm(crops=[make_crop("Lettuce", handling=handling)])
    plan = build(farm, Batch(sown=3, board_day=13, raft_day=23, cuts=((37, 6),), rows=8))
    assert rows(farm, plan, "sow") == [
        [
            ["Lettuce", "LET-260305"],
            ["32 cells", "96 seeds, 3 in each cell"],
            ["seed: Lettuce one"],
            ["Shelf, tier 1, slot 1", "5 rows of 4 cells (20-cell tray)"]
            + ["Shelf, tier 1, slot 2", "3 rows of 4 cells (20-cell tray)"],
            [
                "seed in water from Wed 4 Mar, 14.5 hours",
                "in the dark until Sat 7 Mar",
                "dome on until Mon 9 Mar",
            ],
            ["cells"],
        ]
    ]


def test_a_date_in_a_note_stays_on_one_line():
    handling = {"soak_hours": 1450, "dark_days": 2, "dome_days": 4}
    farm = make_farm(crops=[make_crop("Lettuce", handling=handling)])
    plan = build(farm, Batch(sown=3, board_day=13, raft_day=23, cuts=((37, 6),), rows=8))
    notes = [
        note
        for _, kind, line in lines_of(week_sheets(farm, plan))
        if kind in ("soak", "sow")
        for note in row_of(line, farm).note
    ]
    assert len(notes) == 4
    assert all(re.search(r"[A-Z][a-z]{2}&nbsp;\d+&nbsp;Mar", note) for note in notes)


def test_soaking():
    farm = make_farm(crops=[make_crop("Lettuce", handling={"soak_hours": 1300})])
    plan = build(farm, Batch(sown=3, board_day=13, raft_day=23, cuts=((37, 6),)))
    assert rows(farm, plan, "soak") == [
        [
            ["Lettuce", "LET-260305"],
            ["12 seeds"],
            ["seed: Lettuce one"],
            ["into water"],
            ["13 hours in water, then sown on Thu 5 Mar"],
            ["seeds"],
        ]
    ]


def test_seed_that_is_weighed_is_soaked_by_weight():
    crop = make_crop("Lettuce", handling={"soak_hours": 1300})
    farm = make_farm(crops=[replace(crop, sown_by_mass=True)])
    plan = build(farm, Batch(sown=3, board_day=13, raft_day=23, cuts=((37, 6),)))
    ((_, many, *_, count),) = rows(farm, plan, "soak")
    assert (many, count) == (["12 g"], ["g"])
    (day,) = [day for week in week_sheets(farm, plan) for day in week.days if "soak" in day.work]
    assert sum_of(farm, day, "soak") == "12 g"


def test_uncovering_and_thinning():
    handling = {"dark_days": 2, "dome_days": 2, "thin_day": 6}
    farm = make_farm(crops=[make_crop("Lettuce", handling=handling)])
    plan = build(farm, Batch())
    where = ["Shelf, tier 1, slot 1"]
    assert rows(farm, plan, "uncover") == [
        [
            ["Lettuce", LOT],
            ["1 tray", "12 cells"],
            where,
            [],
            ["bring into the light", "take the dome off"],
            ["cells"],
        ]
    ]
    assert rows(farm, plan, "thin")[0][4] == ["leave one seedling in each cell"]


def test_a_dome_comes_off_where_no_other_lot_of_the_tray_needs_it():
    crops = [make_crop("Lettuce", handling={"dome_days": 3}), make_crop("Kale", handling={"dome_days": 5})]
    farm = make_farm(crops=crops)
    plan = build(farm, Batch(rows=6), Batch(crop="Kale", rows=2))
    shared = edit(plan, "contents", {"unit": "T2"}, unit="T3")
    assert rows(farm, replace(shared, units=plan.units), "uncover")[0][4] == [
        "take the dome off",
        "not in Shelf, tier 1, slot 3: there it stays on until Sat 7 Mar, for another lot in the tray",
    ]


def test_planting_onto_boards():
    farm = make_farm()
    plan = build(farm, Batch(rows=5, boards=(12, 6), rafts=(6, 6, 6)))
    assert rows(farm, plan, "transplant") == [
        [
            ["Lettuce", LOT],
            ["18 plants", "onto 2 boards (12-hole board)"],
            ["Shelf, tier 1, slot 1", "5 rows of 4 cells"],
            ["Trough boards, slot 1", "12 plants", "Trough boards, slot 2", "6 plants"],
            ["the best 18 of 20 cells there"],
            ["plants"],
        ]
    ]


def test_planting_onto_rafts_says_end_slots_and_turns():
    farm = make_farm(crops=[make_crop("Lettuce"), make_crop("Basil")])
    plan = build(farm, Batch(rafts=(6, 6)), Batch(crop="Basil", rows=2, boards=(8,), rafts=(5, 3)))
    assert rows(farm, plan, "raft") == [
        [
            ["Lettuce", LOT],
            ["12 plants", "onto 2 rafts (6-hole raft)"],
            ["Trough boards, slot 1", "12 plants"],
            [
                "Trough, row 1, intake end",
                "slots 1, 2: 6 plants on each",
                "rafts 1, 2 of the 4 going in here today",
            ],
            ["12 of 12 plants there"],
            ["plants"],
        ],
        [
            ["Basil", "BAS-260302"],
            ["8 plants", "onto 2 rafts (6-hole raft)"],
            ["Trough boards, slot 2", "8 plants"],
            ["Trough, row 1, intake end", "slot 3: 5 plants", "slot 4: 3 plants"]
            + ["rafts 3, 4 of the 4 going in here today"],
            ["8 of 8 plants there"],
            ["plants"],
        ],
    ]


def test_trays_that_are_sold_as_they_stand_are_taken_out_and_not_cut():
    crop = make_greens("Shoots", days=9, window=6, grams=1)
    crop = replace(crop, grams=0, sown_by_mass=False, code="SHO")
    farm = make_farm(crops=[crop], demands=[delivery("Shoots", 14, 2)], open_trays=4)
    plan = solved(farm)
    ((_, many, _, target, _, count),) = rows(farm, plan, "sow")
    assert (many[0], target[1], count) == ("2 trays", "2 trays (open tray)", ["trays"])
    (day,) = [day for week in week_sheets(farm, plan) for day in week.days if "sow" in day.work]
    assert sum_of(farm, day, "sow") == "2 trays"
    assert rows(farm, plan, "cut")[0][1] == ["2 trays", "take out 2 trays"]
    (day,) = [day for week in week_sheets(farm, plan) for day in week.days if "cut" in day.work]
    assert sum_of(farm, day, "cut") == "2 trays"
    tasks = [task for task in plan.tasks if task.work == "cut"]
    assert headline(farm, "cut", tasks) == "Take out 2 trays: Shoots"
    page = rendered(answer(farm, plan, "crop", "Shoots", 7), width=80, styled=False)
    assert "Shelf 1 2 trays" in page
    assert "cell" not in page


def test_cutting_says_plants_of_each_raft_for_whom_and_what_becomes_of_them():
    demands = [delivery("Lettuce", 35, 6), target("Lettuce", 28, 2, order="Market")]
    farm = make_farm(demands=demands)
    fills = [("Lettuce 35", LOT, 34, 6), ("Lettuce 28", LOT, 34, 2)]
    plan = build(farm, Batch(rafts=(6, 5), cuts=((34, 5, 5),)), fills=fills)
    assert rows(farm, plan, "cut") == [
        [
            ["Lettuce", LOT],
            ["10 heads", "cut 10 plants"],
            ["Trough, row 1, slots 1, 2 (harvest end)", "slot 1: 5 plants", "slot 2: 5 plants"],
            ["2 for weekly target Market, this week (Lettuce)", "6 for Harbour Table, Mon 6 Apr (Lettuce)"]
            + ["2 not asked for"],
            ["raft is empty: out today"],
            ["heads"],
        ]
    ]


@pytest.mark.parametrize(
    ("cuts", "first", "second"),
    [
        (((34, 6), (41, 6)), "leave them to grow again", "pull them out; raft is empty: out today"),
        (((34, 6),), "pull them out; raft is empty: out today", None),
    ],
)
def test_what_becomes_of_plants_that_are_cut_again(cuts, first, second):
    farm = make_farm(crops=[make_crop("Lettuce", cuts=2, interval=7)])
    found = rows(farm, build(farm, Batch(rafts=(6,), cuts=cuts)), "cut")
    assert [row[4] for row in found] == [[first], [second]][: len(cuts)]
    assert found[0][1] == ["6 heads", "cut 6 plants", "cut number 1 of 2"]


def test_a_raft_that_keeps_plants_or_must_wait_says_so():
    farm = make_farm(crops=[make_crop("Lettuce"), make_crop("Basil")])
    ahead = Batch(rafts=(6,), cuts=((36, 6),))
    behind = Batch(crop="Basil", rafts=(6,), cuts=((34, 6),))
    found = {row[0][0]: row[4] for row in rows(farm, build(farm, ahead, behind), "cut")}
    assert found == {"Basil": ["raft is empty: out on Tue 7 Apr"], "Lettuce": ["raft is empty: out today"]}


def test_what_is_cut_from_a_raft_that_keeps_others_leaves_them_there():
    farm = make_farm()
    plan = build(farm, Batch(rafts=(6,), cuts=((34, 4),)))
    (whole,) = (row for row in plan.contents if row.unit == "R1")
    parts = (replace(whole, plants=4), replace(whole, plants=2, leaves=36))
    later = replace(plan.cuts[0], day=36, plants=2, heads=2)
    plan = replace(
        plan,
        contents=(*(row for row in plan.contents if row.unit != "R1"), *parts),
        cuts=(*plan.cuts, later),
        units=tuple(replace(row, emptied=36, leaves=36) if row.unit == "R1" else row for row in plan.units),
    )
    assert [row[1] + row[4] for row in rows(farm, plan, "cut")] == [
        ["4 heads", "cut 4 plants", "2 plants stay on the raft"],
        ["2 heads", "cut 2 plants", "raft is empty: out today"],
    ]


def test_taking_out_and_lifting_out():
    farm = make_farm()
    assert rows(farm, build(farm, Batch()), "out") == [
        [
            ["Empty rafts"],
            ["2 rafts", "6-hole raft"],
            ["Trough, row 1, slots 1, 2 (harvest end)"],
            [],
            ["the rafts behind close up"],
            ["rafts"],
        ]
    ]


def test_throwing_away_says_why():
    found = growing("Lettuce", StageKind.BOARD, -30, 12, 1)
    farm = make_farm(growing=[found])
    plan = build(farm, Batch(found=found, board_day=-30, raft_day=0, rafts=(), discarded=12, overdue=True))
    stood = PositionRow(unit="B1", place="Trough boards", slot=1, enters=-30, until=0)
    plan = replace(plan, positions=(*plan.positions, stood))
    assert rows(farm, plan, "discard") == [
        [
            ["Lettuce", "G"],
            ["12 plants"],
            ["Trough boards"],
            [],
            ["past its last good day"],
            ["plants"],
        ]
    ]


def test_washing():
    farm = make_farm(wash_days=2)
    assert rows(farm, build(farm, Batch()), "wash")[2] == [
        ["6-hole raft"],
        ["2 rafts"],
        ["Trough, row 1"],
        [],
        ["free again on Tue 7 Apr"],
        ["rafts"],
    ]


def test_a_delivery_says_lots_customer_and_what_is_short():
    farm = make_farm(demands=[delivery("Lettuce", 35, 9)])
    plan = build(farm, Batch(), fills=[("Lettuce 35", LOT, 34, 6)])
    assert rows(farm, plan, "deliver") == [
        [
            ["Lettuce", "Lettuce"],
            ["6 heads"],
            [f"6 heads {LOT}, cut Sun 5 Apr"],
            ["Harbour Table"],
            ["3 short of 9"],
            ["heads"],
        ]
    ]


def test_an_order_says_packs_and_until_when_and_that_it_is_late():
    row = SupplyRow(
        item="Head box",
        kind="packaging",
        crop_or_product="Lettuce",
        order_by=-2,
        arrive_by=9,
        covers_until=20,
        needed=400,
        packs=4,
        amount=1200,
        cost=123_400,
        late=True,
    )
    farm = make_farm()
    assert rows(farm, replace(build(farm), supplies=(row,)), "order") == [
        [
            ["Head box"],
            ["4 packs", "1,200 pieces in all"],
            ["supplier"],
            ["for Lettuce"],
            ["late: stock may run out before it comes"]
            + ["needed from Wed 11 Mar, lasts through Sun 22 Mar", "1,234.00 EUR"],
            ["packs"],
        ]
    ]


@pytest.mark.parametrize(
    ("number", "pack", "said"),
    [(1, "bunch", "bunch"), (2, "bunch", "bunches"), (0, "head", "heads"), (3, "piece", "pieces")],
)
def test_units_of_sale_have_their_plural(number, pack, said):
    assert packs(number, pack) == said
