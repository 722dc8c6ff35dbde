"""``raftway draw``: one drawing of a plan as a file."""

from collections.abc import Callable, Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from scheduler.cli.completing import drawn
from scheduler.cli.opening import day_in_plan
from scheduler.cli.values import DAY, NEW, PLAN

if TYPE_CHECKING:
    from scheduler.farm.farm import Farm
    from scheduler.plan.rows import Plan

KINDS = ("trough", "shelf", "flow", "chart")
ON_A_DAY = ("trough", "shelf")
SUFFIXES = (".svg", ".png")
SHOWN = 12
"""Names that are told when one is wrong."""


HELP = """Draw one thing of PLAN, a folder that raftway plan wrote, into FILE.

\b
trough NAME --day DATE  a trough slot by slot, intake end to harvest end
shelf NAME --day DATE   a shelf tray by tray
flow NAME               the season of a trough or shelf, or of a part of it:
                        a row, a board zone or a tier
chart NAME              a chart of the season

Without NAME, and where it is wrong, the names there are get told. Nothing that exists is written over.
"""


@click.command(
    help=HELP,
    short_help="Draw a trough, a shelf, a season or a chart of a plan.",
    epilog="Example: raftway draw plan shelf 'Shelf A' --day 2026-04-14 --out shelf.svg",
)
@click.argument("plan", type=PLAN)
@click.argument("what", type=click.Choice(KINDS))
@click.argument("name", required=False, shell_complete=drawn)
@click.option("--day", type=DAY, metavar="DATE", help="Day at whose end a trough or shelf is drawn.")
@click.option(
    "--out",
    type=NEW,
    metavar="FILE",
    help="File for the drawing; its name ends in .svg or .png.  [required]",
)
def draw(plan: Path, what: str, name: str | None, day: date | None, out: Path | None) -> None:
    """Draw one thing of a plan into a new file."""
    from scheduler.cli.placing import check_free_file, place_file
    from scheduler.outputs.drawings.png import png
    from scheduler.outputs.saved import open_plan

    if name is None:
        farm, found = open_plan(plan)
        raise click.UsageError(f"name the {what}: {_listed(_names(farm, what))}")
    if out is None:
        raise click.UsageError(f"name the file for the drawing, such as --out {what}.svg")
    if out.suffix.lower() not in SUFFIXES:
        raise click.UsageError(f"{out}: name a file that ends in .svg or .png for the drawing")
    if what in ON_A_DAY and day is None:
        raise click.UsageError(f"a {what} is drawn as it stands on a day; add --day, such as 2026-03-02")
    if what not in ON_A_DAY and day is not None:
        raise click.UsageError(f"a {what} shows the whole season; leave --day out")
    check_free_file(out)
    farm, found = open_plan(plan)
    drawing = _drawn(farm, found, what, name, day)
    place_file(out, png(drawing) if out.suffix.lower() == ".png" else drawing.encode("utf-8"))
    click.echo(f"Written to {out}")


def _names(farm: "Farm", what: str) -> list[str]:
    """Return the names of what can be drawn of a kind."""
    from scheduler.outputs.charts import CHARTS
    from scheduler.outputs.drawings.flow import flow_places
    from scheduler.outputs.drawings.shelf import shelves
    from scheduler.outputs.drawings.trough import troughs

    names: dict[str, Callable[[Farm], list[str]]] = {
        "trough": troughs,
        "shelf": shelves,
        "flow": flow_places,
        "chart": lambda _: list(CHARTS),
    }
    return names[what](farm)


def _drawn(farm: "Farm", plan: "Plan", what: str, name: str, day: date | None) -> str:
    from scheduler.outputs.charts import CHARTS
    from scheduler.outputs.drawings import flow_svg, shelf_svg, trough_svg

    _check_name("place" if what == "flow" else what, name, _names(farm, what))
    if what == "chart":
        return CHARTS[name](farm, plan)
    if what == "flow":
        return flow_svg(farm, plan, name)
    on_day = trough_svg if what == "trough" else shelf_svg
    assert day is not None
    return on_day(farm, plan, name, day_in_plan(farm, day))


def _check_name(what: str, name: str, names: Sequence[str]) -> None:
    """Make sure that something is called so; otherwise tell what is called how, the most alike first."""
    from difflib import get_close_matches

    from scheduler.outputs.words import plain

    if name in names:
        return
    alike = get_close_matches(name, names, n=3)
    ranked = [*alike, *(each for each in names if each not in alike)]
    raise click.UsageError(f"no {what} is called {plain(name)!r}; there is {_listed(ranked)}")


def _listed(names: Sequence[str]) -> str:
    from scheduler.outputs.words import plain, some

    return some([repr(plain(each)) for each in names], SHOWN) or "none"
