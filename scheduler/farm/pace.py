"""Growth speed of places by date, and how long a stage lasts at that speed."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, timedelta

from scheduler.farm.units import MILLI


@dataclass(frozen=True, slots=True, kw_only=True)
class Pace:
    """Monthly pace of shelves and troughs, in thousandths: 1000 is the days on the crop card.

    Attributes:
        first_day: the date of day 0.
        months: shelf or trough name ("" for every place without its own row) -> month (1-12) -> pace.
    """

    first_day: date
    months: Mapping[str, Mapping[int, int]]

    def on(self, place: str, day: int) -> int:
        """Return the pace of a shelf or trough on a day; a place's own row goes before the general one."""
        month = (self.first_day + timedelta(days=day)).month
        for name in (place, ""):
            found = self.months.get(name, {}).get(month)
            if found is not None:
                return found
        return MILLI

    def grown(self, place: str, start: int, end: int) -> int:
        """Return thousandths of card days grown from ``start`` up to, not including, ``end``."""
        return sum(self.on(place, day) for day in range(start, end))

    def first_day_reached(self, place: str, start: int, days: int) -> int:
        """Return the first day on which something placed on ``start`` has grown ``days`` card days."""
        grown, day = 0, start
        while grown < days * MILLI:
            grown += self.on(place, day)
            day += 1
        return day

    def last_day_within(self, place: str, start: int, days: int) -> int:
        """Return the last day on which something placed on ``start`` has grown at most ``days`` card days."""
        grown, day = 0, start
        while grown + self.on(place, day) <= days * MILLI:
            grown += self.on(place, day)
            day += 1
        return day

    def signature(self, place: str) -> tuple[int, ...]:
        """Return the paces of the twelve months: places with equal ones grow alike."""
        general = self.months.get("", {})
        own = self.months.get(place, {})
        return tuple(own.get(month, general.get(month, MILLI)) for month in range(1, 13))
