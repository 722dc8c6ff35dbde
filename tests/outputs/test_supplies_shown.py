"""Orders of seed and packaging on the screen and on the phone."""

import io

from icalendar import Calendar
from rich.console import Console
from samples import small_farm, small_plan, task

from scheduler.outputs.calendars import calendar_files
from scheduler.outputs.summary import print_summary
from scheduler.plan.rows import SupplyRow

ORDER = task(
    "order Basil seed 1",
    0,
    "order",
    lot="",
    crop="Basil seed",
    units=2,
    unit_kind="",
    plants=4000,
    to="",
    note="for Basil, needed from 2026-03-09",
)


def order(item="Basil seed", arrive_by=9, **changes):
    given = {
        "item": item,
        "kind": "seed",
        "crop_or_product": "Basil",
        "order_by": 2,
        "arrive_by": arrive_by,
        "covers_until": 27,
        "needed": 3500,
        "packs": 2,
        "amount": 4000,
        "cost": 3200,
        "late": False,
    }
    return SupplyRow(**(given | changes))


def shown(plan):
    out = io.StringIO()
    print_summary(Console(file=out), small_farm(), plan)
    return [line.rstrip() for line in out.getvalue().splitlines()]


def test_the_summary_counts_the_orders_and_what_they_cost():
    lines = shown(small_plan(supplies=(order(), order(arrive_by=20))))
    assert "To order: 2 orders of seed and packaging for 64.00 EUR" in lines
    assert not any("it comes late" in line for line in lines)
    assert not any(line.startswith("To order") for line in shown(small_plan()))


def test_the_summary_names_what_comes_late_and_when_it_runs_out():
    late = order(arrive_by=3, late=True, cost=0)
    lines = shown(small_plan(supplies=(late, order(cost=0))))
    assert "To order: 2 orders of seed and packaging" in lines
    assert "Order today, it comes late: Basil seed (runs out Thu 5 Mar 2026)" in lines


def test_of_many_late_ones_three_are_named():
    rows = tuple(order(f"Seed {number}", late=True) for number in range(5))
    text = " ".join(shown(small_plan(supplies=rows)))
    assert "Seed 2 (runs out Wed 11 Mar 2026) and 2 more" in text
    assert "Seed 3" not in text


def test_the_first_seven_days_end_a_day_with_what_to_order():
    lines = shown(small_plan(tasks=(task("sow A", 0, "sow"), ORDER)))
    assert "Mon  2 Mar Sow 2 trays: Butterhead; Order 2 packs: Basil seed" in lines


def test_the_phone_shows_item_packs_and_the_caution_about_treated_seed():
    files = calendar_files(small_farm(), small_plan(tasks=(ORDER,)), {})
    (event,) = Calendar.from_ical(files["calendars/order.ics"]).events
    assert event.summary == "Order 2 packs: Basil seed"
    lines = event.description.split("\n")
    assert lines[0] == "Basil seed: 2 packs, 4,000 pieces. for Basil, needed from 2026-03-09"
    assert "Treated seed: never for microgreens" in lines[-1]
