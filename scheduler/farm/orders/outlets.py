"""Outlets: markets and stalls that take up to so much a week, at a price that falls with the amount."""

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """Units a week that are taken at a price, hundredths of money for one, on top of the steps before."""

    amount: int
    price: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Stall:
    """One day of an outlet: a name of its own, and its day number."""

    name: str
    day: int


@dataclass(frozen=True, slots=True, kw_only=True)
class OutletWeek:
    """What an outlet takes of a product in one week, Monday to Sunday.

    Attributes:
        outlet, product: names.
        stalls: its days in that week, in order.
        steps: what it takes at which price, the best price first.
        max_age: greatest days from cutting to selling.
    """

    outlet: str
    product: str
    stalls: tuple[Stall, ...]
    steps: tuple[Step, ...]
    max_age: int

    @property
    def most(self) -> int:
        """Units it takes in the whole week."""
        return sum(step.amount for step in self.steps)

    def takings(self, units: int) -> int:
        """Return what so many units of the week bring in all, hundredths of money."""
        total = 0
        for step in self.steps:
            here = min(units, step.amount)
            total += here * step.price
            units -= here
        return total


def stalls_of(weeks: Iterable[OutletWeek]) -> dict[tuple[str, str, int], tuple[OutletWeek, Stall]]:
    """Return (outlet, product, day) -> its week and its stall."""
    return {(week.outlet, week.product, stall.day): (week, stall) for week in weeks for stall in week.stalls}
