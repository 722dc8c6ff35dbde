"""Heads of every cut: no more than losses leave of the plants cut so far, enough for what is promised."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from scheduler.farm.farm import Farm
from scheduler.farm.shared import part_heads_of
from scheduler.farm.units import WHOLE_SHARE, ceil_div
from scheduler.plan.layout.units import Unit
from scheduler.plan.rows import CutRow

Group = tuple[str, int | None, int, int]
"""Lot, day its plants entered the stage before, raft day, cut number: heads are counted up within one."""

CutKey = tuple[str, str, int, int]
"""Raft or tray, lot, day, cut number."""


class _Heads:
    """One group: plants cut on each day, heads they may give up to it, and heads taken for deliveries."""

    def __init__(self, plants: dict[int, int], share: int, over: int) -> None:
        self.plants = dict(sorted(plants.items()))
        self.share = share
        self.over = over
        self.limit: dict[int, int] = {}
        self.taken: dict[int, int] = dict.fromkeys(self.plants, 0)
        total = 0
        for day, number in self.plants.items():
            total += number
            self.limit[day] = self._given_by(total)
        self.last = max(self.plants)

    def _given_by(self, plants: int) -> int:
        """Return the heads of so many plants, with what rounding left over before the first day."""
        return (plants * self.share + self.over) // WHOLE_SHARE

    def of_the_day(self, day: int) -> int:
        """Return the heads that the plants of a day add to what may be sold."""
        return self.limit[day] - max((limit for d, limit in self.limit.items() if d < day), default=0)

    def free(self, day: int) -> int:
        """Return the heads that may still be taken on a day, heads left over on days before it included."""
        taken = sum(number for d, number in self.taken.items() if d <= day)
        most = ceil_div(self.plants[day] * self.share, WHOLE_SHARE)
        return max(0, min(self.limit[day] - taken, most - self.taken[day]))

    def can_do_without(self, plants: int, day: int, until: int) -> bool:
        """Say whether what is taken is still there if so many plants are cut on ``until`` and not ``day``."""
        most = ceil_div((self.plants[day] - plants) * self.share, WHOLE_SHARE)
        if self.taken[day] > most:
            return False
        cut = taken = 0
        for when, number in self.plants.items():
            cut, taken = cut + number, taken + self.taken[when]
            if day <= when < until and taken > self._given_by(cut - plants):
                return False
        return True

    def take(self, day: int, wanted: int) -> int:
        """Take as many as there are, at most ``wanted``."""
        now = max(0, min(wanted, self.free(day)))
        self.taken[day] += now
        return now

    def settled(self) -> dict[int, int]:
        """Return the heads of each day: as many as may be sold, later ones kept back where they are taken."""
        days = list(self.plants)
        up_to = {days[-1]: self.limit[days[-1]]}
        for day, after in zip(reversed(days[:-1]), reversed(days[1:]), strict=True):
            up_to[day] = min(self.limit[day], up_to[after] - self.taken[after])
        before = 0
        found = {}
        for day in days:
            found[day], before = up_to[day] - before, up_to[day]
        return found


@dataclass(frozen=True, slots=True, kw_only=True)
class Harvested:
    """What every cut takes, and the heads of each group that deliveries count on.

    Attributes:
        plants: plants of each cut.
        group_of: the group each cut belongs to.
        groups: heads of every group.
        missing: heads counted on that no cut gives.
    """

    plants: Mapping[CutKey, int]
    group_of: Mapping[CutKey, Group]
    groups: Mapping[Group, _Heads]
    missing: int

    def may_wait(self, cut: CutKey, until: int, plants: int) -> bool:
        """Say whether all heads counted on are still there if so many of its plants are cut later."""
        return self.groups[self.group_of[cut]].can_do_without(plants, cut[2], until)

    def rows(self) -> list[CutRow]:
        """Return the cuts, the heads of a day shared out over them."""
        settled = {group: heads.settled() for group, heads in self.groups.items()}
        return _spread(self, settled)


def harvested(
    farm: Farm,
    units: list[Unit],
    wanted: Mapping[tuple[str, int], int],
    promised: Iterable[tuple[Group, int, int]] = (),
) -> Harvested:
    """Return the cuts of all rafts and of all trays that are cut as they stand.

    ``wanted`` is (crop, cut day) -> heads that deliveries count on; ``promised`` says of which group and
    day they come, as far as that was decided: it may have more of a day than is wanted then.
    """
    plants, group_of = _plants_cut(farm, units)
    amounts: dict[Group, dict[int, int]] = defaultdict(lambda: defaultdict(int))
    crop_of = {part.lot: part.crop for unit in units for part in unit.parts}
    for key, number in plants.items():
        amounts[group_of[key]][key[2]] += number
    groups = {
        group: _Heads(days, farm.crops[crop_of[group[0]]].heads_share, _over(farm, group))
        for group, days in amounts.items()
    }
    left = dict(wanted)
    for group, day, number in promised:
        # A lot whose rafts mix days of the stage before is one group, without that day.
        heads = groups.get(group) or groups[group[0], None, group[2], group[3]]
        asked = crop_of[group[0]], day
        if left.get(asked):
            left[asked] -= heads.take(day, min(number, left[asked]))
    missing = _take_wanted(groups, crop_of, left)
    return Harvested(plants=plants, group_of=group_of, groups=groups, missing=missing)


def _over(farm: Farm, group: Group) -> int:
    """Return what rounding left over of a group's cut before the first day, in ten thousandths."""
    lot, _, since, number = group
    return part_heads_of(farm, lot, since, number)


def _plants_cut(farm: Farm, units: list[Unit]) -> tuple[dict[CutKey, int], dict[CutKey, Group]]:
    """Add up plants of each cut row; a lot whose rafts mix days of the stage before is one group."""
    mixed = {
        (lot, unit.enters)
        for unit in units
        for lot in {part.lot for part in unit.parts}
        if len({part.from_day for part in unit.parts if part.lot == lot}) > 1
    }
    plants: dict[CutKey, int] = defaultdict(int)
    group_of: dict[CutKey, Group] = {}
    for unit in units:
        each = farm.equipment[unit.kind].cells_per_row if unit.is_sown_tray else 1
        for part in unit.parts:
            since = None if (part.lot, unit.enters) in mixed else part.from_day
            for number, day in part.cuts:
                key = (unit.name, part.lot, day, number)
                plants[key] += part.amount * each
                group_of[key] = (part.lot, since, unit.enters, number)
    return plants, group_of


def _take_wanted(
    groups: dict[Group, _Heads], crop_of: Mapping[str, str], wanted: Mapping[tuple[str, int], int]
) -> int:
    """Take what no group was named for; return the heads that are not there."""
    cut_on: dict[tuple[str, int], list[_Heads]] = defaultdict(list)
    for group, heads in groups.items():
        for day in heads.plants:
            cut_on[crop_of[group[0]], day].append(heads)
    lacking = 0
    for crop, day in sorted(wanted, key=lambda key: (key[1], key[0])):
        missing = wanted[crop, day]
        here = sorted(cut_on[crop, day], key=lambda heads: heads.last)
        for heads in here:
            missing -= heads.take(day, min(missing, heads.of_the_day(day)))
        for heads in here:
            missing -= heads.take(day, missing)
        lacking += missing
    return lacking


def _spread(harvest: Harvested, settled: Mapping[Group, Mapping[int, int]]) -> list[CutRow]:
    """Share a day's heads out over its cut rows in proportion to their plants, in whole heads."""
    seen: dict[tuple[Group, int], int] = defaultdict(int)
    rows = []
    for key in sorted(harvest.plants, key=lambda key: (key[2], key[1], key[3], key[0])):
        unit, lot, day, number = key
        group, plants = harvest.group_of[key], harvest.plants[key]
        total, heads = harvest.groups[group].plants[day], settled[group][day]
        before = seen[group, day]
        seen[group, day] = now = before + plants
        mine = heads * now // total - heads * before // total
        rows.append(CutRow(unit=unit, lot=lot, day=day, number=number, plants=plants, heads=mine))
    return rows
