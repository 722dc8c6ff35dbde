"""Steady weeks of small farms, and how much of their mix is carried."""

from typing import Any

from farms import delivery, make_farm
from solving import quick_crop

from scheduler.farm.farm import Farm
from scheduler.model.capacity.bound import Bound
from scheduler.model.capacity.limit import Depth, limit_of
from scheduler.model.capacity.week import SteadyWeek, steady_week
from scheduler.model.settings import SolveSettings
from scheduler.plan.capacity import Limit, Room, RoomKind

EFFORT = SolveSettings(seconds=0.1, deterministic=True)


def small(**needs: Any) -> Farm:
    """Return a farm of quick lettuce that stands 4 days on rafts of 6, on one row of 8 unless given."""
    given = {"crops": [quick_crop()], "lane_slots": 8, "tier_slots": 20, **needs}
    return make_farm(**given)


def week_of(farm: Farm, amount: int = 21, **asked: Any) -> SteadyWeek:
    """Return the steady week in which so many lettuces are wanted, on any days."""
    return steady_week(farm, asked.pop("mix", {"Lettuce": amount}), **asked)


def linear(farm: Farm, amount: int = 21, **asked: Any) -> float:
    """Return lettuces a week at the linear bound."""
    week = week_of(farm, amount, **asked)
    return Bound(week).solve().times * sum(week.amounts.values()) / week.weeks


def limit(farm: Farm, amount: int = 21, **asked: Any) -> Limit:
    """Return the limit of a steady week, with whole units, in the solver's own time."""
    return limit_of(week_of(farm, amount, **asked), EFFORT, Depth(season=False))


def daily(farm_days: int, amount: int) -> list[Any]:
    """Return one delivery of lettuce for each day."""
    days = range(farm_days)
    return [delivery("Lettuce", day, amount, name=f"R {day:03}", max_age=0) for day in days]


def room(found: Limit, kind: RoomKind) -> Room:
    """Return the only room of a kind."""
    (one,) = [each for each in found.rooms if each.kind is kind]
    return one
