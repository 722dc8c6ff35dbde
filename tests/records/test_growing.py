"""What stands as the table of a new book: read again by the book, it stands just so, row by row."""

from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest
from helpers import write_book
from hypothesis import given, settings
from hypothesis import strategies as st
from recorded import (
    CROPS,
    FIRST,
    PRODUCTS,
    boarded,
    cut,
    grown,
    now,
    on,
    rafted,
    small,
    sown,
    tell,
    told,
)

from crops.library import card, card_names
from scheduler.book.book import read_book, read_raw
from scheduler.book.schema import load_schema
from scheduler.farm.build import build_farm
from scheduler.records.closures import closure_rows, held_back
from scheduler.records.growing import growing_cells, growing_table
from scheduler.records.next_book import Start, next_book
from scheduler.records.pieces import seedling_share
from scheduler.records.recording import opening_entries
from scheduler.records.state import Content, LotFacts, Standing, State, replay

LOT = "BUT-260302"
UNKNOWN = ((LOT, 40), ("BAS-260302", 30))
UNCUT = {"cuts": 0, "last_cut": None, "until": None}


def facts(lot, crop):
    return LotFacts(lot=lot, crop=crop, sown=FIRST, began=FIRST, cells=98, seed_lots=(), cooler=())


@pytest.fixture(scope="module")
def book(tmp_path_factory):
    return write_book(tmp_path_factory.mktemp("farm"), crops=CROPS, products=PRODUCTS)


@pytest.fixture(scope="module")
def farm(book):
    return build_farm(read_book(book))


def reread(book, farm, log, day, folder: Path, weeks=None):
    """Write the next book, and return its farm and the notes."""
    start = Start(first_day=FIRST + timedelta(days=day), weeks=weeks)
    made = next_book(read_raw(book), farm, now(log), start)
    folder.mkdir(exist_ok=True)
    for name, contents in made.files.items():
        (folder / name).write_bytes(contents)
    return build_farm(read_book(folder)), made.notes


def table(farm, log, day=60):
    return growing_table(farm, now(log), FIRST + timedelta(days=day))


def test_rafts_stand_in_the_new_book_as_they_stand_in_the_row(book, farm, tmp_path):
    log = tell(farm, [], *grown(), sown(7), boarded(21, lot="BUT-260309"))
    log = tell(farm, log, rafted(35, lot="BUT-260309", plants=41), told("lost", 36, lot=LOT, plants=5))
    new, notes = reread(book, farm, log, 37, tmp_path / "next")
    assert notes == ()
    assert [
        (each.lot, each.place, each.order, each.units, each.plants, new.date_of(each.since).isoformat())
        for each in new.growing
    ] == [
        (LOT, "North trough 1", 1, 2, 65, on(28)),
        ("BUT-260309", "North trough 1", 2, 1, 36, on(35)),
        ("BUT-260309-2", "North trough 1", 3, 1, 5, on(35)),
    ]
    assert new.calendar.first_day == FIRST + timedelta(days=37)
    assert new.calendar.days == 21  # through the week in which the old one ended


def test_units_the_book_would_fill_otherwise_have_rows_of_their_own(farm):
    log = tell(farm, [], *grown(), told("culled", 30, lot=LOT, plants=20, place="North trough 1 slot 2"))
    rows = table(farm, log).rows
    assert [(row.units, row.plants, row.order) for row in rows] == [(1, 36, 1), (1, 14, 2)]


def test_cells_are_told_as_the_seedlings_the_planner_counts_on(farm):
    crop = farm.crops["Butterhead"]
    (row,) = table(farm, tell(farm, [], sown(plants=196)), 1).rows
    assert row.units == 2
    assert row.plants == 2 * (98 * crop.tray.survival // 10_000)
    assert (row.stage, row.place, row.since.isoformat(), row.order) == ("tray", "Shelf A 1", on(0), 1)


def test_counted_seedlings_are_told_less_those_not_good_enough(farm):
    log = tell(farm, [], sown(), told("germinated", 7, lot=LOT, plants=80))
    (row,) = table(farm, log, 8).rows
    assert seedling_share(farm.crops["Butterhead"]) == 9000
    assert row.plants == 72


def test_the_share_of_good_seedlings_is_the_card_s_where_the_book_gives_none(tmp_path):
    on_rafts = (card(name) for name in card_names() if "raft" in card(name).route)
    found = next(each for each in on_rafts if each.value("survival_tray"))
    farm = small(
        tmp_path,
        crops=f"crop,card\nKale,{found.name}\n",
        products="product,crop\nKale,Kale\n",
        orders="order,customer,product,amount,weekdays\nR1,Harbour Table,Kale,12,Tue Fri\n",
    )
    assert seedling_share(farm.crops["Kale"]) == round(found.value("survival_tray") * 10_000)


def basil(day=14):
    onto = told("moved", day, lot="BAS-260302", to="North trough 2", plants=24, left=0, units=2)
    return [sown(crop="Basil", plants=30), onto]


def test_cuts_done_and_the_last_of_them_come_along(book, farm, tmp_path):
    log = tell(farm, [], *basil(), told("cut", 35, lot="BAS-260302", heads=24))
    new, _ = reread(book, farm, log, 36, tmp_path / "next")
    (row,) = new.growing
    assert (row.cuts_done, new.date_of(row.last_cut).isoformat(), row.units, row.plants) == (1, on(35), 2, 24)


def test_plants_of_one_raft_that_were_cut_unlike_are_told_apart_on_it(book, farm, tmp_path):
    log = tell(farm, [], *basil(), told("cut", 35, lot="BAS-260302", heads=3))
    new, notes = reread(book, farm, log, 36, tmp_path / "next")
    told_of = [(row.lot, row.plants, row.cuts_done, row.order, row.together) for row in new.growing]
    first = "North trough 2 slot 1"
    assert told_of == [
        ("BAS-260302", 9, 0, 1, first),
        ("BAS-260302-2", 3, 1, 1, first),
        ("BAS-260302-3", 12, 0, 2, ""),
    ]
    assert notes == ()


def test_a_tray_that_lots_share_is_one_tray_and_comes_back_as_it_stood(book, farm, tmp_path):
    shared = [sown(plants=40, to="Shelf A 1 slot 1"), sown(crop="Basil", plants=30, to="Shelf A 1 slot 1")]
    full = sown(crop="Basil", lot="B2", plants=98 * 3, to="Shelf A 1 slots 2-4")
    log = tell(farm, [], *shared, full)
    new, notes = reread(book, farm, log, 1, tmp_path / "one")
    assert [(each.lot, each.place, each.units, each.together) for each in new.growing] == [
        (LOT, "Shelf A 1", 1, "Shelf A 1 slot 1"),
        ("BAS-260302", "Shelf A 1", 1, "Shelf A 1 slot 1"),
        ("B2", "Shelf A 1", 3, ""),
    ]
    assert notes == ()
    opened = replay(enumerate(opening_entries(new), start=1))
    (both,) = opened.holding(LOT)
    assert opened.holding("BAS-260302") == (both,)
    assert both.slot == 0
    assert len(opened.units) == 4


def test_a_raft_that_lots_share_comes_back_as_one(book, farm, tmp_path):
    mixed = told("moved", 28, lot="BUT-260302", to="North trough 2", plants=20, left=0, units=1)
    with_it = told("moved", 28, lot="BAS-260316", to="North trough 2", plants=10, left=0, units=0)
    sowings = [sown(), boarded(), sown(14, crop="Basil", plants=30)]
    log = tell(farm, [], *sowings, mixed, with_it)
    new, notes = reread(book, farm, log, 29, tmp_path / "next")
    assert notes == ()
    assert {row.together for row in new.growing} == {"North trough 2 slot 1"}
    opened = replay(enumerate(opening_entries(new), start=1))
    (raft,) = opened.units
    assert {(each.lot, each.plants) for each in raft.contents} == {("BUT-260302", 20), ("BAS-260316", 10)}


def test_a_tray_of_an_unknown_tier_is_counted_for_each_lot_as_far_as_there_is_room(book, farm, tmp_path):
    mixed = [Content(lot=lot, plants=plants, form="good seedlings", **UNCUT) for lot, plants in UNKNOWN]
    tray = Standing(item="tray", place="Shelf A", slot=0, since=FIRST, contents=tuple(mixed))
    lots = {lot: facts(lot, crop) for lot, crop in ((LOT, "Butterhead"), ("BAS-260302", "Basil"))}
    state = State(units=(tray,), lots=lots, restricted=())
    made = growing_table(farm, state, FIRST + timedelta(days=1))
    assert [(row.lot, row.place, row.units, row.together) for row in made.rows] == [
        (LOT, "Shelf A", 1, ""),
        ("BAS-260302", "Shelf A", 1, ""),
    ]
    assert "counted once more" in made.notes[0]
    full = [replace(tray, contents=tray.contents[:1]) for _ in range(7)]
    made = growing_table(farm, replace(state, units=(tray, *full)), FIRST + timedelta(days=1))
    assert sum(row.units for row in made.rows) == 8
    assert "there is no room to count it again: left out" in made.notes[0]


def test_plants_that_stand_closer_than_the_book_has_it_are_not_all_counted_on(tmp_path):
    crops = CROPS.replace("crop,code,", "crop,plants_per_raft,code,").replace("Butterhead,", "Butterhead,18,")
    farm = small(tmp_path, crops=crops.replace("Basil,BAS", "Basil,,BAS"))
    log = tell(farm, [], sown(), boarded(), rafted(units=2))
    made = table(farm, log, 29)
    assert [(row.units, row.plants) for row in made.rows] == [(2, 36)]
    assert "stand closer than the book has it; 18 are counted on" in made.notes[0]


def test_what_the_book_no_longer_knows_is_left_out_and_said(farm, tmp_path):
    log = tell(farm, [], *grown(), *basil(20))
    other = small(
        tmp_path,
        crops=CROPS.splitlines()[0] + "\n" + CROPS.splitlines()[2] + "\n",
        products="product,crop\nBasil,Basil\n",
        orders="order,customer,product,amount,weekdays\nR1,Harbour Table,Basil,12,Tue Fri\n",
        troughs="trough,width,length,raft_width,raft_length,lie\nSouth trough,4,24,2,4,along\n",
        board_zones=None,
    )
    made = growing_table(other, now(log), FIRST + timedelta(days=40))
    assert made.rows == ()
    assert made.notes == (
        f"North trough 1 is no place of the book any more; left out: {LOT}",
        "North trough 2 is no place of the book any more; left out: BAS-260302",
    )


def test_cells_are_those_of_the_book_s_table(farm):
    cells = growing_cells(table(farm, tell(farm, [], *grown()), 29).rows)
    columns = [column.name for column in load_schema().tables["growing"].columns]
    assert cells[0] == [name for name in columns if name != "together"]
    raft = [LOT, "Butterhead", "raft", "North trough 1", on(28)]
    # 97 percent of 36 plants are 34.92 heads: what is over counts with those behind them
    first, second = [*raft, "36", "1", "1", "0", "", "", ""], [*raft, "34", "1", "2", "0", "", "", "0.92"]
    assert cells[1:] == [first, second]


def closures(farm, log, day):
    rows = closure_rows(farm, now(log), FIRST + timedelta(days=day))
    return [(row.first.isoformat(), row.last.isoformat(), row.place, row.slots) for row in rows]


def test_a_sanitation_break_is_a_closure_of_the_new_book(book, farm, tmp_path):
    log = tell(farm, [], told("closed", 30, place="North trough", until=on(34), note="scrub"), sown(3))
    assert closures(farm, log, 10) == [
        (on(30), on(34), "North trough boards", None),
        (on(30), on(34), "North trough 1", None),
        (on(30), on(34), "North trough 2", None),
    ]
    new, _ = reread(book, farm, log, 10, tmp_path / "next")
    lane = new.place("North trough 1")
    assert [lane.slots.on(day) for day in (19, 20, 24, 25)] == [4, 0, 0, 4]
    assert closures(farm, log, 40) == []


def test_where_something_stands_only_the_free_slots_are_closed(book, farm, tmp_path):
    log = tell(farm, [], *grown(), told("quarantined", 30, place="North trough 1", until=on(50)))
    assert closures(farm, log, 31) == [(on(31), on(50), "North trough 1", 2)]
    new, notes = reread(book, farm, log, 31, tmp_path / "next")
    assert new.place("North trough 1").slots.on(0) == 2
    assert notes == (
        f"{LOT} in North trough 1 is quarantined, through {on(50)}: the plan does not cut it before, and "
        "may move or throw it away; hold it back by hand where it may not",
    )


def test_a_quarantine_without_end_is_closed_through_the_last_planned_day(farm):
    log = tell(farm, [], sown(), told("quarantined", 3, place="North trough 2"))
    ((first, last, place, slots),) = closures(farm, log, 5)
    assert (first, place, slots) == (on(5), "North trough 2", None)
    assert last == farm.calendar.date_of(farm.calendar.span).isoformat()


def test_an_empty_raft_that_waits_keeps_its_slot_closed(book, farm, tmp_path):
    log = tell(farm, [], *grown(), cut(place="North trough 1 slot 2", plants=34))
    last = 28 + 21 + 7  # of the raft ahead; on that day both leave, and another may come in
    assert closures(farm, log, 50) == [(on(50), on(last - 1), "North trough 1", 1)]
    assert len(closures(farm, log, last - 1)) == 1
    assert closures(farm, log, last) == []
    new, notes = reread(book, farm, log, 50, tmp_path / "next")
    assert new.place("North trough 1").slots.on(0) == 3
    assert "an empty raft waits" in notes[0]


def test_treated_plants_are_held_back(farm):
    log = tell(farm, [], *grown(), told("treated", 47, place="North trough 1", product="soap", days=5))
    (held,) = held_back(now(log), FIRST + timedelta(days=48))
    assert (held.lot, held.place, held.why) == (LOT, "North trough 1", "treated")
    assert held.last.isoformat() == on(51)
    assert held_back(now(log), FIRST + timedelta(days=52)) == []
    rows = growing_table(farm, now(log), FIRST + timedelta(days=48)).rows
    assert {row.not_before.isoformat() for row in rows} == {on(52)}


def test_plants_are_held_back_through_the_latest_of_several_days(farm):
    treated = told("treated", 47, place="North trough 1", product="soap", days=14)
    apart = told("quarantined", 47, place="North trough 1", until=on(50))
    log = tell(farm, [], *grown(), treated, apart)
    (held,) = held_back(now(log), FIRST + timedelta(days=48))
    assert (held.last.isoformat(), held.why) == (on(60), "treated")
    rows = growing_table(farm, now(log), FIRST + timedelta(days=48)).rows
    assert {row.not_before.isoformat() for row in rows} == {on(61)}
    endless = told("quarantined", 48, lot=LOT)
    log = tell(farm, log, endless, told("quarantined", 48, place="North trough 1", until=on(70)))
    (held,) = held_back(now(log), FIRST + timedelta(days=48))
    assert (held.last, held.why) == (None, "quarantined")


def test_a_quarantine_without_end_holds_the_cut_back_past_the_last_day(book, farm, tmp_path):
    log = tell(farm, [], *grown(), told("quarantined", 30, lot=LOT))
    new, notes = reread(book, farm, log, 31, tmp_path / "next")
    assert all(row.not_before > new.calendar.span for row in new.growing)
    assert any("without end" in note for note in notes)


def test_a_quarantine_without_end_holds_through_a_new_book_however_long_it_is(book, farm, tmp_path):
    log = tell(farm, [], *grown(), told("quarantined", 30, place="North trough 1"))
    new, _ = reread(book, farm, log, 31, tmp_path / "next", weeks=156)
    assert new.calendar.span > 3 * 364
    assert all(row.not_before >= new.calendar.span for row in new.growing)
    log = tell(farm, [], told("quarantined", 30, place="North trough 1"))
    new, _ = reread(book, farm, log, 31, tmp_path / "empty", weeks=156)
    assert [new.place("North trough 1").slots.on(day) for day in (0, new.calendar.span - 1)] == [0, 0]


@pytest.mark.parametrize("begin", ["", "2026-02-09"])
def test_what_is_delivered_every_second_week_goes_on_in_the_weeks_of_the_old_book(tmp_path, begin):
    orders = (
        "order,customer,product,amount,weekdays,from,every_weeks\n"
        f"R1,Harbour Table,Butterhead head,12,Fri,{begin},2\n"
        "R2,Linnet Kitchen,Butterhead head,4,Tue,,\n"
    )
    shares = {
        "box_categories": "category,product,price\nGreens,Butterhead head,2\n",
        "box_shares": f"share,boxes,weekdays,from,every_weeks\nBox,5,Thu,{begin},3\n",
        "box_slots": "share,slot,category,amount\nBox,A,Greens,1\n",
    }
    book = write_book(tmp_path, crops=CROPS, products=PRODUCTS, orders=orders, **shares)
    farm = build_farm(read_book(book))
    new, _ = reread(book, farm, tell(farm, [], sown()), 7, tmp_path / "next")
    later = {demand.name for demand in farm.demands if demand.first >= 7}
    assert {demand.name for demand in new.demands if demand.first < farm.calendar.span - 7} == later


def test_the_rest_of_the_book_stays_as_it_is(tmp_path):
    closures = "from,to,place,note,work\n2026-04-06,,,Easter Monday,\n"
    book = write_book(tmp_path, crops=CROPS, products=PRODUCTS, closures=closures)
    farm = build_farm(read_book(book))
    log = tell(farm, [], *grown(), told("closed", 60, place="Shelf A 2", until=on(61)))
    made = next_book(read_raw(book), farm, now(log), Start(first_day=FIRST + timedelta(days=29)))
    assert made.files["closures.csv"].decode() == (
        "from,to,work,place,slots,note\n"
        "2026-04-06,,,,,Easter Monday\n"
        f"{on(60)},{on(61)},none,Shelf A 2,,closed (entry 4)\n"
    )
    unchanged = {"crops.csv", "orders.csv", "shelves.csv", "troughs.csv", "equipment.csv"}
    assert all((book / name).read_bytes() == made.files[name] for name in unchanged - {"crops.csv"})
    assert b"first_day,2026-03-31\nweeks,4\n" in made.files["settings.csv"]


STEPS = st.lists(
    st.tuples(st.integers(1, 4), st.integers(1, 60), st.sampled_from(["North trough 1", "North trough 2"])),
    min_size=1,
    max_size=5,
)


@settings(max_examples=25, deadline=None)
@given(steps=STEPS, lost=st.integers(0, 6))
def test_any_rows_of_rafts_stand_in_the_new_book_raft_by_raft(book, farm, tmp_path_factory, steps, lost):
    log, used = [], {}
    for number, (units, plants, lane) in enumerate(steps):
        used[lane] = used.get(lane, 0) + units
        if used[lane] > 4 or not units <= plants <= 36 * units:
            used[lane] -= units
            continue
        lot = f"L{number}"
        log = tell(farm, log, sown(0, crop="Basil", lot=lot, plants=plants, to="Shelf A"))
        log = tell(farm, log, told("moved", 14, lot=lot, to=lane, plants=plants, units=units))
        if 0 < lost < plants:
            log = tell(farm, log, told("lost", 15, lot=lot, plants=lost))
    state = now(log)
    new, _ = reread(book, farm, log, 16, tmp_path_factory.mktemp("next"))
    for lane in ("North trough 1", "North trough 2"):
        there = [(each.contents[0].lot, each.plants) for each in state.in_place(lane) if each.contents]
        read = []
        for row in sorted((row for row in new.growing if row.place == lane), key=lambda row: row.order):
            # full ones first, as the book spreads them
            left, full = row.plants, -(-row.plants // row.units)
            for behind in range(row.units - 1, -1, -1):
                read.append((row.lot.split("-")[0], min(full, left - behind)))
                left -= read[-1][1]
        assert read == there


def test_what_rounding_leaves_over_goes_from_row_to_row_of_a_lot_and_counts_once(farm):
    # 97 percent of 10 plants cut are 9.7 heads; 26 more on the raft that was cut give 25.22, 34 give 32.98
    log = tell(farm, [], *grown(), cut(49, plants=10, heads=8))
    rows = table(farm, log, 50).rows
    assert [(row.plants, row.part_heads) for row in rows] == [(26, 7_000), (34, 9_200)]
    heads = [(row.plants * 9_700 + row.part_heads) // 10_000 for row in rows]
    assert sum(heads) == (70 * 9_700) // 10_000 - (10 * 9_700) // 10_000


def test_a_row_says_nothing_of_rounding_where_its_lot_is_not_cut_or_picked_there(farm):
    log = tell(farm, [], sown(0), boarded(14))
    assert [row.part_heads for row in table(farm, log, 15).rows] == [0]
    assert "part_heads" not in growing_cells(table(farm, log, 15).rows)[0]
