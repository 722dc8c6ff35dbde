"""Sections of a bed: positions that are open on the same days.

Where slots of a bed are closed, those with the highest numbers are. So position 7 is open on a day when at
least seven positions are.
"""

from dataclasses import dataclass

from scheduler.farm.places import Place

ENDLESS = 10**6
"""The day before which everything that is still open closes: past every plan."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Section:
    """Positions ``first`` through ``last`` of a bed, and the spells for which they are open.

    ``spells`` are (first day, day after the last), in order, from the day the sections were asked for on.
    """

    bed: Place
    first: int
    last: int
    spells: tuple[tuple[int, int], ...]

    @property
    def positions(self) -> int:
        """How many positions there are in it."""
        return self.last - self.first + 1


def sections_of(bed: Place, start: int) -> list[Section]:
    """Return the sections of a bed from a day on, low positions first."""
    days = sorted({start, *(day for day in bed.slots.changes() if day > start)})
    levels = sorted({bed.slots.on(day) for day in days} - {0})
    return [
        Section(bed=bed, first=below + 1, last=level, spells=_spells(bed, level, days))
        for below, level in zip([0, *levels], levels, strict=False)
    ]


def _spells(bed: Place, level: int, days: list[int]) -> tuple[tuple[int, int], ...]:
    found: list[tuple[int, int]] = []
    for day, after in zip(days, [*days[1:], ENDLESS], strict=True):
        if bed.slots.on(day) < level:
            continue
        if found and found[-1][1] == day:
            found[-1] = (found[-1][0], after)
        else:
            found.append((day, after))
    return tuple(found)


def closes_after(bed: Place, position: int, day: int) -> int:
    """Return the first day after ``day`` on which a position is closed; ``day`` itself where it is then."""
    if bed.slots.on(day) < position:
        return day
    later = (change for change in bed.slots.changes() if change > day and bed.slots.on(change) < position)
    return min(later, default=ENDLESS)
