"""What is told is read and never guessed: days, times in the night the clocks change, texts and numbers."""

from datetime import date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from recorded import refused, sown, tell, told

from scheduler.records.drafts import utc_text

LONG = "x" * 201


def when(farm, text):
    return tell(farm, [], sown(when=text))[0].entry


def test_the_two_hours_of_the_night_the_clocks_go_back_are_told_apart(farm):
    summer, winter = when(farm, "2026-10-25T02:30:00+02:00"), when(farm, "2026-10-25T02:30:00+01:00")
    assert summer.day == winter.day == date(2026, 10, 25)
    assert (summer.at, winter.at) == ("2026-10-25T00:30:00Z", "2026-10-25T01:30:00Z")


def test_a_time_without_its_offset_is_refused(farm):
    (said,) = refused(farm, [], sown(when="2026-10-25T02:30:00"))
    assert said == (
        "--when: found '2026-10-25T02:30:00'; expected a date, or a time with its offset such as "
        "2026-03-29T03:30:00+02:00"
    )


def test_the_day_is_the_farm_s_own_however_far_it_lies_from_utc(farm):
    entry = when(farm, "2026-03-04T23:30:00-10:00")
    assert (entry.day, entry.at) == (date(2026, 3, 4), "2026-03-05T09:30:00Z")


def test_an_hour_that_the_clocks_skip_gives_one_time():
    zone = ZoneInfo("Europe/Paris")
    before = datetime(2026, 3, 29, 1, 59, 59, tzinfo=zone)
    after = datetime(2026, 3, 29, 3, 0, 0, tzinfo=zone)
    assert utc_text(before) == "2026-03-29T00:59:59Z"
    assert utc_text(after) == "2026-03-29T01:00:00Z"
    assert utc_text(before + timedelta(0)) < utc_text(after)


@pytest.mark.parametrize(
    "value", ["9.3.2026", "2026-02-30", "today", "20260309", 20260309, True, "1066-01-01", "2026-03-09T", [1]]
)
def test_what_is_no_date_is_refused(farm, value):
    assert refused(farm, [], sown(when=value))[0].startswith("--when: found ")


@pytest.mark.parametrize("value", ["1.5", 1.5, True, "1e3", "ten", [1], -1, 10**7])
def test_what_is_no_count_is_refused(farm, value):
    assert refused(farm, [], sown(plants=value))[0].startswith("--plants: found ")


def test_text_is_one_line_of_text_of_bearable_length(farm):
    entry = tell(farm, [], sown(who="  Ana \n Maria  ", note="=1+1 <b>"))[0].entry
    assert (entry.who, entry.note) == ("Ana Maria", "=1+1 <b>")
    assert refused(farm, [], sown(who=LONG)) == ["--who: found 201 characters; expected at most 200"]


def test_places_may_be_many(farm):
    many = "; ".join(["Shelf A 1 slot 1"] * 12)
    assert len(many) > len(LONG)
    assert not any("characters" in said for said in refused(farm, [], sown(to=many)))
    most = "; ".join(["Shelf A 1 slot 1"] * 1112)
    assert any("expected at most 20000" in said for said in refused(farm, [], sown(to=most)))
    assert "signs that are no text" in refused(farm, [], sown(who="a\x1b[31m"))[0]
    assert refused(farm, [], sown(who=7)) == ["--who: found '7'; expected text"]


def test_a_field_that_is_not_known_is_told_with_the_nearest(farm):
    assert refused(farm, [], sown(platns=3)) == ["--platns: found 'platns'; expected 'plants'?"]


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("Shelf A 1 slot 9", "found '9' as slots of Shelf A 1; expected slots from 1 to 4"),
        ("Shelf A 1 slots 3-2", "found '3-2' as slots of Shelf A 1; expected slots from 1 to 4"),
        ("Shelf A slot 1", "found 'Shelf A' and a slot; expected one of its parts, such as 'Shelf A 1'"),
        ("Shelf A 1; North trough 1", "found Shelf A 1, North trough 1; expected places of one kind"),
        ("North trough 1", "found North trough 1; expected a shelf or one of its tiers"),
    ],
)
def test_a_place_that_cannot_be_meant_is_refused(farm, text, said):
    assert refused(farm, [], sown(to=text)) == [f"--to: {said}"]


def test_places_are_known_whatever_their_case_and_blanks(farm):
    assert refused(farm, [], sown(to="shelf-a 1  slots 1, 2", plants=196)) == []


def test_slots_and_units_that_do_not_fit_are_refused(farm):
    (said,) = refused(farm, [], sown(to="Shelf A 1 slots 1-2", units=3))
    assert said.startswith("--units: found 3 units and 2 slots")
    (said,) = refused(farm, [], sown(plants=1, units=2))
    assert said == "--units: found 2 trays for 1 plant; expected at least one plant in each"
    (said,) = refused(farm, [], sown(units=0))
    assert said == "--units: found no tray of its own; expected a tray filled on the same day to share"
    (said,) = refused(farm, [], sown(plants=0))
    assert said == "--plants: found 0 plants; expected at least one"


def test_an_interval_of_no_days_blocks_nothing(farm):
    log = tell(farm, [], sown(), told("treated", 1, lot="BUT-260302", product="water", days=0))
    assert log[1].entry.until == date(2026, 3, 2)
