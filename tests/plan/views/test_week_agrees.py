"""The work sheets say the same as the plan's table of tasks, though they are worked out apart."""

from collections import Counter, defaultdict

import pytest
from reports import example, lines_of

from scheduler.plan.views.lines import Care, Cutting, Delivery, Ordering, SettingOut, Soaking, Sowing
from scheduler.plan.views.week import week_sheets


@pytest.fixture(scope="module")
def sheets():
    farm, plan = example()
    return lines_of(week_sheets(farm, plan))


@pytest.fixture(scope="module")
def tasks():
    farm, plan = example()
    return [task for task in plan.tasks if farm.today <= task.day < farm.calendar.days]


def amounts(line):
    """Return lot (or what stands for it), units and plants as a task counts them."""
    match line:
        case Sowing():
            return line.lot, line.units, line.cells
        case Soaking():
            return line.lot, None, None
        case Care():
            return line.lot, line.units, line.cells
        case SettingOut():
            return line.lot, line.units, line.plants
        case Cutting():
            return line.lot, line.units, line.heads
        case Delivery():
            return line.customer, 0, line.filled
        case Ordering():
            return line.item, line.packs, line.amount
    raise TypeError(line)


def by_lot(counted):
    """Sum (day, lot, plants) over the lines of a day."""
    sums = Counter()
    for (day, lot, plants), number in counted.items():
        sums[day, lot] += plants * number
    return sums


@pytest.mark.parametrize("work", ["sow", "uncover", "transplant", "raft", "cut", "deliver", "order"])
def test_every_task_has_its_line_and_every_line_its_task(work, sheets, tasks):
    named = {"deliver": "to", "order": "crop"}.get(work, "lot")
    wanted = Counter((task.day, getattr(task, named), task.plants) for task in tasks if task.work == work)
    found = Counter((day, *amounts(line)[::2]) for day, kind, line in sheets if kind == work)
    if work == "raft":
        # a lot between whose rafts another goes into the row has two tasks, and one line that tells its turns
        wanted, found = by_lot(wanted), by_lot(found)
    assert found == wanted
    assert wanted


@pytest.mark.parametrize("work", ["sow", "uncover", "transplant", "raft", "cut", "order"])
def test_units_of_a_day_add_up_to_those_of_the_tasks(work, sheets, tasks):
    wanted: Counter[int] = Counter()
    for task in tasks:
        wanted[task.day] += task.units if task.work == work else 0
    found: Counter[int] = Counter()
    for day, kind, line in sheets:
        found[day] += amounts(line)[1] if kind == work else 0
    assert +found == +wanted


def test_where_things_stand_is_where_the_tasks_say(sheets, tasks):
    said: dict[tuple[int, str, str], str] = defaultdict(str)
    for task in tasks:
        said[task.day, task.work, task.lot] += f"{task.where} {task.to} "
    checked = 0
    for day, work, line in sheets:
        stacks = (*getattr(line, "sources", ()), *getattr(line, "targets", ()))
        if isinstance(line, Sowing | Care | SettingOut | Cutting):
            spots = [line.row] if isinstance(line, Cutting) else [stack.spot for stack in stacks]
            assert [spot.place for spot in spots if spot.place not in said[day, work, line.lot]] == []
            checked += len(spots)
    assert checked > 100


def test_all_heads_of_a_cut_go_to_someone_or_are_spare(sheets):
    for _, _, line in sheets:
        if isinstance(line, Cutting):
            assert sum(each.heads for each in line.whom) + line.spare == line.heads
            assert line.spare >= 0
            assert sum(raft.heads for raft in line.rafts) == line.heads


def test_rafts_that_go_in_come_out_later_as_often(sheets):
    farm, plan = example()
    end = farm.calendar.days
    went = sum(1 for row in plan.units if row.item == "raft" and farm.today <= row.leaves < end)
    assert sum(line.units for _, work, line in sheets if work in ("out", "lift")) == went
