"""More boxes, another share, one less."""

from datetime import date
from itertools import permutations

import pytest
from boxed_books import BOOK, WISHES, share_row
from scenarios import changed_of, farm_with, faults_with, one

MARCH = date(2026, 3, 16)
"""Day 14 of the small book, a Monday."""


def boxes(farm):
    """Return share -> day -> full and half boxes."""
    found = {}
    for box in farm.boxes.boxes:
        for each in box.days:
            found.setdefault(box.share, {})[each.day] = (each.boxes, each.halves)
    return found


def test_more_boxes_from_a_day_on_round_up_once_in_any_order(tmp_path):
    texts = [
        one("shares", percent=25, from_=MARCH),
        one("shares", percent=10, share=["Family box"]),
    ]
    changes = "share,from,to,change,boxes,times\nFamily box,2026-03-19,2026-03-19,boxes,20,\n"
    found = [boxes(farm_with(tmp_path, *order, **BOOK, box_changes=changes)) for order in permutations(texts)]
    assert found[0] == found[1]
    assert found[0]["Family box"] == {3: (11, 4), 10: (11, 4), 17: (28, 0), 24: (14, 5)}


def test_another_share_has_the_places_and_wishes_of_the_one_it_is_like(tmp_path):
    wishes = f"{WISHES}Family box,Basil bunch,dislike,,,,\n"
    text = one("add share", share="Office box", like="Family box", boxes=4, weekdays="Tue", from_=MARCH)
    farm = farm_with(tmp_path, text, **BOOK, box_wishes=wishes)
    assert boxes(farm)["Office box"] == {15: (4, 3), 22: (4, 3)}
    family, office = (farm.boxes.shares[name] for name in ("Family box", "Office box"))
    assert (office.slots, office.wishes) == (family.slots, family.wishes)
    assert office.past == ()


def test_a_share_ends_or_has_never_been(tmp_path):
    farm = farm_with(tmp_path, one("end share", share="Family box", from_=MARCH), **BOOK)
    assert set(boxes(farm)["Family box"]) == {3, 10}
    wishes = f"{WISHES}Family box,Basil bunch,dislike,,,,\n"
    made = changed_of(tmp_path, one("end share", share="Family box"), **BOOK, box_wishes=wishes).book()
    assert not any(made.rows(table) for table in ("box_shares", "box_slots", "box_wishes"))


@pytest.mark.parametrize(
    ("text", "told"),
    [
        (one("add share", share="Family box", like="Family box"),
         "s1.toml: change 1 (add share), share: found 'Family box' again; expected a name of its own "
         "(box_shares!A2 has it)"),
        (one("add share", share="Office box", like="Family box", boxes="many"),
         "s1.toml: change 1 (add share), boxes: found 'many'; expected a whole number"),
        (one("add share", share="Office box", like="Family box", colour="red"),
         "s1.toml: change 1 (add share), colour: found unknown key"),
        (one("end share", share="Famly box"),
         "s1.toml: change 1 (end share), share: found 'Famly box'; expected 'Family box'"),
        (one("shares", percent=10, share=["Office box"]),
         "s1.toml: change 1 (shares), share: found 'Office box'; expected 'Family box'"),
        (one("shares", percent=-200),
         "s1.toml: change 1 (shares), percent: found '-200'; expected -100 to 1000"),
    ],
)  # fmt: skip
def test_what_cannot_be_is_told_at_its_key(tmp_path, text, told):
    (fault,) = faults_with(tmp_path, text, **BOOK)
    assert fault.startswith(told)


def test_a_book_without_shares_is_told(tmp_path):
    (fault,) = faults_with(tmp_path, one("shares", percent=10))
    assert fault.startswith("s1.toml: change 1 (shares), percent: found a change of shares; expected a book")


def test_the_book_itself_may_multiply_its_boxes(tmp_path):
    changes = "share,from,to,change,times\nFamily box,2026-03-12,,times,2\n"
    shares = share_row(to="2026-03-27")
    farm = farm_with(tmp_path, **{**BOOK, "box_shares": shares}, box_changes=changes)
    assert boxes(farm)["Family box"] == {3: (10, 3), 10: (20, 6), 17: (10, 3), 24: (10, 3)}
