"""Plans judged by code that never saw the solver, and what they break told on stderr."""

from typing import TYPE_CHECKING, NoReturn

import click

from scheduler.cli.exits import BREAKS_A_RULE, NO_PLAN, OUR_FAULT, OWN_FAULT
from scheduler.cli.telling import MORE_MEMORY
from scheduler.outputs.words import plain

if TYPE_CHECKING:
    from scheduler.farm.farm import Farm
    from scheduler.model.settings import SolveSettings
    from scheduler.plan.rows import Plan


def faults_told(farm: "Farm", plan: "Plan") -> int:
    """Judge a plan, say on stderr what it breaks, and return how many faults it has."""
    from scheduler.plan.audit import audit, fault_lines

    faults = audit(farm, plan)
    for line in fault_lines(faults):
        click.echo(plain(line), err=True)
    return len(faults)


def check_sound(farm: "Farm", plan: "Plan") -> None:
    """Judge a plan of a folder that is to be built on.

    Raises:
        click.exceptions.Exit: it breaks a rule; what it breaks was told on stderr.
    """
    if faults_told(farm, plan):
        click.echo("The plan was changed and breaks these rules; mend its tables, or plan again.", err=True)
        raise click.exceptions.Exit(BREAKS_A_RULE)


def check_own(farm: "Farm", plan: "Plan") -> None:
    """Judge a plan that was just found.

    Raises:
        click.exceptions.Exit: it breaks a rule, a fault of raftway itself; it was told on stderr.
    """
    if faults_told(farm, plan):
        click.echo(OWN_FAULT, err=True)
        raise click.exceptions.Exit(OUR_FAULT)


def no_plan_told(*, without_memory: bool, fewer: str = "") -> str:
    """Return that no plan was found, and what would bring one.

    Args:
        without_memory: it was for want of memory, not of time.
        fewer: the option that says how many searches share the memory of this machine; empty for one alone.
    """
    if not without_memory:
        return "No plan was found in time; give it more with --seconds"
    least = f"give fewer {fewer}, " if fewer else ""
    return f"No plan was found before the memory of this machine was taken; {least}{MORE_MEMORY}"


def end_without_plan(
    settings: "SolveSettings | None" = None, *, without_memory: bool = False, fewer: str = ""
) -> NoReturn:
    """End a command whose search found no plan, and say what would bring one.

    Args:
        settings: those of the search, where they may have a limit of memory.
        without_memory: the system gave no more of it.
        fewer: the option that says how many searches share it; empty for one alone.

    Raises:
        click.exceptions.Exit: always.
    """
    from scheduler.cli.progress import memory_is_taken

    told = no_plan_told(without_memory=without_memory, fewer=fewer)
    if not without_memory and settings is not None and memory_is_taken(settings):
        told = "No plan was found before the memory that --memory allows was taken; give it more"
    click.echo(f"{told}. Nothing was written.", err=True)
    raise click.exceptions.Exit(NO_PLAN)
