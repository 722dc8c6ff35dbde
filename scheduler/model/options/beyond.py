"""Wishes that do not count as short: those that nothing can reach, and those that no plan reports."""

from scheduler.farm.orders.goods import reach_of
from scheduler.farm.orders.reach import earliest_reach, has_harvest_day
from scheduler.model.options.frame import Frame


def beyond_reach(frame: Frame) -> set[int]:
    """Return the wishes that no sowing from today on can reach."""
    farm = frame.farm
    reach = earliest_reach(farm)
    fresh = {demand.name for demand in farm.demands if has_harvest_day(farm, demand)}
    return {
        index
        for index, wish in enumerate(frame.wishes)
        if wish.name not in fresh or wish.first < (reach_of(wish, reach) or frame.end + 1)
    }


def not_reported(frame: Frame) -> set[int]:
    """Return the wishes past the last reported day, and the days of outlets."""
    reported = {demand.name for demand in frame.farm.demands if demand.reported}
    return {index for index, wish in enumerate(frame.wishes) if wish.name not in reported}
