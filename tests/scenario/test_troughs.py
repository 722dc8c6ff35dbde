"""Troughs that come, grow and go, as the farm then has them."""

from datetime import date

from helpers import TABLES, crops_csv
from scenarios import changed_of, farm_with, faults_with, one, slots

from scheduler.farm.places import PlaceKind

JUNE = date(2026, 3, 30)
"""Day 28 of the small book."""

LANES, ZONES = PlaceKind.LANE, PlaceKind.ZONE


def lanes(farm, day=0):
    return slots(farm, LANES, day)


def test_an_added_trough_is_as_the_one_it_is_like_and_opens_on_its_day(tmp_path):
    farm = farm_with(tmp_path, one("add trough", trough="East trough", from_=JUNE))
    assert lanes(farm, 27) == {
        "North trough 1": 4,
        "North trough 2": 4,
        "East trough 1": 0,
        "East trough 2": 0,
    }
    assert lanes(farm, 28)["East trough 1"] == 6
    assert farm.crops["Butterhead"].lanes == set(lanes(farm))


def test_its_own_size_raft_and_last_day_hold_where_they_are_given(tmp_path):
    text = one("add trough", trough="East", width=8, length=16.5, lie="across", to=date(2026, 4, 5))
    farm = farm_with(tmp_path, text)
    assert [number for name, number in lanes(farm, 34).items() if name.startswith("East")] == [8, 8]
    assert [number for name, number in lanes(farm, 35).items() if name.startswith("East")] == [0, 0]


def test_crops_that_name_their_troughs_may_stand_in_a_new_one_that_is_like_it(tmp_path):
    crops = crops_csv(lanes="North trough")
    farm = farm_with(tmp_path, one("add trough", trough="East trough"), crops=crops)
    assert "East trough 2" in farm.crops["Butterhead"].lanes
    crops = crops_csv(lanes="North trough 1")
    farm = farm_with(tmp_path, one("add trough", trough="East trough"), crops=crops)
    assert farm.crops["Butterhead"].lanes == {"North trough 1"}
    text = one("add trough", trough="East trough", crops=["Butterhead"])
    farm = farm_with(tmp_path, text, crops=crops)
    assert farm.crops["Butterhead"].lanes == {"North trough 1", "East trough 1", "East trough 2"}


def test_things_grow_in_a_new_trough_as_in_the_one_it_is_like(tmp_path):
    pace = "place,month,pace\nNorth trough,3,0.5\n"
    farm = farm_with(tmp_path, one("add trough", trough="East trough"), pace=pace)
    assert farm.pace.signature("East trough") == farm.pace.signature("North trough")


def test_a_wider_trough_keeps_its_rows_and_gets_more_on_the_day(tmp_path):
    farm = farm_with(tmp_path, one("widen trough", trough="North trough", width=6, from_=JUNE))
    assert lanes(farm, 27) == {"North trough 1": 4, "North trough 2": 4, "North trough 3": 0}
    assert lanes(farm, 28) == {"North trough 1": 4, "North trough 2": 4, "North trough 3": 4}
    assert slots(farm, ZONES, 27) == {"North trough boards": 4}
    assert slots(farm, ZONES, 28) == {"North trough boards": 6}


def test_without_a_width_or_length_the_next_usual_size_is_taken(tmp_path):
    farm = farm_with(tmp_path, one("widen trough", trough="North trough"))
    assert len(lanes(farm)) == 3
    farm = farm_with(tmp_path, one("lengthen trough", trough="North trough"))
    assert lanes(farm) == {"North trough 1": 6, "North trough 2": 6}


def test_a_usual_size_is_taken_that_gives_the_rafts_there_another_place(tmp_path):
    heading = "trough,width,length,raft_width,raft_length,lie\n"
    wide = heading + "North trough,4,24,4,4,along\n"
    assert len(lanes(farm_with(tmp_path, one("widen trough", trough="North trough"), troughs=wide))) == 2
    long = heading + "North trough,4,30,4,10,along\n"
    farm = farm_with(tmp_path, one("lengthen trough", trough="North trough"), troughs=long)
    assert lanes(farm) == {"North trough 1": 2}


def test_where_no_usual_width_takes_another_row_one_is_asked_for(tmp_path):
    widest = "trough,width,length,raft_width,raft_length,lie\nNorth trough,8,24,2,4,along\n"
    text = one("widen trough", trough="North trough")
    assert faults_with(tmp_path, text, troughs=widest) == [
        "s1.toml: change 1 (widen trough), width: found a blank cell; expected a width, 10 ft or more: no "
        "usual one takes another row"
    ]


def test_a_longer_trough_gets_more_slots_in_each_row_on_the_day(tmp_path):
    text = one("lengthen trough", trough="North trough", length=32, from_=JUNE)
    assert set(lanes(farm_with(tmp_path, text), 27).values()) == {4}
    assert set(lanes(farm_with(tmp_path, text), 28).values()) == {6}


def test_wider_from_one_day_and_longer_from_another_come_together_in_either_order(tmp_path):
    wider = one("widen trough", trough="North trough", width=6, from_=date(2026, 3, 9))
    longer = one("lengthen trough", trough="North trough", length=32, from_=JUNE)
    for texts in ((wider, longer), (longer, wider)):
        farm = farm_with(tmp_path, *texts)
        assert [lanes(farm, day)["North trough 3"] for day in (6, 7, 27, 28)] == [0, 4, 4, 6]
        assert [lanes(farm, day)["North trough 1"] for day in (6, 7, 27, 28)] == [4, 4, 4, 6]


def test_a_trough_that_is_removed_ends_on_the_day_before(tmp_path):
    more = TABLES["troughs"] + "South trough,4,24,2,4,along\n"
    farm = farm_with(tmp_path, one("remove trough", trough="South trough", from_=JUNE), troughs=more)
    assert [lanes(farm, day)["South trough 1"] for day in (27, 28)] == [6, 0]
    whole = farm_with(tmp_path, one("remove trough", trough="South trough"), troughs=more)
    assert set(lanes(whole)) == {"North trough 1", "North trough 2"}


def test_what_a_book_says_of_a_removed_trough_goes_with_it(tmp_path):
    more = TABLES["troughs"] + "South trough,4,24,2,4,along\n"
    made = changed_of(
        tmp_path,
        one("remove trough", trough="South trough"),
        troughs=more,
        crops=crops_csv(lanes="North trough; South trough 2"),
        pace="place,month,pace\nSouth trough,3,0.5\n",
        closures="from,to,work,place\n2026-03-09,2026-03-10,none,South trough 1\n",
        board_zones=TABLES["board_zones"] + "South trough,2\n",
    )
    book = made.book()
    assert [len(book.rows(table)) for table in ("troughs", "pace", "closures", "board_zones")] == [1, 0, 0, 1]
    assert book.rows("crops")[0].words("lanes") == ("North trough",)


def test_a_crop_is_never_left_without_any_row(tmp_path):
    more = TABLES["troughs"] + "South trough,4,24,2,4,along\n"
    crops = crops_csv(lanes="South trough")
    text = one("remove trough", trough="South trough")
    (fault,) = faults_with(tmp_path, text, troughs=more, crops=crops)
    assert fault == (
        "s1.toml: change 1 (remove trough), trough: found 'South trough', the only trough 'Butterhead' may "
        "stand in; expected another change that gives the crop a row, or drops it"
    )


def test_plants_that_stand_in_what_is_removed_are_told_where_they_stand_in_the_book(tmp_path):
    more = TABLES["troughs"] + "South trough,4,24,2,4,along\n"
    grown = "crop,stage,place,since,plants,units\nButterhead,raft,South trough 1,2026-02-16,36,1\n"
    text = one("remove trough", trough="South trough")
    (fault,) = faults_with(tmp_path, text, troughs=more, growing=grown)
    assert fault.startswith("growing!C2: found 'South trough 1', which is no ")


def test_a_size_that_takes_no_raft_more_is_refused(tmp_path):
    text = one("widen trough", trough="North trough", width=5.9)
    assert faults_with(tmp_path, text) == [
        "s1.toml: change 1 (widen trough), width: found 5.9 ft, which takes no row more than the 4 ft there "
        "are; expected 6 ft or more"
    ]
    text = one("lengthen trough", trough="North trough", length=20)
    assert "takes no slot more than the 24 ft there are; expected 28 ft or more" in "".join(
        faults_with(tmp_path, text)
    )


def test_faults_of_the_book_as_it_would_be_are_told_at_the_key_that_brings_them(tmp_path):
    text = one("add trough", trough="North trough", width=1, length=300000)
    assert faults_with(tmp_path, text) == [
        "s1.toml: change 1 (add trough), length: found '300000'; "
        "expected 0.1 to 2000 in the length_unit of the settings"
    ]
    text = one("add trough", trough="Shelf A", width=1)
    found = faults_with(tmp_path, text)
    assert found == [
        "s1.toml: change 1 (add trough), trough: found 'Shelf A'; expected a name of its own (shelves!A2 is "
        "a shelf of that name)"
    ]
    text = one("add trough", trough="East trough", width=1)
    assert faults_with(tmp_path, text) == [
        "s1.toml: change 1 (add trough), width: found 1 ft; expected a width that takes at least one raft "
        "as it lies"
    ]
