"""New entries are taken together or not at all; late ones and corrections must leave the rest possible."""

from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from recorded import (
    CROPS,
    FIRST,
    boarded,
    cut,
    grown,
    now,
    on,
    rafted,
    refused,
    small,
    sown,
    stands,
    tell,
    told,
)

from scheduler.book.names import lot_meant
from scheduler.records.drafts import Hints
from scheduler.records.entries import Put, Spot, in_force, puts_of, puts_text, spots_of, spots_text

LOT = "BUT-260302"


def test_every_fault_is_told_at_once_each_with_its_place(farm):
    said = refused(
        farm,
        [],
        sown(crop="Baisl", to="Shelf B 1", plants="many"),
        told("lost", 1, lot="BUT-991231", plants=1),
        told("moved", 1, lot=LOT),
        told("eaten", 1, lot=LOT),
        told("cut", 1, lot=LOT, heads=-1, seed_lot="S1"),
        told("closed", 4, place="North trough 1", until=on(3)),
    )
    assert said == [
        "--crop: found 'Baisl'; expected 'Basil'?",
        "--heads: found -1; expected 0 to 1000000",
        "--lot: found 'BUT-991231', which is not there on 2026-03-03; expected none, for there are none yet",
        "--plants: found 'many'; expected a whole number, such as 36",
        "--seed_lot: found seed lot; expected it left out: it does not go with 'cut'",
        "--to: found 'Shelf B 1', which is no place of the farm; expected 'Shelf A 1'?",
        "--until: found 2026-03-05; expected 2026-03-06, the day of the entry, or later",
        "--what: found 'eaten'; expected 'treated'?",
        "moved: found 'moved' without to; "
        "expected to, where it came: a tier, a board zone, a row or positions of a bed",
    ]


def test_what_follows_a_refused_entry_of_its_lot_is_not_told_as_well(farm):
    said = refused(farm, [], sown(), boarded(plants=99), rafted(), told("lost", 30, lot=LOT, plants=999))
    assert said == ["--plants: found 99 plants moved; expected at most the 98 that stood there"]


def test_other_lots_are_judged_all_the_same(farm):
    said = refused(
        farm, [], sown(), boarded(plants=99), sown(1), told("lost", 2, lot="BUT-260303", plants=99)
    )
    assert len(said) == 2


@pytest.mark.parametrize(
    ("lot", "known"),
    [
        ("BUT-260309", "'BUT-260302'?"),
        ("but260302", "'BUT-260302'?"),
        ("BTU-260303", "'BAS-260303'?"),
        ("PAK-260309", "one of 'BUT-260302', 'BAS-260303'"),
    ],
)
def test_for_a_lot_that_is_not_there_none_of_another_crop_is_offered(lot, known):
    assert lot_meant(lot, ["BUT-260302", "BAS-260303"]) == known


def test_no_day_lies_before_the_records_begin_or_after_today(farm):
    log = tell(farm, [], sown())
    today = date(2026, 3, 9)
    assert refused(farm, log, sown(7), today=today) == []
    (said,) = refused(farm, log, sown(8), today=today)
    assert said.startswith("--when: found 2026-03-10; expected a day from 2026-03-02, on which the records ")
    assert refused(farm, log, sown(-1), today=today) != []
    # in a book that begins in the future there is no such day
    assert refused(farm, [], sown(), today=date(2026, 3, 1)) == [
        "--when: found 2026-03-02; "
        "expected nothing yet: the records begin on 2026-03-02, which is still to come"
    ]
    assert refused(farm, log, told("closed", 60, place="Shelf A 1"), today=today) == []


def test_a_lot_is_not_there_before_it_was_sown(farm):
    log = tell(farm, [], sown(7))
    (said,) = refused(farm, log, told("lost", 6, lot="BUT-260309", plants=1))
    assert said.startswith("--lot: found 'BUT-260309', which is not there on 2026-03-08")


def test_an_entry_told_late_takes_its_place_by_its_day(farm):
    log = tell(farm, [], *grown(), told("lost", 16, lot=LOT, plants=2))
    assert [plants for *_, plants in stands(now(log))] == [36, 34]
    (said,) = refused(farm, log, told("lost", 16, lot=LOT, plants=1))
    assert said == (
        f"entry 3 (moved {LOT}, 2026-03-30): found 70 plants of '{LOT}' moved; expected at most the 69 that "
        "stood there; correct that entry too, or change what is new"
    )


def test_an_entry_and_the_correction_of_what_it_breaks_are_taken_together(farm):
    log = tell(farm, [], *grown())
    log = tell(farm, log, told("lost", 16, lot=LOT, plants=3), rafted(28, plants=69, corrects="3"))
    assert sum(plants for *_, plants in stands(now(log))) == 69


def test_a_correction_stands_in_for_the_old_entry_in_its_place_of_the_day(farm):
    log = tell(farm, [], *grown(), cut(plants=36, heads=34), told("lost", 49, lot=LOT, plants=30))
    log = tell(farm, log, cut(plants=30, heads=30, corrects="4"))
    assert [plants for *_, plants in stands(now(log))] == [5, 5]
    assert [each.number for each in in_force((one.number, one.entry) for one in log)] == [1, 2, 3, 6, 5]
    assert log[3].entry.plants == 36


def test_an_entry_that_never_happened_is_withdrawn(farm):
    log = tell(farm, [], sown(), told("lost", 3, lot=LOT, plants=5), told("withdrawn", 4, corrects="2"))
    assert stands(now(log)) == [("Shelf A 1", 1, LOT, 98)]
    (said,) = refused(farm, log, told("withdrawn", 5, corrects="1"), boarded())
    assert said.startswith(f"--lot: found '{LOT}', which is not there")


@pytest.mark.parametrize(
    ("number", "found"),
    [
        ("9", "entry '9', which there is not"),
        ("x", "entry 'x', which there is not"),
        ("2", "entry 2, withdrawn already by entry 3"),
        ("3", "entry 3, which only withdraws another"),
    ],
)
def test_only_an_entry_that_holds_can_be_corrected(farm, number, found):
    log = tell(farm, [], sown(), told("lost", 3, lot=LOT, plants=5), told("withdrawn", 4, corrects="2"))
    (said,) = refused(farm, log, told("lost", 3, lot=LOT, plants=4, corrects=number))
    assert said.startswith(f"--corrects: found {found}; expected ")


def test_the_name_of_an_entry_will_do_for_its_number(farm):
    log = tell(farm, [], sown(op="phone-1"), told("withdrawn", 1, corrects="phone-1"))
    assert log[1].entry.corrects == 1


def test_so_will_the_task_it_was_told_by_unless_several_entries_tell_of_it(farm):
    key = "sow BUT-260302"
    log = tell(farm, [], sown(task=key))
    assert tell(farm, log, told("withdrawn", 1, corrects=key))[1].entry.corrects == 1
    log = tell(farm, log, told("withdrawn", 1, corrects=key), sown(task=key, plants=90))
    again = tell(farm, log, told("withdrawn", 1, corrects=key))
    assert (len(again), again[-1].entry.corrects) == (4, 3)
    (said,) = refused(farm, again, told("withdrawn", 1, corrects=key))
    assert said.startswith("--corrects: found entry 3, withdrawn already by entry 4; ")
    (said,) = refused(farm, again, told("withdrawn", 1, corrects="sow BUT-260303"))
    assert said == (
        "--corrects: found entry 'sow BUT-260303', which there is not; expected the number of an entry, as "
        "list shows it, or the task it was told by: 'sow BUT-260302'?"
    )
    both = [told("lost", 1, lot=LOT, plants=number, task="deliver R1") for number in (2, 3)]
    (said,) = refused(farm, tell(farm, [], sown(), *both), told("withdrawn", 1, corrects="deliver R1"))
    assert said == (
        "--corrects: found 'deliver R1', of which entries 2 and 3 tell; expected the number of one of them"
    )


def test_of_a_task_that_tells_no_entry_those_of_its_lot_are_named(farm):
    """One of another lot would be withdrawn in its place."""
    other = sown(1, task="sow BUT-260303")
    log = tell(farm, [], sown(), other, told("lost", 3, lot=LOT, plants=5))
    (said,) = refused(farm, log, told("withdrawn", 4, corrects=f"sow {LOT}"))
    assert said.endswith(f"or the task it was told by; of {LOT} there are 1 (sown) and 3 (lost)")


def test_what_is_told_again_word_for_word_changes_nothing(farm):
    first = [sown(op="a"), boarded(op="b")]
    log = tell(farm, [], *first)
    assert tell(farm, log, *first, *first) == log
    assert tell(farm, [], *first, *first) == log


def test_what_is_told_again_in_other_words_is_refused_with_what_to_do(farm):
    log = tell(farm, [], sown(op="a"))
    (said,) = refused(farm, log, sown(op="a", plants=97))
    assert said == (
        "sown: found an entry that was told before in other words (plants: '98'); "
        "expected the same words, or: correct 1"
    )
    (said,) = refused(farm, log, sown(op="a", plants=0))
    assert said.endswith("; expected the same words, or: withdraw 1")
    (said,) = refused(farm, log, sown(op="a", note="late", who="Ana"))
    assert said.startswith("sown: found an entry that was told before in other words (note: none); ")


def test_of_two_who_tell_the_same_the_first_name_stays(farm):
    log = tell(farm, [], sown(op="a", who="Ana"))
    assert tell(farm, log, sown(op="a", who="Ben"), sown(op="a"), boarded(op="b", who="Ben"))[:1] == log
    assert [each.entry.who for each in tell(farm, log, sown(op="a", who="Ben"))] == ["Ana"]


def test_an_entry_that_was_withdrawn_is_not_taken_again(farm):
    log = tell(farm, [], sown(op="a"), told("withdrawn", 1, corrects="a"))
    assert tell(farm, log, sown(op="a")) == log


def test_a_lot_code_is_not_used_for_two_sowings(farm):
    log = tell(farm, [], sown())
    assert refused(farm, log, sown(plants=10)) == []
    (said,) = refused(farm, log, sown(3, lot=LOT))
    assert said == (
        f"--lot: found '{LOT}' again, which is Butterhead sown on 2026-03-02; "
        "expected a code of its own for each sowing"
    )


def test_the_crop_follows_from_the_code_of_the_lot(farm):
    assert tell(farm, [], sown(crop=None, lot="BAS-260302"))[0].entry.crop == "Basil"
    (said,) = refused(farm, [], sown(crop=None, lot="XYZ-260302"))
    assert said.startswith("--lot: found 'XYZ-260302'; expected one of 'Butterhead', 'Basil'")


def test_rafts_go_to_one_row_and_no_slot_of_it_is_named(farm):
    log = tell(farm, [], sown(), boarded())
    (said,) = refused(farm, log, rafted(to="North trough"))
    assert said == "--to: found 2 rows: North trough 1, North trough 2; expected one of them"
    (said,) = refused(farm, log, rafted(to="North trough 1 slot 2"))
    assert said.startswith("--to: found slots of North trough 1; expected the row alone")
    assert refused(farm, log, rafted(to="intake end of north trough 1")) == []


def test_the_row_must_be_named_where_a_lot_stands_in_several(farm):
    log = tell(
        farm, [], sown(), boarded(), rafted(plants=36, left=36), rafted(29, to="North trough 2", plants=34)
    )
    (said,) = refused(farm, log, cut())
    assert said == f"cut: found no row for '{LOT}'; expected one of North trough 1, North trough 2"
    assert refused(farm, log, cut(place="North trough 2", plants=34)) == []


def test_a_crop_skips_no_stage_of_its_route_that_it_does_not_have(farm):
    log = tell(farm, [], sown(crop="Basil"))
    (said,) = refused(farm, log, boarded(lot="BAS-260302"))
    assert said == "--to: found a board for Basil; expected its route, tray > raft"


def test_how_many_seedlings_were_set_out_must_be_counted(farm):
    log = tell(farm, [], sown())
    (said,) = refused(farm, log, boarded(plants=None, left=None))
    assert said == "moved: found no count; expected how many plants were set out of the trays"
    counted = tell(farm, log, told("germinated", 7, lot=LOT, plants=60))
    assert refused(farm, counted, boarded(plants=None, left=None)) == []


def test_a_plan_s_number_behind_a_lot_is_taken_for_the_lot(farm):
    log = tell(farm, [], sown())
    assert tell(farm, log, told("lost", 1, lot=f"{LOT}-2", plants=1))[-1].entry.lot == LOT


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ({"delivery": "R1 2026-04-21"}, ("Butterhead head", "Harbour Table", 12, 12)),
        ({"customer": "Someone"}, ("Butterhead head", "Someone", 12, 12)),
    ],
)
def test_a_delivery_tells_product_and_customer(farm, given, said):
    log = tell(farm, [], *grown(), cut())
    entry = tell(farm, log, told("delivered", 50, lot=LOT, heads=12, **given))[-1].entry
    assert (entry.product, entry.customer, entry.heads, entry.plants) == said


def test_a_task_says_how_many_units_the_heads_of_a_lot_make(farm):
    log = tell(farm, [], *grown(), cut())
    by_task = replace(told("delivered", 50, lot=LOT, heads=11, customer="A"), hints=Hints(units=12))
    assert (tell(farm, log, by_task)[-1].entry.heads, tell(farm, log, by_task)[-1].entry.plants) == (11, 12)


def test_a_delivery_is_one_of_the_book_and_of_the_lot_s_crop(farm):
    log = tell(farm, [], *grown(), cut())
    said = refused(farm, log, told("delivered", 50, lot=LOT, heads=12, delivery="R1 2026-04-22"))
    assert said[0].startswith("--delivery: found 'R1 2026-04-22'; expected 'R1 2026-0")
    known = {"lot": LOT, "heads": 12, "delivery": "R1 2026-04-21"}
    said = refused(farm, log, told("delivered", 50, **known, customer="Harbor Table"))
    assert said[0].startswith(
        "--customer: found 'Harbor Table'; expected 'Harbour Table', whose delivery it is"
    )
    assert refused(farm, log, told("delivered", 50, **known, customer="Harbour Table")) == []
    said = refused(farm, log, told("delivered", 50, lot=LOT, heads=12, customer="A", product="Basil"))
    assert said[0].startswith("--product: found 'Basil' from Butterhead; expected ")
    said = refused(farm, log, told("delivered", 50, lot=LOT, heads=12))
    assert said == ["delivered: found no customer and no delivery; expected one of them"]


TREATED = {"place": "North trough 1", "product": "soap"}


def test_nothing_treated_is_cut_until_the_interval_has_passed(farm):
    log = tell(farm, [], *grown(), told("treated", 47, days=3, **TREATED))
    (said,) = refused(farm, log, cut(49))
    assert said == (
        f"--when: found '{LOT}' cut on 2026-04-20, treated and not to be cut through 2026-04-20; "
        "expected a day after the interval of the treatment"
    )
    assert refused(farm, log, cut(50)) == []


def test_a_treatment_goes_with_the_plants_and_not_with_the_place(farm):
    log = tell(
        farm, [], sown(), boarded(), told("treated", 27, days=30, place="North trough", product="soap")
    )
    log = tell(farm, log, rafted())
    assert refused(farm, log, cut(56)) != []
    assert refused(farm, log, cut(57)) == []
    later = tell(farm, log, sown(40, crop="Basil", plants=12))
    later = tell(farm, later, told("moved", 50, lot="BAS-260411", to="North trough 2", plants=12))
    assert refused(farm, later, told("cut", 51, lot="BAS-260411", heads=12)) == []


def test_nothing_goes_in_or_out_of_quarantine_or_is_cut_there(farm):
    log = tell(farm, [], *grown(), sown(10), boarded(24, lot="BUT-260312"))
    log = tell(farm, log, told("quarantined", 45, place="North trough 1"))
    for entry in (cut(), told("moved", 46, lot=LOT, to="North trough 2"), rafted(46, lot="BUT-260312")):
        (said,) = refused(farm, log, entry)
        assert "quarantined from 2026-04-16 (entry 6)" in said
    assert refused(farm, log, told("culled", 46, lot=LOT, plants=3)) == []
    log = tell(farm, log, told("released", 48, place="North trough 1"))
    assert refused(farm, log, cut(48)) == []
    assert refused(farm, log, cut(47)) != []


def test_a_lot_in_quarantine_is_not_delivered(farm):
    log = tell(farm, [], *grown(), cut(), told("quarantined", 49, lot=LOT, until=on(50)))
    assert refused(farm, log, told("delivered", 50, lot=LOT, heads=1, customer="A")) != []
    assert refused(farm, log, told("delivered", 51, lot=LOT, heads=1, customer="A")) == []


def test_nothing_comes_into_a_closed_place_though_all_may_leave_it(farm):
    log = tell(farm, [], *grown(), told("closed", 40, place="North trough", until=on(60)))
    assert refused(farm, log, cut()) == []
    log = tell(farm, log, sown(20), boarded(34, lot="BUT-260322"))
    (said,) = refused(farm, log, rafted(50, lot="BUT-260322"))
    assert said == (
        "--to: found North trough 1, closed from 2026-04-11 through 2026-05-01 (entry 4); expected a place "
        "that is open"
    )
    assert refused(farm, log, rafted(61, lot="BUT-260322")) == []


def test_only_what_is_closed_can_be_released(farm):
    log = tell(farm, [], told("closed", 40, place="North trough", until=on(60)))
    assert refused(farm, log, told("released", 50, place="North trough")) == []
    assert refused(farm, log, told("released", 61, place="North trough")) != []
    assert refused(farm, log, told("released", 50, place="North trough 1")) != []
    assert refused(farm, log, told("closed", 40, place="North trough 1 slot 2")) != []


def test_a_log_outlives_the_places_and_crops_of_its_book(tmp_path, farm):
    log = tell(farm, [], *grown(), cut(plants=30, heads=30))
    crops = CROPS.splitlines()[0] + "\nKale,KAL,14,3,0,,21,7,,,95,90,,97\n"
    troughs = "trough,width,length,raft_width,raft_length,lie\nSouth trough,4,24,2,4,along\n"
    other = small(
        tmp_path,
        crops=crops,
        troughs=troughs,
        board_zones=None,
        products="product,crop\nKale,Kale\n",
        orders="order,customer,product,amount,weekdays\nR1,Harbour Table,Kale,12,Tue Fri\n",
    )
    longer = tell(other, log, sown(5, crop="Kale", plants=30), told("lost", 50, lot=LOT, plants=1))
    assert ("Shelf A 1", 2, "KAL-260307", 30) in stands(now(longer))


NAMES = st.text(st.characters(exclude_characters=";", exclude_categories=["Cs"]), min_size=1, max_size=8)


@settings(max_examples=40, deadline=None)
@given(
    spots=st.lists(st.builds(Spot, NAMES, st.lists(st.integers(1, 99), max_size=3).map(tuple)), max_size=3),
    puts=st.lists(st.builds(Put, NAMES, st.integers(-3, 40), st.integers(0, 200)), max_size=3),
)
def test_places_and_units_are_read_as_they_were_written(spots, puts):
    assert spots_of(spots_text(spots)) == tuple(spots)
    assert puts_of(puts_text(puts)) == tuple(puts)


def test_the_first_day_is_the_book_s(farm):
    assert refused(farm, [], told("closed", 0, place="Shelf A")) == []
    assert tell(farm, [], told("closed", 0, place="Shelf A"))[0].entry.day == FIRST
