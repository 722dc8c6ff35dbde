"""The most of a mix that a steady week of whole trays, boards and rafts carries."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from math import ceil, floor

from ortools.sat.python.cp_model import IntVar

from scheduler.farm.units import MILLI, ceil_div
from scheduler.model.build import Built, build, list_options
from scheduler.model.capacity.week import SteadyWeek
from scheduler.model.first.start import nothing
from scheduler.model.options.pools import bundles_of
from scheduler.model.sizes import SMALL_BOOK, steps_of
from scheduler.model.solver.engine import Engine

CLIMB = 0.7
"""Share of the time for climbing step by step; the rest goes on from there, and proves what it can."""

STEPS = 12
"""Steps of the climb from nothing to the linear bound."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Whole:
    """The steady week found.

    Attributes:
        times: times the mix, thousandths.
        most: times that no steady week exceeds, as far as proven, thousandths; None where only some ways
            of raising a crop were looked at.
        units: product -> units in all days of the week.
    """

    times: int
    most: int | None
    units: Mapping[str, int]


def whole_week(engine: Engine, week: SteadyWeek, bound: float, seconds: float) -> Whole | None:
    """Find the most of a mix with whole units; None when nothing was found in time.

    ``bound`` is the times that the linear bound allows. Every wish gets its amount times the same number,
    rounded up to whole units.
    """
    most = floor(bound * MILLI + 1e-6)
    if most <= 0:
        return Whole(times=0, most=0, units=dict.fromkeys(week.amounts, 0))
    search = _Climb(engine, week, most)
    values = search.climbed(engine.spent + seconds * CLIMB)
    search.built.model.maximize(search.times)
    answer = engine.run(search.built.model, max(seconds * (1 - CLIMB), engine.left), values)
    if answer.values is not None:
        values = answer.values
    elif not values[search.times.index]:
        return None
    return Whole(
        times=values[search.times.index],
        most=floor(answer.bound + 1e-6) if search.every and answer.values is not None else None,
        units=search.units(values),
    )


class _Climb:
    """The model of the week, and a climb in it: what carries some of the mix is where the next step begins.

    Asked for the most at once, a search learns nothing from a mix that is carried but for one product. Asked
    for a given amount, it sees how much is missing.
    """

    def __init__(self, engine: Engine, week: SteadyWeek, most: int) -> None:
        self._engine, self._week, self._most = engine, week, most
        asked = week.frame.wishes
        wishes = tuple(replace(wish, amount=max(1, ceil(wish.amount * most / MILLI))) for wish in asked)
        frame = replace(week.frame, wishes=wishes)
        bundles = bundles_of(frame.farm)
        self.every = steps_of(list_options(frame), bundles) <= SMALL_BOOK
        self.built: Built = build(frame if self.every else replace(frame, sources=1), bundles)
        self.times = self.built.model.new_int_var(0, most, "times")
        # (asked for in the mix, in the model, what is short of that)
        self._wishes: list[tuple[int, int, IntVar]] = [
            (asked[index].amount, wishes[index].amount, short)
            for index, short in self.built.chosen.short.items()
        ]
        for amount, there, short in self._wishes:
            self.built.model.add(MILLI * (there - short) >= amount * self.times)

    def climbed(self, until: float) -> list[int]:
        """Return the best answer of a climb that ends when so much of the engine's time is spent.

        A step that is not reached in its time is tried again from what it did reach, for longer.
        """
        values, step, seconds = nothing(self.built), 1, (until - self._engine.spent) / STEPS
        while step <= STEPS and self._engine.spent < until and not self._engine.stopped:
            target = max(1, self._most * step // STEPS)
            values, proven = self._step(values, target, min(seconds, until - self._engine.spent))
            reached = values[self.times.index]
            if reached < target:
                if proven:
                    break
                seconds *= 1.5
            while step <= STEPS and self._most * step // STEPS <= reached:
                step += 1
        return values

    def _step(self, values: Sequence[int], target: int, seconds: float) -> tuple[list[int], bool]:
        """Return an answer that lacks little of ``target`` thousandths, and whether none lacks less."""
        model = self.built.model.clone()
        missing, hint = [], list(values)
        for number, (amount, there, short) in enumerate(self._wishes):
            need = ceil_div(amount * target, MILLI)
            lacks = model.new_int_var(0, need, f"lacks{number}")
            model.add(lacks >= need - there + short)
            missing.append(max(1, MILLI // amount) * lacks)
            hint.append(max(0, need - there + values[short.index]))
        model.minimize(sum(missing))
        answer = self._engine.run(model, seconds, hint)
        if answer.values is None:
            return list(values), False
        found = answer.values[: len(values)]
        parts = ((there - found[short.index]) * MILLI // amount for amount, there, short in self._wishes)
        found[self.times.index] = min(self._most, *parts)
        return found, answer.proven

    def units(self, values: Sequence[int]) -> dict[str, int]:
        """Return product -> units in all days of the week."""
        units: dict[str, int] = dict.fromkeys(self._week.amounts, 0)
        for wish, (_, there, short) in zip(self._week.frame.wishes, self._wishes, strict=True):
            units[wish.product] += there - values[short.index]
        return units
