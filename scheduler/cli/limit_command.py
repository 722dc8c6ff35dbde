"""``raftway limit``: how much of a mix a farm carries every week, and what holds it back."""

import re
from collections.abc import Callable, Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from scheduler.cli.opening import book_argument, day_in_plan, farm_of
from scheduler.cli.searching import effort_told, search_options, settings_of
from scheduler.cli.telling import as_wrong_use
from scheduler.cli.values import DAY, NEW, SCENARIO

if TYPE_CHECKING:
    import threading

    from scheduler.farm.farm import Farm
    from scheduler.model.capacity.limit import Depth
    from scheduler.model.capacity.week import SteadyWeek
    from scheduler.model.settings import SolveSettings
    from scheduler.plan.capacity import Frontier, Limit

FRONTIERS = ("rows", "boards", "trays", "beds", "together", "all")

HELP = """Say how much of a mix the farm of BOOK carries every week, and what holds it back.

The mix is what the book's orders usually want in a week, or what --mix names. Three answers stand side
by side: a linear bound that nothing exceeds; a steady week that repeats, with whole trays, boards and
rafts; and a plan of the whole season. What binds is told, and what one more of each would bring.

--frontier solves again with more and fewer rows, board slots, tray places or
bed positions.
"""


@click.command(
    help=HELP,
    short_help="Say how much a farm carries every week.",
    epilog="Example: raftway limit my-farm --mix Basil=20 --frontier rows",
)
@book_argument
@click.option(
    "--mix", multiple=True, metavar="PRODUCT=UNITS", help="Units a week of a product; once for each product."
)
@click.option(
    "--with",
    "files",
    multiple=True,
    type=SCENARIO,
    metavar="FILE",
    help="A scenario that is put on the book first.",
)
@click.option("--day", type=DAY, metavar="DATE", help="A day of the week it is for.  [default: the middle]")
@click.option(
    "--weeks",
    type=click.IntRange(1, 4),
    default=1,
    show_default=True,
    help="Weeks after which the steady week repeats.",
)
@click.option(
    "--frontier", type=click.Choice(FRONTIERS), multiple=True, help="Output against the number of it."
)
@click.option("--bound-only", is_flag=True, help="Work out the linear bound alone, in no time.")
@click.option("--season/--no-season", default=None, help="Plan the season too.  [default: unless --frontier]")
@click.option("--out", type=NEW, metavar="DIR", help="New folder for limit.html and its tables (CSV).")
@search_options(
    "Time for each search; all points of one frontier share it.",
    "Order of the search.",
    "The same book gives the same answers; one worker.",
)
def limit(
    book: Path,
    mix: tuple[str, ...],
    frontier: tuple[str, ...],
    out: Path | None,
    **rest: Any,
) -> None:
    """Work out the limit of a book and show it."""
    from rich.console import Console

    from scheduler.cli.keeping import ANSWER, keeping
    from scheduler.cli.placing import check_free, place_folder
    from scheduler.cli.searching import searched, tell
    from scheduler.outputs.limit.page import limit_files
    from scheduler.outputs.limit.screen import print_limit

    depth = _depth(bound_only=rest["bound_only"], season=rest["season"], frontier=bool(frontier))
    if out is not None:
        check_free(out)
    farm, settings = farm_of(book, rest["files"]), settings_of(rest)
    week = _week(farm, mix, rest["day"], rest["weeks"])
    work = _work(week, settings, depth, _asked_frontiers(frontier))
    asked = "A mix of your own" if mix else "The usual week of the book's orders"
    with keeping(ANSWER):
        found, curves = searched(lambda stop: work(tell, stop))
        print_limit(Console(), farm, found, asked, curves)
        if out is not None:
            place_folder(out, limit_files(farm, found, asked, curves, _made(settings)))
            click.echo(f"Written to {out}")


def _depth(*, bound_only: bool, season: bool | None, frontier: bool) -> "Depth":
    """Return how far the limit is looked for; a season is planned unless something else was asked for."""
    from scheduler.model.capacity.limit import Depth

    if bound_only and season:
        raise click.UsageError("--bound-only plans no season; leave one of the two out")
    usual = not (bound_only or frontier)
    return Depth(whole=not bound_only, season=usual if season is None else season)


def _week(farm: "Farm", mix: Sequence[str], day: date | None, weeks: int) -> "SteadyWeek":
    from scheduler.model.capacity.week import steady_week

    wanted = dict(_part(farm, each) for each in mix) or None
    if len(wanted or mix) < len(mix):
        raise click.UsageError("a product stands in --mix twice; give it once, with its whole amount")
    number = None if day is None else day_in_plan(farm, day)
    with as_wrong_use(ValueError):
        return steady_week(farm, wanted, number, weeks)


def _part(farm: "Farm", text: str) -> tuple[str, int]:
    """Read ``PRODUCT=UNITS``."""
    from scheduler.book.names import meant

    name, _, amount = text.rpartition("=")
    name = " ".join(name.split())
    if not name or not re.fullmatch(r"[0-9]{1,7}", amount.strip()) or not 0 < int(amount) <= 1_000_000:
        raise click.UsageError(f"{text!r} is no part of a mix; write it like 'Leaf lettuce=60'")
    if name not in farm.products:
        raise click.UsageError(f"no product is called {name!r}; expected {meant(name, farm.products)}")
    return name, int(amount)


def _asked_frontiers(asked: Sequence[str]) -> tuple[str, ...]:
    return FRONTIERS[:-1] if "all" in asked else tuple(dict.fromkeys(asked))


def _work(
    week: "SteadyWeek", settings: "SolveSettings", depth: "Depth", curves: Sequence[str]
) -> "Callable[[Callable[[str], None], threading.Event], tuple[Limit, list[Frontier]]]":
    from dataclasses import replace

    from scheduler.model.capacity.frontier import frontier
    from scheduler.model.capacity.limit import limit_of

    effort = settings if depth.whole else replace(settings, seconds=0.0)

    def work(tell: Callable[[str], None], stop: "threading.Event") -> "tuple[Limit, list[Frontier]]":
        found = limit_of(week, settings, depth, tell, stop)
        known = None if found.whole is None else found.whole * found.amount / 1000
        made = []
        for what in curves:
            try:
                made.append(frontier(week, what, effort, known, tell, stop))
            except ValueError as none:
                tell(str(none))
        return found, made

    return work


def _made(settings: "SolveSettings") -> str:
    from scheduler import __version__

    return f"Each search had {effort_told(settings)}, seed {settings.seed}, by raftway {__version__}."
