"""A search that begins from a plan: of the same farm, or of one with less of something.

A larger farm can do all a smaller one does. Its search need not find that again; it begins there, and lets
crops stand in the rows they have and in those that are still empty.
"""

import threading
from collections import defaultdict
from contextlib import suppress
from dataclasses import replace

from scheduler.farm.farm import Farm
from scheduler.farm.places import PlaceKind
from scheduler.model.answers.solution import decided
from scheduler.model.build import list_options
from scheduler.model.first.line_up import has_many_rows, lined_up_as
from scheduler.model.options.beyond import beyond_reach
from scheduler.model.options.frame import Frame, season
from scheduler.model.options.options import Options
from scheduler.model.options.pools import Bundle, bundles_of
from scheduler.model.search.every_way import cut_again_in
from scheduler.model.search.incumbent import Incumbent
from scheduler.model.search.manners import filling_until
from scheduler.model.search.repair import Repair
from scheduler.model.search.taken_over import taken_over
from scheduler.model.settings import SolveSettings, Tell, silent
from scheduler.model.sizes import LARGEST_TAKEN_UP, SMALL_BOOK, steps_of
from scheduler.model.solver.engine import Engine, Stopped
from scheduler.model.variables.decisions import Homes
from scheduler.plan.exact import EDITION, KEY
from scheduler.plan.layout import lay_out
from scheduler.plan.rows import Plan
from scheduler.plan.tally import first_positions


def plan_from(
    farm: Farm,
    plan: Plan,
    settings: SolveSettings,
    tell: Tell = silent,
    stop: threading.Event | None = None,
) -> Plan | None:
    """Return a better plan than one that is sound on the farm; None when none was found in time.

    Also None where there is no memory for its rows, and where the plan holds what the planner would not
    look at on this farm: rows it bundles otherwise, or batches that wait longer than it lets them.

    Args:
        farm: the farm.
        plan: a plan the audit finds no fault in on this farm; its tasks and goals are not looked at.
        settings: effort.
        tell: called with what is searched after every step.
        stop: when set, the search ends soon with the best plan so far.
    """
    engine = Engine(settings, stop)
    try:
        best = _read(engine, farm, plan)
    except Stopped:
        return None
    if best is None:
        return None
    until = settings.seconds * 0.97
    repair = Repair(engine, best, tell, beyond_reach(best.built.chosen.frame))
    repair.one_by_one(filling_until(farm, until))
    repair.shortages(filling_until(farm, until))
    repair.thin_beds(until)
    repair.sell(until)
    repair.sweep(until)
    if not best.improved:
        return None
    with suppress(MemoryError):  # without memory for its rows the plan begun from is the one there is
        return lay_out(farm, decided(best.built.chosen, best.values), (), {**plan.made, KEY: EDITION})
    return None


def _read(engine: Engine, farm: Farm, plan: Plan) -> Incumbent | None:
    """Return the plan as an answer of a model of the farm; None where none holds it.

    Raises:
        Stopped: the time was up before a model was there.
    """
    frame, bundles = season(farm), _bundles(farm, plan)
    every = list_options(frame, engine.check)
    small = steps_of(every, bundles) <= SMALL_BOOK
    homes = None if small else homes_from(farm, plan, bundles)
    narrow, again = replace(frame, sources=1), cut_again_in(farm, plan)
    frames: list[tuple[Frame, Options | None]] = [(frame, every)]
    if not small:
        frames.insert(0, (narrow, None))
    if again:
        frames.append((replace(frame, in_every_way=again), None))
    for number, (wider, known) in enumerate(frames):
        options = list_options(wider, engine.check) if known is None else known
        if number and steps_of(options, bundles) > LARGEST_TAKEN_UP:
            break
        best = taken_over(engine, (wider, bundles, homes), plan, options)
        if best is not None:
            return best
    return None


def _bundles(farm: Farm, plan: Plan) -> tuple[Bundle, ...]:
    """Return the bundles of a farm; of many rows those in which the plan's crops can keep their order."""
    if not has_many_rows(farm):
        return bundles_of(farm)
    crop_of = {lot.lot: lot.crop for lot in plan.lots}
    first = first_positions(plan.positions)
    crops_in: dict[str, set[str]] = defaultdict(set)
    for row in plan.contents:
        position = first.get(row.unit)
        if position is not None:
            crops_in[position.place].add(crop_of[row.lot])
    return lined_up_as(farm, crops_in)


def homes_from(farm: Farm, plan: Plan, bundles: tuple[Bundle, ...]) -> Homes:
    """Let each crop stand where it stands in the plan, and in every bundle that has an empty row."""
    bundle_of = {place.name: bundle.name for bundle in bundles for place in bundle.places}
    crop_of = {lot.lot: lot.crop for lot in plan.lots}
    first = first_positions(plan.positions)
    used: dict[str, set[str]] = defaultdict(set)
    taken: set[str] = set()
    for row in plan.contents:
        position = first.get(row.unit)
        if position is not None and position.place in bundle_of:
            used[crop_of[row.lot]].add(bundle_of[position.place])
            taken.add(position.place)
    lanes = (lane.name for lane in farm.places_of(PlaceKind.LANE))
    empty = {bundle_of[lane] for lane in lanes if lane not in taken}
    every = frozenset(bundle.name for bundle in bundles)
    return {name: frozenset(used[name] | empty) if used[name] else every for name in farm.crops}
