"""Decided amounts written down as batches, for the tests of the layout.

``decided(farm, Batch(...), ...)`` takes batches as growers think of them and counts the rafts by code of
its own: with the lots of a raft group kept apart, emptied rafts are the plants that stay, rounded up.
"""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from celled import cells, plan_from_cells

from scheduler.farm.farm import Farm
from scheduler.farm.units import ceil_div
from scheduler.plan.audit import audit
from scheduler.plan.decided import BoardMove, CutAmount, Decided, Fill, RaftBatch, RaftLeave, TrayMove
from scheduler.plan.exact import KEY
from scheduler.plan.layout import lay_out
from scheduler.plan.rows import Plan


@dataclass(frozen=True, kw_only=True)
class Batch:
    """Plants of one lot that go one way.

    ``cuts`` are (day, plants) of the first and only cut; ``steps`` (number, day, after, plants) where a
    crop is cut again, with ``gone`` to go with them. ``leaves`` lets all its rafts keep their slots until
    a day. ``boards`` None sets as many plants on boards as on rafts.
    """

    crop: str = "Lettuce"
    sown: int = 0
    rows: int = 3
    board_day: int | None = 10
    boards: int | None = None
    raft_day: int = 20
    plants: int = 12
    cuts: tuple[tuple[int, int], ...] = ((34, 12),)
    steps: tuple[tuple[int, int, int | None, int], ...] = ()
    gone: tuple[tuple[int, int], ...] = ()
    lanes: tuple[str, ...] = ("Trough 1",)
    tiers: tuple[str, ...] = ("Shelf 1",)
    zones: tuple[str, ...] = ("Trough boards",)
    leaves: int | None = None


def decided(
    farm: Farm, *batches: Batch, fills: Iterable[tuple[str, int, str, int]] = (), more: Decided | None = None
) -> Decided:
    """Return the amounts of some batches; ``fills`` are (crop, cut day, demand, heads)."""
    more = more or Decided(tray_moves=(), board_moves=(), raft_batches=(), raft_leaves=(), fills=())
    trays: dict[tuple[str, int, int, tuple[str, ...]], int] = defaultdict(int)
    for batch in batches:
        out = batch.raft_day if batch.board_day is None else batch.board_day
        trays[batch.crop, batch.sown, out, batch.tiers] += batch.rows
    return Decided(
        tray_moves=more.tray_moves
        + tuple(
            TrayMove(crop=crop, sown=sown, growing=-1, tiers=tiers, day=day, rows=rows, plants=0)
            for (crop, sown, day, tiers), rows in trays.items()
        ),
        board_moves=more.board_moves
        + tuple(
            BoardMove(
                crop=batch.crop,
                sown=batch.sown,
                growing=-1,
                zones=batch.zones,
                board_day=batch.board_day,
                day=batch.raft_day,
                plants=batch.plants if batch.boards is None else batch.boards,
            )
            for batch in batches
            if batch.board_day is not None
        ),
        raft_batches=more.raft_batches + tuple(_raft_batch(batch) for batch in batches),
        raft_leaves=more.raft_leaves + tuple(_leaves(farm, batches)),
        fills=more.fills
        + tuple(
            Fill(crop=crop, cut_day=day, demand=demand, heads=heads) for crop, day, demand, heads in fills
        ),
        sales=more.sales,
    )


def _raft_batch(batch: Batch) -> RaftBatch:
    steps = batch.steps or tuple((1, day, None, plants) for day, plants in batch.cuts)
    return RaftBatch(
        crop=batch.crop,
        sown=batch.sown,
        growing=-1,
        from_day=batch.sown if batch.board_day is None else batch.board_day,
        board_day=batch.board_day,
        day=batch.raft_day,
        plants=batch.plants,
        cuts=tuple(
            CutAmount(number=number, day=day, after=after, plants=plants)
            for number, day, after, plants in steps
        ),
        gone=batch.gone or batch.cuts,
        thrown=0,
    )


def _leaves(farm: Farm, batches: Iterable[Batch]) -> list[RaftLeave]:
    """Count rafts of each lot by the day they are emptied, or let go of their slots on a given day."""
    groups: dict[tuple[object, ...], list[Batch]] = defaultdict(list)
    for batch in batches:
        shared = farm.rules.share_rafts
        key = () if shared else (batch.crop, batch.sown, batch.board_day)
        groups[batch.raft_day, batch.lanes, *key].append(batch)
    rows = []
    for own in groups.values():
        size = farm.crops[own[0].crop].finish.plants_per_unit
        gone: dict[int, int] = defaultdict(int)
        for batch in own:
            for day, plants in batch.gone or batch.cuts:
                gone[day] += plants
        staying, counted = 0, 0
        for day in sorted(gone, reverse=True):
            staying += gone[day]
            rafts = ceil_div(staying, size) - counted
            counted += rafts
            rows.append(
                RaftLeave(
                    crop=own[0].crop,
                    growing=-1,
                    lanes=own[0].lanes,
                    enters=own[0].raft_day,
                    leaves=day if own[0].leaves is None else own[0].leaves,
                    rafts=rafts,
                )
            )
    return rows


NOTHING = Decided(tray_moves=(), board_moves=(), raft_batches=(), raft_leaves=(), fills=())


def laid(farm, *batches, fills=(), more=None, edition=None) -> Plan:
    """Lay out batches; the plan must pass the audit and be as documented, blank cells included.

    It is made by the oldest rules, unless ``edition`` names others.
    """
    made = {} if edition is None else {KEY: edition}
    plan = lay_out(farm, decided(farm, *batches, fills=fills, more=more), (), made)
    assert [str(fault) for fault in audit(farm, plan)] == []
    assert plan_from_cells(farm.calendar, cells(farm.calendar, plan), made) == plan
    return plan


def units(plan, item):
    return [unit for unit in plan.units if unit.item == item]


def held(plan, item):
    """Lots and amounts of each unit of a kind, unit by unit."""
    names = [unit.unit for unit in units(plan, item)]
    return [[(row.lot, row.plants) for row in plan.contents if row.unit == name] for name in names]


def stands(plan, unit):
    return [(row.place, row.slot, row.enters, row.until) for row in plan.positions if row.unit == unit]


def tasks(plan, work):
    return [task for task in plan.tasks if task.work == work]
