"""What is otherwise in a plan than in the one before: work moved, added and dropped, and deliveries."""

from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass, replace

from scheduler.farm.farm import Farm
from scheduler.plan.earlier import lot_at_large
from scheduler.plan.rows import ChangeRow, DemandRow, Plan, TaskRow
from scheduler.plan.words import word_of_heads

WORKS = ("sow", "transplant", "raft", "plant", "cut", "pick", "clear", "discard")
"""Kinds of work that are held against each other; orders, lifts and care of seedlings follow from them."""

NEAR = 10
"""Days within which one sowing of a crop may stand for another."""

SMALLEST_OF_GRAMS, MOST_OF_GRAMS = 5, 50
"""Grams by which a cut may differ in any case, and at most (estimate): trays vary more than that."""

ONE_IN = 20
"""Of so many plants, cells or heads one more or less is the same work (estimate)."""

PERCENT = 100

ORDER = ("newly short", "newly safe", "moved", "added", "dropped", "less", "more")


@dataclass(frozen=True, slots=True)
class _Job:
    """Work of one kind with one lot at large: crop, and plants by day."""

    crop: str
    days: Mapping[int, int]


Jobs = dict[tuple[str, str], _Job]


def changes(farm: Farm, before: Plan, plan: Plan, overdue: Collection[str] = ()) -> list[ChangeRow]:
    """Return what is otherwise in a plan than in the plan before, deliveries first, then by day.

    Lots that the plan numbers apart are one; a lot sown a few days off is the same one moved. Work whose day
    stays and whose amount is :func:`much_the_same` is not otherwise; deliveries are told to the unit.

    Args:
        farm: the farm that was planned again.
        before: the plan before, in the days of that farm; what lies before today counts if it is overdue.
        plan: the plan.
        overdue: keys of tasks of the plan before that were due and of which nothing is recorded.
    """
    made = [*_deliveries(farm, before, plan), *_work(farm, (before, plan), overdue)]
    made.sort(key=lambda row: (ORDER.index(row.change), _first_day(row), row.item, row.work))
    return made


def _first_day(row: ChangeRow) -> int:
    days = [day for day in (row.day_before, row.day) if day is not None]
    return min(days)


def _deliveries(farm: Farm, before: Plan, plan: Plan) -> Iterator[ChangeRow]:
    old = {row.demand: row for row in before.demands if row.reported and row.last >= farm.today}
    new = {row.demand: row for row in plan.demands if row.reported}
    for name, row in new.items():
        was = old.get(name)
        if was is None:
            yield _delivery(farm, "added", None, row)
        elif row.missing > was.missing:
            yield _delivery(farm, "newly short", was, row)
        elif was.missing and not row.missing:
            yield _delivery(farm, "newly safe", was, row)
        elif row.amount != was.amount:
            yield _delivery(farm, "more" if row.amount > was.amount else "less", was, row)
    for name, was in old.items():
        if name not in new and not was.target:
            yield _delivery(farm, "dropped", was, None)


def _delivery(farm: Farm, change: str, was: DemandRow | None, row: DemandRow | None) -> ChangeRow:
    known = row or was
    assert known is not None
    whom = known.customer or "target"
    said = [f"for {whom}"]
    if row is not None and row.missing:
        said += [f"{row.missing} of {row.amount} missing", *([row.reason] if row.reason else [])]
    until = farm.today + farm.rules.freeze_days
    return ChangeRow(
        change=change,
        work="deliver",
        item=known.demand,
        of=known.product,
        day_before=None if was is None else was.day,
        day=None if row is None else row.day,
        before=0 if was is None else was.filled,
        now=0 if row is None else row.filled,
        promised=was is not None and was.last < until,
        note="; ".join(said),
    )


def _work(farm: Farm, plans: tuple[Plan, Plan], overdue: Collection[str]) -> Iterator[ChangeRow]:
    before, plan = plans
    due = (task for task in before.tasks if task.day >= farm.today or task.key in overdue)
    old, new = _jobs(before, due), _jobs(plan, plan.tasks)
    same = _same_lots(old, new)
    until = farm.today + farm.rules.freeze_days
    for (work, lot), job in old.items():
        other = new.pop((work, same.get(lot, lot)), _Job(job.crop, {}))
        for row in _differences(farm, (work, same.get(lot, lot)), (job, other)):
            promised = row.day_before is not None and row.day_before < until
            yield replace(row, promised=promised)
    for (work, lot), job in new.items():
        yield from _differences(farm, (work, lot), (_Job(job.crop, {}), job))


def much_the_same(before: int, now: int, *, grams: bool) -> bool:
    """Say whether work with two amounts is the same for those who do it.

    Of grams one in a hundred makes no difference, though never more than 50 g, nor do 5 g; of what is counted
    one in a hundred, and one where there are twenty.
    """
    larger = max(before, now)
    share = larger // PERCENT
    if grams:
        return abs(before - now) <= max(SMALLEST_OF_GRAMS, min(share, MOST_OF_GRAMS))
    return abs(before - now) <= max(share, int(larger >= ONE_IN))


def _jobs(plan: Plan, tasks: Iterable[TaskRow]) -> Jobs:
    names = {row.lot for row in plan.lots}
    found: dict[tuple[str, str], dict[int, int]] = defaultdict(lambda: defaultdict(int))
    crops: dict[str, str] = {}
    for task in tasks:
        if task.work in WORKS and task.plants:
            lot = lot_at_large(task.lot, names)
            found[task.work, lot][task.day] += task.plants
            crops[lot] = task.crop
    return {(work, lot): _Job(crops[lot], dict(days)) for (work, lot), days in found.items()}


def _same_lots(old: Jobs, new: Jobs) -> dict[str, str]:
    """Return lot that was to be sown and is not -> the lot of its crop that is sown in its place."""
    gone = [(lot, job) for (work, lot), job in old.items() if work == "sow" and ("sow", lot) not in new]
    come = [(lot, job) for (work, lot), job in new.items() if work == "sow" and ("sow", lot) not in old]
    pairs = sorted(
        (abs(min(theirs.days) - min(ours.days)), one, other)
        for one, ours in gone
        for other, theirs in come
        if ours.crop == theirs.crop and abs(min(theirs.days) - min(ours.days)) <= NEAR
    )
    same: dict[str, str] = {}
    for _, one, other in pairs:
        if one not in same and other not in same.values():
            same[one] = other
    return same


def _differences(farm: Farm, key: tuple[str, str], jobs: tuple[_Job, _Job]) -> Iterator[ChangeRow]:
    """Yield what differs of one kind of work with one lot: amounts of a day, then days, earliest first."""
    old, new = jobs
    grams = key[0] in ("cut", "pick") and word_of_heads(farm, old.crop) == "g"
    for day in sorted(old.days.keys() & new.days.keys()):
        if not much_the_same(old.days[day], new.days[day], grams=grams):
            change = "more" if new.days[day] > old.days[day] else "less"
            yield _row(change, key, (old.crop, day, day), (old.days[day], new.days[day]))
    gone = sorted(old.days.keys() - new.days.keys())
    come = sorted(new.days.keys() - old.days.keys())
    for was, day in zip(gone, come, strict=False):
        yield _row("moved", key, (old.crop, was, day), (old.days[was], new.days[day]))
    for was in gone[len(come) :]:
        yield _row("dropped", key, (old.crop, was, None), (old.days[was], 0))
    for day in come[len(gone) :]:
        yield _row("added", key, (new.crop, None, day), (0, new.days[day]))


def _row(
    change: str, key: tuple[str, str], of: tuple[str, int | None, int | None], amounts: tuple[int, int]
) -> ChangeRow:
    work, lot = key
    crop, was, day = of
    before, now = amounts
    return ChangeRow(
        change=change, work=work, item=lot, of=crop, day_before=was, day=day, before=before, now=now,
        promised=False, note="",
    )  # fmt: skip
