"""``raftway stress``: a plan replayed under chance losses and slow weeks."""

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from scheduler.cli.opening import is_plan
from scheduler.cli.values import DAY, NEW, PLAN, Number

if TYPE_CHECKING:
    from scheduler.farm.farm import Demand, Farm
    from scheduler.plan.rows import Plan
    from scheduler.stress.replay import Replay, Tally

HELP = """Replay a plan many times under chance losses and slow weeks.

PLAN is a folder that raftway plan wrote, or a book, which is planned first. Each run loses plants one by
one by the shares of the book, and slows growth by place and week. The crew fills firm deliveries first,
uses the margin and rafts that are ripe, takes heads from flexible deliveries, and sows nothing new.

Told is the chance of each delivery to be filled, and what is short on average. --chance looks for the
extra sowing that lifts firm deliveries to it at least cost; each plan it tells was judged and replayed.
"""


@click.command(
    help=HELP,
    short_help="Say how sure the deliveries of a plan are.",
    epilog="Example: raftway stress plan --runs 1000 --chance 95 --order R1",
)
@click.argument("plan", type=PLAN)
@click.option(
    "--runs", type=click.IntRange(1, 1_000_000), default=1000, show_default=True, help="Times to replay it."
)
@click.option("--seed", type=click.IntRange(0, 2**31 - 1), default=1, show_default=True, help="Other luck.")
@click.option(
    "--slow-weeks",
    type=Number(0, 100),
    default=5.0,
    show_default=True,
    metavar="PERCENT",
    help="Spread of growth by place and week; never faster than the book.",
)
@click.option(
    "--early",
    type=Number(0, 100),
    default=5.0,
    show_default=True,
    metavar="PERCENT",
    help="Part of its days that a head may lack when it is cut.",
)
@click.option("--no-losses", is_flag=True, help="Slow weeks alone: every cut gives what the plan counts on.")
@click.option(
    "--chance",
    type=Number(1, 100, max_open=True),
    metavar="PERCENT",
    help="Look for the extra sowing that lifts firm deliveries to it.",
)
@click.option("--order", "orders", multiple=True, help="An order or delivery to lift.  [default: all firm]")
@click.option(
    "--seconds", type=Number(1, 86_400), default=60.0, show_default=True, help="Time to plan a book."
)
@click.option("--today", type=DAY, metavar="DATE", help="Of a book: nothing new is done before it.")
@click.option(
    "--workers", type=click.IntRange(1, 256), default=1, show_default=True, help="Processes for the runs."
)
@click.option("--cluster", metavar="ADDRESS", help="A dask scheduler for the runs instead, as in sweep.")
@click.option("--out", type=NEW, metavar="DIR", help="New folder for stress.html and its tables (CSV).")
def stress(plan: Path, out: Path | None, **rest: Any) -> None:
    """Replay a plan and show what it comes to."""
    from rich.console import Console

    from scheduler.cli.placing import check_free, place_folder
    from scheduler.cli.searching import tell
    from scheduler.outputs.stress.page import stress_files
    from scheduler.outputs.stress.screen import print_risk
    from scheduler.stress.chances import Chances
    from scheduler.stress.lift import Lifter
    from scheduler.stress.replay import Replay
    from scheduler.stress.risk import risk_of

    if out is not None:
        check_free(out)
    if rest["orders"] and not rest["chance"]:
        raise click.UsageError("--order says what --chance is for: give both")
    farm, found = _plan(plan, rest)
    chances = Chances(
        seed=rest["seed"],
        losses=not rest["no_losses"],
        slow=round(100 * rest["slow_weeks"]),
        early=round(100 * rest["early"]),
    )
    wanted = _wanted(farm, rest["orders"]) if rest["chance"] else ()
    runs = range(rest["runs"])
    base = Replay(farm, found, chances)
    tally = _tally(base, found, rest)
    lift, wish = None, (rest["chance"] or 0) / 100
    if wish:
        lifter = Lifter(base, found, lambda replay: replay.tally(runs), wish)
        lift = lifter.lift(wanted, tally, tell)
    risk = risk_of(farm, found, chances, tally)
    print_risk(Console(), risk, lift, wish)
    if out is not None:
        place_folder(out, stress_files(risk, lift, wish, _made()))
        click.echo(f"Written to {out}")


def _tally(base: "Replay", plan: "Plan", rest: dict[str, Any]) -> "Tally":
    """Return the tally of all runs: here, or by processes or a cluster."""
    from scheduler.cli.executor import executor_of, trouble_told
    from scheduler.cli.replaying import shared_out

    if rest["workers"] == 1 and not rest["cluster"]:
        return base.tally(range(rest["runs"]))
    with trouble_told():
        make = executor_of(rest["cluster"], rest["workers"])
        return shared_out(base.farm, plan, base.chances, rest["runs"], make)


def _plan(path: Path, rest: dict[str, Any]) -> "tuple[Farm, Plan]":
    """Return the farm and plan of a plan folder, or of a book that is planned first."""
    from scheduler.cli.judging import check_own, check_sound, end_without_plan
    from scheduler.outputs.saved import open_plan

    if is_plan(path):
        if rest["today"]:
            raise click.UsageError("--today is for a book; leave it out, for a plan has its own")
        farm, found = open_plan(path)
        check_sound(farm, found)
        return farm, found
    from scheduler.book.book import read_book
    from scheduler.cli.progress import solve_watched
    from scheduler.farm.build import build_farm
    from scheduler.model.settings import SolveSettings

    farm = build_farm(read_book(path), today=rest["today"])
    outcome = solve_watched(farm, SolveSettings(seconds=rest["seconds"]))
    planned = outcome.plan
    if planned is None:
        end_without_plan(without_memory=outcome.without_memory)
    check_own(farm, planned)
    return farm, planned


def _wanted(farm: "Farm", names: Sequence[str]) -> "tuple[Demand, ...]":
    """Return the firm deliveries of some orders, or those named; all firm ones without names."""
    from scheduler.book.names import meant

    firm = [each for each in farm.demands if each.firm and each.reported]
    known = dict.fromkeys([*(each.order for each in firm), *(each.name for each in firm)])
    for name in names:
        if name not in known:
            raise click.UsageError(
                f"no firm order or delivery is called {name!r}; expected {meant(name, known)}"
            )
    return tuple(each for each in firm if not names or each.order in names or each.name in names)


def _made() -> str:
    from scheduler import __version__

    return f"Replayed by raftway {__version__}."
