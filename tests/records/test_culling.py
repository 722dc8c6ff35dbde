"""What a plan throws away of a lot of which it keeps some: recorded as planned, what it keeps stays."""

from dataclasses import replace

import pytest
from farms import growing, make_farm
from followed import Followed
from plan.layout.amounts import laid
from plan.layout.test_layout_growing import found_batch, leave
from recorded import refused, stands

from scheduler.book.place import Cell
from scheduler.farm.crops import StageKind
from scheduler.outputs.happened.words import log_lines
from scheduler.plan.decided import BoardMove, Decided, TrayMove
from scheduler.plan.exact import CLEARED, KEY
from scheduler.records.corrections import as_it_was
from scheduler.records.drafts import Told
from scheduler.records.tasks import Done, Tasks

SAID = {"crop": "Lettuce", "growing": 0}
KEPT = 5
"""Day until which the plan keeps one of three; the others it throws away on day 2."""


def found(stage, place, **changes):
    """Three trays or boards of ten plants, as a book has them: in no order."""
    return growing("Lettuce", stage, -8, 30, 3, place=place, order=0, **changes)


def trays(place, rows=None):
    """A plan of one row of three trays; or of two rows, the second with the one tray that is kept."""
    farm = make_farm(growing=rows or [found(StageKind.TRAY, place)])
    last = {**SAID, "growing": len(farm.growing) - 1, "sown": -8}
    out = {"sown": -8, "tiers": ("Shelf 1",), "rows": 0}
    raft = found_batch(last["growing"], sown=-8, from_day=KEPT, board_day=KEPT, day=15, cuts=((29, 10),))
    more = Decided(
        tray_moves=(
            TrayMove(**SAID, **out, day=2, plants=20),
            TrayMove(**{**last, **out}, day=KEPT, plants=10),
        ),
        board_moves=(BoardMove(**last, board_day=KEPT, zones=("Trough boards",), day=15, plants=10),),
        raft_batches=(raft,),
        raft_leaves=(leave(15, 29, 2),),
        fills=(),
    )
    return farm, replace(laid(farm, more=more), made={KEY: CLEARED})


def boards(place):
    farm = make_farm(growing=[found(StageKind.BOARD, place)])
    out = {**SAID, "sown": None, "board_day": -8, "zones": ("Trough boards",)}
    more = Decided(
        tray_moves=(),
        board_moves=(BoardMove(**out, day=2, plants=20), BoardMove(**out, day=KEPT, plants=10)),
        raft_batches=(found_batch(0, from_day=-8, board_day=-8, day=KEPT, cuts=((19, 10),)),),
        raft_leaves=(leave(KEPT, 19, 2),),
        fills=(),
    )
    return farm, replace(laid(farm, more=more), made={KEY: CLEARED})


KINDS = [
    pytest.param(trays, "Shelf 1", id="trays"),
    pytest.param(trays, "Shelf", id="trays of which no tier is known"),
    pytest.param(boards, "Trough boards", id="boards"),
    pytest.param(boards, "Trough", id="boards of which no zone is known"),
]


def tell(followed, what, day, **given):
    given = {"what": what, "lot": "G", "when": followed.first.date_of(day), **given}
    followed.tell(Told(op=f"{what} {len(followed.log)}", given=given, where=Cell(what)))


def plants(followed, day):
    return [number for _, _, _, number in stands(followed.state(day))]


@pytest.mark.parametrize(
    ("made", "place", "culled"),
    [
        (trays, "Shelf 1", "Shelf 1 slot 1"),
        (trays, "Shelf 1", "Shelf 1 slot 3"),
        (trays, "Shelf", "Shelf"),
        (boards, "Trough boards", "Trough boards slot 1"),
        (boards, "Trough boards", "Trough boards slot 3"),
        (boards, "Trough", "Trough"),
    ],
)
def test_what_the_plan_keeps_stays_where_another_was_culled_before(made, place, culled):
    farm, plan = made(place)
    followed = Followed(None, farm, plan)
    tell(followed, "lost", 1, plants=20)
    tell(followed, "culled", 1, plants=3, place=culled)
    before = plants(followed, 2)
    assert sum(before) == 7
    followed.until(3)
    assert plants(followed, 3) == [max(before)]


@pytest.mark.parametrize(("made", "place"), KINDS)
def test_of_several_that_lost_plants_those_that_hold_least_are_thrown_away(made, place):
    farm, plan = made(place)
    followed = Followed(None, farm, plan)
    tell(followed, "lost", 1, plants=7)
    assert plants(followed, 2) == [8, 8, 7]
    followed.until(3)
    assert plants(followed, 3) == [8]
    assert "slot" not in log_lines(farm, followed.log, "G")[-1]


def in_slots(made, place, zone, *slots):
    """A farm of which somebody told in which slot each of the three stands."""
    farm, plan = made(place)
    followed = Followed(None, farm, plan)
    tell(followed, "moved", 0, to=f"{zone} slots {','.join(map(str, slots))}", units=3)
    return followed


@pytest.mark.parametrize(("made", "zone"), [(trays, "Shelf 1"), (boards, "Trough boards")])
@pytest.mark.parametrize(
    ("culled", "left"), [(1, []), (2, [1]), (3, [1])], ids=["the one it keeps", "another", "the third"]
)
def test_where_slots_were_told_those_of_the_plan_are_emptied_and_no_other(made, zone, culled, left):
    followed = in_slots(made, zone, zone, 1, 2, 3)
    (task,) = [task for task in followed.plan.tasks if task.work == "discard"]
    assert task.where == f"{zone} slots 2-3"
    tell(followed, "culled", 1, plants=10, place=f"{zone} slot {culled}")
    followed.until(3)
    assert [slot for _, slot, _, _ in stands(followed.state(3))] == left
    said = {1: "slots 2-3", 2: "slot 3", 3: "slot 2"}[culled]
    assert log_lines(followed.farm, followed.log)[-1].endswith(f"in {zone} {said}")


def test_units_that_stand_in_other_slots_than_planned_are_counted_all_the_same():
    followed = in_slots(trays, "Shelf 1", "Shelf 1", 4, 5, 6)
    tell(followed, "lost", 1, plants=3, place="Shelf 1 slot 5")
    followed.until(3)
    assert stands(followed.state(3)) == [("Shelf 1", 6, "G", 10)]


@pytest.mark.parametrize(("made", "place"), KINDS)
def test_nothing_is_thrown_away_where_no_more_stands_than_the_plan_keeps(made, place):
    farm, plan = made(place)
    followed = Followed(None, farm, plan)
    tell(followed, "lost", 1, plants=29)
    kind = "tray" if made is trays else "board"
    told = tuple(Tasks(farm, plan).told(Done(key="discard G", where=Cell("discard G"))))
    assert refused(farm, followed.log, *told) == [
        f"discard G: found 1 {kind} of 'G'; expected more, for the plan keeps as many; if some were thrown "
        "away all the same, tell it with 'culled', their place and the plants"
    ]


def test_plants_that_were_counted_come_from_no_more_units_than_hold_them():
    farm, plan = trays("Shelf 1")
    followed = Followed(None, farm, plan)
    followed.tell(*Tasks(farm, plan).told(Done(key="discard G", counted=18, where=Cell("x"))))
    assert sorted(plants(followed, 3)) == [1, 1, 10]


def test_what_the_plan_keeps_of_another_row_of_the_lot_stays_too():
    row = found(StageKind.TRAY, "Shelf 1")
    several = [replace(row, lot=lot, batch="G", plants=10 * n, units=n) for lot, n in (("G", 2), ("G-2", 1))]
    farm, plan = trays("Shelf 1", several)
    followed = Followed(None, farm, plan)
    followed.first = make_farm(growing=[row])  # the records have them as one lot
    tell(followed, "culled", 1, plants=10, place="Shelf 1 slot 1")
    followed.until(3)
    assert plants(followed, 3) == [10]
    followed.until(6)
    assert stands(followed.state(6)) == [("Trough boards", 1, "G", 10)]


def corrected(followed, **given):
    """Tell the last entry anew with some fields over it."""
    last = followed.log[-1]
    words, hints = as_it_was(last.entry, given)
    words |= {"corrects": str(last.number), **given}
    followed.tell(Told(op=f"instead of {last.number}", given=words, where=Cell("correct"), hints=hints))


@pytest.mark.parametrize(("made", "place"), KINDS)
def test_a_correction_of_what_a_task_threw_away_keeps_its_number_and_where_it_was(made, place):
    farm, plan = made(place)
    followed = Followed(None, farm, plan)
    tell(followed, "lost", 1, plants=7)
    followed.until(3)
    before, was = stands(followed.state(3)), followed.log[-1].entry
    assert (was.plants, [number for *_, number in before]) == (15, [8])
    corrected(followed, note="they had mildew")
    now = followed.log[-1].entry
    assert (now.plants, now.place, now.note) == (15, was.place, "they had mildew")
    assert (now.due, now.wanted) == (was.due, 20)
    assert stands(followed.state(3)) == before
    corrected(followed, plants=14)
    assert sorted(plants(followed, 3)) == [1, 8]


def test_a_correction_may_tell_another_place():
    followed = in_slots(trays, "Shelf 1", "Shelf 1", 1, 2, 3)
    followed.until(3)
    corrected(followed, place="Shelf 1 slots 1-2")
    assert stands(followed.state(3)) == [("Shelf 1", 3, "G", 10)]


def test_a_correction_of_a_cut_keeps_the_plants_that_stood():
    farm, plan = boards("Trough boards")
    followed = Followed(None, farm, plan)
    followed.until(18)
    tell(followed, "lost", 18, plants=4)
    (cut,) = [task for task in plan.tasks if task.work == "cut"]
    followed.tell(*Tasks(farm, plan).told(Done(key=cut.key, counted=5, where=Cell("cut"))))
    was = followed.log[-1].entry
    assert (was.plants, was.heads) == (6, 5)
    corrected(followed, note="tip burn")
    now = followed.log[-1].entry
    assert (now.plants, now.heads, now.left) == (6, 5, was.left)


def rafts(thrown):
    """A plan that throws away plants of two rafts of six on the first day, and cuts the others on day 3."""
    farm = make_farm(growing=[growing("Lettuce", StageKind.RAFT, -13, 12, 2)])
    kept = 12 - thrown
    leaves = [leave(-13, 3, 1, growing=0)] + [leave(-13, 0 if kept <= 6 else 3, 1, growing=0)]
    more = Decided(
        tray_moves=(),
        board_moves=(),
        raft_batches=(found_batch(0, day=-13, cuts=((3, kept),), thrown=thrown),),
        raft_leaves=tuple(leaves),
        fills=(),
    )
    return farm, laid(farm, more=more)


@pytest.mark.parametrize(("thrown", "standing"), [(9, [3]), (6, [6]), (4, [4, 4]), (5, [4, 3])])
def test_rafts_that_the_plan_empties_are_gone_and_of_the_others_all_hold_fewer(thrown, standing):
    followed = Followed(None, *rafts(thrown))
    followed.until(1)
    assert plants(followed, 1) == standing
