"""The farm by the records on one screen of 80 columns."""

import re
from datetime import timedelta

import pytest
from recorded import FIRST, cut, grown, now, on, small, sown, tell, told

from scheduler.outputs.happened.status import Status, status_page
from scheduler.outputs.happened.words import RULES_DECIDE
from scheduler.outputs.show.page import rendered
from scheduler.records.closures import held_back
from scheduler.records.compare import Amount, Difference
from scheduler.records.doubts import doubts


@pytest.fixture(scope="module")
def farm(tmp_path_factory):
    return small(tmp_path_factory.mktemp("farm"))


def shown(farm, log, day, **more):
    evening, state = FIRST + timedelta(days=day), now(log, FIRST + timedelta(days=day))
    status = Status(
        farm=farm,
        day=evening,
        state=state,
        entries=len(log),
        last=max((each.written for each in log), default=""),
        held=held_back(state, evening),
        doubts=doubts(farm, state, evening),
        **more,
    )
    return rendered(status_page(status))


def test_what_stands_is_told_place_by_place_and_slot_by_slot(farm):
    log = tell(
        farm, [], *grown(), sown(30, plants=50), sown(30, crop="Basil", plants=20, to="Shelf A 1 slot 1")
    )
    assert shown(farm, log, 31) == (
        "Alder Quay Greens, Thu 2 Apr 2026\n"
        "By 5 entries, the last written 1 Jan 2026, 00:00 UTC\n"
        "\n"
        "Shelf A\n"
        "Shelf A 1 slot 1 50 cells of BUT-260401, Butterhead, since 1 Apr\n"
        "                 20 cells of BAS-260401, Basil, since 1 Apr\n"
        "\n"
        "North trough\n"
        "North trough 1 slots 1-2 70 plants of BUT-260302, Butterhead, since 30 Mar\n"
    )


def test_empty_rafts_cuts_and_the_cooler_are_told(farm):
    basil = [
        sown(crop="Basil", plants=30),
        told("moved", 14, lot="BAS-260302", to="North trough 2", plants=12, left=0),
        told("cut", 35, lot="BAS-260302", heads=12),
    ]
    log = tell(farm, [], *grown(), *basil, cut(place="North trough 1 slot 2", plants=34))
    page = shown(farm, log, 49)
    assert "slot 2 empty raft, waits for those ahead\n" in page
    assert "12 plants of BAS-260302, Basil, since 16 Mar, cut once, last 6 Apr" in " ".join(page.split())
    assert "Cut and not delivered\nMon  6 Apr 12 heads of BAS-260302, Basil\nMon 20 Apr 34 heads of" in page


def test_what_is_held_back_and_closed_is_told_with_who_decides(farm):
    log = tell(farm, [], *grown(), told("treated", 40, place="North trough 1", product="soap", days=5))
    log = tell(farm, log, told("closed", 60, place="North trough", until=on(62), note="scrub"))
    page = " ".join(shown(farm, log, 41).split())
    assert "through Wed 15 Apr BUT-260302 in North trough 1: treated" in page
    assert "Fri 1 May to Sun 3 May North trough: closed, scrub" in page
    assert RULES_DECIDE in page
    assert "Held back" not in shown(farm, log[:4], 45)


def test_what_can_hardly_be_is_told(farm):
    log = tell(farm, [], sown(plants=98 * 4), sown(1, plants=98, to="Shelf A 1 slot 2"))
    assert "5 trays stand in Shelf A 1, which has 4 slots: record what left" in shown(farm, log, 2)
    log = tell(farm, [], sown(plants=98), sown(1, plants=98, to="Shelf A 1 slot 1"))
    told = (
        "2 trays of BUT-260302 and BUT-260303 stand in slot 1 of Shelf A 1, which holds one: record which "
        "left, or where it stands now"
    )
    assert told in " ".join(shown(farm, log, 2).split())


def test_every_slot_that_holds_too_much_is_told_with_how_much(farm):
    log = tell(farm, [], sown(plants=98), *(sown(day, plants=98, to="Shelf A 1 slot 1") for day in (1, 2)))
    log = tell(farm, log, *(sown(day, plants=98, to="Shelf A 1 slot 2") for day in (3, 4)))
    page = " ".join(shown(farm, log, 4).split())
    assert "This can hardly be 5 trays stand in Shelf A 1, which has 4 slots" in page
    log = tell(farm, [], *(sown(day, plants=98, to="Shelf A 2 slot 1") for day in (1, 2)))
    log = tell(farm, log, *(sown(day, plants=98, to="Shelf A 2 slot 2") for day in (3, 4)))
    page = " ".join(shown(farm, log, 4).split())
    assert "stand in slot 1 of Shelf A 2" in page
    assert "stand in slot 2 of Shelf A 2" in page


def test_without_records_the_book_s_first_day_is_shown(farm):
    page = shown(farm, [], 0)
    assert "Nothing is recorded yet" in page
    assert page.endswith("Nothing stands anywhere.\n")


def test_beside_a_plan_it_says_that_all_is_well(farm):
    page = shown(farm, tell(farm, [], sown()), 1, differences=[])
    assert "Everything stands as planned." in page
    assert "None: what stands can still give what the plan promises." in page


def test_open_trays_are_counted_without_cells_and_one_is_one(farm):
    def amounts(units, plants, form="cells"):
        return (Amount(item="tray", place="Shelf A 1", units=units, plants=plants, form=form),)

    found = [
        Difference(lot="PEA-260312", crop="Pea shoots", planned=amounts(2, 2), stands=()),
        Difference(lot="BUT-260312", crop="Butterhead", planned=amounts(3, 98), stands=amounts(2, 1)),
        Difference(lot="BAS-260312", crop="Basil", planned=(), stands=amounts(1, 40, "good seedlings")),
    ]
    page = shown(farm, tell(farm, [], sown()), 1, differences=found)
    assert re.search(r"PEA-260312 plan +2 trays in Shelf A 1$", page, re.MULTILINE)
    assert re.search(r"BUT-260312 plan +3 trays in Shelf A 1, 98 cells$", page, re.MULTILINE)
    assert re.search(r"records +2 trays in Shelf A 1, 1 cell$", page, re.MULTILINE)
    assert re.search(r"records +1 tray in Shelf A 1, 40 good seedlings$", page, re.MULTILINE)


def test_the_page_is_never_wider_than_80_columns(farm):
    long = "N" * 60
    log = tell(farm, [], sown(lot=long), told("quarantined", 1, lot=long, note="n" * 300))
    log = tell(farm, log, *[sown(3, lot=f"{long}{n}", plants=1, to="Shelf A 2") for n in range(3)])
    assert max(map(len, shown(farm, log, 4).splitlines())) <= 80
