"""The first plan: a steady cycle, found in seconds, laid over the whole season week after week."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

from ortools.sat.python.cp_model import CpModel

from scheduler.farm.calendar import WEEK
from scheduler.model.build import Built, build
from scheduler.model.first.box_cycle import steady_frame
from scheduler.model.first.convoys import stand_ins
from scheduler.model.goals import steady_blend
from scheduler.model.options.frame import Frame
from scheduler.model.options.pools import Bundle
from scheduler.model.search.part import Parts
from scheduler.model.solver.engine import Engine
from scheduler.model.variables.box_picks import set_marks
from scheduler.model.variables.decisions import Homes, Pulse, no_pulse

CYCLE_GAP = 200.0
"""Points of the blended goal within which a steady week is good enough to start from."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SteadyWeek:
    """The models of a steady week: with every row in order, and as if rafts could be lifted out."""

    strict: Built
    loose: Built

    def copied(self) -> "SteadyWeek":
        """Return models of its own for one of several searches side by side: a search changes the hints."""
        return SteadyWeek(strict=copied(self.strict), loose=copied(self.loose))

    def solve(self, engine: Engine, seconds: float) -> list[int] | None:
        """Solve the week: amounts first as if rafts could be lifted out, then with every row in order.

        None where there was no time for any answer.
        """
        loose, strict = self.loose, self.strict
        amounts = engine.run(loose.model, seconds * 0.3, nothing(loose), gap=CYCLE_GAP)
        hint = nothing(strict)
        if amounts.values is not None:
            bounded = limited(strict, _raft_limits(loose, amounts.values, strict))
            found = engine.run(bounded, seconds * 0.3, hint, gap=CYCLE_GAP)
            hint = found.values or hint
        return engine.run(strict.model, seconds * 0.4, hint, gap=CYCLE_GAP).values


def copied(built: Built) -> Built:
    """Return a model with the same decisions that another search may run."""
    return replace(built, model=built.model.clone())


def steady_week(season: Frame, bundles: tuple[Bundle, ...], pulse: Pulse = no_pulse) -> SteadyWeek:
    """Write the models of a steady week; ``pulse`` is called meanwhile, and may raise to end it."""
    frame = steady_frame(season, WEEK)
    rules = replace(frame.farm.rules, lift_out=True, lift_minutes=0)
    loose = build(replace(frame, farm=replace(frame.farm, rules=rules)), bundles, pulse=pulse)
    strict = build(frame, bundles, pulse=pulse)
    for built in (loose, strict):
        built.model.minimize(steady_blend(built.chosen))
    return SteadyWeek(strict=strict, loose=loose)


def homes_of(built: Built, values: Sequence[int], season: Frame, bundles: tuple[Bundle, ...]) -> Homes:
    """Return the bundles each crop keeps to in a season that is begun from a cycle."""
    homes: dict[str, set[str]] = defaultdict(set)
    for queue, days in built.chosen.queues.items():
        if any(values[rafts.index] for rafts in days.values()):
            homes[queue.raft_class.crop].add(queue.bundle)
    return _beside_closed_rows(all_homes(season, homes), bundles)


def _beside_closed_rows(homes: Homes, bundles: tuple[Bundle, ...]) -> Homes:
    """Let crops stand anywhere whose own bundles all lose rows or slots for a time."""
    whole = {bundle.name for bundle in bundles if not _loses_slots(bundle)}
    every = frozenset(bundle.name for bundle in bundles)
    return {crop: names if names & whole else every for crop, names in homes.items()}


def _loses_slots(bundle: Bundle) -> bool:
    days = {0, *(day for place in bundle.places for day in place.slots.changes())}
    counts = [bundle.slots_on(day) for day in sorted(days)]
    return any(after < before for before, after in pairwise(counts))


def all_homes(season: Frame, homes: dict[str, set[str]]) -> Homes:
    """Give a crop that the cycle did not grow the bundles of the crop nearest in days on the raft.

    A crop that may stand in for one of the cycle (another variety of the season) keeps to that one's bundles.
    """
    crops = season.farm.crops
    found = {crop: frozenset(names) for crop, names in homes.items()}
    for name, crop in crops.items():
        if name in found:
            continue
        alike = [other for other in homes if name in stand_ins(season.farm, other)]
        alike = alike or [other for other in homes if crops[other].lanes == crop.lanes]
        if alike:
            nearest = min(alike, key=lambda other: (abs(crops[other].finish.days - crop.finish.days), other))
            found[name] = frozenset(homes[nearest])
    return found


def nothing(built: Built) -> list[int]:
    """Return the answer that sows nothing and throws away what grows: poor, and nearly always allowed."""
    chosen = built.chosen
    values = [0] * len(built.model.proto.variables)
    for index, short in chosen.short.items():
        values[short.index] = chosen.frame.wishes[index].amount
    for cleared in chosen.cleared.values():
        values[cleared.index] = 1
    first = chosen.frame.start
    for option, thrown in chosen.thrown.items():
        row = chosen.farm.growing[option.growing]
        values[thrown.index] = values[chosen.raft_plants[option].index] = row.plants
    for index, emptied in chosen.emptied.items():
        values[emptied.index] = chosen.farm.growing[index].units
    for group, kind in chosen.class_of.items():
        if kind.growing >= 0:
            values[chosen.rafts[group, first].index] = chosen.farm.growing[kind.growing].units
    for queue, days in chosen.queues.items():
        if queue.raft_class.growing >= 0:
            values[days[first].index] = chosen.farm.growing[queue.raft_class.growing].units
    set_marks(chosen, values)
    return values


def _raft_limits(loose: Built, values: Sequence[int], strict: Built) -> dict[int, int]:
    """Limit the plants of each option of one model to the amounts of the same option in another."""
    pairs = zip(loose.chosen.raft_plants.values(), strict.chosen.raft_plants.values(), strict=True)
    return {other.index: values[one.index] for one, other in pairs}


def limited(built: Built, limits: dict[int, int]) -> CpModel:
    """Return a copy of a model in which some variables may not exceed a limit."""
    model = built.model.clone()
    variables = model.proto.variables
    for index, most in limits.items():
        domain = variables[index].domain
        domain[1] = min(domain[1], most)
    return model


def idle(engine: Engine, built: Built, parts: Parts, seconds: float) -> list[int] | None:
    """Return an answer that sows nothing new; None when there was no time to find one."""
    values = nothing(built)
    if parts.holds(values):
        return values
    limits = {rows.index: 0 for out, rows in built.chosen.tray_rows.items() if out.growing < 0}
    return engine.run(limited(built, limits), seconds).values
