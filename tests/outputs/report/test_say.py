"""How names, places, days and amounts are said on paper; a grower's text is text and nothing else."""

from datetime import date

import pytest
from farms import make_farm

from scheduler.farm.dates import period
from scheduler.farm.places import PlaceKind
from scheduler.outputs.report.say import area, code, numbers, own, slots, strong, time, where
from scheduler.outputs.words import day_in_text
from scheduler.plan.views.ledger import Spot


def spot(kind, *taken, number=2):
    names = {
        PlaceKind.LANE: "North trough 2",
        PlaceKind.TIER: "Shelf A 2",
        PlaceKind.ZONE: "North trough boards",
    }
    owner = "Shelf A" if kind is PlaceKind.TIER else "North trough"
    return Spot(place=names[kind], owner=owner, kind=kind, number=number, slots=taken)


def text(markup):
    return markup.striptags().replace("\xa0", " ")


@pytest.mark.parametrize(
    ("values", "said"),
    [((3,), "slot 3"), ((3, 3), "slot 3"), ((1, 2), "slots 1, 2"), ((5, 1, 2, 3), "slots 1 to 3, 5")],
)
def test_slots_in_a_run_are_said_as_first_to_last(values, said):
    assert slots(values) == said


def test_a_place_in_a_row_says_row_slot_and_end():
    assert text(where(spot(PlaceKind.LANE, 1))) == "North trough, row 2, slot 1 (harvest end)"
    assert text(where(spot(PlaceKind.LANE, 1, 2))) == "North trough, row 2, slots 1, 2 (harvest end)"
    assert text(where(spot(PlaceKind.LANE, 3))) == "North trough, row 2, slot 3"


def test_tiers_and_zones_have_no_end():
    assert text(where(spot(PlaceKind.TIER, 1))) == "Shelf A, tier 2, slot 1"
    assert text(area(spot(PlaceKind.ZONE, 1))) == "North trough boards"


@pytest.mark.parametrize(
    ("first", "last", "said"),
    [
        ((2026, 6, 15), (2026, 6, 21), "15 to 21 June 2026"),
        ((2026, 6, 29), (2026, 7, 5), "29 June to 5 July 2026"),
        ((2026, 12, 28), (2027, 1, 3), "28 December 2026 to 3 January 2027"),
        ((2026, 6, 15), (2026, 6, 15), "15 June 2026"),
    ],
)
def test_a_period_names_months_and_years_only_where_they_differ(first, last, said):
    assert period(date(*first), date(*last)) == said


@pytest.mark.parametrize(
    ("hundredths", "said"),
    [
        (0, "0 min"),
        (4, "1 min"),
        (149, "1 min"),
        (59_50, "1 h"),
        (76_00, "1 h 16 min"),
        (1600_00, "26 h 40 min"),
    ],
)
def test_work_is_said_in_whole_minutes_and_never_as_nothing(hundredths, said):
    assert time(hundredths) == said


def test_days_are_said_without_the_year():
    assert day_in_text(make_farm(), 0) == "Mon 2 Mar"


@pytest.mark.parametrize("say", [own, code, strong])
def test_a_grower_s_text_is_escaped_and_stays_on_its_line(say):
    said = say("<b>&\n\u202e\x07")
    assert "&lt;b&gt;&amp;" in said
    assert not {"\n", "\u202e", "\x07"} & set(said)
    assert said.startswith(("<bdi>", "<code>", "<b><bdi>"))


def test_only_a_short_code_is_kept_on_one_line():
    assert code("BUT-260302").startswith("<code>")
    assert code("G" * 40).startswith("<bdi>")


def test_numbers_are_sorted_and_each_is_said_once():
    assert numbers([7, 1, 2, 7, 3]) == "1 to 3, 7"
