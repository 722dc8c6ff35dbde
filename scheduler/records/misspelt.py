"""Which tasks of a plan may be meant by a name that none of them has."""

from collections.abc import Iterable
from datetime import date

from scheduler.book.names import meant, meant_of_several

MOST_ALIKE = 3
"""Tasks that are offered at most for a misspelt one."""


def task_meant(key: str, known: Iterable[str]) -> str:
    """Return what to say after ``expected`` of a task: that of its lot or order, else a near one.

    Of many that differ in their day, such as deliveries of an order, those nearest to the day are offered.
    """
    every = list(known)
    work, name, day = (*key.casefold().split(), "", "", "")[:3]
    words = [(each, each.casefold().split()) for each in every]
    own = [each for each, (_, *rest) in words if name and rest[:1] == [name]]
    alike = sorted(
        (each for each in own if each.casefold().split()[0] == work), key=lambda each: _off(each, day)
    )
    if alike:
        return meant_of_several(alike[:MOST_ALIKE])
    code = name.partition("-")[0]
    kin = [each for each, (_, *rest) in words if code and rest and rest[0].partition("-")[0] == code]
    return meant(key, own or kin or every, most=MOST_ALIKE)


def _off(key: str, day: str) -> int:
    """Return how many days the last word of a task is off a day, 0 where one of them is no day."""
    try:
        return abs((date.fromisoformat(key.split()[-1]) - date.fromisoformat(day)).days)
    except ValueError:
        return 0
