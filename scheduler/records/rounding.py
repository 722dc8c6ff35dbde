"""What rounding leaves over of a cut that has begun, as parts of a head that count with what still stands.

A plan rounds the heads of a lot down over all days of a cut together. What stands of it afterwards would give
a head less, were it rounded down by itself, and so would rows of one lot each by itself.
"""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date

from scheduler.farm.farm import Farm
from scheduler.farm.shared import part_heads_of
from scheduler.farm.units import WHOLE_SHARE
from scheduler.plan.earlier import lot_at_large
from scheduler.plan.rows import Plan
from scheduler.plan.tally import first_positions
from scheduler.records.state import State

CutOf = tuple[str, date, int]
"""Lot, day its plants came into their last stage, number of the cut."""

MOST = WHOLE_SHARE - 1
"""What counts is always less than a head: a whole one that was not sold is no matter of rounding."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Counted:
    """What the plan so far counts on; without a plan all heads of a day count on that day.

    Attributes:
        later: cuts of which it took a head less than it might before the new book begins, for on a later day
            it counts on a head more.
        days: (lot, place) -> first day of a cut from then on.
    """

    later: frozenset[CutOf] = frozenset()
    days: Mapping[tuple[str, str], date] = field(default_factory=dict)


def counted_on(farm: Farm, plan: Plan, first_day: date) -> Counted:
    """Return what a plan counts on of its cuts, by lots as the records have them.

    Args:
        farm: the farm of the plan.
        plan: the plan; cuts of unknown names, which a table edited by hand may have, are left out.
        first_day: first day of the new book.
    """
    names = {row.lot for row in plan.lots}
    units = {row.unit: row for row in plan.units}
    places = first_positions(plan.positions)
    crop_of = {
        lot_at_large(row.lot, names): farm.crops[row.crop] for row in plan.lots if row.crop in farm.crops
    }
    first = farm.calendar.day_of(first_day)
    plants: dict[tuple[str, int, int], int] = defaultdict(int)
    heads: dict[tuple[str, int, int], int] = defaultdict(int)
    days: dict[tuple[str, str], date] = {}
    for cut in sorted(plan.cuts, key=lambda row: row.day):
        lot, unit = lot_at_large(cut.lot, names), units.get(cut.unit)
        if unit is None or lot not in crop_of:
            continue
        if cut.day < first:
            key = lot, unit.enters, cut.number
            plants[key] += cut.plants
            heads[key] += cut.heads
        elif cut.unit in places:
            days.setdefault((lot, places[cut.unit].place), farm.date_of(cut.day))
    before: dict[tuple[str, int, int], int] = defaultdict(int)
    for row in farm.growing:
        before[lot_at_large(row.lot, names), row.since, row.cuts_done + 1] += row.part_heads
    later = {
        (lot, farm.date_of(enters), number)
        for (lot, enters, number), cut_so_far in plants.items()
        if (cut_so_far * crop_of[lot].heads_share + before[lot, enters, number]) // WHOLE_SHARE
        > heads[lot, enters, number]
    }
    return Counted(later=frozenset(later), days=days)


def parts_left(
    farm: Farm, state: State, rows: Iterable[tuple[CutOf, str, int]], counted: Counted
) -> list[int]:
    """Return for rows of plants that are still to be cut what of a head counts with each, in ten thousandths.

    Plants cut give their share of heads, however many were counted: what is found more or less at a cut says
    nothing of what still stands. Of that share only the part below a whole head is left over; it goes to the
    first row of the lot, and what rounding leaves over of that one to the next, so that nothing counts twice.

    Args:
        farm: the farm of the old book.
        state: what stands, and what was cut before.
        rows: the cut each row has next, its place, and its plants.
        counted: what the plan so far counts on.
    """
    listed = list(rows)
    found = [0] * len(listed)
    groups: dict[CutOf, list[int]] = defaultdict(list)
    for at, (cut, _, _) in enumerate(listed):
        groups[cut].append(at)
    for (lot, since, number), members in groups.items():
        facts = state.lots[lot]
        share = farm.crops[facts.crop].heads_share
        gone = sum(plants for day, cut, plants in facts.cut if (day, cut) == (since, number))
        before = part_heads_of(farm, lot, farm.calendar.day_of(since), number)
        left = MOST if (lot, since, number) in counted.later else (before + gone * share) % WHOLE_SHARE
        for at in sorted(members, key=lambda at: counted.days.get((lot, listed[at][1]), date.max)):
            found[at] = left
            left = (left + listed[at][2] * share) % WHOLE_SHARE
    return found
