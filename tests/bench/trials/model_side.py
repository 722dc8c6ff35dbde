"""What touches the planner's own model: the whole book as one model, and a plan as an answer of it."""

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import replace

from scheduler.farm.farm import Farm
from scheduler.farm.places import Place
from scheduler.model.answers.solution import decided
from scheduler.model.build import Built, build, list_options
from scheduler.model.goals import blend, shortage
from scheduler.model.options.frame import Frame, season
from scheduler.model.options.options import BoardOut, RaftSet, TrayOut
from scheduler.model.options.pools import bundles_of
from scheduler.model.solve import MOST_SOURCES, SMALL_BOOK
from scheduler.model.variables.decisions import Homes
from scheduler.plan.layout import lay_out
from scheduler.plan.rows import Plan

from .hand import Sheet
from .paper import Days
from .ways import Way, Ways


def frame_of(farm: Farm) -> Frame:
    """Return the season as the planner looks at it: a larger book with fewer ways through the nursery."""
    frame = season(farm)
    steps = sum(len(option.cuttings) for option in list_options(frame).raft_sets)
    if steps * len(bundles_of(farm)) <= SMALL_BOOK:
        return frame
    return replace(frame, sources=MOST_SOURCES)


def whole_model(farm: Farm, homes: Homes | None = None) -> Built:
    """Return the model of a whole season with the goal that leads the planner's search."""
    built = build(frame_of(farm), bundles_of(farm), homes)
    built.model.minimize(blend(built.chosen))
    return built


def plan_of(farm: Farm, built: Built, values: Sequence[int]) -> Plan:
    """Lay an answer out."""
    return lay_out(farm, decided(built.chosen, values), (), {})


def firm_weights(built: Built) -> dict[int, int]:
    """Return variable index -> weight of one unit short of firm demand."""
    return {variable.index: weight for weight, variable in shortage(built.chosen, 1).terms}


def planned_ways(farm: Farm) -> Ways:
    """Return the ways by hand that are in the planner's model as well."""
    cut_days: dict[Days, set[int]] = defaultdict(set)
    recuts: set[tuple[str, int, int]] = set()
    for option in list_options(frame_of(farm)).raft_sets:
        for step in option.cuttings:
            if step.after is None:
                cut_days[_days(option)].add(step.day)
            else:
                recuts.add((option.crop, step.after, step.day))

    def allowed(way: Way) -> Way | None:
        days = cut_days.get((way.crop, way.sown, way.board_day, way.raft_day), set())
        kept = tuple(day for day in way.cut_days if day in days)
        return replace(way, cut_days=kept) if kept else None

    return Ways(farm, allowed, lambda crop, after, day: (crop, after, day) in recuts)


def _days(option: RaftSet) -> Days:
    source = option.source
    if isinstance(source, BoardOut) and source.source is not None:
        return option.crop, source.source.sown, source.board_day, option.day
    if isinstance(source, TrayOut):
        return option.crop, source.sown, None, option.day
    raise ValueError("what grows already is not planned by hand")


def bundled_rows(farm: Farm) -> list[tuple[Place, ...]]:
    """Return the rows that the planner treats as one queue."""
    return [bundle.places for bundle in bundles_of(farm)]


def homes_of(farm: Farm, sheet: Sheet) -> Homes:
    """Return the bundles each crop of a sheet stands in; a crop that is not grown may stand in all."""
    name_of = {bundle.places[0].name: bundle.name for bundle in bundles_of(farm)}
    found: dict[str, set[str]] = defaultdict(set)
    for batch in sheet.batches:
        found[batch.way.crop] |= {name_of[queue.lanes[0].name] for queue, _ in batch.rafts}
    return {crop: frozenset(names) for crop, names in found.items()}
