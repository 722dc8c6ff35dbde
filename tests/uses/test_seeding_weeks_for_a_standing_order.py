"""In which weeks to sow for a restaurant: the README's commands, checked by counting days and plants."""

import re
from datetime import timedelta
from math import floor

from four_uses import ROOT, commands, day, output_of
from helpers import rows_of

TITLE = "In which weeks to sow for a restaurant"
MOVES, CUTS = (0, 3), (0, 2, 4)
"""Mondays and Thursdays; Mondays, Wednesdays and Fridays."""
SHOWN = 8
"""Deliveries of the order that surely fit on the customer's page."""


def figures():
    """Typical figures of the butterhead card, as its table has them."""
    table = rows_of(ROOT / "crops" / "figures.csv")
    return {each["figure"]: each["typical"] for each in table if each["crop"] == "lettuce_butterhead"}


def next_day(start, days, weekdays):
    """Return the first of some weekdays that lies so many days later, or after that."""
    found = start + timedelta(days=days)
    while found.weekday() not in weekdays:
        found += timedelta(days=1)
    return found


def first_cut(sown, card):
    boards = next_day(sown, int(card["days_tray"]), MOVES)
    rafts = next_day(boards, int(card["days_board"]), MOVES)
    return next_day(rafts, int(card["days_raft"]), CUTS)


def last_cut(sown, card):
    """Return the last day of the window when every stage waits as long as the card lets it."""
    stages = ("days_tray", "wait_tray", "days_board", "wait_board", "days_raft", "harvest_window")
    return sown + timedelta(days=sum(int(card[name]) for name in stages))


def test_every_delivery_is_sown_in_a_week_that_the_days_of_the_crop_lead_to(here):
    card = figures()
    pages = [output_of(command) for command in commands(TITLE)]
    orders = {each["order"]: each for each in rows_of(here / "first-farm" / "orders.csv")}
    assert (orders["HK-1"]["amount"], orders["HK-1"]["weekdays"]) == ("10", "Tue Fri")
    sown = {each["lot"]: day(each["sown"]) for each in rows_of(here / "first-plan/tables/lots.csv")}
    fills = rows_of(here / "first-plan/tables/fills.csv")
    delivery, end, seen = day(orders["HK-1"]["from"]), day("2026-07-19"), 0
    while delivery <= end:
        if delivery.weekday() in (1, 4):
            seen += 1
            own = [each for each in fills if each["demand"] == f"HK-1 {delivery}"]
            assert sum(int(each["heads"]) for each in own) == 10
            for each in own:
                cut, lot = day(each["cut_day"]), each["lot"]
                assert timedelta(0) <= delivery - cut <= timedelta(days=1)
                assert cut.weekday() in CUTS
                assert sown[lot].weekday() in MOVES
                assert first_cut(sown[lot], card) <= cut <= last_cut(sown[lot], card)
                assert lot == f"BUT-{sown[lot]:%y%m%d}"
                if seen <= SHOWN:
                    assert re.search(rf"{delivery:%a} +{delivery.day} {delivery:%b} .*{lot}", pages[0])
        delivery += timedelta(days=1)
    assert seen == 26
    assert "Thu 12 Mar BUT-260312" in pages[1]


def test_the_latest_sowing_of_the_text_is_that_of_the_days(here):
    card = figures()
    assert [card[name] for name in ("days_tray", "days_board", "days_raft")] == ["12", "10", "14"]
    in_time = [
        each
        for each in range(60)
        if first_cut(day("2026-03-02") + timedelta(each), card) <= day("2026-04-20")
    ]
    sowing = [day("2026-03-02") + timedelta(each) for each in in_time]
    assert max(each for each in sowing if each.weekday() in MOVES) == day("2026-03-12")


def test_no_lot_gives_more_heads_than_its_seed_can(here):
    card = figures()
    share = float(card["germination_percent_typical"]) / 100
    for name in ("survival_tray", "survival_board", "survival_raft", "saleable_share"):
        share *= float(card[name])
    heads = {}
    for each in rows_of(here / "first-plan/tables/cuts.csv"):
        heads[each["lot"]] = heads.get(each["lot"], 0) + int(each["heads"])
    lots = [each for each in rows_of(here / "first-plan/tables/lots.csv") if each["crop"] == "Butterhead"]
    assert len(lots) > 5
    for lot in lots:
        assert heads.get(lot["lot"], 0) <= floor(int(lot["cells"]) * share)
