"""The bottleneck of each week: the place, kind of equipment or crew that came nearest its limit."""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import groupby

from scheduler.farm.farm import Farm
from scheduler.plan.rows import Plan
from scheduler.plan.views.fullest import week_spans
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
    weeks = [_worst(farm, plan, week) for week in week_spans(farm)]
    found = [week for week in weeks if week is not None]
    runs = groupby(found, key=lambda week: (week.name, week.called))
    return tuple(_joined(list(run)) for _, run in runs)


def _worst(farm: Farm, plan: Plan, week: tuple[int, int]) -> Bottleneck | None:
    ranked = [each for each in _of_week(farm, plan, week) if each.used]
    return max(ranked, key=lambda each: each.share, default=None)


def _of_week(farm: Farm, plan: Plan, week: tuple[int, int]) -> Iterator[Bottleneck]:
    first, last = week
    for use in (*place_use(farm, plan), *equipment_use(farm, plan)):
        for each in use.weeks:
            if each.first == first:
                peak = each.peak
                yield Bottleneck(
                    first=first,
                    last=last,
                    name=use.name,
                    called=use.called,
                    day=peak.day,
                    used=peak.used,
                    there=peak.there,
                )
    if farm.crew is None:
        return
    minutes: Counter[int] = Counter()
    for row in plan.hours:
        if first <= row.day <= last:
            minutes[row.day] += row.minutes
    for day, used in sorted(minutes.items()):
        yield Bottleneck(
            first=first, last=last, name="", called=CREW, day=day, used=used, there=farm.crew.on(day)
        )


def _joined(weeks: list[Bottleneck]) -> Bottleneck:
    worst = max(weeks, key=lambda week: week.share)
    return Bottleneck(
        first=weeks[0].first,
        last=weeks[-1].last,
        name=worst.name,
        called=worst.called,
        day=worst.day,
        used=worst.used,
        there=worst.there,
    )
