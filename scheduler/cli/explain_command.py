"""``raftway explain``: why deliveries of a plan are short, and what would fill them."""

from pathlib import Path
from typing import Any

import click

from scheduler.cli.judging import check_sound
from scheduler.cli.pages import show_page
from scheduler.cli.searching import search_options
from scheduler.cli.values import PLAN


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
def explain(plan: Path, deliveries: int, row_order: bool, **search: Any) -> None:
    """Explain the short deliveries of PLAN, a folder that raftway plan wrote.

    For each: what stood in the way, where and when, and what fills it - more tray, board or raft places,
    positions in beds or crate places in coolers, more trays, boards or rafts, hours, lifting rafts out, a
    shorter rest of a row, another delivery day, another crop, a wider sowing window, or an earlier sowing.
    Whatever is named was tried: the season was planned again with it, the delivery is filled, no other gets
    less, and the new plan keeps every rule. The plan itself is not changed.
    """
    from scheduler.cli.searching import searched, settings_of, taken_up, tell
    from scheduler.model.explain import explain as look
    from scheduler.model.explain import order_cost
    from scheduler.outputs.explain import explain_parts
    from scheduler.outputs.saved import open_plan
    from scheduler.plan.views.bottleneck import bottlenecks

    farm, found = open_plan(plan)
    check_sound(farm, found)
    settings = settings_of(search)
    with taken_up():
        result = searched(lambda stop: look(farm, found, settings, deliveries, (tell, stop)))
    costs = searched(lambda stop: order_cost(farm, found, settings, (tell, stop))) if row_order else None
    show_page(explain_parts(farm, result.explained, result.left, bottlenecks(farm, found), costs))
