"""Growth speed of places by date, and how long a stage lasts at that speed."""

from bisect import bisect_left, bisect_right
from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta

from scheduler.farm.units import MILLI

MIDDLE_OF_MONTH = 15
"""The last day of the first half of a month; the second half is what is left."""

BLOCK = 512
"""Days by which sums of growth are made longer."""


def half_month(when: date) -> int:
    """Return the half month a date lies in: 0 for 1 to 15 January, 23 for 16 to 31 December."""
    return 2 * (when.month - 1) + (when.day > MIDDLE_OF_MONTH)


@dataclass(slots=True)
class _Sums:
    """Growth of one place added up: ``grown[i]`` is what grew from day ``start`` up to day ``start + i``."""

    start: int
    grown: list[int]


@dataclass(frozen=True, slots=True, kw_only=True)
class Pace:
    """Pace of shelves and troughs, in thousandths: 1000 is the days on the crop card.

    What the book gives by month goes before what is worked out from light and water.

    Attributes:
        first_day: the date of day 0.
        months: shelf or trough name ("" for every place without its own row) -> month (1-12) -> pace.
        halves: shelf or trough name -> pace worked out for each of the 24 half months; None where not.
        read: shelf or trough name -> day -> pace worked out with what was read there at that time.
    """

    first_day: date
    months: Mapping[str, Mapping[int, int]]
    halves: Mapping[str, tuple[int | None, ...]] = field(default_factory=dict)
    read: Mapping[str, Mapping[int, int]] = field(default_factory=dict)
    _sums: dict[str, _Sums] = field(default_factory=dict, init=False, repr=False, compare=False)
    _signatures: dict[str, tuple[int, ...]] = field(
        default_factory=dict, init=False, repr=False, compare=False
    )

    def on(self, place: str, day: int) -> int:
        """Return the pace of a shelf or trough on a day; a place's own row goes before the general one."""
        when = self.first_day + timedelta(days=day)
        given = self._given(place, when.month)
        if given is not None:
            return given
        read = self.read.get(place, {}).get(day)
        return self._worked_out(place, half_month(when)) if read is None else read

    def is_given(self, place: str, day: int) -> bool:
        """Say whether the book itself gives the pace of a place on a day."""
        return self._given(place, (self.first_day + timedelta(days=day)).month) is not None

    def _given(self, place: str, month: int) -> int | None:
        for name in (place, ""):
            found = self.months.get(name, {}).get(month)
            if found is not None:
                return found
        return None

    def _worked_out(self, place: str, half: int) -> int:
        halves = self.halves.get(place)
        found = halves[half] if halves else None
        return MILLI if found is None else found

    def slowest(self) -> int:
        """Return the lowest pace of any place at any time, and never more than 1000."""
        given = (pace for row in self.months.values() for pace in row.values())
        halves = (pace for row in self.halves.values() for pace in row if pace is not None)
        read = (pace for row in self.read.values() for pace in row.values())
        return min(MILLI, *given, *halves, *read, MILLI)

    def grown(self, place: str, start: int, end: int) -> int:
        """Return thousandths of card days grown from ``start`` up to, not including, ``end``."""
        if end <= start:
            return 0
        sums = self._sums_over(place, start, end)
        return sums.grown[end - sums.start] - sums.grown[start - sums.start]

    def first_day_reached(self, place: str, start: int, days: int) -> int:
        """Return the first day on which something placed on ``start`` has grown ``days`` card days."""
        sums, target = self._sums_up_to(place, start, days * MILLI)
        return sums.start + bisect_left(sums.grown, target, lo=start - sums.start)

    def last_day_within(self, place: str, start: int, days: int) -> int:
        """Return the last day on which something placed on ``start`` has grown at most ``days`` card days."""
        sums, target = self._sums_up_to(place, start, days * MILLI)
        return sums.start + bisect_right(sums.grown, target, lo=start - sums.start) - 1

    def latest_start(self, place: str, end: int, days: int) -> int:
        """Return the last day on which something could be placed so that it has grown ``days`` by ``end``."""
        target, first = days * MILLI, end
        if target <= 0:
            return end
        while True:
            sums = self._sums_over(place, first, end)
            before = sums.grown[end - sums.start] - target
            if before >= 0:
                return sums.start + bisect_right(sums.grown, before, hi=end - sums.start) - 1
            first = sums.start - 1

    def _sums_up_to(self, place: str, start: int, growth: int) -> tuple[_Sums, int]:
        """Return sums that go past ``growth`` from ``start`` on, and the sum at which it is reached."""
        sums = self._sums_over(place, start, start)
        grown = sums.grown
        while grown[-1] <= grown[start - sums.start] + growth:
            self._lengthen(place, sums)
        return sums, grown[start - sums.start] + growth

    def _sums_over(self, place: str, start: int, end: int) -> _Sums:
        """Return sums of a place that reach from one day or before to another or past it."""
        sums = self._sums.get(place)
        if sums is None or start < sums.start:
            sums = _Sums(start - start % BLOCK, [0])
            self._sums[place] = sums
        while len(sums.grown) <= end - sums.start:
            self._lengthen(place, sums)
        return sums

    def _lengthen(self, place: str, sums: _Sums) -> None:
        first = sums.start + len(sums.grown) - 1
        for day in range(first, first + BLOCK):
            sums.grown.append(sums.grown[-1] + self.on(place, day))

    def signature(self, place: str) -> tuple[int, ...]:
        """Return the paces of the 24 half months, then days and paces read: equal ones grow alike."""
        known = self._signatures.get(place)
        if known is None:
            halves = []
            for half in range(24):
                given = self._given(place, half // 2 + 1)
                halves.append(self._worked_out(place, half) if given is None else given)
            read = sorted(self.read.get(place, {}).items())
            known = (*halves, *(number for pair in read for number in pair))
            self._signatures[place] = known
        return known
