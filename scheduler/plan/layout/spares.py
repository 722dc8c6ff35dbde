"""Plants that no head is counted on from are cut with the others of their raft, not on a day of their own.

Losses are counted over all that is cut of a batch, so a plant or two may be there for them alone. Amounts
say nothing of when those are cut; cut before the others they would be a day's task that brings nothing.
"""

from collections import defaultdict
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace

from scheduler.farm import work
from scheduler.farm.farm import Farm
from scheduler.farm.shared import mates
from scheduler.plan.layout.heads import CutKey, Group, Harvested
from scheduler.plan.layout.units import Cuts, Part, Unit
from scheduler.plan.rows import Plan
from scheduler.plan.tally import CHORE, hours

Minutes = dict[int, int]
"""Day -> hundredths of a minute that are left of the crew's hours; days without a limit are left out."""

_Way = tuple[Cuts, int]
"""The cuts of some plants, and the day they leave."""


@dataclass(frozen=True, slots=True)
class _Kin:
    """Plants that may be cut alike: of one lot, one day of the stage before, one raft day and one pace."""

    lot: str
    from_day: int | None
    enters: int
    pace: tuple[int, ...]


class _Floating:
    """The rafts of a plan, and the ways their plants go."""

    def __init__(self, farm: Farm, units: list[Unit]) -> None:
        self.farm = farm
        self.rafts = {unit.name: unit for unit in units if unit.item == "raft"}
        self._ways: dict[_Kin, set[_Way]] = defaultdict(set)
        for raft in self.rafts.values():
            for part in raft.parts:
                if part.cuts:
                    self._ways[self._kin(raft, part)].add((part.cuts, part.leaves))

    def _kin(self, raft: Unit, part: Part) -> _Kin:
        trough = self.farm.place(raft.stands[0].place).belongs_to
        return _Kin(part.lot, part.from_day, raft.enters, self.farm.pace.signature(trough))

    def later(self, raft: Unit, part: Part, number: int) -> Iterator[_Way]:
        """Yield ways of its kin with as many cuts, none sooner and this one later, the nearest first.

        The raft is no longer in its row for it; of what grows already only what stands on it is looked at.
        """
        if raft.growing < 0:
            ways = self._ways[self._kin(raft, part)]
        elif len(mates(self.farm, raft.growing)) == 1:
            ways = {(other.cuts, other.leaves) for other in raft.parts if other.lot == part.lot}
        else:
            ways = set()
        day = dict(part.cuts)[number]
        yield from sorted(
            (cuts, leaves)
            for cuts, leaves in ways
            if leaves <= max(raft.leaves, raft.emptied)
            and [of for of, _ in cuts] == [of for of, _ in part.cuts]
            and all(then >= now for (_, now), (_, then) in zip(part.cuts, cuts, strict=True))
            and dict(cuts)[number] > day
        )


def minutes_left(farm: Farm, plan: Plan) -> Minutes:
    """Return what work and chores leave of the crew's hours on each day of the span; empty without a crew.

    In hundredths of a minute, below 0 where there is more to do than can be done.
    """
    hands = farm.hands
    if hands is None:
        return {}
    left = {day: hands.on(day) for day in range(farm.calendar.span)}
    for row in hours(farm, plan):
        left[row.day] -= 0 if row.work == CHORE else row.minutes
    return left


def with_spares_together(
    farm: Farm, units: list[Unit], harvest: Callable[[], Harvested], minutes: Callable[[Harvested], Minutes]
) -> Harvested:
    """Give plants of cuts without heads the later days of their kin, and return what is cut then.

    No raft stays longer in its row, nothing that is counted on is missing, and no day has more work than
    the crew has hours. What cannot be moved stays as it is.

    Args:
        farm: the farm.
        units: all units, named and in their places; the parts of rafts are changed.
        harvest: works out what is cut of the units as they are.
        minutes: what the crew has left when that is cut.
    """
    now = harvest()
    while moved := _move(farm, units, now, minutes):
        then = harvest()
        if then.missing > now.missing:
            for raft, parts in moved:
                raft.parts = parts
            break
        now = then
    return now


def _move(
    farm: Farm, units: list[Unit], harvest: Harvested, minutes: Callable[[Harvested], Minutes]
) -> list[tuple[Unit, list[Part]]]:
    """Move what can be, once in each group of cuts; return the rafts with the parts they had before."""
    empty = [row for row in harvest.rows() if row.plants and not row.heads]
    floating = _Floating(farm, units if empty else [])
    left: Minutes | None = None
    seen: set[Group] = set()
    moved = []
    for row in empty:
        raft = floating.rafts.get(row.unit)
        parts = [] if raft is None else raft.parts
        cut = [part for part in parts if part.lot == row.lot and (row.number, row.day) in part.cuts]
        if raft is None or len(cut) != 1:
            continue
        groups = {harvest.group_of[key] for key in _keys(raft, cut[0])}
        if seen & groups:
            continue
        for way in floating.later(raft, cut[0], row.number):
            if not _still_given(harvest, raft, cut[0], way):
                continue
            left = minutes(harvest) if left is None else left
            extra = _work_moved(farm, raft, cut[0], way)
            if all(number <= left.get(day, number) for day, number in extra.items()):
                for day in left.keys() & extra.keys():
                    left[day] -= extra[day]
                seen |= groups
                moved.append((raft, parts))
                here = parts.index(cut[0])
                raft.parts = [*parts[:here], replace(cut[0], cuts=way[0], leaves=way[1]), *parts[here + 1 :]]
                break
    return moved


def _keys(raft: Unit, part: Part) -> list[CutKey]:
    return [(raft.name, part.lot, day, number) for number, day in part.cuts]


def _still_given(harvest: Harvested, raft: Unit, part: Part, way: _Way) -> bool:
    """Say whether what is counted on of each cut is there without these plants."""
    return all(
        then == now or harvest.may_wait(key, then, part.amount)
        for key, (_, now), (_, then) in zip(_keys(raft, part), part.cuts, way[0], strict=True)
    )


def _work_moved(farm: Farm, raft: Unit, part: Part, way: _Way) -> Mapping[int, int]:
    """Return day -> hundredths of a minute of cutting and washing that come to it."""
    crop = farm.crops[part.crop]
    extra: Minutes = defaultdict(int)
    cutting = part.amount * work.cut_per_plant(crop)
    for (_, now), (_, then) in zip(part.cuts, way[0], strict=True):
        extra[now] -= cutting
        extra[then] += cutting
    washing = part.amount * work.wash_raft_per_plant(crop, farm.equipment[raft.kind])
    extra[part.leaves] -= washing
    extra[way[1]] += washing
    return {day: number for day, number in extra.items() if number > 0}
