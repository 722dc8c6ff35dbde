"""The steady week a limit is asked for: its mix, its place in the year, and the farm as it stands then."""

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import dataclass, replace

from scheduler.farm.calendar import WEEK
from scheduler.farm.farm import Farm
from scheduler.model.capacity.beds import always, with_steady_beds
from scheduler.model.first.cycle import cycle_frame
from scheduler.model.options.frame import Frame, Wish, season


@dataclass(frozen=True, slots=True, kw_only=True)
class SteadyWeek:
    """One steady week, or several that repeat together.

    Attributes:
        frame: its days and what is asked for in them.
        weeks: how many weeks repeat together.
        left_out: products that nothing can be grown for then.
        whole: the farm with its beds as they are from day to day, for plans of the whole season.
    """

    frame: Frame
    weeks: int
    left_out: tuple[str, ...]
    whole: Farm

    @property
    def farm(self) -> Farm:
        """The farm."""
        return self.frame.farm

    @property
    def amounts(self) -> dict[str, int]:
        """Product -> units asked for in all its weeks."""
        found: dict[str, int] = defaultdict(int)
        for wish in self.frame.wishes:
            found[wish.product] += wish.amount
        return dict(found)


def steady_week(
    farm: Farm, mix: Mapping[str, int] | None = None, day: int | None = None, weeks: int = 1
) -> SteadyWeek:
    """Return the steady week of a farm.

    Substitutes do not count: what is asked is how much of the mix itself can be carried.

    Args:
        farm: the farm. Deliveries count as they can be filled in part.
        mix: product -> units a week, wanted on any harvest day; None for what the book's orders, single
            deliveries left aside, usually want, on their own days.
        day: the week it lies in, with the slots there are on that day; None for the middle of the season
            and the slots there usually are.
        weeks: how many weeks repeat together.

    Raises:
        ValueError: the mix is empty, or nothing in it can be grown then.
    """
    farm = replace(farm, rules=replace(farm.rules, all_or_nothing=False))
    if day is not None:
        farm = _as_on(farm, day)
    frame = cycle_frame(farm, season(farm), WEEK * weeks, beds=True)
    if mix is not None:
        frame = replace(frame, wishes=_wishes(mix, frame.start, weeks))
    if day is not None:
        frame = _moved(frame, (day - frame.start) // WEEK * WEEK)
    frame = with_steady_beds(frame)
    wanted = [replace(wish, substitutes=()) for wish in frame.wishes if wish.amount]
    left_out = sorted({wish.product for wish in wanted if not _can_grow(frame, wish.product)})
    kept = tuple(wish for wish in wanted if wish.product not in left_out)
    if not kept:
        raise ValueError("nothing is asked for that can be grown in that week")
    return SteadyWeek(frame=replace(frame, wishes=kept), weeks=weeks, left_out=tuple(left_out), whole=farm)


def _as_on(farm: Farm, day: int) -> Farm:
    """Return a farm that always has the slots of one day."""
    places = tuple(replace(place, slots=always(place.slots.on(day))) for place in farm.places)
    return replace(farm, places=places)


def _wishes(mix: Mapping[str, int], start: int, weeks: int) -> tuple[Wish, ...]:
    return tuple(
        Wish(
            name=f"{product} {week}",
            product=product,
            first=start + WEEK * week,
            last=start + WEEK * week + WEEK - 1,
            amount=amount,
            age=0,
            weight=1,
            level=1,
            is_target=True,
        )
        for product, amount in mix.items()
        for week in range(weeks)
    )


def _moved(frame: Frame, by: int) -> Frame:
    """Return a frame as many days later."""
    wishes = tuple(replace(wish, first=wish.first + by, last=wish.last + by) for wish in frame.wishes)
    return replace(frame, start=frame.start + by, end=frame.end + by, wishes=wishes)


def _can_grow(frame: Frame, product: str) -> bool:
    farm = frame.farm
    enough = all if farm.products[product].parts else any
    return enough(
        (crop.lanes or crop.picking or crop.is_cut_in_trays)
        and any(crop.may_sow(day) for day in range(frame.start, frame.start + frame.period))
        for crop in (farm.crops[name] for name in farm.products[product].sources)
    )
