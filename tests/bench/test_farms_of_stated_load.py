from dataclasses import replace

import pytest
from bench.trials.books import book_of, farm_of, mark_of, write_book
from bench.trials.families import FAMILIES, LOADS, SHAPES, Case, resized
from bench.trials.load import load_of, mean_week
from click.testing import CliRunner
from farms import delivery, make_crop, make_farm

from scheduler.book.book import read_book, typed_book
from scheduler.cli.convert_command import convert
from scheduler.farm.build import build_farm
from scheduler.farm.calendar import Work
from scheduler.farm.farm import Substitute
from scheduler.farm.places import PlaceKind


def case(name="micro", load=85, orders="steady", seed=1):
    return Case(family=FAMILIES[name], load=load, orders=orders, seed=seed)


def weekly(product, amount, weeks, weekday=0, first=63, **changes):
    days = range(first + weekday, first + 7 * weeks, 7)
    return [delivery(product, day, amount, **({"order": product} | changes)) for day in days]


def test_the_same_case_always_gives_the_same_book():
    for orders in SHAPES:
        first, second = (book_of(case(orders=orders)) for _ in range(2))
        assert first == second
        assert mark_of(first) == mark_of(second)


def test_another_seed_gives_another_farm():
    assert mark_of(book_of(case(seed=1))) != mark_of(book_of(case(seed=2)))


@pytest.mark.parametrize(
    ("name", "orders"),
    [
        ("micro", "jumpy"),
        ("small", "steady"),
        ("boxes", "jumpy"),
        ("medium6", "seasonal"),
        ("medium12", "jumpy"),
    ],
)
def test_a_written_book_has_no_fault_and_the_size_of_its_family(name, orders, tmp_path):
    made = case(name, orders=orders)
    farm = build_farm(read_book(write_book(made, tmp_path)))
    family = FAMILIES[name]
    lanes = farm.places_of(PlaceKind.LANE)
    assert [lane.slots.on(0) for lane in lanes] == list(family.rows)
    assert sum(place.slots.on(0) for place in farm.places_of(PlaceKind.ZONE)) == family.board_slots
    assert len(farm.crops) == family.crops
    assert farm.calendar.days == 7 * family.weeks
    assert farm.demands == farm_of(made).demands


def test_a_written_book_can_be_turned_into_a_workbook(tmp_path):
    folder = write_book(case(), tmp_path)
    done = CliRunner().invoke(convert, [str(folder), str(tmp_path / "book.xlsx")])
    assert done.exit_code == 0, done.output
    assert build_farm(read_book(tmp_path / "book.xlsx")).demands == farm_of(case()).demands


@pytest.mark.parametrize("load", LOADS)
@pytest.mark.parametrize("orders", SHAPES)
def test_the_load_of_a_farm_is_as_stated(load, orders):
    assert load_of(farm_of(case("small", load, orders))) == pytest.approx(load, rel=0.01)


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_boxes_take_about_half_of_what_is_wanted_and_have_a_choice_in_every_place(seed):
    farm = farm_of(case("boxes", seed=seed))
    assert load_of(farm) == pytest.approx(85, rel=0.02)
    late = [d for d in farm.demands if d.reported and d.first >= farm.boxes.boxes[0].days[0].day]
    boxed = sum(d.amount for d in late if d.name in farm.boxes.places)
    assert 0.4 < boxed / sum(d.amount for d in late) < 0.6
    assert sorted(share.firm for share in farm.boxes.shares.values()) == [False, True]
    for share in farm.boxes.shares.values():
        assert share.most_running == 2
        assert all(len(farm.boxes.categories[slot.category].prices) > 1 for slot in share.slots)


def test_heads_that_are_ordered_have_a_substitute_that_brings_less():
    farm = farm_of(case("boxes"))
    ordered = [d for d in farm.demands if d.substitutes]
    assert ordered
    for demand in ordered:
        (other,) = demand.substitutes
        assert other.product != demand.product
        assert farm.boxes.categories["A head"].prices.keys() >= {demand.product, other.product}
        assert 0 < other.price < demand.price
    assert not any(d.substitutes for d in farm_of(case("small")).demands)


def test_a_farm_of_boxes_with_few_crops_has_boxes_that_take_no_turns():
    farm = farm_of(replace(case("boxes"), family=resized(FAMILIES["boxes"], 20, 3, 4)))
    assert {share.most_running for share in farm.boxes.shares.values()} == {None}
    assert all(demand.amount > 0 for demand in farm.demands)


def test_what_may_stand_in_counts_for_the_load():
    crops = [make_crop(name, raft=(14, 0, 10_000)) for name in ("Lettuce", "Romaine")]
    alone = [replace(crops[0], lanes=frozenset()), crops[1]]
    other = (Substitute(product="Romaine", rank=1, price=80),)
    wanted = weekly("Lettuce", 9, 9, substitutes=other)
    assert load_of(make_farm(days=126, crops=crops, demands=wanted)) == pytest.approx(50)
    assert mean_week(make_farm(days=126, crops=alone, demands=wanted))[0].products == ("Lettuce", "Romaine")


def test_orders_of_micro_farms_are_of_8_to_30_heads():
    for seed in (1, 2, 3):
        amounts = [d.amount for d in farm_of(case(seed=seed)).demands if d.reported and not d.is_target]
        assert 8 <= min(amounts) <= max(amounts) <= 30


def test_jumpy_orders_vary_more_than_steady_ones():
    def spread(orders):
        farm = farm_of(case("small", orders=orders))
        by_order = {}
        for demand in farm.demands:
            if not demand.is_target:
                by_order.setdefault(demand.order, set()).add(demand.amount)
        return max(len(amounts) for amounts in by_order.values())

    assert spread("steady") == 1
    assert spread("seasonal") > 3
    assert spread("jumpy") > 3


def test_a_farm_of_another_size_has_the_same_load():
    larger = replace(case("small"), family=resized(FAMILIES["small"], 39, 8, 8))
    farm = build_farm(typed_book(book_of(larger)))
    assert len(farm.places_of(PlaceKind.LANE)) == 8
    assert len(farm.crops) == 8
    assert farm.calendar.days == 7 * 39
    assert larger.name == "small-85-steady-1-39weeks-8rows-8crops"
    assert load_of(farm) == pytest.approx(85, rel=0.01)


def test_the_load_is_what_rows_can_bear_when_rafts_stay_two_weeks():
    # 6 slots of 6 plants for 14 days: 18 heads a week, whatever day they are cut on
    farm = make_farm(
        days=126,
        crops=[make_crop("Lettuce", raft=(14, 0, 10_000))],
        demands=weekly("Lettuce", 9, 9),
    )
    assert load_of(farm) == pytest.approx(50)


def test_the_load_counts_losses_and_the_scarcest_place():
    half = [make_crop("Lettuce", raft=(14, 0, 5_000))]
    farm = make_farm(days=126, crops=half, demands=weekly("Lettuce", 9, 9))
    assert load_of(farm) == pytest.approx(100)
    # one board of 12 holes for 10 days: 8.4 plants a week
    narrow = make_farm(days=126, zone_slots=1, demands=weekly("Lettuce", 4, 9))
    assert load_of(narrow) == pytest.approx(100 * 4 / 8.4)


def test_the_load_knows_that_rafts_stand_from_one_work_day_to_another():
    # set out on Mondays, cut on Thursdays: 14 days become 17
    farm = make_farm(
        days=126,
        crops=[make_crop("Lettuce", raft=(14, 6, 10_000))],
        work_days={Work.RAFT: [0], Work.HARVEST: [3]},
        lane_slots=6,
        demands=weekly("Lettuce", 6, 9, weekday=3),
    )
    # three weeks' rafts stand on the days from Monday to Wednesday
    assert load_of(farm) == pytest.approx(100 * 6 / 12)


def test_the_mean_week_begins_when_all_orders_have():
    wanted = [*weekly("Lettuce", 10, 9), *weekly("Lettuce", 4, 2, weekday=2, first=112, order="late")]
    farm = make_farm(days=126, demands=[replace(d, name=f"{n}") for n, d in enumerate(wanted)])
    late = [(want.first, want.amount) for want in mean_week(farm)]
    assert late == [(0, 10.0), (2, 4.0)]
