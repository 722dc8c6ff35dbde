"""What each crop earns for the space it takes, worked out by hand, and sums that are those of the plan."""

from dataclasses import replace
from fractions import Fraction
from pathlib import Path

import pytest
from boxed_plans import boxed_farm, boxed_plan
from crops_paid import FILLS, KALE, LETTUCE, both, kale, lettuce, two_crops
from farms import chore, delivery, growing, make_crop, make_farm, make_mix, market
from hypothesis import given, settings
from hypothesis import strategies as st
from plans import build, settle
from samples import small_farm, small_plan

from scheduler.book.book import read_book
from scheduler.farm.build import build_farm
from scheduler.farm.crops import StageKind
from scheduler.farm.farm import Substitute
from scheduler.farm.loops.water import Water
from scheduler.outputs.csv_folder import read_plan
from scheduler.outputs.show.answer import answer
from scheduler.outputs.show.page import rendered
from scheduler.plan.bed_rows import PlantingRow
from scheduler.plan.rows import LotRow, SaleRow
from scheduler.plan.views.crop_money import money_by_crop
from scheduler.plan.views.money import money

EXAMPLE = Path(__file__).resolve().parents[3] / "examples" / "alder-quay"


def by_name(farm, plan):
    return {line.crop: line for line in money_by_crop(farm, plan).crops}


def agrees(farm, plan):
    """The lines add up to the whole, and the whole is what the plan brings and pays on its days."""
    found = money_by_crop(farm, plan)
    lines = (*found.crops, found.rest)
    assert sum(line.brought for line in lines) == found.whole.brought
    assert sum(line.paid for line in lines) == found.whole.paid
    assert sum(line.minutes for line in lines) == found.whole.minutes
    wanted = money(farm, plan).between(0, farm.calendar.days - 1)
    assert (found.whole.brought, found.whole.paid) == wanted
    days = farm.calendar.days
    assert found.whole.minutes == sum(row.minutes for row in plan.hours if row.day < days)
    return found


def test_two_crops_by_hand():
    farm = two_crops()
    found = agrees(farm, both(farm))
    first, second = found.crops
    # 12 seeds; a tray and two rafts; 12 cells and 12 plants at 0.1 and 12 plants at 0.5 minutes: 8.4 minutes
    assert (first.crop, first.brought, first.seed, first.filling) == ("Lettuce", 1000, 24, 90)
    assert (first.minutes, first.work, first.left) == (8_40, 168, 718)
    # two rafts for 4 days, a tray for 3
    assert (first.area, first.slots) == (Fraction(4, 7), Fraction(3, 7))
    assert first.for_area == Fraction(718 * 7, 4)
    # cut twice: 12 plants at a minute, one raft for 7 days
    assert (second.crop, second.brought, second.seed, second.filling) == ("Kale", 900, 0, 70)
    assert (second.minutes, second.work, second.left) == (12_00, 240, 590)
    assert (second.area, second.for_area) == (Fraction(1, 2), 1180)
    assert found.rest.is_empty


def test_what_earns_more_for_its_space_stands_first_whatever_it_brings_in_all():
    farm = two_crops(demands=[delivery("Lettuce", 9, 10, price=95), *two_crops().demands[::2]])
    plan = both(farm)
    assert by_name(farm, plan)["Lettuce"].left == 950 - 282 > by_name(farm, plan)["Kale"].left
    assert [line.crop for line in money_by_crop(farm, plan).crops] == ["Kale", "Lettuce"]


def test_a_crop_that_is_sold_nowhere_costs_and_stands_last():
    farm = two_crops()
    found = agrees(farm, both(farm, fills=FILLS[:1]))
    last = found.crops[-1]
    assert (last.crop, last.brought, last.left, last.for_area) == ("Kale", 0, -310, -620)


def test_what_was_found_growing_is_not_paid_again_and_holds_its_space_from_the_first_day():
    stands = growing("Lettuce", StageKind.RAFT, since=-2, plants=6, units=1)
    farm = two_crops(growing=[stands], demands=[delivery("Lettuce", 4, 6)])
    plan = build(farm, lettuce(found=stands, cuts=((3, 6),)), fills=[("Lettuce 4", "G", 3, 6)])
    agrees(farm, plan)
    line = by_name(farm, plan)["Lettuce"]
    assert (line.brought, line.seed, line.filling, line.minutes) == (600, 0, 0, 3_00)
    assert (line.area, line.slots) == (Fraction(3, 14), 0)


def test_a_mix_is_split_by_weight():
    salad = make_mix("Salad", 100, ("Lettuce", 0, 50, 100, 20), ("Kale", 0, 50, 100, 30))
    farm = two_crops(mixes=[salad], demands=[delivery("Salad", 9, 4)])
    plan = build(
        farm,
        lettuce(),
        kale(rows=3, rafts=(6, 6)),
        fills=[("Salad 9", LETTUCE, 9, 5), ("Salad 9", KALE, 9, 10)],
    )
    agrees(farm, plan)
    lines = by_name(farm, plan)  # 100 g and 300 g
    assert (lines["Lettuce"].brought, lines["Kale"].brought) == (100, 300)


def test_a_product_of_several_crops_is_split_by_the_units_their_heads_make():
    leaf = {"Leaf": {"Lettuce": 1000, "Kale": 2000}}
    farm = two_crops(products=leaf, demands=[delivery("Leaf", 9, 6)])
    plan = both(farm, fills=[("Leaf 9", LETTUCE, 9, 4), ("Leaf 9", KALE, 9, 4)])
    agrees(farm, plan)
    lines = by_name(farm, plan)
    assert (lines["Lettuce"].brought, lines["Kale"].brought) == (400, 200)


def test_a_substitute_brings_its_own_price():
    instead = (Substitute(product="Kale", rank=1, price=50),)
    farm = two_crops(demands=[delivery("Lettuce", 9, 6, substitutes=instead)])
    plan = both(farm, fills=[("Lettuce 9", LETTUCE, 9, 4), ("Lettuce 9", KALE, 9, 2, "Kale")])
    agrees(farm, plan)
    lines = by_name(farm, plan)
    assert (lines["Lettuce"].brought, lines["Kale"].brought) == (400, 100)


def test_what_an_outlet_takes_goes_to_the_crop_it_sells():
    farm = two_crops(outlets=[market("Lettuce", [9], (1, 90), (5, 60))])
    sale = SaleRow(outlet="Market", product="Lettuce", day=9, crop="Lettuce", lot=LETTUCE, cut_day=9, heads=2)
    plan = settle(farm, replace(both(farm), sales=(sale,)))
    agrees(farm, plan)
    lines = by_name(farm, plan)
    assert (lines["Lettuce"].brought, lines["Kale"].brought) == (1000 + 90 + 60, 900)


def test_places_of_boxes_go_to_the_crops_in_them():
    farm = boxed_farm()
    plan = boxed_plan(farm)
    agrees(farm, plan)
    lines = by_name(farm, plan)
    assert min(lines[name].brought for name in ("Lettuce", "Kale", "Cress")) > 0


def test_a_tray_that_two_crops_share_is_paid_and_held_by_their_plants():
    farm = two_crops()
    plan = both(farm)
    one, other = (unit.unit for unit in plan.units if unit.item == "tray")
    shared = replace(
        plan,
        units=tuple(unit for unit in plan.units if unit.unit != other),
        contents=tuple(replace(row, unit=one) if row.unit == other else row for row in plan.contents),
        positions=tuple(row for row in plan.positions if row.unit != other),
    )
    agrees(farm, settle(farm, shared))
    lines = by_name(farm, settle(farm, shared))  # 12 and 8 cells
    assert (lines["Lettuce"].filling, lines["Kale"].filling) == (30 + 40, 20 + 20)
    assert (lines["Lettuce"].slots, lines["Kale"].slots) == (Fraction(9, 35), Fraction(6, 35))


def test_an_empty_raft_that_keeps_its_slot_holds_it_for_what_was_in_it_last():
    farm = two_crops()
    plan = build(farm, lettuce(leaves=12))
    assert by_name(farm, plan)["Lettuce"].area == 2 * Fraction(7, 2) / 7


def test_a_bed_is_held_by_its_positions_until_they_are_cleaned_up_and_by_area_where_it_is_known():
    crop = make_crop("Tomato", bed=(4, 10_000), curve=(1500,), minutes={"bed": 1_00, "clear": 2_00})
    farm = make_farm(days=28, crops=[crop], beds={"Bed": 12}, costs={"hour": 12_00})
    lot = LotRow(
        lot="T", crop="Tomato", origin="sown", sown=0, cells=0, seeds=0, plants=9, discarded=0, overdue=False
    )
    planting = PlantingRow(
        planting="P",
        bed="Bed",
        positions="1-8, 12",
        lot="T",
        plants=9,
        enters=3,
        leaves=15,
        free=17,
        from_day=0,
    )
    plan = settle(farm, replace(build(farm), lots=(lot,), plantings=(planting,)))
    (line,) = agrees(farm, plan).crops
    assert (line.minutes, line.work) == (9 * 3_00, 540)
    assert (line.area, line.slots) == (0, 9 * 2)
    wet = replace(farm, water=Water(bed_areas={"Bed": 250_000}))
    (line,) = money_by_crop(wet, plan).crops
    assert (line.area, line.slots) == (Fraction(9, 2), 0)


def test_chores_are_not_of_one_crop():
    farm = two_crops(chores=[chore(3, 5_00)])
    found = agrees(farm, both(farm))
    assert (found.rest.minutes, found.rest.work, found.rest.left) == (5_00, 100, -100)
    assert found.whole.left == 718 + 590 - 100


def test_lifting_a_raft_is_work_of_the_crop_on_it():
    farm = two_crops(rules={"lift_out": True, "lift_minutes": 10_00})
    plan = build(farm, kale(lane="Trough 1"), lettuce(), fills=FILLS)
    agrees(farm, plan)
    lines = by_name(farm, plan)
    assert (lines["Lettuce"].minutes, lines["Kale"].minutes) == (8_40 + 2 * 10_00, 12_00)


def test_only_days_that_are_reported_count():
    farm = two_crops()
    short = replace(farm, calendar=replace(farm.calendar, days=8, span=28))
    short = replace(short, demands=tuple(replace(each, reported=False) for each in farm.demands))
    plan = both(short)
    agrees(short, plan)
    line = by_name(short, plan)["Lettuce"]
    assert (line.brought, line.area, line.minutes) == (0, Fraction(3, 7), 2_40)


def test_without_prices_crops_keep_the_order_of_the_book():
    free = [replace(demand, price=0) for demand in two_crops().demands]
    farm = two_crops(demands=free)
    found = agrees(farm, both(farm))
    assert not found.priced
    assert [line.crop for line in found.crops] == ["Lettuce", "Kale"]


def test_rows_that_name_what_the_farm_does_not_have_are_not_of_one_crop():
    found = money_by_crop(small_farm(), small_plan())
    assert found.crops == ()
    assert found.rest.brought == found.whole.brought > 0


@settings(max_examples=25, deadline=None, derandomize=True)
@given(st.data())
def test_sums_agree_for_any_batches_and_any_last_day(data):
    draw = data.draw
    stands = growing(
        "Kale", StageKind.RAFT, since=draw(st.integers(-5, 0)), plants=6, units=1, place="Trough 2"
    )
    farm = two_crops(
        growing=[stands],
        lane_slots=60,
        tier_slots=60,
        demands=[
            delivery(crop, day, draw(st.integers(1, 9)))
            for crop in ("Lettuce", "Kale")
            for day in range(5, 18)
        ],
        chores=[chore(draw(st.integers(0, 20)), 3_00)],
        rules={"lift_out": draw(st.booleans())},
    )
    days = draw(st.integers(1, 28))
    farm = replace(
        farm,
        calendar=replace(farm.calendar, days=days, span=28),
        demands=tuple(replace(each, reported=each.first < days) for each in farm.demands),
    )
    batches, fills = [kale(found=stands, cuts=((5, 6),))], [("Kale 5", "G", 5, draw(st.integers(0, 6)))]
    for start in range(draw(st.integers(0, 5))):
        rafts = [6] * draw(st.integers(1, 4))
        shift = {"sown": 2 + start, "raft_day": 5 + start, "rafts": rafts, "rows": 3}
        if draw(st.booleans()):
            batches.append(lettuce(**shift, cuts=((9 + start, 6),)))
            fills.append(
                (f"Lettuce {9 + start}", f"LET-26030{4 + start}", 9 + start, draw(st.integers(0, 6)))
            )
        else:
            batches.append(kale(**shift, cuts=((9 + start, 6), (12 + start, 6))))
            fills.append((f"Kale {12 + start}", f"KAL-26030{4 + start}", 12 + start, draw(st.integers(0, 6))))
    agrees(farm, build(farm, *batches, fills=fills))


def test_sums_agree_for_the_plan_of_an_example():
    farm = build_farm(read_book(EXAMPLE / "book"))
    found = agrees(farm, read_plan(EXAMPLE / "plan", farm.calendar))
    earned = [line.for_area for line in found.crops]
    assert len(earned) > 3
    assert earned == sorted(earned, reverse=True)


@pytest.mark.parametrize("changes", [{}, {"price": 0}])
def test_the_page_in_the_terminal_to_the_letter(changes):
    demands = [replace(demand, **changes) for demand in two_crops().demands]
    farm = two_crops(demands=demands, chores=[chore(3, 90_00)])
    page = rendered(answer(farm, both(farm), "money", "", 0))
    assert page == (HOURS_ONLY if changes else PAGE)


PAGE = """\
Test farm: Mon 2 Mar 2026 to Sun 29 Mar 2026

What is left for the space each crop takes, in EUR
                                              left m²-weeks slot-weeks a m²-week
Lettuce                                       7.18      0.6        0.4     12.57
Kale                                          5.90      0.5        0.4     11.80
not of one crop                             -18.00
all                                          -4.92      1.1        0.9

How that comes about
                                         brought seed filling hours  work   left
Lettuce                                    10.00 0.24    0.90   0.1  1.68   7.18
Kale                                        9.00 0.00    0.70   0.2  2.40   5.90
not of one crop                             0.00 0.00    0.00   1.5 18.00 -18.00
all                                        19.00 0.24    1.60   1.8 22.08  -4.92

Counted on the days of the plan: what grew before is not paid again, and what is
filled near the end is paid although it is sold later.
Slot-weeks are of slots whose area is not known, such as those of trays on
shelves.
Not of one crop: chores of the house, and lifting rafts that several crops
share.
"""

HOURS_ONLY = """\
Test farm: Mon 2 Mar 2026 to Sun 29 Mar 2026

Hours and space
                                                       hours m²-weeks slot-weeks
Lettuce                                                  0.1      0.6        0.4
Kale                                                     0.2      0.5        0.4
not of one crop                                          1.5
all                                                      1.8      1.1        0.9

The book has no price for what is sold: only hours and space are told.
Slot-weeks are of slots whose area is not known, such as those of trays on
shelves.
Not of one crop: chores of the house, and lifting rafts that several crops
share.
"""
