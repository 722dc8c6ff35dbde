"""Whether a new standing order can be taken: plain results, for outputs to put in words.

Days are whole numbers from the plan's first day, money is in whole hundredths.
"""

from dataclasses import dataclass

from scheduler.plan.relief import Less
from scheduler.plan.rows import Plan


@dataclass(frozen=True, slots=True, kw_only=True)
class Taken:
    """The order taken from a day on, with the plan that proves it.

    Attributes:
        first: day of its first delivery.
        deliveries: number of its reported deliveries, all of which are filled.
        earns: what they bring.
        cost: how much more the whole plan costs, None where the book has no prices of cost.
        less: other deliveries that get less for it.
        plan: the plan.
    """

    first: int
    deliveries: int
    earns: int
    cost: int | None
    less: tuple[Less, ...]
    plan: Plan


@dataclass(frozen=True, slots=True, kw_only=True)
class Greatest:
    """The greatest amount of each delivery that can be taken from the day asked for on.

    Attributes:
        amount: the greatest that a plan was found for; 0 where none was.
        beyond: the least that no plan was found for; None where time ran out before.
        proven: no plan of ``beyond`` exists among those the planner looks at.
    """

    amount: int
    beyond: int | None
    proven: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Offered:
    """The answer to an offer.

    Attributes:
        asked: first day it was asked for, of those a sowing can reach.
        days: days of its deliveries from then on, as far as they are reported.
        early: number of deliveries asked for that are too early for any sowing.
        taken: the order taken so that nothing else gets less; None where no day was found from which it can.
        displacing: the order taken as asked, at the expense of others; None where that was not needed or no
            way was found.
        greatest: the greatest amount, None where it was not looked for.
        tried: False where the time ran out before anything was tried.
        ended: False where it ran out before it was known from when, or at whose expense.
    """

    asked: int
    days: tuple[int, ...]
    early: int
    taken: Taken | None
    displacing: Taken | None
    greatest: Greatest | None
    tried: bool = True
    ended: bool = True

    @property
    def fits(self) -> bool:
        """Whether it can be taken as asked, with nothing else less."""
        return self.taken is not None and self.taken.first == self.asked
