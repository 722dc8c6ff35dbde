"""``raftway status``: what grows where by the records, beside the plan."""

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from scheduler.cli.opening import book_argument, check_same_farm, day_in_plan, farm_of
from scheduler.cli.pages import show_page
from scheduler.cli.records_opening import log_of, records_option, today
from scheduler.cli.values import DAY, PLAN

if TYPE_CHECKING:
    from scheduler.records.entries import Entry
    from scheduler.records.state import State


@click.command(
    short_help="Show what grows where by the records, and which deliveries are at risk.",
    epilog="Example: raftway status my-farm --plan plan",
)
@book_argument
@click.option("--plan", type=PLAN, help="Folder of the plan to hold it against.")
@click.option("--today", "day", type=DAY, metavar="DATE", help="Evening to show.  [default: today]")
@records_option
def status(book: Path, plan: Path | None, day: date | None, records: str | None) -> None:
    """Show what stands where in the evening by the records of BOOK.

    With --plan also what stands otherwise than planned, the tasks of which nothing is recorded, and the
    deliveries that what stands can no longer give. Entries of later days are left out.
    """
    from scheduler.outputs.happened.status import Status, status_page
    from scheduler.records.closures import held_back
    from scheduler.records.doubts import doubts
    from scheduler.records.entries import in_force
    from scheduler.records.recording import opening_entries
    from scheduler.records.state import replay

    farm = farm_of(book)
    evening = day or today()
    log = log_of(book, records, farm)
    numbered = [(each.number, each.entry) for each in log] or list(enumerate(opening_entries(farm), start=1))
    state = replay(numbered, evening)
    happened = [each.entry for each in in_force(numbered) if each.entry.day <= evening]
    beside: dict[str, Any] = {}
    if plan is not None:
        beside = _beside(plan, farm.name, (state, happened), [each.entry for each in log], evening)
    seen = Status(
        farm=farm,
        day=evening,
        state=state,
        entries=len(happened) if log else 0,
        last=max((each.written for each in log), default=""),
        held=held_back(state, evening),
        doubts=doubts(farm, state, evening),
        **beside,
    )
    show_page(status_page(seen))


def _beside(
    plan: Path, asked: str, happened: "tuple[State, list[Entry]]", told: "list[Entry]", evening: date
) -> dict[str, Any]:
    """Return what is shown beside the plan."""
    from scheduler.outputs.saved import open_plan
    from scheduler.records.compare import differences, not_recorded
    from scheduler.records.risk import at_risk
    from scheduler.records.tasks import Tasks

    farm, found = open_plan(plan)
    check_same_farm(plan, farm.name, asked)
    state, entries = happened
    day = day_in_plan(farm, evening, f"say --today {farm.calendar.first_day}, or another day of it")
    return {
        "differences": differences(farm, found, state, day),
        "due": not_recorded(Tasks(farm, found), told, day),
        "risks": at_risk(farm, found, state, entries, day),
        "planned": farm,
    }
