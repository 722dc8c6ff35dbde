"""Chores of the house on the days they are done, and what they leave of the crew's hours."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from scheduler.farm.places import Steps


@dataclass(frozen=True, slots=True, kw_only=True)
class ChoreDay:
    """One chore on one day.

    Attributes:
        chore: its name in the book.
        place: where it is done, in the grower's words; may be empty.
        who, note: in the grower's words; may be empty.
        due: the day its rule says; it may lie before the first day of the plan.
        day: the day it is done, which differs where nobody works on the day it is due.
        minutes: hundredths of a minute.
    """

    chore: str
    place: str
    who: str
    note: str
    due: int
    day: int
    minutes: int


def minutes_of_chores(chores: Iterable[ChoreDay]) -> dict[int, int]:
    """Return day -> hundredths of a minute of all chores on it."""
    minutes: dict[int, int] = defaultdict(int)
    for chore in chores:
        minutes[chore.day] += chore.minutes
    return dict(minutes)


def less_chores(crew: Steps, chores: Iterable[ChoreDay]) -> Steps:
    """Return what chores leave of the crew's hours, never less than nothing."""
    minutes = minutes_of_chores(chores)
    days = (*crew.changes(), *minutes, *(day + 1 for day in minutes))
    return Steps.of(lambda day: max(0, crew.on(day) - minutes.get(day, 0)), days)
