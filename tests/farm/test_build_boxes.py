"""Box shares of a book: places, boxes by week, changes, what was before, and each fault with its cell."""

from dataclasses import replace

import pytest
from boxed_books import BOOK, CATEGORIES, CHANGES, SHARES, SLOTS, WISHES, share_row
from helpers import farm_of, faults_of

from scheduler.farm.orders.boxes import BoxDay, PastBox


def farm(folder, **tables):
    return farm_of(folder, **{**BOOK, **tables})


def faults(folder, **tables):
    return faults_of(folder, **{**BOOK, **tables})


def test_each_place_of_a_box_is_a_delivery_of_its_category(tmp_path):
    made = farm(tmp_path)
    assert [(d.name, d.customer, d.product, d.first, d.amount) for d in made.demands] == [
        ("Family box A head 2026-03-05", "Family box", "Heads", 3, 12),
        ("Family box Herbs 2026-03-05", "Family box", "Herbs", 3, 6),
        ("Family box A head 2026-03-12", "Family box", "Heads", 10, 12),
        ("Family box Herbs 2026-03-12", "Family box", "Herbs", 10, 6),
        ("Family box A head 2026-03-19", "Family box", "Heads", 17, 12),
        ("Family box Herbs 2026-03-19", "Family box", "Herbs", 17, 6),
        ("Family box A head 2026-03-26", "Family box", "Heads", 24, 12),
        ("Family box Herbs 2026-03-26", "Family box", "Herbs", 24, 6),
    ]
    assert {(d.firm, d.priority, d.price, d.max_age) for d in made.demands} == {
        (False, 2, 250, 2),
        (False, 2, 180, 2),
    }
    assert made.products["Heads"].sources == {"Butterhead": 1000, "Romaine": 1000}
    assert made.products["Herbs"].sources == {"Basil": 2000}
    assert [d.name for d in made.demands] == list(made.boxes.places)


def test_a_farm_without_shares_has_none(tmp_path):
    made = farm_of(tmp_path)
    assert not made.boxes
    assert set(made.products) == {"Butterhead head"}


@pytest.mark.parametrize(("half", "amount"), [("", 12), ("0", 10), ("1", 13), ("0.5", 12), ("0.3", 11)])
def test_what_all_boxes_of_a_day_need_rounds_up(tmp_path, half, amount):
    slots = f"share,slot,category,amount,half_amount\nFamily box,A head,Heads,1,{half}\n"
    assert farm(tmp_path, box_slots=slots).demands[0].amount == amount


def test_a_week_with_several_days_is_one_box(tmp_path):
    made = farm(tmp_path, box_shares=share_row(weekdays="Mon Thu", to="2026-03-12"))
    assert [[day.day for day in box.days] for box in made.boxes.boxes] == [[0, 3], [7, 10]]


def test_every_second_week(tmp_path):
    made = farm(tmp_path, box_shares=share_row(every_weeks="2", to="2026-03-31"))
    assert [[day.day for day in box.days] for box in made.boxes.boxes] == [[3], [17]]


def test_a_share_without_end_is_planned_past_the_last_day(tmp_path):
    made = farm(tmp_path, box_shares=share_row())
    assert made.calendar.span > made.calendar.days
    assert [box.reported for box in made.boxes.boxes].count(False) == (made.calendar.span - 56 + 3) // 7
    assert {d.reported for d in made.demands if d.first >= 56} == {False}


@pytest.mark.parametrize(
    ("change", "days"),
    [
        ("Family box,2026-03-12,,skip,,", [(3, 10, 3), (17, 10, 3), (24, 10, 3)]),
        ("Family box,2026-03-10,2026-03-22,pause,,", [(3, 10, 3), (24, 10, 3)]),
        ("Family box,2026-03-10,,pause,,", [(3, 10, 3)]),
        ("Family box,2026-03-13,,boxes,12,", [(3, 10, 3), (10, 10, 3), (17, 12, 0), (24, 12, 0)]),
        ("Family box,2026-03-01,2026-03-05,boxes,0,5", [(3, 0, 5), (10, 10, 3), (17, 10, 3), (24, 10, 3)]),
    ],
)
def test_a_share_changes_for_some_weeks(tmp_path, change, days):
    made = farm(tmp_path, box_changes=f"{CHANGES}{change}\n")
    found = [BoxDay(day=day, boxes=boxes, halves=halves) for day, boxes, halves in days]
    assert [day for box in made.boxes.boxes for day in box.days] == found
    assert [box.number for box in made.boxes.boxes] == list(range(len(days)))


def test_boxes_are_so_many_times_as_many_for_some_weeks_and_round_up_once(tmp_path):
    rows = "2026-03-05,2026-03-13,times,,,1.5\nFamily box,2026-03-12,2026-03-13,times,,,1.1\n"
    rows += "Family box,2026-03-12,2026-03-13,boxes,20,0,\nFamily box,2026-03-19,,times,,,2\n"
    made = farm(tmp_path, box_changes=f"{CHANGES.rstrip()},times\nFamily box,{rows}")
    found = [(day.day, day.boxes, day.halves) for box in made.boxes.boxes for day in box.days]
    assert found == [(3, 15, 5), (10, 33, 0), (17, 20, 6), (24, 10, 3)]


def test_boxes_before_the_first_day_are_kept_by_week(tmp_path):
    past = (
        "share,date,product\nFamily box,2026-02-26,Head\nFamily box,2026-02-24,Basil bunch\n"
        "Family box,2026-02-19,Long head\n"
    )
    share = farm(tmp_path, box_past=past).boxes.shares["Family box"]
    assert share.past == (
        PastBox(day=-11, products=frozenset({"Long head"})),
        PastBox(day=-4, products=frozenset({"Basil bunch", "Head"})),
    )


def test_boxes_of_the_first_week_that_went_out_before_bind_the_rest_of_it(tmp_path):
    tables = {"box_shares": share_row(weekdays="Tue Fri", to="2026-03-13")}
    past = "share,date,product\nFamily box,2026-03-03,Head\n"
    made = farm_of(tmp_path, {"first_day": "2026-03-05"}, **{**BOOK, **tables, "box_past": past})
    (first, second) = made.boxes.boxes
    heads, herbs = made.boxes.shares["Family box"].slots
    assert first.begun == {"Head"}
    assert made.boxes.candidates(first, heads) == ("Head",)
    assert made.boxes.candidates(first, herbs) == ("Basil bunch",)
    assert made.boxes.candidates(second, heads) == ("Head", "Long head")
    assert made.boxes.shares["Family box"].past == ()


def test_wishes_without_a_share_are_for_all(tmp_path):
    shares = share_row() + "Small box,4,0,Fri\n"
    slots = SLOTS + "Small box,A head,Heads,1,\n"
    wishes = (
        "share,product,wish,from,to,times,among_boxes\n,Head,never,2026-04-01,2026-04-30,,\n"
        "Small box,Long head,at most,,,1,4\n"
    )
    made = farm(tmp_path, box_shares=shares, box_slots=slots, box_wishes=wishes).boxes
    found = {name: [(w.product, w.kind) for w in share.wishes] for name, share in made.shares.items()}
    assert found == {
        "Family box": [("Head", "never")],
        "Small box": [("Head", "never"), ("Long head", "at most")],
    }
    (never,) = made.wishes("Family box", "never")
    assert (never.first, never.last) == (30, 59)
    (limit,) = made.limits("Small box")
    assert (limit.times, limit.among) == (1, 4)


def test_a_name_that_another_order_has_is_told_apart(tmp_path):
    orders = "order,customer,product,amount,weekdays\nFamily box A head,Inn,Head,1,Thu\n"
    made = farm(tmp_path, orders=orders)
    assert len({demand.name for demand in made.demands}) == len(made.demands)
    assert "Family box A head 2 2026-03-05" in made.boxes.places


def test_a_mix_may_be_all_of_a_category(tmp_path):
    recipes = "product,grams,crop,percent,grams_per_plant\nMix,100,Romaine,60,120\nMix,,Butterhead,40,120\n"
    slots = SLOTS + "Family box,Bag,Salad,1,\n"
    made = farm_of(
        tmp_path,
        **{**BOOK, "recipes": recipes, "box_categories": CATEGORIES + "Salad,Mix,4\n", "box_slots": slots},
    )
    assert made.boxes.categories["Salad"].product_of == {"Romaine": "Mix", "Butterhead": "Mix"}
    assert replace(made.products["Salad"], name="Mix") == made.products["Mix"]
    assert {d.product for d in made.demands if d.name.startswith("Family box Bag")} == {"Salad"}


@pytest.mark.parametrize(
    ("table", "text", "fault"),
    [
        (
            "box_categories",
            CATEGORIES + "Heads,Head,1\n",
            "box_categories!B5: found 'Head' again for 'Heads'; expected each product of a category once",
        ),
        (
            "box_categories",
            CATEGORIES + "Herbs,Basil pot,1\n",
            "box_categories!B5: found 'Basil pot', of the crop 'Basil'; expected one product of a crop in a "
            "category ('Basil bunch' has it)",
        ),
        (
            "box_categories",
            CATEGORIES + "Head,Head,1\n",
            "box_categories!A5: found 'Head' as a category; expected a name of its own: a product is called "
            "'Head'",
        ),
        (
            "box_categories",
            CATEGORIES + "Heads,Mix,1\n",
            "box_categories!B5: found 'Mix', which is a mix, beside others; expected a mix alone in its "
            "category: heads tell which of several products they go in as",
        ),
        (
            "box_categories",
            CATEGORIES + "Herbs,Basl pot,1\n",
            "box_categories!B5: found 'Basl pot', which is not in products; expected 'Basil pot'?",
        ),
        (
            "box_shares",
            SHARES + "Small box,2,0,Fri,\n",
            "box_shares!A3: found no place in the boxes of 'Small box'; expected at least one row of "
            "box_slots for 'Small box'",
        ),
        (
            "box_shares",
            share_row(least_value="9", most_value="8.5"),
            "box_shares!F2: found 8.50; expected at least least_value (box_shares!E2)",
        ),
        (
            "box_shares",
            share_row(boxes="-1"),
            "box_shares!B2: found '-1'; expected 0 to 100000 (count)",
        ),
        (
            "box_slots",
            SLOTS + "Family box,Herbs,Heads,1,\n",
            "box_slots!B4: found 'Herbs' again for 'Family box'; expected each place of a box once",
        ),
        (
            "box_slots",
            SLOTS + "Family box,Third,Heads,0,\n",
            "box_slots!D4: found '0'; expected 0.05 to 1000 (units)",
        ),
        (
            "box_slots",
            "share,slot,category,amount,most_products\nFamily box,Herbs,Herbs,1,2\n",
            "box_slots!E2: found 2; expected at most 1, the products of 'Herbs'",
        ),
        (
            "box_slots",
            SLOTS + "Famly box,Third,Heads,1,\n",
            "box_slots!A4: found 'Famly box', which is not in box_shares; expected 'Family box'?",
        ),
        (
            "box_wishes",
            WISHES + ",Head,at most,,,2,\n",
            "box_wishes!G2: found a blank cell; expected among_boxes, which 'at most' needs",
        ),
        (
            "box_wishes",
            WISHES + ",Head,favourite,,,2,\n",
            "box_wishes!F2: found times for favourite; expected a blank cell: only 'at most' has one",
        ),
        (
            "box_wishes",
            WISHES + ",Head,liked,,,,\n",
            "box_wishes!C2: found 'liked'; expected favourite, dislike, never or at most "
            "(did you mean dislike?)",
        ),
        (
            "box_wishes",
            WISHES + ",Head,never,2026-05-02,2026-05-01,,\n",
            "box_wishes!E2: found 2026-05-01; expected 2026-05-02 or later (from)",
        ),
        (
            "box_changes",
            CHANGES + "Family box,2026-03-12,,boxes,,2\n",
            "box_changes!E2: found a blank cell; expected the other number of full boxes",
        ),
        (
            "box_changes",
            CHANGES + "Family box,2026-03-12,,skip,3,\n",
            "box_changes!E2: found boxes for skip; expected blank: nothing is delivered",
        ),
        (
            "box_changes",
            CHANGES + "Family box,2026-03-12,,times,,\n",
            "box_changes!A2: found a blank cell; expected how many times the usual number",
        ),
        (
            "box_changes",
            CHANGES.rstrip() + ",times\nFamily box,2026-03-12,,times,3,,2\n",
            "box_changes!E2: found boxes for times; expected a blank cell: times says how many",
        ),
        (
            "box_past",
            "share,date,product\nFamily box,2026-03-02,Head\n",
            "box_past!B2: found 2026-03-02; expected a day before the first day, 2026-03-02",
        ),
    ],
)
def test_each_fault_is_told_with_its_cell(tmp_path, table, text, fault):
    recipes = "product,grams,crop,percent,grams_per_plant\nMix,100,Romaine,60,120\nMix,,Butterhead,40,120\n"
    assert faults(tmp_path, **{"recipes": recipes, table: text}) == [fault]
