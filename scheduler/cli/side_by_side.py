"""Plans for several farms under the same effort, each farm starting from the best plan known for it.

Half of the time each farm is searched from nothing, or all of it where half is not enough for any plan; then
every plan is held against every farm, and the other half goes on from the best one. So what one farm's search
found helps all that can do the same.
"""

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

import click

from scheduler.cli.exits import WHERE_TO_REPORT

if TYPE_CHECKING:
    from scheduler.cli.candidates import Candidate
    from scheduler.model.settings import SolveSettings
    from scheduler.plan.carried import Kept
    from scheduler.plan.rows import Plan


class NoPlan(Exception):  # noqa: N818 - the word is the message
    """There is a farm for which no plan was found in time, its own or another's."""


class Unsound(Exception):  # noqa: N818 - the word is the message
    """A plan breaks a rule: a fault of raftway itself; what it breaks was told on stderr."""


def best_plans(found: Sequence["Candidate"], settings: "SolveSettings") -> dict[str, "Kept"]:
    """Return the best plan found for each farm, by name.

    Raises:
        NoPlan: there is none for one of them.
        Unsound: a plan breaks a rule.
        KeyboardInterrupt: Ctrl-C was pressed twice.
    """
    from scheduler.plan.carried import best_of_all

    half = replace(settings, seconds=settings.seconds / 2)
    plans: dict[str, Plan] = {}
    for number, each in enumerate(found, start=1):
        click.echo(f"Planning {each.name} ({number} of {len(found)})", err=True)
        plan = _searched(each, half) or _searched(each, settings)
        if plan is not None:
            plans[each.name] = plan
    farms = {each.name: each.farm for each in found}
    kept = best_of_all(farms, plans)
    if len(kept) < len(found):
        raise NoPlan
    for number, each in enumerate(found, start=1):
        if kept[each.name].of == each.name and _is_proven(plans[each.name]):
            continue
        click.echo(f"Going on with {each.name} ({number} of {len(found)})", err=True)
        better = _gone_on(each, kept[each.name].plan, half)
        if better is not None:
            plans[each.name] = better
    return best_of_all(farms, plans)


def _searched(each: "Candidate", settings: "SolveSettings") -> "Plan | None":
    """Search from nothing; judge the plan with code that never saw the solver. None without one in time."""
    from scheduler.cli.progress import solve_watched
    from scheduler.plan.audit import audit, fault_lines

    plan = solve_watched(each.farm, settings).plan
    if plan is None:
        return None
    faults = audit(each.farm, plan)
    for line in fault_lines(faults):
        click.echo(line, err=True)
    if faults:
        click.echo(
            f"raftway has a fault of its own: its plan breaks these rules. {WHERE_TO_REPORT}", err=True
        )
        raise Unsound
    return plan


def _gone_on(each: "Candidate", plan: "Plan", settings: "SolveSettings") -> "Plan | None":
    """Return a better plan than the best one known; None when none was found, or it is not sound."""
    from scheduler.cli.searching import searched
    from scheduler.model.begun import plan_from
    from scheduler.plan.carried import carried, score

    better = searched(lambda stop: plan_from(each.farm, plan, settings, None, stop))
    sound = None if better is None else carried(each.farm, better)
    if sound is None or score(each.farm, sound) >= score(each.farm, plan):
        return None
    return sound


def _is_proven(plan: "Plan") -> bool:
    """Say whether no plan of the same farm can be better."""
    return bool(plan.goals) and all(goal.status.startswith("proven") for goal in plan.goals)
