"""What boxes held goes into the book that follows: as delivered, else as planned."""

from dataclasses import replace
from datetime import timedelta

import pytest
from helpers import write_book
from plans import build
from recorded import CROPS, FIRST, PRODUCTS, cut, grown, now, tell, told

from scheduler.book.book import read_book, read_raw, typed_book
from scheduler.farm.build import build_farm
from scheduler.plan.rows import FillRow
from scheduler.records.box_past import boxes_before
from scheduler.records.next_book import Start, next_book

BOXES = {
    "crops": CROPS,
    "products": PRODUCTS,
    "box_categories": "category,product,price\nLeaves,Butterhead head,2\nLeaves,Basil,3\n",
    "box_shares": "share,boxes,weekdays,from\nBasket,20,Wed,2026-04-15\n",
    "box_slots": "share,slot,category,amount,most_products\nBasket,First,Leaves,1,2\n"
    "Basket,Second,Leaves,0.5,1\n",
}
DAYS = [FIRST + timedelta(days=day) for day in (44, 51, 58)]


@pytest.fixture(scope="module")
def book(tmp_path_factory):
    return write_book(tmp_path_factory.mktemp("boxes"), settings={"weeks": "12"}, **BOXES)


@pytest.fixture(scope="module")
def farm(book):
    return build_farm(read_book(book))


def given(heads, slot="First", day=51, lot="BUT-260302"):
    place = f"Basket {slot} {FIRST + timedelta(days=day)}"
    return told("delivered", day, lot=lot, heads=heads, delivery=place)


def filled(farm, *fills):
    rows = [
        FillRow(demand=f"Basket {slot} {FIRST + timedelta(days=day)}", crop=crop, lot=f"{crop} 1",
                cut_day=day - 1, heads=heads)
        for slot, day, crop, heads in fills
    ]  # fmt: skip
    return replace(build(farm), fills=tuple(rows))


def held(found):
    return [(share, (day - FIRST).days, product) for share, day, product in found.rows]


def entries(log):
    return [each.entry for each in log]


def test_what_was_delivered_for_a_box_is_what_it_held(farm):
    log = tell(farm, [], *grown(), cut(), given(20), given(10, slot="Second"))
    found = boxes_before(farm, entries(log), DAYS[1] + timedelta(days=1))
    assert held(found) == [("Basket", 51, "Butterhead head")]
    assert found.notes == (
        f"box_past: no delivery is recorded of the boxes of Basket on {DAYS[0]}; what they held is not known",
    )


def test_a_day_of_which_nothing_is_recorded_counts_as_planned_and_is_told(farm):
    log = tell(farm, [], *grown(), cut(), given(20))
    plan = filled(farm, ("First", 44, "Basil", 5), ("Second", 44, "Butterhead", 0), ("First", 51, "Basil", 9))
    found = boxes_before(farm, entries(log), DAYS[1] + timedelta(days=1), (farm, plan))
    assert held(found) == [("Basket", 44, "Basil"), ("Basket", 51, "Butterhead head")]
    assert found.notes == (
        f"box_past: no delivery is recorded of the boxes of Basket on {DAYS[0]}; taken as planned",
    )


def test_boxes_from_the_first_day_of_the_new_book_on_are_its_own(farm):
    log = tell(farm, [], *grown(), cut(), given(20))
    plan = filled(farm, ("First", 44, "Basil", 5), ("First", 51, "Basil", 9))
    assert held(boxes_before(farm, entries(log), DAYS[1], (farm, plan))) == [("Basket", 44, "Basil")]


def test_days_before_the_plan_that_nothing_is_recorded_of_are_as_that_plan_knew_them(book, farm):
    past = f"share,date,product\nBasket,{DAYS[0]},Basil\n"
    raw = read_raw(book)
    first = DAYS[0] + timedelta(days=2)
    made = next_book(raw, farm, now([]), Start(first_day=first, boxes=boxes_before(
        farm, [], first, (farm, filled(farm, ("First", 44, "Basil", 5))))))  # fmt: skip
    assert made.files["box_past.csv"].decode().replace("\r\n", "\n") == past
    later = build_farm(typed_book(made.raw))
    found = boxes_before(farm, [], DAYS[1], (later, build(later)))
    assert held(found) == [("Basket", 44, "Basil")]


def test_the_rules_of_boxes_go_on_in_the_new_book(tmp_path):
    old = "share,date,product\nBasket,2026-02-25,Basil\n"
    book = write_book(tmp_path, settings={"weeks": "12"}, **BOXES, box_past=old)
    farm = build_farm(read_book(book))
    log = tell(farm, [], *grown(), cut(), given(20))
    first = DAYS[1] + timedelta(days=1)
    before = boxes_before(farm, entries(log), first)
    made = next_book(read_raw(book), farm, now(log), Start(first_day=first, boxes=before))
    share = build_farm(typed_book(made.raw)).boxes.shares["Basket"]
    assert [sorted(box.products) for box in share.past] == [["Basil"], ["Butterhead head"]]
