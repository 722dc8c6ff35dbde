"""How fast places grow week by week, and the days each crop takes by the week it is sown: data only."""

from collections.abc import Sequence
from dataclasses import dataclass

from scheduler.farm.crops import Crop
from scheduler.farm.farm import Farm
from scheduler.farm.growth.climate import HalfMonth
from scheduler.farm.growth.course import Homes, course_of, homes_of
from scheduler.farm.growth.pace import half_month
from scheduler.plan.views.fullest import week_spans


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceWeek:
    """Growth of one shelf or trough in one week, Monday to Sunday, cut off at the ends of the plan.

    Attributes:
        first, last: its first and last day.
        pace: mean of its days in thousandths, rounded down.
        light: hundredths of mol/m2/d at the plants in the half month of its first day; None where not known.
        held_by: what holds the pace below 1 there: ``light``, ``water`` or, where the book gives the pace of
            that month itself or nothing holds it back, empty.
    """

    first: int
    last: int
    pace: int
    light: int | None
    held_by: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PlaceCurve:
    """All weeks of one shelf or trough."""

    place: str
    weeks: tuple[PlaceWeek, ...]

    @property
    def is_flat(self) -> bool:
        """Say whether the pace never changes."""
        return len({week.pace for week in self.weeks}) <= 1


@dataclass(frozen=True, slots=True, kw_only=True)
class SowingWeek:
    """How long a crop takes that is sown on the first day of one week.

    Attributes:
        first: that day.
        fastest, slowest: days from sowing to the first day it can be cut, by way of the fastest and the
            slowest places it may stand in, without a wait and whatever the work days are.
        may_sow: whether the crop may be sown on some day of the week, work days aside.
    """

    first: int
    fastest: int
    slowest: int
    may_sow: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class CropCurve:
    """All weeks of one crop; none for a crop that has no place for one of its stages."""

    crop: str
    weeks: tuple[SowingWeek, ...]

    @property
    def extremes(self) -> tuple[SowingWeek, SowingWeek] | None:
        """Of the weeks in which it may be sown, those with the fewest and with the most days.

        The earliest of equals; None without any.
        """
        weeks = self.sowable
        if not weeks:
            return None
        return min(weeks, key=lambda week: week.fastest), max(weeks, key=lambda week: week.slowest)

    @property
    def sowable(self) -> tuple[SowingWeek, ...]:
        """The weeks in which it may be sown."""
        return tuple(week for week in self.weeks if week.may_sow)


def place_curves(farm: Farm) -> tuple[PlaceCurve, ...]:
    """Return the pace of every shelf and trough by week of the plan, in the order of the book."""
    homes = dict.fromkeys(place.belongs_to for place in farm.places)
    spans = week_spans(farm)
    return tuple(PlaceCurve(place=home, weeks=_place_weeks(farm, home, spans)) for home in homes)


def crop_curves(farm: Farm) -> tuple[CropCurve, ...]:
    """Return the days of every crop by week of sowing, in the order of the book."""
    spans = week_spans(farm)
    return tuple(
        CropCurve(crop=crop.name, weeks=_crop_weeks(farm, crop, homes_of(farm.places, crop), spans))
        for crop in farm.crops.values()
    )


def _place_weeks(farm: Farm, home: str, spans: Sequence[tuple[int, int]]) -> tuple[PlaceWeek, ...]:
    weeks = []
    for first, last in spans:
        worked_out = _half_of(farm, home, first)
        pace = farm.pace.grown(home, first, last + 1) // (last + 1 - first)
        counts = worked_out is not None and not farm.pace.is_given(home, first)
        weeks.append(
            PlaceWeek(
                first=first,
                last=last,
                pace=pace,
                light=worked_out.light if worked_out else None,
                held_by=worked_out.held_by if worked_out and counts else "",
            )
        )
    return tuple(weeks)


def _half_of(farm: Farm, home: str, day: int) -> HalfMonth | None:
    halves = farm.climate.halves.get(home)
    return halves[half_month(farm.date_of(day))] if halves else None


def _crop_weeks(
    farm: Farm, crop: Crop, homes: Homes, spans: Sequence[tuple[int, int]]
) -> tuple[SowingWeek, ...]:
    weeks = []
    for first, last in spans:
        course = course_of(crop, homes, farm.pace, first)
        if course is not None:
            weeks.append(
                SowingWeek(
                    first=first,
                    fastest=course.earliest - first,
                    slowest=course.latest - first,
                    may_sow=any(crop.may_sow(day) for day in range(first, last + 1)),
                )
            )
    return tuple(weeks)
