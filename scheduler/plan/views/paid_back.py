"""When a change has paid for itself: from the weeks of two plans, not from an average."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import accumulate

from scheduler.farm.calendar import WEEK
from scheduler.farm.units import ceil_div


@dataclass(frozen=True, slots=True, kw_only=True)
class PaidBack:
    """What a change brings against what it costs; money in exact hundredths.

    Attributes:
        cost: what it costs once; 0 where no price is given.
        gained: what it has brought by the end of each week, its weekly cost taken off, the price not.
        luck: what more is left before its first day. No change brings that: one search had more luck than
            the other. It is taken off; what less is left then, such as for seed, is not.
        net: the same with its price taken off from the week of its first day on.
        earns_from: number of the week from whose end on it has brought something, up to the last week; None
            where it has brought nothing by then.
        week: number of the week from whose end on it has brought its price, up to the last week; None where
            it has not, or has no price.
        weeks: weeks from its first day up to then.
    """

    cost: int
    luck: Fraction
    gained: tuple[Fraction, ...]
    net: tuple[Fraction, ...]
    earns_from: int | None
    week: int | None
    weeks: int | None

    @property
    def in_all(self) -> Fraction:
        """What it has brought by the last week, its price not taken off."""
        return self.gained[-1] if self.gained else Fraction(0)


def paid_back(
    spans: Sequence[tuple[int, int]], gains: Sequence[Fraction], start: int, cost: tuple[int, int]
) -> PaidBack:
    """Add up what a change brings week by week.

    Args:
        spans: (first day, last day) of each week.
        gains: what more is left in each week than without it, hundredths of money.
        start: its first day.
        cost: what it costs once, and every week; a week it begins in counts by its days.
    """
    once, weekly = cost
    after = [
        gain - Fraction(weekly * max(0, last - max(first, start) + 1), WEEK)
        for (first, last), gain in zip(spans, gains, strict=True)
    ]
    sums = list(accumulate(after, initial=Fraction(0)))
    before = sum(last < start for _, last in spans)
    luck = max(Fraction(0), sums[before])
    gained = tuple(
        min(total, Fraction(0)) if week < before else total - luck for week, total in enumerate(sums[1:])
    )
    week = _stays(gained, once, above=False) if once else None
    return PaidBack(
        cost=once,
        luck=luck,
        gained=gained,
        net=tuple(
            brought - (once if last >= start else 0) for brought, (_, last) in zip(gained, spans, strict=True)
        ),
        earns_from=_stays(gained, 0, above=True),
        week=week,
        weeks=None if week is None else ceil_div(spans[week][1] + 1 - max(start, spans[0][0]), WEEK),
    )


def _stays(gained: Sequence[Fraction], least: int, *, above: bool) -> int | None:
    """Return the first week from which on the sum stays at least so much (or above it), up to the last."""
    found = None
    for week in reversed(range(len(gained))):
        if gained[week] < least or (above and gained[week] == least):
            break
        found = week
    return found
