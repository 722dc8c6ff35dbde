"""Spreading the harvest for box shares: the README's command, checked against what a box takes."""

from datetime import timedelta

from four_uses import commands, day, output_of
from helpers import rows_of

TITLE = "How to spread the harvest for box shares"
FIRST, LAST = day("2026-04-23"), day("2026-07-19")
BUNCH = 2
"""Plants of Mizuna in a bunch, as the book's products say."""


def thursdays():
    """Return every Thursday of the plan on which boxes go out."""
    return [FIRST + timedelta(days=7 * week) for week in range((LAST - FIRST).days // 7 + 1)]


def heads_on(when):
    """Return the salad heads ordered for a Thursday: the change of the book is half as much again."""
    return 36 if when == day("2026-06-11") else 24


def test_every_week_has_its_own_harvest_on_the_wednesday_before(here):
    fills = rows_of(here / "first-plan/tables/fills.csv")
    for when in thursdays():
        for order, wanted in (("TB-1", heads_on(when)), ("TB-2", 8 * BUNCH)):
            own = [each for each in fills if each["demand"] == f"{order} {when}"]
            assert sum(int(each["heads"]) for each in own) == wanted
            assert {day(each["cut_day"]) for each in own} == {when - timedelta(days=1)}


def test_a_lot_serves_two_thursdays_at_most(here):
    # 36 days to the first cut, 49 to the last with every wait: two Thursdays may lie between, never three
    served = {}
    for each in rows_of(here / "first-plan/tables/fills.csv"):
        if each["demand"].startswith("TB-1 "):
            served.setdefault(each["lot"], set()).add(each["demand"])
    assert len(served) >= len(thursdays()) / 2
    assert max(len(found) for found in served.values()) <= 2


def test_the_sowings_are_spread_over_the_weeks_too(here):
    lots = {each["lot"]: day(each["sown"]) for each in rows_of(here / "first-plan/tables/lots.csv")}
    weeks = sorted(
        {
            lots[each["lot"]].isocalendar().week
            for each in rows_of(here / "first-plan/tables/fills.csv")
            if each["demand"].startswith("TB-1 ")
        }
    )
    assert all(later - earlier <= 3 for earlier, later in zip(weeks, weeks[1:], strict=False))


def test_the_page_of_the_customer_adds_up_to_what_the_boxes_take(here):
    (command,) = commands(TITLE)
    page = output_of(command)
    heads = sum(heads_on(when) for when in thursdays())
    assert f"Still to come: Salad head {heads}, Mizuna bunch {8 * len(thursdays())}" in page
    assert "short" not in page
