"""Boxes of a cycle: those of each of its weeks, which come again and again and so follow upon themselves.

A week that repeats would give the same products every time, which rules over several boxes forbid. Where
there are such rules a cycle has two weeks, and what one of them brings the other leaves out.
"""

from collections import defaultdict
from dataclasses import dataclass, replace

from scheduler.farm.calendar import WEEK
from scheduler.farm.farm import Farm
from scheduler.farm.orders.boxes import Box, BoxDay, Boxes, BoxPlace, Stretch
from scheduler.model.first.cycle import pattern_frame
from scheduler.model.options.frame import Frame, Wish


@dataclass(frozen=True, slots=True, kw_only=True)
class CycleBoxes(Boxes):
    """The boxes of a cycle, of which the first follows upon the last."""

    def stretches(self, share: str, length: int, *, whole: bool = False) -> list[Stretch]:
        """Return so many boxes one after another, from each box of the cycle on, round and round.

        None for a share that has a single box in the cycle: it says nothing of boxes one after another.
        """
        own = self.of_share(share)
        if len(own) < 2:
            return []
        return [
            Stretch(past=(), boxes=tuple(own[(start + each) % len(own)] for each in range(length)))
            for start in range(len(own))
        ]


def takes_turns(farm: Farm) -> bool:
    """Say whether rules over several boxes keep some share from holding the same every week."""
    boxes = farm.boxes
    return any(boxes.limits(name) or share.least_kinds for name, share in boxes.shares.items())


def steady_frame(season: Frame, period: int) -> Frame:
    """Return the frame of a cycle that is a pattern for the season, with boxes where they can be steady.

    In a single week of shares that take turns they cannot: there a place takes any of its category.
    """
    frame = pattern_frame(season, period)
    if not season.farm.boxes or (period == WEEK and takes_turns(season.farm)):
        return frame
    return replace(frame, farm=replace(frame.farm, boxes=_boxes(season.farm.boxes, frame)))


def _boxes(season: Boxes, frame: Frame) -> CycleBoxes:
    """Return the boxes that the wishes of a cycle make up."""
    places = {_source(name): place for name, place in season.places.items()}
    found: dict[tuple[str, int], dict[int, BoxDay]] = defaultdict(dict)
    filled: dict[str, BoxPlace] = {}
    for wish in frame.wishes:
        place = places.get(_source(wish.name))
        if place is None:
            continue
        # Boxes are those of a week of the calendar; one that the cycle begins in goes on at its end.
        week = frame.farm.calendar.week_start(wish.first) - frame.farm.calendar.week_start(frame.start)
        number = week // WEEK % (frame.period // WEEK)
        filled[wish.name] = BoxPlace(share=place.share, number=number, slot=place.slot, day=wish.first)
        found[place.share, number][wish.first] = _usual_day(season, place, wish)
    return CycleBoxes(
        categories=season.categories,
        shares=season.shares,
        boxes=tuple(
            Box(share=share, number=number, days=tuple(days[day] for day in sorted(days)))
            for (share, number), days in sorted(found.items())
        ),
        places=filled,
    )


def _source(name: str) -> str:
    """Return the name of a wish without its day: that of all wishes of one place."""
    return name.rsplit(" ", 1)[0]


def _usual_day(season: Boxes, place: BoxPlace, wish: Wish) -> BoxDay:
    """Return the most boxes that go out on any day of a share: on the days of a cycle there are as many."""
    days = [day for box in season.of_share(place.share) for day in box.days]
    most = max(days, key=lambda each: (each.boxes + each.halves, each.boxes))
    return replace(most, day=wish.first)
