"""Chances of a plan in the terminal, on paper and as tables: names are text, and numbers agree."""

import csv
import io
import re
from dataclasses import replace

import pytest
from farms import delivery, make_farm, target
from reports import elements_of, tables_of
from rich.console import Console
from stressed import LOSSES_ALONE, crop_that_comes_up, lot, sound

from scheduler.outputs.screen import WIDTH
from scheduler.outputs.stress.lines import between, lift_sentence, percent
from scheduler.outputs.stress.page import stress_files, stress_html
from scheduler.outputs.stress.screen import MORE_SOWING, print_risk
from scheduler.stress.lift import Lifter
from scheduler.stress.replay import Replay
from scheduler.stress.risk import Chance, risk_of

HOSTILE = '=1+1 <b>East</b> & "x" ]]>\x07 {{ farm }}'
RUNS = range(300)


@pytest.fixture(scope="module")
def found():
    """A farm with a hostile name and order, a replayed plan of it, and the extra sowing for 95 percent."""
    demands = [
        delivery("Lettuce", 34, 6, order=HOSTILE, customer=HOSTILE),
        delivery("Lettuce", 41, 6, order="R2"),
        target("Lettuce", 49, 9),
    ]
    farm = replace(make_farm(crops=[crop_that_comes_up(7500)], demands=demands), name=HOSTILE)
    plan = sound(
        farm,
        lot(34, 6, rows=2),
        lot(41, 6, rows=2),
        fills=[("Lettuce 34", "LET-260302", 34, 6), ("Lettuce 41", "LET-260309", 41, 6)],
    )
    base = Replay(farm, plan, LOSSES_ALONE)
    tally = base.tally(RUNS)
    firm = [each for each in farm.demands if each.firm]
    lift = Lifter(base, plan, lambda replay: replay.tally(RUNS), 0.95).lift(firm, tally, lambda _: None)
    return risk_of(farm, plan, LOSSES_ALONE, tally), lift


def screen(*told):
    console = Console(file=io.StringIO(), width=120)
    print_risk(console, *told)
    return console.file.getvalue()


def test_the_screen_keeps_to_80_columns_and_to_plain_text(found):
    risk, lift = found
    told = screen(risk, lift, 0.95)
    assert max(map(len, told.splitlines())) <= WIDTH
    assert "\x07" not in told
    assert "Firm deliveries: " in told
    weeks = "Flexible deliveries and weeks of targets: 0.0 percent of 1 are filled on average"
    assert weeks in " ".join(told.split())
    assert "1 row (4 cells) more of" in " ".join(told.split())


def test_that_extra_sowing_can_be_looked_for_is_said_where_firm_deliveries_may_fail(found):
    risk, lift = found
    assert MORE_SOWING in " ".join(screen(risk).split())
    assert MORE_SOWING not in " ".join(screen(risk, lift, 0.95).split())
    sure = [replace(each, chance=replace(each.chance, hits=each.chance.runs)) for each in risk.deliveries]
    assert MORE_SOWING not in " ".join(screen(replace(risk, deliveries=tuple(sure))).split())


def test_where_no_extra_sowing_helps_nothing_is_said_of_its_cost(found):
    risk, lift = found
    none = [replace(each, sowings=(), cost=0, after=each.before) for each in lift.lifted]
    assert lift_sentence(risk, none, 0.95) == "No extra sowing was found that lifts a delivery to 95 percent."


def test_the_screen_says_first_what_was_tried_and_how_it_is_read(found):
    lines = screen(*found, 0.95).splitlines()
    assert lines[1] == "Mon 2 Mar 2026 to Sun 7 Jun 2026, replayed 300 times, seed 1"
    told = " ".join(" ".join(lines).split())
    assert "Each replay is a season as luck could have it." in told
    assert "A delivery is as sure as the share of the replays in which it was filled wholly." in told
    assert told.index("Each replay") < told.index("Every plant is lost or kept") < told.index("Firm orders")


def test_the_screen_names_customers_products_and_days_whole(found):
    risk, _ = found
    long = "The Harbour Table and Market Hall of Alder Quay"
    named = [replace(each, demand=replace(each.demand, customer=long)) for each in risk.deliveries]
    orders = [
        replace(each, deliveries=tuple(row for row in named if row.demand.order == each.first.order))
        for each in risk.orders
    ]
    told = screen(replace(risk, deliveries=tuple(named), orders=tuple(orders)))
    assert max(map(len, told.splitlines())) <= WIDTH
    assert "\u2026" not in told
    assert "..." not in told
    assert re.search(r"^Sun  5 Apr The Harbour", told, re.MULTILINE)
    assert re.search(r"^R2 +The Harbour", told, re.MULTILINE)
    assert "2026-0" not in told


def test_the_page_shows_names_as_they_are_and_loads_nothing(found):
    risk, lift = found
    page = stress_html(risk, lift, 0.95, "Made here.")
    assert "<b>East" not in page
    assert "{{ farm }}" in page
    attributes = [attrs for _, attrs in elements_of(page)]
    assert not [attrs for attrs in attributes if "src" in attrs or not attrs.get("href", "#").startswith("#")]
    sowing, firm, others, deliveries = tables_of(page)
    assert sowing[2][0] == "Lettuce for Harbour Table (R2), Sun 12 Apr"
    assert {(row[1], row[2], row[3]) for row in firm[1:] if row[0] == "R2"} == {
        ("Harbour Table", "Lettuce", "1")
    }
    assert len(firm) == 3
    assert [row[:4] for row in others[1:]] == [["", "weekly target", "Lettuce", "1"]]
    assert [row[3] for row in deliveries[1:]] == ["6", "6"]


def test_the_page_lists_so_many_deliveries_and_counts_the_rest(found, monkeypatch):
    risk, _ = found
    monkeypatch.setattr("scheduler.outputs.stress.page.MOST_ROWS", 0)
    page = stress_html(risk, None, 0.0, "Made here.")
    assert "and 2 more, see deliveries.csv" in page


def test_tables_have_every_delivery_and_keep_spreadsheets_from_calculating(found):
    risk, lift = found
    files = stress_files(risk, lift, 0.95, "Made here.")
    rows = list(csv.DictReader(io.StringIO(files["deliveries.csv"].decode())))
    assert [row["demand"] for row in rows] == ["Lettuce 34", "Lettuce 41", "Lettuce 49"]
    assert rows[0]["order"].startswith("'=1+1")
    assert rows[2]["target"] == "yes"
    orders = list(csv.DictReader(io.StringIO(files["orders.csv"].decode())))
    assert sum(int(row["deliveries"]) for row in orders) == 3
    extra = list(csv.DictReader(io.StringIO(files["extra_sowing.csv"].decode())))
    assert {row["lot"] for row in extra} == {"LET-260302", "LET-260309"}
    assert all(float(row["before"]) < 0.95 <= float(row["after"]) for row in extra)


def test_without_extra_sowing_there_is_no_table_of_it(found):
    risk, _ = found
    assert "extra_sowing.csv" not in stress_files(risk, None, 0.0, "Made here.")
    assert "Extra sowing" not in stress_html(risk, None, 0.0, "Made here.")


@pytest.mark.parametrize(
    ("hits", "told"), [(0, "0.0"), (1, "<0.1"), (4999, "50.0"), (9999, ">99.9"), (10_000, "100.0")]
)
def test_only_what_never_failed_is_100_percent(hits, told):
    assert percent(Chance(hits=hits, runs=10_000)) == told


def test_the_chances_that_fit_are_told_in_percent():
    assert between(Chance(hits=81, runs=263)) == "25.5-36.6"
