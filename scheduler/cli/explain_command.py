"""``raftway explain``: why deliveries of a plan are short, and what would fill them."""

import shutil
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from scheduler.cli.exits import BREAKS_A_RULE
from scheduler.cli.opening import PLAN
from scheduler.cli.searching import search_options
from scheduler.outputs.words import plain

if TYPE_CHECKING:
    from scheduler.farm.farm import Farm
    from scheduler.plan.rows import Plan


@click.command(
    short_help="Say why deliveries are short and what would fill them.",
    epilog="Example: raftway explain plan --deliveries 3",
)
@click.argument("plan", type=PLAN)
@click.option(
    "--deliveries",
    type=click.IntRange(1, 50),
    default=5,
    show_default=True,
    metavar="N",
    help="Deliveries to look at, the most valuable first.",
)
@click.option(
    "--row-order",
    is_flag=True,
    help="Also say what it costs that rafts leave their rows in order; takes as much time again.",
)
@search_options(
    "Time to search.",
    "As in plan.",
    "The same plan gives the same answer; uses one worker.",
)
@click.pass_context
def explain(ctx: click.Context, /, plan: Path, deliveries: int, row_order: bool, **search: Any) -> None:
    """Explain the short deliveries of PLAN, a folder that raftway plan wrote.

    For each: what stood in the way, where and when, and what fills it - more tray, board or raft places,
    more trays, boards or rafts, hours, lifting rafts out, another delivery day, another crop, a wider
    sowing window, or an earlier sowing. Whatever is named was tried: the season was planned again with it,
    the delivery is filled, no other gets less, and the new plan keeps every rule. The plan itself is not
    changed.
    """
    from scheduler.cli.searching import searched, tell
    from scheduler.model.answers.read_back import NotReadBack
    from scheduler.model.explain import explain as look
    from scheduler.model.explain import order_cost
    from scheduler.model.settings import SolveSettings
    from scheduler.outputs.explain import explain_parts
    from scheduler.outputs.saved import open_plan
    from scheduler.outputs.show.page import WIDTH, rendered
    from scheduler.plan.views.bottleneck import bottlenecks

    farm, found = open_plan(plan)
    if breaks_rules(farm, found):
        ctx.exit(BREAKS_A_RULE)
    settings = SolveSettings(**search)
    try:
        result = searched(lambda stop: look(farm, found, settings, deliveries, (tell, stop)))
    except NotReadBack as wrong:
        raise click.UsageError(f"this plan cannot be taken up again: {wrong}; plan the book anew") from None
    costs = searched(lambda stop: order_cost(farm, found, settings, (tell, stop))) if row_order else None
    styled = sys.stdout.isatty()
    width = shutil.get_terminal_size().columns if styled else WIDTH
    parts = explain_parts(farm, result.explained, result.left, bottlenecks(farm, found), costs)
    click.echo(rendered(parts, width=width, styled=styled), nl=False)


def breaks_rules(farm: "Farm", plan: "Plan") -> bool:
    """Judge a plan that is to be built on, and say on stderr what it breaks."""
    from scheduler.plan.audit import audit, fault_lines

    faults = audit(farm, plan)
    for line in fault_lines(faults):
        click.echo(plain(line), err=True)
    if faults:
        click.echo("The plan was changed and breaks these rules; mend its tables, or plan again.", err=True)
    return bool(faults)
