"""The most of a mix that a steady week of whole trays, boards and rafts carries."""

from collections.abc import Mapping
from dataclasses import dataclass, replace
from math import ceil, floor

from scheduler.farm.units import MILLI
from scheduler.model.build import build, list_options
from scheduler.model.capacity.week import SteadyWeek
from scheduler.model.engine import Engine
from scheduler.model.frame import Frame
from scheduler.model.pools import bundles_of
from scheduler.model.start import nothing

SMALL = 1_500
"""Up to this many possible cuts, times bundles of rows, every way of raising a crop is looked at."""


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
    wishes = tuple(
        replace(wish, amount=max(1, ceil(wish.amount * most / MILLI))) for wish in week.frame.wishes
    )
    frame = replace(week.frame, wishes=wishes)
    bundles = bundles_of(frame.farm)
    every = _is_small(frame, len(bundles))
    if not every:
        frame = replace(frame, sources=1)
    built = build(frame, bundles)
    times = built.model.new_int_var(0, most, "times")
    for index, short in built.chosen.short.items():
        asked = week.frame.wishes[index].amount
        built.model.add(MILLI * (wishes[index].amount - short) >= asked * times)
    built.model.maximize(times)
    answer = engine.run(built.model, seconds, nothing(built))
    if answer.values is None:
        return None
    units: dict[str, int] = {}
    for index, short in built.chosen.short.items():
        product = wishes[index].product
        units[product] = units.get(product, 0) + wishes[index].amount - answer.values[short.index]
    found = answer.values[times.index]
    return Whole(
        times=found,
        most=floor(answer.bound + 1e-6) if every else None,
        units=units,
    )


def _is_small(frame: Frame, bundles: int) -> bool:
    return sum(len(option.cuttings) for option in list_options(frame).raft_sets) * bundles <= SMALL
