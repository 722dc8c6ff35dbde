"""The bottleneck of each week: the place, kind of equipment or crew that came nearest its limit."""

from collections.abc import Iterator
from dataclasses import dataclass, replace
from itertools import groupby

from scheduler.farm.farm import Farm
from scheduler.plan.rows import Plan
from scheduler.plan.views.day_hours import day_hours
from scheduler.plan.views.fullest import week_of, week_spans
from scheduler.plan.views.places import equipment_use, place_use

CREW = "crew"


@dataclass(frozen=True, slots=True, kw_only=True)
class Bottleneck:
    """What came nearest its limit in some weeks that follow one another.

    Attributes:
        first, last: first and last day of the weeks.
        name: shelf, board zone, trough or kind of equipment; empty for the crew.
        called: ``shelf``, ``board zone``, ``trough``, an item such as ``tray``, or ``crew``.
        day: its fullest day.
        used, there: slots or units (crew: hundredths of a minute) on that day.
    """

    first: int
    last: int
    name: str
    called: str
    day: int
    used: int
    there: int

    @property
    def share(self) -> float:
        """What is used of what there is; 0 where nothing is used."""
        return self.used / self.there if self.there else float(self.used > 0)


def bottlenecks(farm: Farm, plan: Plan) -> tuple[Bottleneck, ...]:
    """Return the bottleneck of each week from today on, weeks with the same one together.

    Of what is as full as another the first counts: places in the book's order, then equipment, then the crew.
    """
    worst: dict[int, Bottleneck] = {}
    for each in _of_weeks(farm, plan):
        if each.used and (each.first not in worst or each.share > worst[each.first].share):
            worst[each.first] = each
    # a week in which nothing is in use has none, and parts those before it from those behind it
    weeks = [worst.get(first) for first, _ in week_spans(farm)]
    runs = groupby(weeks, key=lambda week: None if week is None else (week.name, week.called))
    return tuple(_joined([week for week in run if week is not None]) for named, run in runs if named)


def _of_weeks(farm: Farm, plan: Plan) -> Iterator[Bottleneck]:
    """Yield the fullest day of each place and kind of equipment in each week, then the days of the crew."""
    for use in (*place_use(farm, plan), *equipment_use(farm, plan)):
        for week in use.weeks:
            peak = week.peak
            yield Bottleneck(
                first=week.first,
                last=week.last,
                name=use.name,
                called=use.called,
                day=peak.day,
                used=peak.used,
                there=peak.there,
            )
    if farm.crew is None:
        return
    spans = week_spans(farm)
    for each in day_hours(farm, plan):
        first, last = spans[week_of(farm, each.day)]
        if first <= each.day <= last:
            yield Bottleneck(
                first=first,
                last=last,
                name="",
                called=CREW,
                day=each.day,
                used=each.total,
                there=farm.crew.on(each.day),
            )


def _joined(weeks: list[Bottleneck]) -> Bottleneck:
    worst = max(weeks, key=lambda week: week.share)
    return replace(worst, first=weeks[0].first, last=weeks[-1].last)
