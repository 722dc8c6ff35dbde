"""Comparisons for tests: a farm beside others, each with a plan of its own."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from farms import delivery, make_farm
from solving import quick_crop, solved

from scheduler.farm.calendar import Work
from scheduler.farm.farm import Farm
from scheduler.plan.views.compared import Case, Comparison, compared

FARM: Mapping[str, Any] = {
    "days": 42,
    "crops": [quick_crop()],
    "work_days": dict.fromkeys((Work.SOW, Work.TRANSPLANT, Work.RAFT), (0, 3)),
    "lane_slots": 2,
    "demands": [delivery("Lettuce", day, 18, name=f"D{day:02}") for day in (10, 17, 24, 31, 38)],
    "costs": {"raft": 20, "hour": 1600},
}
"""A row of two rafts of six plants: eighteen heads a week are more than it carries."""


SECONDS = 0.3
"""The solver's own time for each plan: these farms need less, and more would only prove it."""


def farm(**needs: Any) -> Farm:
    """Return the small farm with some needs changed."""
    return replace(make_farm(**{**FARM, **needs}), raft_areas={})


def case(name: str, of: Farm, **others: Any) -> Case:
    """Return a farm with its own plan as a case."""
    usual = {"start": 0, "cost": 0, "cost_per_week": 0, "found_on": name, "changed": name != "as it is"}
    return Case(name=name, farm=of, plan=solved(of, SECONDS), **(usual | others))


def comparison() -> Comparison:
    """Return the small farm beside one with a row more from day 14 on, for a price."""
    more = farm(lanes=2)
    opens = replace(more.places[-1], slots=replace(more.places[-1].slots, steps=((14, 2),)))
    wider = replace(more, places=(*more.places[:-1], opens))
    return compared(
        [case("as it is", farm()), case("a row more", wider, start=14, cost=2000, cost_per_week=70)]
    )
