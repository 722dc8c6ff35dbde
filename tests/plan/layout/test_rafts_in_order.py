"""Rafts are set out in the order in which they stand in their row: who leaves first goes in first."""

from farms import make_crop, make_farm
from plan.layout.amounts import Batch, laid, tasks

from scheduler.records.tasks import Done, Tasks

RULES = {"share_trays": False}


def farm_of(*names, **needs):
    return make_farm(crops=[make_crop(name, raft=(14, 9, 10_000)) for name in names], lane_slots=12, **needs)


def raft(crop, cut, plants=6, **needs):
    return Batch(crop=crop, rows=3, plants=plants, cuts=((cut, plants),), **needs)


def told(plan):
    return [(task.key, task.units, task.to, task.note) for task in tasks(plan, "raft")]


def test_the_lot_that_leaves_first_is_set_out_first_whatever_its_name():
    plan = laid(farm_of("Basil", "Rocket"), raft("Basil", 38), raft("Rocket", 34))
    assert told(plan) == [
        ("raft ROC-260302", 1, "intake end of Trough 1", ""),
        ("raft BAS-260302", 1, "intake end of Trough 1", "behind ROC-260302"),
    ]


def test_a_lot_between_whose_rafts_another_stands_is_set_out_in_two_goes():
    plan = laid(
        farm_of("Basil", "Rocket"), raft("Basil", 34), raft("Rocket", 36), raft("Basil", 38, plants=12)
    )
    assert told(plan) == [
        ("raft BAS-260302", 1, "intake end of Trough 1", ""),
        ("raft ROC-260302", 1, "intake end of Trough 1", "behind BAS-260302"),
        ("raft BAS-260302 2", 2, "intake end of Trough 1", "behind ROC-260302"),
    ]


def test_rafts_of_one_lot_or_of_other_rows_and_days_are_not_told_apart():
    farm = farm_of("Basil", "Rocket", lanes=2)
    plan = laid(
        farm,
        raft("Basil", 34),
        raft("Basil", 36),
        raft("Rocket", 34, lanes=("Trough 2",)),
        raft("Rocket", 38, raft_day=22),
    )
    assert [note for *_, note in told(plan)] == ["", "", ""]


def test_what_is_recorded_of_each_go_are_its_own_rafts():
    farm = farm_of("Basil", "Rocket")
    plan = laid(farm, raft("Basil", 34), raft("Rocket", 36), raft("Basil", 38, plants=12))
    known = Tasks(farm, plan)
    assert [_plants(known, task) for task in tasks(plan, "raft")] == [[6], [6], [6, 6]]


def _plants(known, task):
    (told,) = known.told(Done(key=task.key, where=None))
    return [put.plants for put in told.hints.puts]
