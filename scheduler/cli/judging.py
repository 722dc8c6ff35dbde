"""Plans judged by code that never saw the solver, and what they break told on stderr."""

from typing import TYPE_CHECKING

import click

from scheduler.cli.exits import OWN_FAULT
from scheduler.outputs.words import plain

if TYPE_CHECKING:
    from scheduler.farm.farm import Farm
    from scheduler.plan.rows import Plan


def faults_told(farm: "Farm", plan: "Plan") -> int:
    """Judge a plan, say on stderr what it breaks, and return how many faults it has."""
    from scheduler.plan.audit import audit, fault_lines

    faults = audit(farm, plan)
    for line in fault_lines(faults):
        click.echo(plain(line), err=True)
    return len(faults)


def breaks_rules(farm: "Farm", plan: "Plan") -> bool:
    """Judge a plan of a folder that is to be built on, and say what it breaks."""
    broken = faults_told(farm, plan) > 0
    if broken:
        click.echo("The plan was changed and breaks these rules; mend its tables, or plan again.", err=True)
    return broken


def own_plan_breaks_rules(farm: "Farm", plan: "Plan") -> bool:
    """Judge a plan that was just found, and say what it breaks."""
    broken = faults_told(farm, plan) > 0
    if broken:
        click.echo(OWN_FAULT, err=True)
    return broken
