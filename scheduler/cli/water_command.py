"""``raftway water``: what the fish eat against what the plants ask."""

from pathlib import Path
from typing import TYPE_CHECKING

import click

from scheduler.cli.opening import farm_of, is_plan
from scheduler.cli.pages import show_page
from scheduler.cli.values import PLAN, SCENARIO

if TYPE_CHECKING:
    from scheduler.farm.farm import Farm
    from scheduler.plan.rows import Plan


@click.command(
    short_help="Hold what the fish eat against what the plants ask.",
    epilog="Example: raftway water plan --with second-tank.toml",
)
@click.argument("book_or_plan", type=PLAN)
@click.option(
    "--with",
    "scenarios",
    type=SCENARIO,
    multiple=True,
    metavar="FILE",
    help="A scenario put on the book first, such as a second fish tank; may be given again.",
)
def water(book_or_plan: Path, scenarios: tuple[Path, ...]) -> None:
    """Hold the feed that the fish of BOOK_OR_PLAN eat against what its plants ask, week by week.

    Of a plan, the area that stands planted counts; of a book, every slot for boards and rafts that is open.
    A planning aid: water tests and the look of the plants decide.
    """
    from scheduler.outputs.water.screen import water_page
    from scheduler.plan.water import all_planted, balance, planted

    plan: Plan | None = None
    if is_plan(book_or_plan):
        farm, plan, book = _of_plan(book_or_plan)
    else:
        farm, book = None, book_or_plan
    if scenarios or farm is None:
        farm = _farm(book, scenarios, farm)
    if farm.water is None:
        raise click.UsageError("the book has no fish tanks: fill in its table fish_tanks")
    if plan is not None:
        areas, told = planted(farm, plan), "Planted as in the plan."
    else:
        areas, told = all_planted(farm), "Counted as if every open slot for boards and rafts were planted."
    show_page(water_page(farm, balance(farm, areas), told))


def _of_plan(folder: Path) -> "tuple[Farm, Plan, Path]":
    from scheduler.outputs.everything import BOOK
    from scheduler.outputs.saved import open_plan

    farm, plan = open_plan(folder)
    return farm, plan, folder / BOOK


def _farm(book: Path, scenarios: tuple[Path, ...], planned: "Farm | None") -> "Farm":
    """Return the farm of a book with scenarios; of a plan, fish and water alone are taken from it."""
    from dataclasses import replace

    farm = farm_of(book, scenarios)
    return farm if planned is None else replace(planned, water=farm.water)
