"""The audit: every rule of a plan stated again in plain Python, from its rows and the farm alone.

It never sees the planner's model and believes no total it can work out itself.
"""

from collections.abc import Callable, Iterator

from scheduler.farm.farm import Farm
from scheduler.plan.audit.agreement import own_figures, planting_days, totals, unit_days
from scheduler.plan.audit.amounts import amounts
from scheduler.plan.audit.beds import bed_rules
from scheduler.plan.audit.boxes import boxes
from scheduler.plan.audit.chains import chains
from scheduler.plan.audit.chores import chores
from scheduler.plan.audit.cleaning import cleaning
from scheduler.plan.audit.coolers import coolers
from scheduler.plan.audit.cuts import cut_windows, heads_cut
from scheduler.plan.audit.demands import demands
from scheduler.plan.audit.fault import RULES, AuditFault, fault_lines
from scheduler.plan.audit.fills import fills
from scheduler.plan.audit.goals import goals
from scheduler.plan.audit.growing import growing
from scheduler.plan.audit.heat import heat
from scheduler.plan.audit.lanes import lane_rules, rests
from scheduler.plan.audit.ledger import Ledger, read
from scheduler.plan.audit.limits import crew_hours, equipment
from scheduler.plan.audit.losses import losses
from scheduler.plan.audit.names import names
from scheduler.plan.audit.outlets import outlets
from scheduler.plan.audit.pickings import pickings
from scheduler.plan.audit.slots import slots
from scheduler.plan.audit.stages import stage_days
from scheduler.plan.audit.supplies import supplies
from scheduler.plan.audit.task_words import task_words
from scheduler.plan.audit.tasks import tasks
from scheduler.plan.audit.whole import whole_units
from scheduler.plan.audit.work_days import work_days
from scheduler.plan.collecting import nothing_collected
from scheduler.plan.rows import Plan

__all__ = ["RULES", "AuditFault", "audit", "fault_lines"]

CHECKS: tuple[Callable[[Ledger], Iterator[AuditFault]], ...] = (
    slots,
    lane_rules,
    rests,
    bed_rules,
    stage_days,
    whole_units,
    losses,
    heads_cut,
    work_days,
    heat,
    equipment,
    cut_windows,
    pickings,
    fills,
    amounts,
    boxes,
    outlets,
    growing,
    crew_hours,
    coolers,
    unit_days,
    planting_days,
    demands,
    goals,
    chains,
    totals,
    own_figures,
    supplies,
    tasks,
    task_words,
    chores,
    cleaning,
)


@nothing_collected()
def audit(farm: Farm, plan: Plan) -> list[AuditFault]:
    """Return every fault of a plan, in the order of ``RULES`` and then by date; a sound plan has none.

    Rows that name what does not exist are reported and left out of all other checks, so one wrong name
    may bring faults of the totals with it.
    """
    ledger = read(farm, plan)
    faults = [*names(ledger, plan), *(fault for check in CHECKS for fault in check(ledger))]
    order = {rule: at for at, rule in enumerate(RULES)}
    return sorted(
        faults, key=lambda fault: (order[fault.rule], str(fault.when or ""), fault.where, fault.message)
    )
