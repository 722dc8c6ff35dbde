"""Tasks of a plan that are done: the plan followed to the letter stands as planned, and counts go over it."""

from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest
from folders import planned
from recorded import stands

from scheduler.book.faults import BookFaults, Fault
from scheduler.book.place import Cell
from scheduler.outputs.saved import open_plan
from scheduler.outputs.words import work_order
from scheduler.records.applying import apply
from scheduler.records.compare import differences, not_recorded
from scheduler.records.entries import Logged
from scheduler.records.misspelt import task_meant
from scheduler.records.pieces import expected
from scheduler.records.recording import judge
from scheduler.records.risk import at_risk
from scheduler.records.state import replay
from scheduler.records.tasks import Done, Tasks
from scheduler.records.there import what_is_there, with_count
from scheduler.records.yard import Yard

EXAMPLE = Path(__file__).resolve().parents[2] / "examples" / "alder-quay" / "plan"
GROWING = (
    "lot,crop,stage,place,since,plants,units,order,cuts_done,last_cut\n"
    "G1,Butterhead,tray,Shelf A 1,2026-02-20,60,1,,,\n"
    "G2,Butterhead,board,North trough boards,2026-02-18,70,1,,,\n"
    "G3,Butterhead,raft,North trough 1,2026-02-10,66,2,1,,\n"
)
ORDERS = (
    "order,customer,product,amount,weekdays,from,to\n"
    "R1,Harbour Table,Butterhead head,20,Tue Fri,2026-03-06,2026-04-24\n"
)


@pytest.fixture(scope="module")
def example():
    return open_plan(EXAMPLE)


@pytest.fixture(scope="module")
def small(tmp_path_factory):
    made = planned(tmp_path_factory.mktemp("planned"), growing=GROWING, orders=ORDERS)
    return made.farm, made.plan


def done_by(farm, plan, day, counted=None, skipped=()):
    """Return the entries of every task up to a day."""
    tasks, counts = Tasks(farm, plan), counted or {}
    due = sorted(plan.tasks, key=lambda task: (task.day, work_order(task.work)))
    return [
        told
        for task in due
        if task.day <= day and task.key not in skipped
        for told in tasks.told(Done(key=task.key, counted=counts.get(task.key), where=Cell(task.key)))
    ]


def log_of(farm, plan, day, **how):
    new = judge(farm, [], done_by(farm, plan, day, **how), farm.date_of(day)).new
    return [Logged(number=n, entry=entry, written="", source="") for n, entry in enumerate(new, start=1)]


def state_of(log):
    return replay((each.number, each.entry) for each in log)


@pytest.mark.parametrize("day", [9, 24, 41, 66, 101, 150])
def test_a_plan_followed_to_the_letter_stands_as_planned_and_risks_nothing(example, day):
    farm, plan = example
    log = log_of(farm, plan, day)
    state, entries = state_of(log), [each.entry for each in log]
    assert differences(farm, plan, state, day) == []
    assert not_recorded(Tasks(farm, plan), entries, day) == []
    assert at_risk(farm, plan, state, entries, day + 1) == []


@pytest.mark.parametrize("day", [0, 5, 17, 33, 50])
def test_so_does_a_plan_that_begins_with_what_grows(small, day):
    farm, plan = small
    log = log_of(farm, plan, day)
    assert differences(farm, plan, state_of(log), day) == []
    assert at_risk(farm, plan, state_of(log), [each.entry for each in log], day + 1) == []


def test_what_was_told_before_is_not_taken_again(example):
    farm, plan = example
    log = log_of(farm, plan, 30)
    longer = judge(farm, log, done_by(farm, plan, 41), farm.date_of(41))
    assert longer.known == len(log)
    assert len(log) + len(longer.new) == len(log_of(farm, plan, 41))


def first_of(plan, work):
    return next(task for task in plan.tasks if task.work == work)


def test_a_count_goes_over_what_the_plan_has(example):
    farm, plan = example
    task = first_of(plan, "transplant")
    counted = state_of(log_of(farm, plan, task.day, counted={task.key: task.plants - 4}))
    whole = state_of(log_of(farm, plan, task.day))
    on_boards = [
        sum(p for place, _, lot, p in stands(state) if lot == task.lot and "boards" in place)
        for state in (counted, whole)
    ]
    assert on_boards == [task.plants - 4, task.plants]
    left = [
        sum(p for place, _, lot, p in stands(state) if lot == task.lot and "Shelf" in place)
        for state in (counted, whole)
    ]
    assert left[0] == left[1]


@pytest.mark.parametrize(("counted", "rafts"), [(1, 1), (2, 2)])
def test_fewer_than_the_units_of_a_task_fill_no_more_units_than_were_counted(example, counted, rafts):
    farm, plan = example
    task = next(task for task in plan.tasks if task.work == "raft" and task.units >= 2)
    log = log_of(farm, plan, task.day, counted={task.key: counted})
    (moved,) = [each.entry for each in log if each.entry.task == task.key]
    assert [put.plants for put in moved.to] == [1] * rafts


@pytest.mark.parametrize(
    ("left_out", "too_soon", "found"),
    [
        ("raft BUT-260319", "raft BUT-260319 2", "it before 'raft BUT-260319', of which nothing is recorded"),
        (
            "transplant PAK-260521",
            "transplant PAK-260521 2",
            "it before 'transplant PAK-260521', of which nothing is recorded",
        ),
        (
            "transplant BUT-260319",
            "raft BUT-260319",
            "'BUT-260319', which stands in trays and on no board",
        ),
    ],
)
def test_a_task_before_an_earlier_one_of_its_lot_is_refused_and_takes_nothing_away(
    example, left_out, too_soon, found
):
    farm, plan = example
    tasks = Tasks(farm, plan)
    day, later = (tasks.by_key[key].day for key in (left_out, too_soon))
    keys = [task.key for task in plan.tasks if task.lot == tasks.by_key[left_out].lot and task.day >= day]
    log = log_of(farm, plan, day, skipped=keys)
    today, second = farm.date_of(later), list(tasks.told(Done(key=too_soon, where=Cell(too_soon))))
    with pytest.raises(BookFaults) as caught:
        judge(farm, log, second, today)
    (said,) = caught.value.faults
    assert (said.found, f"'{left_out}'" in str(said), "'moved'" in said.expected) == (found, True, True)
    first = list(tasks.told(Done(key=left_out, where=Cell(left_out))))
    assert len(judge(farm, log, [*first, *second], today).new) == 2
    # what was moved without naming a task may have been any of them
    by_hand = replace(first[0], given={**first[0].given, "task": ""}, hints=None)
    assert len(judge(farm, log, [by_hand, *second], today).new) == 2


def test_heads_counted_are_those_of_the_cut_and_the_plants_those_of_the_plan(example):
    farm, plan = example
    task = first_of(plan, "cut")
    log = log_of(farm, plan, task.day, counted={task.key: 1})
    (cut,) = [each.entry for each in log if each.entry.task == task.key]
    planned_plants = sum(row.plants for row in plan.cuts if (row.lot, row.day) == (task.lot, task.day))
    assert (cut.heads, cut.plants) == (1, planned_plants)


def test_a_plan_s_figure_that_cannot_be_any_more_asks_for_a_count(example):
    farm, plan = example
    task = next(task for task in plan.tasks if task.work == "cut" and task.plants > 3)
    told = done_by(farm, plan, task.day - 1)
    lost = {"what": "lost", "lot": task.lot, "plants": 100_000, "when": farm.date_of(task.day - 1)}
    standing = sum(unit.of(task.lot) for unit in state_of(log_of(farm, plan, task.day - 1)).units)
    from scheduler.records.drafts import Told

    told.append(Told(op="lost", given=lost | {"plants": standing - 2}, where=Cell("lost")))
    tasks = Tasks(farm, plan)
    cell = {"counted": Cell("tasks", 7, 12)}
    with pytest.raises(BookFaults, match="at most the 2 plants that stood there; fill in what was counted"):
        judge(
            farm,
            [],
            [*told, *tasks.told(Done(key=task.key, where=Cell("x"), cells=cell))],
            farm.date_of(task.day),
        )
    fine = list(tasks.told(Done(key=task.key, counted=2, where=Cell("x"), cells=cell)))
    new = judge(farm, [], [*told, *fine], farm.date_of(task.day)).new
    assert (new[-1].plants, new[-1].heads) == (2, 2)


def test_a_delivery_counted_short_is_taken_from_its_lots_in_turn(example):
    farm, plan = example
    fills = {}
    for row in plan.fills:
        fills.setdefault(row.demand, set()).add(row.lot)
    task = next(
        task
        for task in plan.tasks
        if task.work == "deliver" and len(fills[task.key.removeprefix("deliver ")]) > 1
    )
    told = list(Tasks(farm, plan).told(Done(key=task.key, counted=1, where=Cell("x"))))
    assert [each.given["heads"] for each in told][0] >= 1
    assert len(told) < len(fills[task.key.removeprefix("deliver ")]) + 1
    whole = list(Tasks(farm, plan).told(Done(key=task.key, where=Cell("x"))))
    assert {each.given["lot"] for each in whole} == fills[task.key.removeprefix("deliver ")]
    assert len({each.op for each in whole}) == len(whole)


def test_what_is_left_over_of_one_lot_makes_a_unit_with_that_of_the_next(small):
    farm, plan = small
    pairs = replace(farm.products["Butterhead head"], sources={"Butterhead": 2000})
    farm = replace(farm, products=farm.products | {"Butterhead head": pairs})
    (task,) = [task for task in plan.tasks if task.key == "deliver R1 2026-03-06"]
    (fill, *_) = [row for row in plan.fills if row.demand == "R1 2026-03-06"]
    parts = (("G1", 5), ("G2", 4), ("G3", 7))
    fills = tuple(replace(fill, lot=lot, heads=heads) for lot, heads in parts)
    told = list(Tasks(farm, replace(plan, fills=fills)).told(Done(key=task.key, where=Cell("x"))))
    assert [each.hints.units for each in told] == [2, 2, 4]
    mixed = replace(pairs, parts=(None,))
    of_mix = replace(farm, products=farm.products | {"Butterhead head": mixed})
    told = Tasks(of_mix, replace(plan, fills=fills)).told(Done(key=task.key, where=Cell("x")))
    assert [each.hints.units for each in told] == [None] * 3


def test_work_that_leaves_no_trace_gives_no_entry(example):
    farm, plan = example
    tasks = Tasks(farm, plan)
    for work in ("uncover", "order"):
        task = first_of(plan, work)
        assert list(tasks.told(Done(key=task.key, where=Cell("x")))) == []
        assert tasks.ops(task) == ()


class Counted(tuple):
    """Rows that know how often they were gone through."""

    times = 0

    def __iter__(self):
        self.times += 1
        return super().__iter__()


def test_the_cuts_of_a_plan_are_gone_through_once_however_many_tasks_are_done(example):
    farm, plan = example
    cuts = Counted(plan.cuts)
    tasks = Tasks(farm, replace(plan, cuts=cuts))
    done = [task for task in plan.tasks if task.work == "cut"][:5]
    told = [each for task in done for each in tasks.told(Done(key=task.key, where=Cell("x")))]
    assert len(done) == 5
    assert all(each.given["plants"] for each in told)
    assert cuts.times == 1


def test_units_that_hold_a_lot_are_found_wherever_its_plants_went(example):
    farm, plan = example
    yard, looked = Yard(), 0
    for logged in log_of(farm, plan, 40):
        apply(yard, logged.entry, logged.number)
        for lot in ("", logged.entry.lot):
            assert list(yard.holding(lot)) == [unit for unit in yard.units() if unit.of(lot)]
        looked += len(list(yard.holding(logged.entry.lot)))
    assert looked > 30
    raft = next(unit for unit in yard.units() if unit.item == "raft" and unit.held)
    yard.remove(raft)
    raft.place = next(place.name for place in farm.places if place.name != raft.place)
    yard.stand(raft)
    assert raft in yard.holding(raft.held[0].lot)


def test_the_same_task_of_another_plan_on_another_day_is_another(example):
    from scheduler.records.tasks import op_of

    _, plan = example
    task = plan.tasks[0]
    day = date(2026, 3, 2)
    assert op_of(task, day) == op_of(replace(task, note="another note"), day)
    assert op_of(task, day) == op_of(replace(task, day=task.day + 1), day)
    assert op_of(task, day) != op_of(task, day + timedelta(days=1))


def test_losses_put_the_latest_deliveries_of_a_lot_at_risk(example):
    farm, plan = example
    from scheduler.records.drafts import Told

    day = 40
    state = state_of(log_of(farm, plan, day))
    lot = next(row.lot for row in plan.fills if row.cut_day > day + 5 and state.holding(row.lot))
    standing = sum(unit.of(lot) for unit in state.holding(lot))
    lost = Told(
        op="lost",
        given={"what": "lost", "lot": lot, "plants": standing, "when": farm.date_of(day)},
        where=Cell("x"),
    )
    new = judge(farm, [], [*done_by(farm, plan, day), lost], farm.date_of(day)).new
    after = replay(enumerate(new, start=1))
    found = at_risk(farm, plan, after, new, day + 1)
    assert {each.lot for each in found} == {lot}
    assert sum(each.short for each in found) == sum(
        row.heads for row in plan.fills if row.lot == lot and row.cut_day > day
    )
    assert {each.why for each in found} == {"nothing of it stands that could be cut"}
    assert [each.lot for each in differences(farm, plan, after, day)] == [lot]


def test_a_cell_that_was_thrown_away_is_told_even_where_as_many_seedlings_are_expected(example):
    farm, plan = example
    from scheduler.records.drafts import Told

    day, lot = 30, "BUT-260330"
    (tray,) = state_of(log_of(farm, plan, day)).holding(lot)
    (cells,) = (each for each in tray.contents if each.lot == lot)
    fewer = replace(cells, plants=cells.plants - 1)
    butterhead = farm.crops["Butterhead"]
    assert expected(butterhead, cells) == expected(butterhead, fewer)
    given = {"what": "culled", "lot": lot, "plants": 1, "when": farm.date_of(day)}
    culled = Told(op="culled", given=given, where=Cell("x"))
    new = judge(farm, [], [*done_by(farm, plan, day), culled], farm.date_of(day)).new
    after = replay(enumerate(new, start=1))
    (told,) = differences(farm, plan, after, day)
    assert (told.lot, told.planned[0].plants, told.stands[0].plants) == (lot, 32, 31)


def test_a_lot_that_was_never_sown_puts_all_of_its_deliveries_at_risk(example):
    farm, plan = example
    lot = next(row for row in plan.lots if row.sown is not None and row.sown > 20)
    skipped = {task.key for task in plan.tasks if task.lot == lot.lot}
    log = log_of(farm, plan, lot.sown + 1, skipped=skipped)
    found = at_risk(farm, plan, state_of(log), [each.entry for each in log], lot.sown + 1)
    wanted = {row.demand for row in plan.fills if row.lot == lot.lot}
    reported = {each.name for each in farm.demands if each.reported}
    assert {each.demand.name for each in found} == wanted & reported
    assert {each.why for each in found} == {"not sown by the records"}
    missing = not_recorded(Tasks(farm, plan), [each.entry for each in log], lot.sown + 1)
    assert [task.work for task in missing] == ["sow"]


def test_what_is_treated_or_in_quarantine_cannot_be_promised(example):
    farm, plan = example
    from scheduler.records.drafts import Told

    day = 45
    fill = next(row for row in plan.fills if row.cut_day == day + 3 or row.cut_day == day + 4)
    given = {"what": "treated", "lot": fill.lot, "product": "soap", "days": 40, "when": farm.date_of(day)}
    for words, why in (
        (given, "treated through"),
        ({"what": "quarantined", "lot": fill.lot, "when": farm.date_of(day)}, "quarantined without end"),
    ):
        told = [*done_by(farm, plan, day), Told(op="x", given=words, where=Cell("x"))]
        new = judge(farm, [], told, farm.date_of(day)).new
        found = at_risk(farm, plan, replay(enumerate(new, start=1)), new, day + 1)
        assert fill.demand in {each.demand.name for each in found if each.lot == fill.lot}
        assert all(each.why.startswith(why) for each in found if each.lot == fill.lot)


def test_an_entry_told_without_its_task_counts_for_it(small):
    farm, plan = small
    log = log_of(farm, plan, 30)
    bare = [replace(each.entry, task="", op=f"own {n}") for n, each in enumerate(log)]
    assert not_recorded(Tasks(farm, plan), bare, 30) == []
    assert not_recorded(Tasks(farm, plan), bare[:-1], 30) != []


def test_entries_begin_with_what_the_book_says_is_growing(small):
    farm, plan = small
    log = log_of(farm, plan, 0)
    assert [each.entry.what for each in log[:3]] == ["found"] * 3
    assert log[0].entry.day == date(2026, 3, 2)


def test_deliveries_of_a_plan_that_goes_on_past_the_book_are_taken_as_it_has_them(example):
    farm, plan = example
    day = next(task.day for task in plan.tasks if task.work == "deliver")
    new = judge(replace(farm, demands=()), [], done_by(farm, plan, day), farm.date_of(day)).new
    known = judge(farm, [], done_by(farm, plan, day), farm.date_of(day)).new
    given = [(each.delivery, each.customer, each.product, each.heads) for each in new if each.delivery]
    assert given
    assert given == [(e.delivery, e.customer, e.product, e.heads) for e in known if e.delivery]


HAND_MADE = {
    "a tray": lambda plan: {"units": plan.units[1:]},
    "a raft that is cut": lambda plan: {
        "units": tuple(row for row in plan.units if row.unit != plan.cuts[0].unit)
    },
    "a lot": lambda plan: {"lots": plan.lots[1:]},
    "a crop": lambda plan: {"lots": tuple(replace(row, crop="Other", discarded=1) for row in plan.lots)},
}
"""What a table that was edited by hand names and nothing says any more."""


@pytest.mark.parametrize("gone", HAND_MADE)
def test_tasks_of_a_plan_with_unknown_names_can_be_told(example, gone):
    farm, plan = example
    made = replace(plan, **HAND_MADE[gone](plan))
    tasks = Tasks(farm, made)
    for task in made.tasks:
        assert len(list(tasks.told(Done(key=task.key, where=Cell(task.key))))) == len(tasks.ops(task))
    assert isinstance(at_risk(farm, made, replay([]), [], 60), list)


@pytest.mark.parametrize(
    ("typed", "meant"),
    [
        ("cut OAK-1 2027-03-03", "'cut OAK-1' or 'cut OAK-1 2'?"),
        ("cut oak-2", "'cut OAK-2 3'?"),
        ("raft OAK-1", "'cut OAK-1'?"),
        ("cut OAK-7", "'cut OAK-1'?"),
        ("deliver R1 2026-11-19", "'deliver R1 2026-11-20' or 'deliver R1 2026-11-17'?"),
        ("sow BAS261116", "'sow BAS-261116'?"),
        ("sow BAS-2611l6", "'sow BAS-261116'?"),
        ("sow BAS-261161", "'sow BAS-261116'?"),
        ("sow BAS-261106", "'sow BAS-261116' or 'sow BAS-261109'?"),
        ("deliver Harbour Table", "one of 'deliver R1 2026-11-17', 'deliver R1 2026-11-20'"),
        ("", "one of 'cut OAK-2 3', 'cut OAK-1', 'cut OAK-1 2' and 4 more"),
    ],
)
def test_for_a_misspelt_task_those_of_its_lot_its_order_or_its_crop_are_offered(typed, meant):
    days = [f"deliver R1 2026-11-{day}" for day in (17, 20)]
    sowings = ["sow BAS-261116", "sow BAS-261109"]
    assert task_meant(typed, ["cut OAK-2 3", "cut OAK-1", "cut OAK-1 2", *sowings, *days]) == meant


def test_of_a_delivery_that_asks_for_more_than_was_cut_what_is_there_is_told(small):
    farm, plan = small
    tasks, key = Tasks(farm, plan), "deliver R1 2026-03-06"
    day = tasks.by_key[key].day
    cut, *others = (task.key for task in plan.tasks if task.work == "cut" and task.day <= day)
    fault = Fault(place=Cell(key), found="", expected="", code="too-many")
    log = log_of(farm, plan, day, skipped=(key, *others), counted={cut: 15})
    today = farm.date_of(day)
    assert what_is_there(tasks, log, [fault], today) == {key: 15}
    assert what_is_there(tasks, log, [replace(fault, code="quarantined")], today) == {}
    assert what_is_there(tasks, (), [fault], today) == {}
    refused, done = BookFaults([replace(fault, expected="less")]), Done(key=key, where=Cell(key))
    (said,) = with_count(refused, tasks, log, done, today).faults
    assert said.expected == f"less; 15 are there in all: record done '{key}' --counted 15"
    assert with_count(refused, tasks, (), done, today) is refused
    treated = BookFaults([replace(fault, code="treated")])
    assert with_count(treated, tasks, log, done, today) is treated
