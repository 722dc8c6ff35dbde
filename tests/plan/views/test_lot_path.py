"""A lot's way: where it stood, when it was cut, and who got its heads; every head is accounted for."""

import pytest
from farms import delivery, growing, make_crop, make_farm, target
from plans import Batch, build, edit

from scheduler.farm.crops import StageKind
from scheduler.plan.views.lot_path import lot_path


@pytest.fixture
def farm():
    return make_farm(demands=[delivery("Lettuce", 35, 7), target("Lettuce", 34, 4)])


FILLS = [("Lettuce 35", "LET-260302", 34, 7), ("Lettuce 34", "LET-260302", 34, 4)]


def test_it_goes_from_tray_to_board_to_raft_with_places_and_units(farm):
    path = lot_path(farm, build(farm, Batch(), fills=FILLS), "LET-260302")
    assert [
        (stay.item, stay.enters, stay.leaves, stay.plants, stay.units, stay.place, stay.slots, stay.to)
        for stay in path.stays
    ] == [
        ("tray", 0, 10, 12, ("T1",), "Shelf 1", (1,), "board"),
        ("board", 10, 20, 12, ("B1",), "Trough boards", (1,), "raft"),
        ("raft", 20, 34, 12, ("R1", "R2"), "Trough 1", (1, 2), "cut"),
    ]


def test_every_head_is_delivered_or_not_asked_for(farm):
    path = lot_path(farm, build(farm, Batch(), fills=FILLS), "LET-260302")
    assert [(cut.day, cut.rafts, cut.plants, cut.heads) for cut in path.cuts] == [(34, ("R1", "R2"), 12, 12)]
    assert [(sale.demand.order, sale.heads, sale.cut_day) for sale in path.sales] == [
        ("Lettuce", 4, 34),
        ("Lettuce", 7, 34),
    ]
    assert path.unsold == 1


def test_cuts_of_one_day_are_told_apart_by_their_number():
    farm = make_farm(crops=[make_crop("Kale", cuts=2, interval=3, raft=(14, 9, 10_000))])
    path = lot_path(
        farm, build(farm, Batch(crop="Kale", rafts=(6,), cuts=((34, 3), (37, 3), (37, 3)))), "KAL-260302"
    )
    assert [(cut.day, cut.number, cut.plants) for cut in path.cuts] == [(34, 1, 3), (37, 2, 3), (37, 3, 3)]


def test_other_lots_in_its_units_are_named(farm):
    plan = build(farm, Batch(), Batch(sown=1, raft_day=21, cuts=((35, 6),)))
    plan = edit(plan, "contents", {"unit": "T2"}, unit="T1")
    assert lot_path(farm, plan, "LET-260302").stays[0].shared == ("LET-260303",)


def test_what_is_thrown_away_goes_out_uncut():
    found = growing("Lettuce", StageKind.RAFT, -30, 6, 1)
    farm = make_farm(growing=[found])
    path = lot_path(farm, build(farm, Batch(found=found, cuts=(), emptied=0, discarded=6)), "G")
    assert [(stay.item, stay.to) for stay in path.stays] == [("raft", "out")]
    assert (path.lot.discarded, path.unsold, path.cuts) == (6, 0, ())


def test_an_unknown_lot_is_told(farm):
    with pytest.raises(KeyError):
        lot_path(farm, build(farm, Batch()), "LET-999999")
