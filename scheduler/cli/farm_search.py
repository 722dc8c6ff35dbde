"""One search of a comparison, as this process, another one or another machine does it."""

from collections.abc import Callable
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

import click

from scheduler.farm.farm import Farm
from scheduler.model.settings import Outcome, SolveSettings
from scheduler.outputs.words import plain
from scheduler.plan.rows import Plan

if TYPE_CHECKING:
    import threading

PLAN, FAULTS, WITHOUT_MEMORY = "plan", "faults", "without_memory"


@dataclass(frozen=True, slots=True, kw_only=True)
class Search:
    """What a worker is given.

    Attributes:
        told: what is said when it begins where somebody watches, such as ``Planning east (2 of 3)``.
        farm: the farm.
        settings: how it is searched.
        longer: what is tried where that gives no plan; None for nothing.
        begun: a sound plan of the farm to go on from; None to search from nothing.
    """

    told: str
    farm: Farm
    settings: SolveSettings
    longer: SolveSettings | None = None
    begun: Plan | None = None


def searched_anew(search: Search) -> dict[str, Any]:
    """Search from nothing and judge the plan; return it, and what it breaks, or None and for want of what."""
    from scheduler.model.solve import plan_farm

    return _anew(search, plan_farm)


def watched_anew(search: Search) -> dict[str, Any]:
    """Do the same in this process, with progress on stderr and a Ctrl-C that keeps the best plan."""
    from scheduler.cli.progress import solve_watched

    click.echo(plain(search.told), err=True)
    return _anew(search, solve_watched)


def gone_on(search: Search) -> dict[str, Any]:
    """Go on from a plan; return a better sound one, or None where none was found."""
    return _on(search, lambda go: go(None))


def watched_on(search: Search) -> dict[str, Any]:
    """Do the same in this process, with a Ctrl-C that keeps the best plan."""
    from scheduler.cli.searching import searched

    click.echo(plain(search.told), err=True)
    return _on(search, searched)


def _anew(search: Search, solve: Callable[[Farm, SolveSettings], Outcome]) -> dict[str, Any]:
    """Judge what is found with code that never saw the solver."""
    from scheduler.plan.audit import audit, fault_lines

    without_memory = False
    for settings in filter(None, (search.settings, search.longer)):
        found = solve(search.farm, settings)
        if found.plan is not None:
            return {PLAN: found.plan, FAULTS: list(fault_lines(audit(search.farm, found.plan)))}
        without_memory = found.without_memory
    return {PLAN: None, FAULTS: [], WITHOUT_MEMORY: without_memory}


def _on(
    search: Search, run: "Callable[[Callable[[threading.Event | None], Plan | None]], Plan | None]"
) -> dict[str, Any]:
    from scheduler.model.search.begun import plan_from
    from scheduler.plan.carried import carried, score

    farm, plan = search.farm, search.begun
    assert plan is not None
    better = run(lambda stop: plan_from(farm, plan, search.settings, stop=stop))
    sound = None if better is None else carried(farm, better)
    if sound is None or score(farm, sound) >= score(farm, plan):
        sound = None
    return {PLAN: sound, FAULTS: []}
