"""The screen of ``raftway offer``: yes or no, from when, how much, who would get less, and the row to add."""

from dataclasses import replace

from farms import delivery
from model.test_offer import asked, base

from scheduler.outputs.offer import Question, offer_parts
from scheduler.outputs.show.page import rendered


def page(farm, amount, dated=False, **changes):
    question = Question(
        amount=amount,
        product="Lettuce",
        weekdays="Wed",
        dated=dated,
        cells={"order": "NEW-1", "product": "Lettuce", "amount": str(amount), "from": "", "kind": ""},
    )
    text = rendered(offer_parts(farm, question, replace(asked(farm, amount), **changes), "price as given"))
    assert max(map(len, text.splitlines())) <= 80
    return " ".join(text.split())


def test_an_order_that_fits_is_told_with_day_money_greatest_amount_and_row():
    text = page(base(costs={"raft": 10}), 6)
    assert text.startswith(
        "Test farm: 6 Lettuce every Wed Yes, from Wed 11 Mar 2026 on: all its 3 deliveries "
    )
    assert "It earns 9.00 EUR in this plan (price as given); the whole plan costs 0.30 EUR more." in text
    assert "Greatest amount from Wed 11 Mar 2026 on: 6 a delivery; 7 does not fit." in text
    assert "add this row to the table orders order NEW-1 product Lettuce amount 6 from 2026-03-11" in text
    assert "too early" not in text
    assert "1 before Wed 11 Mar 2026: too early" in page(base(), 6, dated=True)


def test_one_that_does_not_fit_is_told_with_whom_it_would_cost():
    text = page(base(), 8)
    assert (
        "No way was found to take it to the end of the plan, from Wed 11 Mar 2026 or from any later day on, "
        "without others getting less."
    ) in text
    assert (
        "Taken from Wed 11 Mar 2026 on all the same: 3 deliveries that would get less, 3 of them firm" in text
    )
    assert "Wed 11 Mar Harbour Table Lettuce 2 of 6 less" in text
    assert "To take it" not in text


def test_one_that_fits_later_says_from_when():
    text = page(base(delivery("Lettuce", 16, 6, name="Feast", max_age=0)), 3)
    assert "From Wed 11 Mar 2026 on no way was found; from Wed 25 Mar 2026 on: its only delivery " in text
    assert "No amount was found that fits from Wed 11 Mar 2026 on." in text
    assert "from 2026-03-25" in text


MORE = "That is no proof that there is none; --seconds gives the search more."


def test_what_was_not_looked_at_to_the_end_is_not_told_as_what_cannot_be():
    text = page(base(), 8, ended=False, displacing=None)
    assert "No way was found in the time to take it to the end of the plan" in text
    assert f"without others getting less. {MORE}" in text
    assert "Nor was a way found in the time to take it from then on at the expense of others." in text
    later = page(base(delivery("Lettuce", 16, 6, name="Feast", max_age=0)), 3, ended=False)
    assert "From Wed 11 Mar 2026 on no way was found in the time; from Wed 25 Mar" in later
    assert f"and no other gets less. {MORE}" in later


def test_where_nothing_was_tried_nothing_else_is_said():
    text = page(base(), 8, tried=False)
    said = "Not known: the time was up before anything was tried; --seconds gives it more."
    assert text == f"Test farm: 8 Lettuce every Wed {said}"
