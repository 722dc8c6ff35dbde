"""Crops that are picked in a bed for weeks: how much of them ripens when, and on which days it is picked.

A picking week is seven days of growth at pace 1, the first one from the first picking on. What ripens in a
picking week is shared out evenly over the picking days that lie in it.
"""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from itertools import combinations, pairwise

from scheduler.farm.calendar import WEEK, Calendar, Work
from scheduler.farm.growth.pace import Pace
from scheduler.farm.units import MILLI, WHOLE_SHARE, ceil_div


@dataclass(frozen=True, slots=True, kw_only=True)
class Picking:
    """How a crop is picked.

    Attributes:
        beds: names of the beds it may be set into.
        curve: thousandths of a piece, or of a gram, that one plant gives in each picking week.
        a_week: most picking days in a week.
        by_mass: whether grams are counted rather than pieces.
        days: day numbers on which it is picked, in order.
    """

    beds: frozenset[str]
    curve: tuple[int, ...]
    a_week: int
    by_mass: bool = False
    days: tuple[int, ...] = ()
    _set: frozenset[int] = field(default=frozenset(), init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        """Keep the days as a set too, to look them up in."""
        object.__setattr__(self, "_set", frozenset(self.days))

    def is_day(self, day: int) -> bool:
        """Say whether it is picked on a day."""
        return day in self._set

    def days_within(self, first: int, last: int) -> list[int]:
        """Return the picking days from first through last."""
        return [day for day in range(first, last + 1) if day in self._set]


@dataclass(frozen=True, slots=True, kw_only=True)
class Pick:
    """One picking of plants in a bed.

    Attributes:
        number: 1 for the first picking of these plants.
        day: the day it is done.
        week: picking week it lies in, 0 for the first.
        part, parts: which picking of that week it is, 1 for the first, and how many there are in all.
    """

    number: int
    day: int
    week: int
    part: int
    parts: int

    def most(self, plants: int, curve: tuple[int, ...], share: int, gone: int = 0) -> int:
        """Return the most that may be picked in its week up to this picking, whole pieces or grams.

        ``gone`` is how many pickings of the week were done before the plan began.
        """
        return (self.part - gone) * plants * curve[self.week] * share // (self.parts * MILLI * WHOLE_SHARE)

    def most_of_day(self, plants: int, curve: tuple[int, ...], share: int) -> int:
        """Return the most that may be picked on its day: its even part, rounded up."""
        return ceil_div(plants * curve[self.week] * share, self.parts * MILLI * WHOLE_SHARE)


def picks_of(picking: Picking, pace: Pace, place: str, planted: int, days: int) -> tuple[Pick, ...]:
    """Return all pickings of plants set in on a day, ``days`` of growth before their first picking.

    ``place`` is the bed whose pace counts. A picking week without a picking day gives nothing.
    """
    weeks = range(len(picking.curve) + 1)
    begins = [pace.first_day_reached(place, planted, days + WEEK * week) for week in weeks]
    return _picks_in(picking, begins)


def picks_from(picking: Picking, first: int) -> tuple[Pick, ...]:
    """Return all pickings of plants that can first be picked on a day, at pace 1."""
    return _picks_in(picking, [first + WEEK * week for week in range(len(picking.curve) + 1)])


def _picks_in(picking: Picking, begins: Sequence[int]) -> tuple[Pick, ...]:
    """Return the pickings of weeks that begin on some days; the last day is the one after all of them."""
    found: list[Pick] = []
    for week, (start, end) in enumerate(pairwise(begins)):
        inside = picking.days_within(start, end - 1)
        for part, day in enumerate(inside, 1):
            found.append(Pick(number=len(found) + 1, day=day, week=week, part=part, parts=len(inside)))
    return tuple(found)


def amounts_of(picks: Iterable[Pick], plants: int, curve: tuple[int, ...], share: int) -> list[int]:
    """Return the most that each of some pickings in order may give, whole pieces or grams.

    What rounding leaves over goes on to the next of its week; what came before the first of them is gone.
    """
    found: list[int] = []
    week, gone, before = -1, 0, 0
    for pick in picks:
        if pick.week != week:
            week, gone, before = pick.week, pick.part - 1, 0
        up_to = pick.most(plants, curve, share, gone)
        found.append(up_to - before)
        before = up_to
    return found


def picking_days(
    calendar: Calendar, a_week: int, wanted: Iterable[tuple[int, int]], span: tuple[int, int]
) -> tuple[int, ...]:
    """Return the days on which a crop is picked: so many open harvest days of each week.

    Of those that could be chosen it is the days from which most deliveries are fresh enough, then those
    that lie apart most evenly, then the earliest.

    Args:
        calendar: the farm's.
        a_week: most picking days from a Monday to the Sunday after it.
        wanted: (weekday, greatest age in days) of what is delivered of the crop.
        span: first and last day.
    """
    wishes = sorted(set(wanted))
    chosen: dict[tuple[int, ...], tuple[int, ...]] = {}
    found: list[int] = []
    for monday in range(calendar.week_start(span[0]), span[1] + 1, WEEK):
        opens = tuple(day - monday for day in calendar.open_days(Work.HARVEST, monday, monday + WEEK - 1))
        if opens not in chosen:
            chosen[opens] = _best(opens, a_week, wishes)
        found += [monday + weekday for weekday in chosen[opens]]
    return tuple(day for day in found if span[0] <= day <= span[1])


def _best(opens: tuple[int, ...], a_week: int, wishes: list[tuple[int, int]]) -> tuple[int, ...]:
    if len(opens) <= a_week:
        return opens
    return max(
        combinations(opens, a_week),
        key=lambda days: (_served(days, wishes), -_widest_gap(days), tuple(-day for day in days)),
    )


def _served(days: tuple[int, ...], wishes: list[tuple[int, int]]) -> int:
    """Count the wishes for which one of some weekdays is near enough before, in this week or the last."""
    return sum(any((weekday - day) % WEEK <= age for day in days) for weekday, age in wishes)


def _widest_gap(days: tuple[int, ...]) -> int:
    later = (*days[1:], days[0] + WEEK)
    return max(after - day for day, after in zip(days, later, strict=True))
