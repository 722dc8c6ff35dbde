"""A plan replayed: how often each delivery is filled, and how many units are short."""

from collections.abc import Collection, Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from scheduler.farm.farm import Farm
from scheduler.plan.rows import Plan
from scheduler.stress.chances import Chances
from scheduler.stress.draws import Draws, Layout
from scheduler.stress.growth import Growth, Ripening, Steady
from scheduler.stress.journey import Journey, journey_of
from scheduler.stress.losses import Losses, needs, planned_heads
from scheduler.stress.serve import Order, Served, serving_order
from scheduler.stress.stays import Room, keep_late

BLOCK = 500
"""Runs that are served together; more would only take more memory."""

DRAWN = 100
"""Runs whose random numbers are held at once."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Tally:
    """What some runs came to; tallies of other runs can be added in any order.

    Attributes:
        runs: how many.
        filled: by demand, in the order of the farm: runs in which it got all it asks for.
        short: by demand: units missing in all runs together.
        whole: by order name: runs in which all its reported deliveries got what they ask for.
    """

    runs: int
    filled: tuple[int, ...]
    short: tuple[int, ...]
    whole: dict[str, int]


def total(tallies: Iterable[Tally]) -> Tally:
    """Add tallies of different runs of one plan.

    Raises:
        ValueError: there are none.
    """
    found = list(tallies)
    if not found:
        raise ValueError("no runs to add up")
    return Tally(
        runs=sum(each.runs for each in found),
        filled=tuple(map(sum, zip(*(each.filled for each in found), strict=True))),
        short=tuple(map(sum, zip(*(each.short for each in found), strict=True))),
        whole={name: sum(each.whole[name] for each in found) for name in found[0].whole},
    )


class Replay:
    """A plan ready to be replayed.

    Attributes:
        farm, chances, layout, steady: what every run needs.
        journey, orders: the plan as plants on their way, and its demands in the order they are served.
    """

    def __init__(
        self,
        farm: Farm,
        plan: Plan,
        chances: Chances,
        held_against: "Replay | None" = None,
        only: Collection[str] | None = None,
    ) -> None:
        """Read a sound plan.

        Args:
            farm: the farm.
            plan: its plan; sound, but its totals need not be there.
            chances: what is left to chance.
            held_against: the plan without extra sowing, whose luck it shares.
            only: crops that are looked at; the others and the demands they serve are left out. Late rafts
                of those left out then take no room, so a chance may differ by a hair.
        """
        self.farm, self.chances = farm, chances
        self.journey: Journey = journey_of(farm, plan, only)
        self.orders: tuple[Order, ...] = serving_order(self.journey, chances.early)
        base = None if held_against is None else held_against.layout
        self.layout: Layout = Layout(needs(self.journey), base)
        self.steady: Steady = Steady(farm) if held_against is None else held_against.steady
        self._room = Room(farm, plan)

    def tally(self, runs: range) -> Tally:
        """Replay some runs, by number."""
        return total(
            self._block(range(at, min(at + BLOCK, runs.stop))) for at in range(runs.start, runs.stop, BLOCK)
        )

    def _block(self, runs: range) -> Tally:
        heads, slow = [], []
        for at in range(runs.start, runs.stop, DRAWN):
            few = range(at, min(at + DRAWN, runs.stop))
            draws = Draws(self.chances.seed, few, self.layout, self.steady.owners_weeks)
            slow.append(draws.slow)
            if self.chances.losses:
                heads.append(Losses(self.journey, draws, len(few)).heads())
            else:
                heads.append(planned_heads(self.journey, len(few)))
        growth = Growth(self.steady, self.chances, np.concatenate(slow))
        ripening = Ripening(self.journey, growth, self.chances)
        last = keep_late(self.journey, ripening, self._room)
        served = Served(self.journey, self.orders, np.concatenate(heads), self.steady.open)
        return self._told(served.units(ripening.ready, last), len(runs))

    def _told(self, units: NDArray[np.int32], runs: int) -> Tally:
        amounts = np.array([demand.amount for demand in self.farm.demands], np.int64)
        missing = np.maximum(amounts[None, :] - units, 0)
        whole: dict[str, list[int]] = {}
        for at, demand in enumerate(self.farm.demands):
            if demand.reported:
                whole.setdefault(demand.order, []).append(at)
        return Tally(
            runs=runs,
            filled=tuple(int(number) for number in (missing == 0).sum(axis=0)),
            short=tuple(int(number) for number in missing.sum(axis=0)),
            whole={name: int((missing[:, of] == 0).all(axis=1).sum()) for name, of in whole.items()},
        )
