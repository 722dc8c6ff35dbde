"""Beds in a steady week: so many plants are set in every week, and as many are pulled out.

Plants of many ages then stand beside each other, and what they give together is the same every week. So a
position carries what one plant gives in all its weeks, over the days it is taken, clean-up included.
"""

from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from scheduler.farm import work
from scheduler.farm.calendar import WEEK, Calendar, Work
from scheduler.farm.crops import Crop
from scheduler.farm.growth.picking import Picking, picks_of
from scheduler.farm.places import PlaceKind, Steps
from scheduler.farm.units import MILLI, WHOLE_SHARE
from scheduler.model.options.bed_pools import BedPool, bed_pools
from scheduler.model.options.frame import Frame

EVER = -10_000
"""A day before any that is asked for: from it on holds what never changes."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Stay:
    """One way of standing in a bed, counted for one plant.

    Attributes:
        pool: name of the positions.
        days: days of a position, clean-up included.
        heads: pieces or grams in all.
        minutes: hundredths of a minute of setting in, picking and clearing.
    """

    pool: str
    days: int
    heads: Fraction
    minutes: int


def always(number: int) -> Steps:
    """Return a number that never changes."""
    return Steps(((EVER, number),))


def with_steady_beds(frame: Frame) -> Frame:
    """Return a frame whose beds always have their usual positions, picked on the same days of every week."""
    farm = frame.farm
    places = tuple(
        replace(place, slots=always(frame.usual(place.slots, frame.start)))
        if place.kind is PlaceKind.BED
        else place
        for place in farm.places
    )
    crops = {name: _steadily_picked(frame, crop) for name, crop in farm.crops.items()}
    return replace(frame, farm=replace(farm, places=places, crops=crops))


def _steadily_picked(frame: Frame, crop: Crop) -> Crop:
    picking = crop.picking
    if picking is None:
        return crop
    weekdays = _weekdays(frame.farm.calendar, picking, (frame.farm.today, frame.farm.calendar.days))
    days = tuple(
        day
        for day in range(frame.start, frame.end + WEEK * (len(picking.curve) + 1))
        if frame.farm.calendar.weekday(day) in weekdays
    )
    return replace(crop, picking=replace(picking, days=days))


def _weekdays(calendar: Calendar, picking: Picking, span: tuple[int, int]) -> frozenset[int]:
    """Return the weekdays on which a crop is mostly picked."""
    by_week: dict[int, set[int]] = {}
    for day in picking.days_within(*span):
        by_week.setdefault(calendar.week_start(day), set()).add(calendar.weekday(day))
    usual = Counter(frozenset(days) for days in by_week.values())
    return max(usual, key=lambda days: (usual[days], len(days), sorted(days)), default=frozenset())


def positions_of(pool: BedPool) -> str:
    """Return the beds of a pool in words."""
    return ", ".join(dict.fromkeys(section.bed.name for section in pool.sections))


def stays_of(frame: Frame, crop: Crop) -> Iterator[Stay]:
    """Yield for each pool the shortest stay in it: to the end of the picking weeks, as plants always stay."""
    picking = crop.picking
    if picking is None:
        return
    farm, whole = frame.farm, sum(picking.curve)
    for pool in bed_pools(farm, frame.start):
        if crop.name not in pool.crops or not pool.positions:
            continue
        found = []
        for day in range(frame.start, frame.start + max(frame.period, WEEK)):
            picks = picks_of(picking, farm.pace, pool.pace_of, day, crop.finish.days)
            if picks and farm.calendar.weekday(day) in farm.calendar.work_days[Work.RAFT]:
                found.append((picks[-1].day - day + pool.clean_days, len(picks)))
        if not found:
            continue
        minutes = (
            work.set_in_bed_per_plant(crop)
            + min(number for _, number in found) * work.pick_per_plant(crop)
            + work.clear_per_plant(crop)
        )
        yield Stay(
            pool=pool.name,
            days=max(1, min(days for days, _ in found)),
            heads=Fraction(whole * crop.heads_share, MILLI * WHOLE_SHARE),
            minutes=minutes,
        )
