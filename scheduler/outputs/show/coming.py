"""What happens in a place in the days to come, day by day, as pages of places and of beds tell it."""

from collections.abc import Callable, Iterator, Sequence
from typing import Protocol, TypeVar

from scheduler.farm.farm import Farm
from scheduler.outputs.show.page import Part, day_of, left_out, row, table, titled
from scheduler.outputs.words import day_in_text
from scheduler.plan.words import worth_listing

EVENTS = 14


class OnDay(Protocol):
    """Something that happens on a day."""

    @property
    def day(self) -> int:
        """The day."""


Event = TypeVar("Event", bound=OnDay)


def coming_parts(
    farm: Farm, last: int, found: Sequence[Event], said: Callable[[Event], Sequence[str]]
) -> Iterator[Part]:
    """Yield what is ``found`` to happen through the day ``last``; ``said`` gives what, and the rest."""
    until = f"through {day_in_text(farm, last)}"
    yield titled(f"What happens {until}" if found else f"Nothing happens there {until}.")
    lines = table("day", "what", "rest")
    shown = worth_listing(len(found), EVENTS)
    before = -1
    for each in found[:shown]:
        row(lines, day_of(farm, each.day) if each.day != before else "", *said(each))
        before = each.day
    yield lines
    if len(found) > shown:
        yield left_out(len(found) - shown, "tables/tasks.csv")
