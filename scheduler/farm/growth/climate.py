"""Light, water and air of shelves and troughs by date, as far as the book has them."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, timedelta

READING_DAYS = 7
"""Days for which a temperature that was read stands, the day itself included (estimate)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class HalfMonth:
    """What grows in one place in one half of a month, worked out.

    Attributes:
        pace: thousandths, at most 1000.
        light: hundredths of mol/m2/d at the plants; None where the book has no light for it.
        water: hundredths of a degree C; None where the book has none.
        held_by: ``light`` or ``water``, whichever keeps the pace below 1; empty at 1.
    """

    pace: int
    light: int | None
    water: int | None
    held_by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Temperatures:
    """Temperatures of one kind, water or air, in hundredths of a degree C.

    Attributes:
        months: shelf or trough -> month (1-12) -> mean of the month.
        read: shelf or trough -> day -> what was read then.
    """

    months: Mapping[str, Mapping[int, int]] = field(default_factory=dict)
    read: Mapping[str, Mapping[int, int]] = field(default_factory=dict)

    def read_on(self, place: str, day: int) -> int | None:
        """Return the last reading that still stands on a day, or None."""
        read = self.read.get(place, {})
        days = [at for at in read if at <= day < at + READING_DAYS]
        return read[max(days)] if days else None

    def on(self, place: str, day: int, month: int) -> int | None:
        """Return the temperature of a day in ``month``: what was read, else the month's mean, else None."""
        read = self.read_on(place, day)
        return self.months.get(place, {}).get(month) if read is None else read


@dataclass(frozen=True, slots=True, kw_only=True)
class Climate:
    """Light, water and air of a farm; an empty one changes nothing.

    Attributes:
        halves: shelf or trough -> what grows in each of the 24 half months; None where the book has nothing.
        read: shelf or trough -> day -> pace with the temperature of the water that was read.
        air: temperatures of the air.
    """

    halves: Mapping[str, tuple[HalfMonth | None, ...]] = field(default_factory=dict)
    read: Mapping[str, Mapping[int, int]] = field(default_factory=dict)
    air: Temperatures = field(default_factory=Temperatures)

    def paces(self) -> dict[str, tuple[int | None, ...]]:
        """Return shelf or trough -> pace of each half month."""
        return {
            place: tuple(None if half is None else half.pace for half in halves)
            for place, halves in self.halves.items()
        }

    def air_on(self, place: str, day: int, first_day: date) -> int | None:
        """Return the air of a shelf or trough on a day in hundredths of a degree C; None where not known.

        ``first_day`` is the date of day 0.
        """
        return self.air.on(place, day, (first_day + timedelta(days=day)).month)
