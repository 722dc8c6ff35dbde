"""Each kind of entry at its limit and one beyond, and the state that follows."""

from datetime import date

from hypothesis import given, settings
from hypothesis import strategies as st
from recorded import FIRST, boarded, cut, grown, now, on, rafted, refused, small, sown, stands, tell, told

from scheduler.records.recording import opening_entries
from scheduler.records.state import replay

LOT = "BUT-260302"


def test_a_lot_goes_from_tray_to_board_to_rafts_and_is_counted_on_the_way(farm):
    log = tell(farm, [], sown(seed_lot="S1; S2"))
    assert stands(now(log)) == [("Shelf A 1", 1, LOT, 98)]
    assert now(log).lots[LOT].seed_lots == ("S1", "S2")
    log = tell(farm, log, told("germinated", 6, lot=LOT, plants=90), told("thinned", 7, lot=LOT, plants=85))
    assert stands(now(log)) == [("Shelf A 1", 1, LOT, 85)]
    log = tell(farm, log, boarded())
    assert stands(now(log)) == [("North trough boards", 1, LOT, 72)]
    log = tell(farm, log, rafted())
    assert stands(now(log)) == [("North trough 1", 1, LOT, 36), ("North trough 1", 2, LOT, 34)]
    log = tell(farm, log, cut(), cut(50, plants=34, heads=30))
    state = now(log)
    assert stands(state) == []
    assert state.lots[LOT].cooler == ((date(2026, 4, 20), 34), (date(2026, 4, 21), 30))


def test_no_more_seedlings_come_up_than_cells_were_sown(farm):
    log = tell(farm, [], sown())
    assert refused(farm, log, told("germinated", 6, lot=LOT, plants=98)) == []
    (said,) = refused(farm, log, told("germinated", 6, lot=LOT, plants=99))
    assert said == "--plants: found 99 counted; expected at most the 98 that were there"


def test_no_more_are_moved_than_stand_there(farm):
    log = tell(farm, [], sown())
    assert refused(farm, log, boarded(plants=98, units=2)) == []
    (said,) = refused(farm, log, boarded(plants=99, units=2))
    assert said == "--plants: found 99 plants moved; expected at most the 98 that stood there"


def test_what_is_left_and_what_moved_are_no_more_than_stood_there(farm):
    log = tell(farm, [], sown())
    log_with_rest = tell(farm, log, boarded(left=26))
    assert stands(now(log_with_rest)) == [("North trough boards", 1, LOT, 72), ("Shelf A 1", 1, LOT, 26)]
    (said,) = refused(farm, log, boarded(left=27))
    assert said == "--left: found 27 left and 72 moved; expected at most 26, for 98 stood there"


def test_what_did_not_move_stays_unless_told_otherwise(farm):
    log = tell(farm, [], sown(), boarded(left=None))
    assert stands(now(log))[1] == ("Shelf A 1", 1, LOT, 26)


def test_no_more_are_cut_than_stand_in_the_row(farm):
    log = tell(farm, [], *grown())
    assert refused(farm, log, cut(plants=70, heads=70)) == []
    (said,) = refused(farm, log, cut(plants=71, heads=70))
    assert (
        said == f"--plants: found 71 plants of '{LOT}' cut; expected at most the 70 plants that stood there"
    )


def test_a_lot_is_cut_only_where_it_stands(farm):
    log = tell(farm, [], *grown())
    (said,) = refused(farm, log, cut(place="North trough 2"))
    assert said == (
        f"--place: found North trough 2, where none of '{LOT}' stands; "
        "expected a place where it stands: North trough 1"
    )
    (said,) = refused(farm, log, cut(place="North trough 1 slot 3"))
    assert said.startswith("--place: found North trough 1 slot 3, which is empty; expected slot 1, 2")
    (said,) = refused(farm, log, told("discarded", 50, place="North trough 1 slot 3"))
    assert said == (
        "--place: found North trough 1 slot 3, which is empty; expected slot 1, 2, where something stands"
    )


def test_a_named_slot_is_the_one_that_is_cut(farm):
    log = tell(farm, [], *grown(), cut(place="North trough 1 slot 2", plants=34))
    assert stands(now(log)) == [("North trough 1", 1, LOT, 36)] + [("North trough 1", 2, "", 0)]


def test_an_emptied_raft_keeps_its_slot_until_those_ahead_have_left(farm):
    log = tell(farm, [], *grown(), cut(place="North trough 1 slot 2", plants=34))
    log = tell(farm, log, cut(50))
    assert stands(now(log)) == []


def test_an_emptied_raft_leaves_past_others_when_it_is_lifted_out(farm):
    log = tell(farm, [], *grown(), cut(place="North trough 1 slot 2", plants=34, lifted=True))
    assert stands(now(log)) == [("North trough 1", 1, LOT, 36)]


def test_an_empty_raft_whose_slot_is_named_is_thrown_out(farm):
    log = tell(farm, [], *grown(), cut(place="North trough 1 slot 2", plants=34))
    log = tell(farm, log, told("discarded", 50, place="North trough 1 slot 2"))
    assert stands(now(log)) == [("North trough 1", 1, LOT, 36)]


def test_rafts_close_up_and_new_ones_come_in_at_the_intake_end(farm):
    log = tell(farm, [], *grown(), sown(7), boarded(21, lot="BUT-260309"))
    log = tell(farm, log, rafted(35, lot="BUT-260309", plants=30), cut())
    assert stands(now(log)) == [("North trough 1", 1, LOT, 34), ("North trough 1", 2, "BUT-260309", 30)]


def basil():
    sowing = sown(crop="Basil", plants=30)
    onto = told("moved", 14, lot="BAS-260302", to="North trough 2", plants=24, left=0, units=2)
    return [sowing, onto]


def test_a_crop_that_is_cut_again_stays_until_its_last_cut(farm):
    log = tell(farm, [], *basil(), told("cut", 35, lot="BAS-260302", heads=24))
    log = tell(farm, log, told("cut", 49, lot="BAS-260302", heads=20, plants=24))
    (first, second) = now(log).units
    assert [(each.cuts, each.last_cut) for each in first.contents] == [(2, date(2026, 4, 20))]
    log = tell(farm, log, told("cut", 63, lot="BAS-260302", heads=24))
    assert stands(now(log)) == []
    assert second.plants == 12


def test_a_cut_takes_the_plants_with_the_fewest_cuts_first(farm):
    log = tell(farm, [], *basil(), told("cut", 35, lot="BAS-260302", heads=10))
    log = tell(farm, log, told("cut", 36, lot="BAS-260302", heads=4))
    by_cuts = sorted((each.cuts, each.plants) for unit in now(log).units for each in unit.contents)
    assert by_cuts == [(0, 10), (1, 2), (1, 2), (1, 10)]


def test_what_is_told_not_to_grow_again_leaves(farm):
    log = tell(farm, [], *basil(), told("cut", 35, lot="BAS-260302", heads=24, left=12))
    assert stands(now(log)) == [("North trough 2", 1, "BAS-260302", 12)]
    (said,) = refused(farm, tell(farm, [], *basil()), told("cut", 35, lot="BAS-260302", heads=20, left=21))
    assert said == "--left: found 21 left to grow again; expected at most the 20 that were cut"


def test_losses_are_spread_over_units_and_never_more_than_stood_there(farm):
    log = tell(farm, [], *grown(), told("lost", 30, lot=LOT, plants=4))
    assert [plants for *_, plants in stands(now(log))] == [33, 33]
    assert refused(farm, log, told("culled", 31, lot=LOT, plants=66)) == []
    (said,) = refused(farm, log, told("culled", 31, lot=LOT, plants=67))
    assert said == f"--plants: found 67 plants of '{LOT}' culled; expected at most the 66 that stood there"


def test_a_place_or_a_lot_is_thrown_away_whole(farm):
    log = tell(farm, [], *grown(), sown(30))
    assert stands(now(tell(farm, log, told("discarded", 31, lot=LOT)))) == [
        ("Shelf A 1", 1, "BUT-260401", 98)
    ]
    assert stands(now(tell(farm, log, told("discarded", 31, place="Shelf A")))) == stands(now(log))[:2]
    (said,) = refused(farm, log, told("discarded", 31, place="North trough 2"))
    assert "where nothing stands" in said


def test_no_more_is_delivered_than_was_cut_by_then(farm):
    log = tell(farm, [], *grown(), cut())
    assert refused(farm, log, told("delivered", 49, lot=LOT, heads=34, customer="Harbour Table")) == []
    (said,) = refused(farm, log, told("delivered", 49, lot=LOT, heads=35, customer="Harbour Table"))
    assert said.startswith(
        f"--heads: found 35 heads of '{LOT}' delivered; expected at most the 34 that are cut"
    )
    (said,) = refused(farm, log, told("delivered", 48, lot=LOT, heads=1, customer="Harbour Table"))
    assert "at most the 0" in said


def test_heads_of_the_oldest_cut_are_delivered_first_and_spoilt_ones_leave_the_cooler(farm):
    log = tell(farm, [], *grown(), cut(plants=10, heads=10), cut(50, plants=10, heads=10))
    log = tell(farm, log, told("delivered", 50, lot=LOT, heads=12, customer="Harbour Table"))
    assert now(log).lots[LOT].cooler == ((date(2026, 4, 21), 8),)
    log = tell(farm, log, told("discarded", 52, lot=LOT, heads=8))
    assert now(log).lots[LOT].cooler == ()


def test_trays_and_rafts_change_their_places_as_a_whole(farm):
    log = tell(farm, [], sown(plants=196), told("moved", 3, lot=LOT, to="Shelf A 2 slot 4", units=1))
    assert stands(now(log)) == [("Shelf A 1", 2, LOT, 98), ("Shelf A 2", 4, LOT, 98)]
    log = tell(
        farm, [], *grown(), told("moved", 30, lot=LOT, to="North trough 2", place="North trough 1 slot 2")
    )
    assert stands(now(log)) == [("North trough 1", 1, LOT, 36), ("North trough 2", 1, LOT, 34)]
    (said,) = refused(farm, log, told("moved", 31, lot=LOT, to="Shelf A 1"))
    assert "a tray for what stands in a raft" in said


def test_nothing_goes_back_to_a_stage_before(farm):
    log = tell(farm, [], *grown())
    (said,) = refused(farm, log, told("moved", 30, lot=LOT, to="North trough boards", plants=10))
    assert said == "--to: found a board for what stands in a raft; expected a stage that follows"


def test_lots_share_a_tray_only_when_they_were_sown_on_one_day(farm):
    log = tell(
        farm, [], sown(plants=49, to="Shelf A 1 slot 2"), sown(crop="Basil", plants=49, to="Shelf A 1 slot 2")
    )
    (unit,) = now(log).units
    assert [(each.lot, each.plants) for each in unit.contents] == [(LOT, 49), ("BAS-260302", 49)]
    (said,) = refused(farm, log, sown(plants=1, to="Shelf A 1 slot 2"))
    assert said == "--plants: found 1 plants; expected at most 0, the room that is left in what is shared"


def test_units_hold_no_more_than_their_holes(farm):
    assert refused(farm, [], sown(plants=196, units=2)) == []
    (said,) = refused(farm, [], sown(plants=197, units=2))
    assert said == "--plants: found 197 plants; expected at most 196: 2 trays with 98 each"


def test_what_the_book_says_is_growing_opens_the_records(tmp_path):
    growing = (
        "lot,crop,stage,place,since,plants,units,order,cuts_done,last_cut\n"
        "G1,Butterhead,tray,Shelf A 1,2026-02-20,150,2,,,\n"
        "G2,Basil,raft,North trough 1,2026-01-20,23,2,1,1,2026-02-25\n"
        "G3,Butterhead,raft,North trough 1,2026-02-16,30,1,2,,\n"
    )
    farm = small(tmp_path, growing=growing)
    state = replay(enumerate(opening_entries(farm), start=1))
    assert stands(state) == [
        ("North trough 1", 1, "G2", 12),
        ("North trough 1", 2, "G2", 11),
        ("North trough 1", 3, "G3", 30),
        ("Shelf A 1", 0, "G1", 75),
        ("Shelf A 1", 0, "G1", 75),
    ]
    assert [each.cuts for unit in state.units for each in unit.contents] == [1, 1, 0, 0, 0]
    log = tell(farm, [], told("cut", 0, lot="G2", place="North trough 1", heads=23))
    assert [each.entry.what for each in log] == ["found", "found", "found", "cut"]
    assert stands(now(log))[0] == ("North trough 1", 1, "G2", 12)


def test_entries_of_later_days_are_left_out_but_closures_are_known_ahead(farm):
    log = tell(farm, [], *grown(), told("closed", 60, place="North trough 1", until=on(63)))
    state = now(log, FIRST)
    assert stands(state) == [("Shelf A 1", 1, LOT, 98)]
    assert [(each.what, each.first) for each in state.restricted] == [("closed", date(2026, 5, 1))]


DAYS = st.integers(0, 60)
WORDS = st.one_of(
    st.builds(lambda day, plants: sown(day, plants=plants), DAYS, st.integers(1, 300)),
    st.builds(
        lambda day, plants, to: told("moved", day, lot=LOT, plants=plants, to=to),
        DAYS,
        st.integers(1, 200),
        st.sampled_from(["North trough boards", "North trough 1", "North trough 2", "Shelf A 2"]),
    ),
    st.builds(
        lambda what, day, plants: told(what, day, lot=LOT, plants=plants),
        st.sampled_from(["lost", "culled", "germinated"]),
        DAYS,
        st.integers(1, 90),
    ),
    st.builds(lambda day, heads: told("cut", day, lot=LOT, heads=heads), DAYS, st.integers(1, 90)),
    st.builds(lambda day: told("treated", day, place="North trough 1", product="soap", days=3), DAYS),
)


@settings(max_examples=60, deadline=None)
@given(entries=st.lists(WORDS, max_size=14))
def test_any_log_that_was_taken_gives_the_same_state_again_and_never_more_plants_than_cells(farm, entries):
    log = []
    for entry in entries:
        if not refused(farm, log, entry):
            log = tell(farm, log, entry)
    state = now(log)
    assert now(log) == state
    sown_cells = sum(lot.cells for lot in state.lots.values())
    cut_plants = sum(each.entry.plants or 0 for each in log if each.entry.what == "cut")
    assert sum(unit.plants for unit in state.units) + cut_plants <= sown_cells
    assert all(each.plants > 0 for unit in state.units for each in unit.contents)
    ranks = [unit.slot for unit in state.in_place("North trough 1")]
    assert ranks == list(range(1, len(ranks) + 1))
