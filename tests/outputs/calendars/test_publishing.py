"""Publishing again: an event stays itself wherever its work goes, and phones understand every correction."""

from dataclasses import replace
from datetime import date

import pytest
from outputs.calendars.calendar_samples import MONDAY, days, events, publish, sow, uid_on, weeks
from outputs.calendars.phone import Phone
from samples import CALENDAR, demand, small_farm, task

ON, OFF = "CONFIRMED", "CANCELLED"


def test_two_files_of_one_plan_are_the_same_bytes_and_so_is_publishing_it_again_later():
    first = publish(*MONDAY)
    assert publish(*MONDAY) == first
    assert publish(*MONDAY, before=first) == first
    ahead = publish(sow("A", 9))
    assert publish(sow("A", 9), farm=small_farm(today=7), before=ahead) == ahead


def test_names_hang_on_farm_work_and_key_and_not_on_the_date():
    def uid(item, **more):
        (found,) = days(publish(item, **more))
        return found

    assert uid(task("a", 0, "sow")) == uid(task("a", 5, "sow"))
    others = {
        uid(task("a", 0, "sow")),
        uid(task("b", 0, "sow")),
        uid(task("a", 0, "thin")),
        uid(task("a", 0, "sow"), farm=small_farm(name="Other")),
    }
    assert len(others) == 4


def test_a_moved_task_takes_its_event_along_and_only_that_one_changes():
    first = publish(sow("A", 9), task("t", 9, "thin"))
    second = publish(sow("A", 12), task("t", 9, "thin"), farm=small_farm(today=2), before=first)
    assert uid_on(second, 12) == uid_on(first, 9)
    assert days(second) == {uid_on(first, 9): (12, 1, ON), uid_on(first, 9, "thin"): (9, 0, ON)}
    moved, same = (
        next(e for e in events(second["tasks.ics"]) if e.categories == [k]) for k in ("sow", "thin")
    )
    assert (moved.DTSTAMP.day, same.DTSTAMP.day) == (4, 2)
    assert days(second, "calendars/sow.ics") == {uid_on(first, 9): (12, 1, ON)}


def test_events_that_change_places_each_go_with_their_work():
    first = publish(sow("A", 9), sow("B", 10, "Basil"))
    second = publish(sow("A", 10), sow("B", 9, "Basil"), before=first)
    assert (uid_on(second, 10), uid_on(second, 9)) == (uid_on(first, 9), uid_on(first, 10))


def test_of_a_split_day_the_event_stays_where_any_of_its_work_stays():
    first = publish(sow("A", 9), sow("B", 9), sow("C", 9))
    second = publish(sow("A", 9), sow("B", 12), sow("C", 12), before=first)
    assert uid_on(second, 9) == uid_on(first, 9)
    assert days(second) == {uid_on(first, 9): (9, 1, ON), uid_on(second, 12): (12, 0, ON)}


def test_of_a_split_day_that_is_left_the_event_goes_where_most_of_its_work_goes():
    first = publish(sow("A", 9), sow("B", 9), sow("C", 9))
    second = publish(sow("A", 8), sow("B", 12), sow("C", 12), before=first)
    assert uid_on(second, 12) == uid_on(first, 9)
    assert days(second) == {uid_on(first, 9): (12, 1, ON), uid_on(second, 8): (8, 0, ON)}


def test_of_days_that_are_merged_the_one_that_stays_keeps_its_event_and_the_other_is_called_off():
    first = publish(sow("A", 9), sow("B", 10), sow("C", 10))
    second = publish(sow("A", 9), sow("B", 9), sow("C", 9), before=first)
    assert uid_on(second, 9) == uid_on(first, 9)
    assert days(second) == {uid_on(first, 9): (9, 1, ON), uid_on(first, 10): (10, 1, OFF)}


def test_merged_days_that_part_again_have_the_events_they_had():
    first = publish(sow("A", 9), sow("B", 10))
    merged = publish(sow("A", 9), sow("B", 9), before=first)
    third = publish(sow("A", 9), sow("B", 10), before=merged)
    assert days(third) == {uid_on(first, 9): (9, 2, ON), uid_on(first, 10): (10, 2, ON)}


def test_a_task_that_joins_another_day_leaves_both_events_where_they_are():
    first = publish(sow("A", 9), sow("B", 9), sow("C", 12))
    second = publish(sow("A", 9), sow("B", 12), sow("C", 12), before=first)
    assert days(second) == {uid_on(first, 9): (9, 1, ON), uid_on(first, 12): (12, 1, ON)}


def test_a_lot_sown_a_day_later_is_another_lot_and_still_the_same_event():
    first = publish(sow("BUT-260311", 9))
    second = publish(sow("BUT-260312", 10), before=first)
    assert days(second) == {uid_on(first, 9): (10, 1, ON)}


@pytest.mark.parametrize("other", [sow("BUT-260318", 16), sow("BAS-260312", 10, "Basil")])
def test_the_next_week_s_round_and_another_crop_are_other_events(other):
    first = publish(sow("BUT-260311", 9))
    second = publish(other, before=first)
    assert sorted(days(second).values())[0] == (9, 1, OFF)
    assert days(second)[uid_on(second, other.day)] == (other.day, 0, ON)


def test_a_day_that_gets_quite_other_work_of_its_kind_keeps_its_event():
    first = publish(sow("BUT-260311", 9))
    second = publish(sow("BAS-260311", 9, "Basil"), before=first)
    assert days(second) == {uid_on(first, 9): (9, 1, ON)}


def test_later_cuts_stay_on_their_days_when_an_earlier_one_is_done_and_they_are_numbered_again():
    def cut(number, day):
        return task(f"cut BUT-1{number}", day, "cut", lot="BUT-1")

    first = publish(cut("", 7), cut(" 2", 9), cut(" 3", 14))
    second = publish(cut("", 9), cut(" 2", 14), farm=small_farm(today=8), before=first)
    assert days(second) == days(first)


def test_work_of_the_past_is_not_moved_out_of_it():
    first = publish(sow("A", 3), sow("A 2", 9))
    second = publish(sow("A", 8), farm=small_farm(today=7), before=first)
    past = uid_on(first, 3)
    assert days(second)[past] == (3, 0, ON)
    assert uid_on(second, 8) == uid_on(first, 9)


def test_an_order_of_seed_stays_the_same_event_when_it_moves_and_is_numbered_again():
    def order(number, day):
        return task(f"order Basil seed {number}", day, "order", lot="", crop="Basil seed")

    first = publish(order(1, 2), order(2, 20))
    second = publish(order(1, 24), farm=small_farm(today=7), before=first)
    assert uid_on(second, 24, "order") == uid_on(first, 20, "order")
    assert days(second)[uid_on(first, 2, "order")] == (2, 0, ON)


def test_a_key_that_comes_again_after_months_is_a_new_event_which_phones_believe():
    def order(day):
        return task("order Basil seed 1", day, "order", lot="", crop="Basil seed")

    first = publish(order(2))
    changed = publish(order(3), before=first)
    summer = replace(small_farm(), calendar=replace(CALENDAR, first_day=date(2026, 6, 1)))
    later = publish(order(4), farm=summer, before=changed)
    phone = Phone()
    for files in (first, changed, later):
        phone.take(files["calendars/order.ics"])
    assert phone.shows(date(2026, 6, 1)) == [(date(2026, 6, 5), "Order 2 packs: Basil seed")]
    assert phone.ignored == 0


def test_an_event_that_left_the_plan_is_called_off_once_and_stays_four_weeks():
    first = publish(sow("A", 9), sow("B", 20), alarm=420)
    second = publish(sow("B", 20), farm=small_farm(today=2), before=first, alarm=420)
    (gone,) = [event for event in events(second["tasks.ics"]) if event["STATUS"] == OFF]
    assert (gone.summary, int(gone["SEQUENCE"]), gone.DTSTAMP.day) == (
        "Cancelled: Sow 2 trays: Butterhead",
        1,
        4,
    )
    assert gone.subcomponents == []
    assert publish(sow("B", 20), farm=small_farm(today=3), before=second, alarm=420) == second
    assert len(days(publish(sow("B", 20), farm=small_farm(today=30), before=second))) == 2
    assert len(days(publish(sow("B", 20), farm=small_farm(today=31), before=second))) == 1


def test_an_event_called_off_comes_back_with_a_higher_number():
    first = publish(sow("A", 9))
    back = publish(sow("A", 9), before=publish(before=first))
    assert days(back) == {uid_on(first, 9): (9, 2, ON)}
    assert uid_on(back, 9) == uid_on(first, 9)


def test_work_of_past_days_is_kept_four_weeks_and_never_called_off():
    first = publish(sow("A", 1))
    assert set(days(publish(farm=small_farm(today=2), before=first)).values()) == {(1, 0, ON)}
    assert len(days(publish(farm=small_farm(today=29), before=first))) == 1
    assert days(publish(farm=small_farm(today=30), before=first)) == {}


def test_the_file_of_a_kind_that_no_longer_occurs_is_kept_with_its_cancellations_until_they_are_old():
    first = publish(sow("A", 9), task("t", 9, "thin"))
    second = publish(task("t", 9, "thin"), before=first)
    assert days(second, "calendars/sow.ics") == {uid_on(first, 9): (9, 1, OFF)}
    third = publish(task("t", 9, "thin"), before=second)
    assert third == second
    late = publish(task("t", 30, "thin"), farm=small_farm(today=29), before=third)
    assert "calendars/sow.ics" not in late


def test_the_file_of_a_customer_who_gets_nothing_any_more_is_kept_with_its_cancellations():
    name = "calendars/deliveries-harbour-table.ics"
    first = publish(demands=(demand("R1 a", 20),))
    second = publish(farm=small_farm(today=1), before=first)
    assert list(days(second, name).values()) == [(20, 1, OFF)]
    assert b"NAME:Alder Quay deliveries: Harbour Table\r\n" in second[name]
    assert publish(farm=small_farm(today=2), before=second)[name] == second[name]
    assert name not in publish(farm=small_farm(today=30), before=second)


def test_an_event_of_an_order_that_is_delivered_a_day_later_is_moved():
    name = "calendars/deliveries-harbour-table.ics"
    first = publish(demands=(demand("R1 2026-03-22", 20), demand("R1 2026-03-29", 27)))
    second = publish(demands=(demand("R1 2026-03-23", 21), demand("R1 2026-03-29", 27)), before=first)
    assert sorted(days(second, name).values()) == [(21, 1, ON), (27, 0, ON)]
    assert days(first, name).keys() == days(second, name).keys()


def test_turning_the_alarm_on_is_a_change_of_every_event_ahead():
    first = publish(sow("A", 1), sow("B", 9))
    second = publish(sow("B", 9), farm=small_farm(today=7), before=first, alarm=420)
    assert sorted(days(second).values()) == [(1, 0, ON), (9, 1, ON)]


def test_the_current_week_is_told_again_from_today_and_the_week_that_is_over_stays():
    first = publish(sow("A", 0), sow("B", 4))
    second = publish(sow("B", 4), farm=small_farm(today=2), before=first)
    said = {str(event.summary): event.start for event in weeks(second["calendars/week.ics"])}
    assert said == {
        "Week of 2 Mar: sow 392 cells": date(2026, 3, 2),
        "Week of 2 Mar, from Wed 4 Mar: sow 196 cells": date(2026, 3, 4),
    }
    assert publish(sow("B", 4), farm=small_farm(today=2), before=second) == second
