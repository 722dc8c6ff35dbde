"""The screen after a plan: within 80 columns, plain when piped, and the grower's text as it was written."""

import io

import pytest
from rich.console import Console
from samples import demand, small_farm, small_plan, task

from scheduler.outputs.summary import bar, print_summary
from scheduler.plan.rows import HoursRow


def shown(plan, farm=None, **console):
    out = io.StringIO()
    print_summary(Console(file=out, **console), farm or small_farm(), plan)
    return out.getvalue()


def test_it_says_what_is_filled_of_each_kind():
    rows = (
        demand("a", 1),
        demand("b", 2, state="short", filled=3),
        demand("c", 3, firm=False),
        demand("d", 4, firm=False, target=True, state="short", filled=0),
        demand("e", 40, reported=False, state="short", filled=0),
    )
    text = shown(small_plan(demands=rows))
    assert "Alder Quay: Mon 2 Mar 2026 to Sun 29 Mar 2026" in text
    assert "Deliveries filled: firm 1 of 2, flexible 1 of 1, weeks of targets 0 of 1" in text


def test_what_is_short_is_listed_firm_ones_first_with_amount_and_reason():
    rows = (
        demand("a", 1, firm=False, state="short", filled=0),
        demand("b", 9, state="short", filled=3, reason="North trough full from 9 March"),
    )
    lines = shown(small_plan(demands=rows)).splitlines()
    at = lines.index(next(line for line in lines if line.startswith("Short: 2")))
    assert lines[at] == "Short: 2, firm deliveries first"
    assert lines[at + 1].split() == [
        "Wed",
        "11",
        "Mar",
        "Harbour",
        "Table",
        "Leaf",
        "lettuce",
        "21",
        "of",
        "24",
        "short",
    ]
    assert lines[at + 2].rstrip() == "  North trough full from 9 March"
    assert lines[at + 3].startswith("Tue  3 Mar ")


def test_a_long_reason_is_wrapped_below_and_names_have_room():
    reason = "all 120 of 98-cell tray in use or being washed on 12 days, 28 Feb to 18 Mar 2026 again"
    rows = (demand("a", 1, state="short", filled=0, product="Mixed leaf salad bowl", reason=reason),)
    lines = [line.rstrip() for line in shown(small_plan(demands=rows)).splitlines()]
    at = lines.index("Short: 1")
    assert "Mixed leaf salad bowl" in lines[at + 1]
    assert " ".join(" ".join(lines[at + 2 : at + 4]).split()) == reason


def test_names_stand_below_each_other_however_long_the_amounts():
    rows = tuple(
        demand(f"d{n}", 1, state="short", filled=0, amount=n, customer=f"Inn {n}") for n in (8, 12000)
    )
    lines = [line for line in shown(small_plan(demands=rows)).splitlines() if line.startswith("Tue  3 Mar ")]
    assert len(lines) == 2
    assert len({line.index("Leaf lettuce") for line in lines}) == 1


def test_one_more_than_the_limit_is_listed_and_not_counted():
    rows = tuple(demand(f"d{day}", day, state="short", filled=0, reason="no slot") for day in range(9))
    text = shown(small_plan(demands=rows))
    assert text.count("24 of 24") == 9
    assert "more" not in text


def test_a_delivery_without_a_harvest_day_near_is_counted_apart():
    text = shown(small_plan(demands=(demand("a", 1, state="out of reach", filled=0),)))
    assert "Nothing is short." in text
    assert "Out of reach of any harvest day: 1 (not counted as short), see demands.csv" in text


def test_of_many_short_ones_eight_are_listed_and_the_rest_counted():
    rows = tuple(demand(f"d{day}", day, state="short", filled=0, reason="no slot") for day in range(11))
    text = shown(small_plan(demands=rows))
    assert text.count("24 of 24") == 8
    assert "and 3 more" in text


def test_too_early_is_counted_apart_with_the_first_day_of_each_product():
    def early(*names):
        rows = tuple(
            demand(name, 1, state="too early", filled=0, earliest=20 + at, product=name)
            for at, name in enumerate(names)
        )
        return " ".join(shown(small_plan(demands=rows)).split())

    text = early("Basil", "Chard")
    assert "Nothing is short." in text
    assert (
        "Too early for any new sowing: 2 (not counted as short); "
        "a new sowing can first deliver Basil on Sun 22 Mar 2026, Chard on Mon 23 Mar 2026"
    ) in text
    assert "Chard on Mon 23 Mar 2026, Dill on Tue 24 Mar 2026 and 2 more later" in early(
        *["Basil", "Chard", "Dill", "Endive", "Fennel"]
    )


def test_places_of_a_shelf_and_rows_of_a_trough_are_taken_together():
    lines = shown(small_plan()).splitlines()
    (shelf,) = [line for line in lines if line.startswith("Shelf A")]
    (trough,) = [line for line in lines if line.startswith("North trough ") and "boards" not in line]
    assert shelf.split()[2:] == ["[######..........]", "3", "of", "8", "Mon", "2", "Mar"]
    assert trough.split()[2:] == ["[########........]", "9", "of", "18", "Mon", "9", "Mar"]


@pytest.mark.parametrize(
    ("used", "there", "drawn"),
    [
        (0, 8, "[....]"),
        (1, 800, "[#...]"),
        (799, 800, "[###.]"),
        (800, 800, "[####]"),
        (9, 8, "[####]"),
        (0, 0, "[....]"),
    ],
)
def test_a_bar_is_full_only_when_the_place_is_and_empty_only_when_it_is(used, there, drawn):
    assert bar(used, there, 4) == drawn


def test_work_and_seed_are_summed():
    hours = (
        HoursRow(day=0, work="sow", minutes=60_00, crew=None),
        HoursRow(day=8, work="cut", minutes=180_00, crew=None),
        HoursRow(day=30, work="cut", minutes=999_00, crew=None),
    )
    text = shown(small_plan(hours=hours))
    assert "Work: 2.0 hours a week, most 3.0 from Mon 9 Mar 2026" in text
    assert "Seed: 196 seeds of 1 crop for 2.35 EUR" in text


def test_the_first_seven_days_are_listed_day_by_day_from_today():
    tasks = tuple(task(f"{day}", day, work) for day in (2, 3, 9, 10) for work in ("thin", "sow"))
    lines = shown(small_plan(tasks=tasks), small_farm(today=3)).splitlines()
    days = lines[[line.rstrip() for line in lines].index("First seven days") + 1 :]
    assert [line.rstrip() for line in days] == [
        "Thu  5 Mar Sow 2 trays: Butterhead; Thin 2 trays: Butterhead",
        "Wed 11 Mar Sow 2 trays: Butterhead; Thin 2 trays: Butterhead",
    ]


def test_square_brackets_and_control_signs_of_a_grower_are_shown_and_not_obeyed():
    name = "[red]Quay[/red] \x1b[2J"
    rows = (demand("a", 1, state="short", filled=0, customer="[b]Inn", product="[x]", reason="[/] full"),)
    tasks = (task("a", 0, "sow", crop="[link=x]Basil"),)
    text = shown(small_plan(demands=rows, tasks=tasks), small_farm(name=name))
    assert "[red]Quay[/red]  [2J" in text
    assert "[b]Inn" in text
    assert "[/] full" in text
    assert "[link=x]Basil" in text
    assert "\x1b" not in text


def test_it_stays_within_80_columns_and_one_screen_however_long_the_texts():
    rows = tuple(
        demand(
            f"d{day}",
            day,
            state="short",
            filled=0,
            customer="C" * 50,
            product="P" * 50,
            reason="because " * 30,
        )
        for day in range(20)
    )
    tasks = tuple(
        task(f"{day}{crop}", day, "sow", crop=f"Crop number {crop}") for day in range(7) for crop in range(5)
    )
    lines = shown(small_plan(demands=rows, tasks=tasks), width=200).splitlines()
    assert max(map(len, lines)) <= 80
    assert len(lines) <= 50


def test_a_terminal_gets_bold_heads_and_a_pipe_gets_none():
    assert "\x1b[1m" in shown(small_plan(), force_terminal=True, width=80)
    assert "\x1b" not in shown(small_plan())
