"""Rows that rest between two crops are cleaned: a task when the row is empty, with minutes and a caution."""

from dataclasses import replace

import pytest
from farms import delivery, growing, make_farm
from helpers import TABLES, farm_of
from solving import quick_crop, solved

from scheduler.farm.crops import StageKind
from scheduler.farm.dates import short_day
from scheduler.outputs.cautions import cautions_for
from scheduler.outputs.report.rows import row_of
from scheduler.outputs.words import headline
from scheduler.plan.rests import cleanings
from scheduler.plan.views.week import week_sheets


def farm(rest=3, minutes=20_00, **needs):
    crops = [quick_crop("Lettuce"), quick_crop("Kale")]
    demands = [
        delivery("Lettuce", 10, 6, max_age=0),
        delivery("Kale", 20, 6, max_age=0),
        delivery("Lettuce", 30, 6, max_age=0),
        delivery("Lettuce", 38, 6, max_age=0),
    ]
    made = make_farm(**({"crops": crops, "demands": demands, "days": 42, "rest": rest} | needs))
    places = tuple(replace(place, rest_minutes=minutes if place.rest else 0) for place in made.places)
    return replace(made, places=places)


def cleaned(made):
    plan = solved(made, 1.0)
    assert all(row.filled == row.amount for row in plan.demands)
    return plan, [task for task in plan.tasks if task.work == "clean"]


def test_a_row_is_cleaned_between_two_crops_on_the_day_the_first_has_left():
    made = farm()
    plan, tasks = cleaned(made)
    found = list(cleanings(made, plan))
    assert [(each.before, each.after) for each in found] == [("Lettuce", "Kale"), ("Kale", "Lettuce")]
    assert [each.day for each in found] == [10, 20]
    assert [task.day for task in tasks] == [10, 20]
    for task, each in zip(tasks, found, strict=True):
        assert each.until >= each.day + 3
        assert task.where == "Trough 1"
        assert task.note == (
            f"20 min; after {each.before}; keep it empty until {short_day(made.date_of(each.day + 3))}; "
            f"{each.after} comes in on {short_day(made.date_of(each.until))}"
        )


def test_rows_without_a_rest_and_crops_that_follow_themselves_are_not_cleaned():
    assert cleaned(farm(rest=0))[1] == []
    crops = [quick_crop("Lettuce")]
    demands = [delivery("Lettuce", day, 6) for day in (10, 20, 30)]
    assert cleaned(farm(crops=crops, demands=demands))[1] == []


def test_what_grew_together_on_the_first_day_is_cleaned_up_after_as_one():
    rows = [
        growing("Lettuce", StageKind.RAFT, -4, 6, 1, lot="G"),
        growing("Kale", StageKind.RAFT, -3, 6, 1, lot="H", order=2),
    ]
    demands = [delivery("Lettuce", 0, 6), delivery("Kale", 2, 6), delivery("Lettuce", 20, 6)]
    plan, tasks = cleaned(farm(growing=rows, demands=demands))
    assert len(tasks) == 1
    assert tasks[0].day == max(row.leaves for row in plan.units if row.enters < 0)


def test_sheets_and_phones_tell_it_with_its_caution():
    made = farm()
    plan, tasks = cleaned(made)
    assert headline(made, "clean", tasks[:1]) == "Clean between crops 1 row"
    days = [day for sheet in week_sheets(made, plan) for day in sheet.days]
    rows = [row_of(line, made) for day in days for line in day.work.get("clean", ())]
    assert ["After Lettuce" in str(row.what) for row in rows] == [True, False]
    assert all("20" in " ".join(map(str, row.many)) for row in rows)
    assert all("empty until" in " ".join(map(str, row.note)) for row in rows)
    (caution,) = cautions_for("clean")
    assert caution.said.startswith("Cleaners as their label says")
    assert caution.said.endswith("Local rules and licensed practice decide.")


@pytest.mark.parametrize(("minutes", "told"), [("20", 20_00), ("12.5", 12_50), ("", 0)])
def test_minutes_stand_in_the_book(tmp_path, minutes, told):
    heading, row = TABLES["troughs"].splitlines()
    book = f"{heading},rest_days,rest_minutes\n{row},2,{minutes}\n"
    lanes = [place for place in farm_of(tmp_path, troughs=book).places if place.rest]
    assert lanes
    assert {place.rest_minutes for place in lanes} == {told}
