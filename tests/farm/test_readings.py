"""Readings looked through: order, doubles, wild values, gaps, means of days, ranges."""

from dataclasses import replace
from datetime import date, datetime, timedelta

from hypothesis import given
from hypothesis import strategies as st

from scheduler.book.readings import Reading
from scheduler.farm.from_book.readings import means, outside, sift

START = datetime(2026, 3, 2)  # noqa: DTZ001
KEY = ("", "water")


def hourly(*values, start=START, step=timedelta(hours=1), measures="water"):
    return [
        Reading(row=at + 2, when=start + at * step, place="", measures=measures, value=value)
        for at, value in enumerate(values)
    ]


def told(readings):
    return [str(doubt) for doubt in sift(readings, "log.csv").doubts]


def test_sound_readings_are_kept_and_nothing_is_told():
    found = sift(hourly(*[18_000 + each for each in range(20)]), "log.csv")
    assert len(found.kept[KEY]) == 20
    assert found.doubts == ()


def test_what_cannot_be_is_left_out_to_the_limit():
    assert told(hourly(45_000, 45_000, 45_000)) == []
    assert told(hourly(45_000, 45_001, 45_000)) == ["log.csv, row 3: water: 45 cannot be, left out"]


def test_a_value_apart_from_its_neighbours_is_left_out_to_the_limit():
    assert told(hourly(18_000, 18_000, 23_000, 18_000, 18_000)) == []
    found = sift(hourly(18_000, 18_000, 23_001, 18_000, 18_000), "log.csv")
    assert [str(doubt) for doubt in found.doubts] == [
        "log.csv, row 4: water: 23 among values near 18, left out"
    ]
    assert [each.row for each in found.kept[KEY]] == [2, 3, 5, 6]


def test_rows_out_of_order_are_put_in_order_and_told_once():
    readings = hourly(18_000, 18_100, 18_200, 18_300)
    shuffled = [readings[0], readings[2], readings[1], readings[3]]
    assert told(shuffled) == ["log.csv, row 3: water: 1 out of order from here, put in order"]
    assert sift(shuffled, "log.csv").kept[KEY] == tuple(readings)


def test_doubles_alike_are_counted_and_others_told():
    first = hourly(18_000, 18_100)
    again = [Reading(row=9, when=START, place="", measures="water", value=18_000)]
    assert "log.csv, row 3: water: 1 told twice alike up to here, taken once" in told([*first, *again])
    other = [Reading(row=9, when=START, place="", measures="water", value=18_050)]
    said = "log.csv, row 9: water: 18.05 again for 2 Mar 2026 00:00, 18 of row 2 kept"
    assert said in told([*first, *other])


def test_a_gap_is_longer_than_six_hours_and_four_usual_steps():
    def with_gap(hours):
        later = hourly(18_000, 18_000, 18_000, start=START + timedelta(hours=2 + hours))
        return [*hourly(18_000, 18_000, 18_000), *(replace(each, row=each.row + 3) for each in later)]

    assert told(with_gap(6)) == []
    assert told(with_gap(7)) == ["log.csv, row 5: water: nothing from 2 Mar 2026 02:00 to 2 Mar 2026 09:00"]
    daily = hourly(18_000, 18_000, 18_000, step=timedelta(days=1))
    assert told(daily) == []


def test_means_are_of_each_day_and_round_to_the_nearest():
    readings = hourly(18_000, 18_001, start=START + timedelta(hours=23))
    assert means(readings) == {date(2026, 3, 2): 18_000, date(2026, 3, 3): 18_001}
    assert means(hourly(18_000, 18_001)) == {date(2026, 3, 2): 18_001}


def test_days_outside_a_range_are_told_to_the_limit():
    days = {date(2026, 3, 2): 6_000, date(2026, 3, 3): 5_999, date(2026, 3, 4): 7_001}
    assert outside(days, 6.0, 7.0) == ([date(2026, 3, 3)], [date(2026, 3, 4)])
    assert outside(days, None, 7.001) == ([], [])


@given(st.lists(st.tuples(st.integers(0, 60), st.integers(-9_000, 50_000)), max_size=30))
def test_whatever_is_read_is_kept_in_order_once_and_within_what_can_be(found):
    readings = [
        Reading(row=at, when=START + timedelta(hours=hour), place="", measures="water", value=value)
        for at, (hour, value) in enumerate(found)
    ]
    kept = sift(readings, "log.csv").kept.get(KEY, ())
    moments = [each.when for each in kept]
    assert moments == sorted(set(moments))
    assert all(-2_000 <= each.value <= 45_000 for each in kept)
    assert set(kept) <= set(readings)
