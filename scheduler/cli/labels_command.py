"""``raftway labels``: sheets of lot labels to print."""

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from scheduler.cli.placing import check_replaceable
from scheduler.cli.telling import as_wrong_use
from scheduler.cli.values import DAY, NEW, PLAN

if TYPE_CHECKING:
    from scheduler.farm.farm import Farm


@click.command(
    short_help="Write sheets of lot labels to print.",
    epilog="Example: raftway labels plan --sheet a4-3x8 --out labels.html",
)
@click.argument("plan", required=False, type=PLAN)
@click.option("--sheet", metavar="SHEET", help="Label sheet.  [default: a grid to cut out, A4 or US letter]")
@click.option(
    "--from", "first", type=DAY, metavar="DATE", help="First day of filling.  [default: the plan's]"
)
@click.option(
    "--to", "last", type=DAY, metavar="DATE", help="Last day of filling.  [default: up to four weeks on]"
)
@click.option(
    "--skip",
    type=click.IntRange(0, 1000),
    default=0,
    metavar="NUMBER",
    help="Labels used up on the first sheet.",
)
@click.option("--out", type=NEW, metavar="FILE", help="File for the page, such as labels.html.")
@click.option("--list", "listed", is_flag=True, help="List the label sheets, and write nothing.")
@click.pass_context
def labels(
    context: click.Context, /, plan: Path | None, out: Path | None, *, listed: bool, **choice: Any
) -> None:
    """Write labels for the trays, boards and rafts that are filled on some days, as a page to print.

    There is a label for each lot in each of them, with its code as text and as a QR code, where it goes
    next, and when. SHEET is one of raftway labels --list, or your own measures in mm in five pairs: paper,
    labels across and down, label, left and top margin, gaps across and down, such as
    "210x297 3x8 70x37 0x0.5 0x0". Labels that stand in FILE are replaced; any other file is left alone.
    What stands on the plan's first day was filled earlier: give an earlier day with --from for its labels.
    """
    from scheduler.disk.whole import replace_file
    from scheduler.outputs.labels.page import MARK, default_sheet, labels_html
    from scheduler.outputs.labels.sheets import SheetRefused, sheet_of
    from scheduler.outputs.saved import open_plan

    if listed:
        click.echo(_sheets(), nl=False)
        return
    if plan is None or out is None:
        raise click.UsageError("name a plan folder, and a file with --out", context)
    with as_wrong_use(SheetRefused):
        if choice["sheet"] is not None:
            sheet_of(choice["sheet"])
        check_replaceable(out, MARK)
        farm, found = open_plan(plan)
        days = _days(farm, choice["first"], choice["last"])
        page = labels_html(farm, found, choice["sheet"] or default_sheet(farm), *days, choice["skip"])
    replace_file(out, page.encode())
    click.echo(f"Written to {out}: open it in a browser and print at actual size")


def _sheets() -> str:
    """Return one line for each sheet that has a name: labels on it, size of one, what it is."""
    from scheduler.outputs.labels.sheets import label_sheets, mm

    lines = [f"{'sheet':<11} {'labels':>6}  {'mm':<13}  "]
    for sheet in label_sheets().values():
        size = " x ".join(map(mm, sheet.label))
        lines.append(f"{sheet.name:<11} {sheet.places:>6}  {size:<13}  {sheet.kind}")
    return "".join(f"{line.rstrip()}\n" for line in lines)


def _days(farm: "Farm", first: date | None, last: date | None) -> tuple[int, int | None]:
    """Return the day numbers that are asked for; None for the usual last one.

    Raises:
        click.UsageError: they lie outside the plan, or the wrong way round.
    """
    from scheduler.outputs.labels.page import WEEKS, default_days

    calendar = farm.calendar
    start = default_days(farm)[0] if first is None else calendar.day_of(first)
    end = min(start + 7 * WEEKS, calendar.days) - 1 if last is None else calendar.day_of(last)
    if last is not None and end < start:
        raise click.UsageError(
            f"{calendar.date_of(end)} lies before {calendar.date_of(start)}; say --to a later day"
        )
    # what stands on the first day was filled before it, and may be given labels too
    if start >= calendar.days or (end < 0 and not farm.growing):
        raise click.UsageError(
            f"no day of the plan; name days from {calendar.first_day} "
            f"to {calendar.date_of(calendar.days - 1)}"
        )
    return start, None if last is None else end
