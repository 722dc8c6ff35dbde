"""Rows that rest between crops, judged from the rows of a plan."""

from dataclasses import replace

from farms import growing, make_crop, make_farm
from plans import Batch, build, edit, told

from scheduler.farm.crops import StageKind
from scheduler.farm.places import Steps
from scheduler.plan.audit import audit
from scheduler.plan.layout.rest_tasks import rest_tasks


def test_rafts_of_another_crop_come_in_when_the_row_has_rested():
    crops = [make_crop("Lettuce"), make_crop("Kale")]
    first, second = Batch(), Batch(crop="Kale", sown=17, board_day=27, raft_day=37, cuts=((51, 6),))
    for days, faults in ((3, []), (4, ["R3", "R4"])):
        farm = make_farm(crops=crops, rest=days)
        last = "R2 of Lettuce stays until 2026-04-05; 4 days of rest"
        assert told(farm, build(farm, first, second)) == [
            "rest | Trough 1 | 2026-04-08: " + f"{raft} holds Kale, but {last}" for raft in faults
        ]


def test_a_rest_that_is_cut_is_cut_on_its_days_alone():
    farm = make_farm(crops=[make_crop("Lettuce"), make_crop("Kale")], rest=4)
    plan = build(farm, Batch(), Batch(crop="Kale", sown=17, board_day=27, raft_day=37, cuts=((51, 6),)))
    for first, last, faults in ((37, 37, 0), (36, 36, 2), (38, 90, 2), (30, 40, 0)):
        cut = Steps(((first, 1), (last + 1, 0)))
        places = tuple(replace(p, rest_cut=cut) if p.rest else p for p in farm.places)
        assert len(told(replace(farm, places=places), plan)) == faults, first


def test_rafts_of_one_crop_need_no_rest_nor_what_grew_together():
    farm = make_farm(rest=9)
    assert told(farm, build(farm, Batch(), Batch(sown=17, board_day=27, raft_day=37, cuts=((51, 6),)))) == []
    found = [
        growing(crop, StageKind.RAFT, -9, 6, 1, lot=crop, order=n)
        for n, crop in enumerate(("Lettuce", "Kale"), 1)
    ]
    farm = make_farm(rest=9, crops=[make_crop("Lettuce"), make_crop("Kale")], growing=found)
    assert told(farm, build(farm, *(Batch(crop=row.crop, found=row, cuts=((6, 6),)) for row in found))) == []


def test_a_row_is_cleaned_on_the_day_it_falls_empty_and_no_other_row_is():
    farm = make_farm(crops=[make_crop("Lettuce"), make_crop("Kale")], rest=3)
    plan = build(farm, Batch(), Batch(crop="Kale", sown=17, board_day=27, raft_day=37, cuts=((51, 6),)))
    plan = replace(plan, tasks=tuple(rest_tasks(farm, plan)))
    missing = "bookkeeping | Trough 1 | 2026-04-05: the task of cleaning it between two crops is missing"
    too_many = "a task cleans it, but it falls empty for no other crop"

    def faults(changed):
        return [str(fault) for fault in audit(farm, changed)]

    assert faults(plan) == []
    assert faults(edit(plan, "tasks", {"work": "clean"}, day=30)) == [
        f"bookkeeping | Trough 1 | 2026-04-01: {too_many}", missing
    ]  # fmt: skip
    (task,) = plan.tasks
    assert missing in faults(replace(plan, tasks=(replace(task, where="Trough 2"),)))
    assert missing in faults(replace(plan, tasks=(replace(task, work="lift"),)))
    assert faults(replace(plan, tasks=(task, replace(task, key="again"))))[0].endswith(too_many)
