"""The screen of ``raftway explain``: causes and reliefs in growers' words, within 80 columns."""

from dataclasses import replace

import pytest
from farms import delivery, make_farm
from model.explain.planted import DAYS, PLANTED, WIDE, greens, lettuce, planted
from solving import quick_crop, solved

from scheduler.model.explain import explain
from scheduler.model.settings import SolveSettings
from scheduler.outputs.explain import explain_parts
from scheduler.outputs.relief_words import between, grant_in_words, hours
from scheduler.outputs.show.page import rendered
from scheduler.plan.relief import Grant, Limit
from scheduler.plan.views.bottleneck import bottlenecks


def page(farm, seconds=60.0, most=5):
    plan = solved(farm)
    found = explain(farm, plan, SolveSettings(seconds=seconds, deterministic=True), most)
    return rendered(explain_parts(farm, found.explained, found.left, bottlenecks(farm, plan)))


def joined(text):
    return " ".join(text.split())


SAID = {
    Limit.SHELF: (
        "every tray place on Shelf 1 is taken from Mon 2 Mar to Wed 4 Mar.",
        "Filled with 1 more tray place on Shelf 1 from Mon 2 Mar to Wed 4 Mar.",
    ),
    Limit.TRAYS: (
        "every 20-cell tray is in use or being washed from Mon 2 Mar to Wed 4 Mar.",
        "Filled with 1 more 20-cell tray, needed from Mon 2 Mar to Wed 4 Mar.",
    ),
    Limit.ZONE: (
        "every board place in Trough boards is taken from Thu 5 Mar to Sat 7 Mar.",
        "Filled with 1 more board place in Trough boards from Thu 5 Mar to Sat 7 Mar.",
    ),
    Limit.BOARDS: ("every 12-hole board is in use", "Filled with 1 more 12-hole board, needed"),
    Limit.ROW: (
        "every raft place in row Trough 1 is taken",
        "Filled with 2 more raft places in row Trough 1 from Thu 5 Mar to Sun 8 Mar.",
    ),
    Limit.RAFTS: ("every 6-hole raft is in use", "Filled with 2 more 6-hole rafts, needed"),
    Limit.BED: (
        "every position in Bed is taken from Thu 5 Mar",
        "Filled with 2 more positions in Bed from Thu 5 Mar to Sat 21 Mar.",
    ),
    Limit.COOLER: (
        "every crate place in Cold room is taken on Mon 9 Mar.",
        "Filled with 1 more crate place in Cold room on Mon 9 Mar.",
    ),
    Limit.DOMES: ("every dome is in use", "Filled with 1 more dome, needed from Mon 2 Mar to Tue 3 Mar."),
    Limit.HOURS: (
        "the crew's hours are used up on Mon 9 Mar.",
        "Filled with 14 minutes more work on Mon 9 Mar.",
    ),
    Limit.ORDER: (
        "the order of the rows: rafts that are cut wait behind others that are not.",
        "Filled with 1 raft lifted out past others on Sat 14 Mar. Or with 1 more raft place in row Trough 1",
    ),
    Limit.REST: (
        "row Trough 1 rests 3 days between two crops.",
        "Filled with a rest of 1 day less in row Trough 1 from Tue 10 Mar to Wed 11 Mar. The rest is there "
        "for cleaning: judge yourself whether that leaves time enough.",
    ),
    Limit.SOWING: (
        "no sowing window: Lettuce may not be sown on the days that would serve it.",
        "Filled with 8 cells of Lettuce sown on Thu 12 Mar, outside its sowing days.",
    ),
}


@pytest.mark.parametrize("limit", list(PLANTED))
def test_every_planted_cause_is_told_with_where_and_when(limit):
    text = page(planted(limit))
    assert max(map(len, text.splitlines())) <= 80
    for said in SAID[limit]:
        assert said in joined(text)


def test_a_delivery_stands_with_what_it_is_worth_and_the_cost_of_its_relief():
    text = joined(page(make_farm(**{**WIDE, **lettuce(), "lane_slots": 2}, costs={"raft": 25})))
    assert "Mon 9 Mar 12 of 24 Lettuce missing for Harbour Table, worth 12.00 EUR" in text
    assert "to Sun 8 Mar; the whole plan costs 0.50 EUR more." in text
    assert "Nearest its limit, week by week 2 Mar-8 Mar Trough 2 of 2 raft places on Thu 5 Mar" in text


def test_other_days_crops_and_earlier_sowings_are_told_in_words():
    crops = [quick_crop(**DAYS, sowing=((-9, 2),)), quick_crop("Kale", **DAYS)]
    demands = [delivery("Lettuce", 14, 6, max_age=0), delivery("Lettuce", 5, 6, max_age=0)]
    text = joined(
        page(
            make_farm(**WIDE, crops=crops, demands=demands, products={"Mix": {"Lettuce": 1000, "Kale": 1000}})
        )
    )
    assert "Filled with the delivery on Wed 11 Mar instead, 5 days earlier." in text
    assert "Or with Kale as another crop of the product (6 heads)." in text
    assert "way: no sowing from 2 Mar 2026 is ready before 9 Mar 2026, so it counts as too early." in text
    assert "8 cells of Lettuce sown on Sat 28 Feb, before the plan begins" in text


def test_a_place_that_stays_empty_for_being_too_small_is_not_said_to_be_taken():
    rules = {"all_or_nothing": True}
    text = joined(page(make_farm(**{**WIDE, **lettuce(), "lane_slots": 2, "rules": rules})))
    assert "In the way: there are too few raft places in row Trough 1." in text


def test_open_trays_are_told_as_trays():
    demands = [delivery("Cress", 3, 400, max_age=0)]
    text = joined(page(make_farm(**{**WIDE, **greens(), "demands": demands})))
    assert "4 trays of Cress sown on Sat 28 Feb, before the plan begins" in text


def test_a_filled_plan_says_so_and_one_not_looked_at_is_counted():
    assert "Every delivery is filled." in page(make_farm(**WIDE, **lettuce(12)))
    demands = [delivery("Lettuce", day, 24, max_age=0) for day in (7, 14, 15)]
    text = joined(page(make_farm(**{**WIDE, **lettuce(), "lane_slots": 2, "demands": demands}), most=1))
    assert "2 more deliveries are not filled and were not looked at; --deliveries takes more" in text


def test_without_time_nothing_is_claimed():
    text = joined(page(planted(Limit.ROW), seconds=0.0))
    assert (
        "Nothing that fills it was found in the time, which proves nothing; --seconds gives it more." in text
    )


def test_a_growers_text_never_steers_the_terminal():
    farm = planted(Limit.ROW)
    nasty = replace(farm, demands=(replace(farm.demands[0], customer="[red]\x1b[31mQuay\n"),))
    text = page(nasty)
    assert "\x1b" not in text
    assert "[red]" in text


def test_days_and_hours_in_words():
    farm = planted(Limit.ROW)
    assert between(farm, None, None) == ""
    assert between(farm, 0, None) == "from Mon 2 Mar on"
    assert between(farm, 0, 0) == "on Mon 2 Mar"
    assert [hours(100), hours(150), hours(120_00), hours(90_00)] == [
        "1 minute",
        "2 minutes",
        "2.0 hours",
        "90 minutes",
    ]
    several = Grant(limit=Limit.HOURS, what="", amount=180_00, first=0, last=3, most=60_00)
    assert grant_in_words(farm, several) == (
        "3.0 hours more work in all from Mon 2 Mar to Thu 5 Mar, at most 60 minutes on a day"
    )
