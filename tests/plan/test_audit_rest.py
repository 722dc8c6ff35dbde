"""Rows that rest between crops, judged from the rows of a plan."""

from farms import growing, make_crop, make_farm
from plans import Batch, build, told

from scheduler.farm.crops import StageKind


def test_rafts_of_another_crop_come_in_when_the_row_has_rested():
    crops = [make_crop("Lettuce"), make_crop("Kale")]
    first, second = Batch(), Batch(crop="Kale", sown=17, board_day=27, raft_day=37, cuts=((51, 6),))
    for days, faults in ((3, []), (4, ["R3", "R4"])):
        farm = make_farm(crops=crops, rest=days)
        last = "R2 of Lettuce stays until 2026-04-05; 4 days of rest"
        assert told(farm, build(farm, first, second)) == [
            "rest | Trough 1 | 2026-04-08: " + f"{raft} holds Kale, but {last}" for raft in faults
        ]


def test_rafts_of_one_crop_need_no_rest_nor_what_grew_together():
    farm = make_farm(rest=9)
    assert told(farm, build(farm, Batch(), Batch(sown=17, board_day=27, raft_day=37, cuts=((51, 6),)))) == []
    found = [
        growing(crop, StageKind.RAFT, -9, 6, 1, lot=crop, order=n)
        for n, crop in enumerate(("Lettuce", "Kale"), 1)
    ]
    farm = make_farm(rest=9, crops=[make_crop("Lettuce"), make_crop("Kale")], growing=found)
    assert told(farm, build(farm, *(Batch(crop=row.crop, found=row, cuts=((6, 6),)) for row in found))) == []
