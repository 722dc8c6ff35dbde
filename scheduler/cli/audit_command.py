"""``raftway audit``: judge a plan folder, also one edited by hand, against its book."""

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from scheduler.cli.exits import BREAKS_A_RULE
from scheduler.cli.judging import faults_told
from scheduler.cli.opening import book_argument, check_same_farm, is_plan
from scheduler.cli.telling import typed
from scheduler.cli.values import PLAN
from scheduler.outputs.words import counted

if TYPE_CHECKING:
    from scheduler.plan.rows import Plan

SOUND = "The plan keeps every rule ({} are not judged)."
NOTES = "reasons, and places and notes of tasks,"
CHANGE = "how much differs from the plan before"
OLDER = "cost and points among the goals, which older versions told otherwise"


@click.command(
    short_help="Judge a plan folder, also an edited one.", epilog="Example: raftway audit my-farm plan"
)
@book_argument
@click.argument("plan", type=PLAN)
@click.pass_context
def audit(ctx: click.Context, book: Path, plan: Path) -> None:
    """Judge PLAN, a folder that raftway plan wrote, by every rule and by BOOK.

    The tables may have been edited by hand. What breaks a rule goes to stderr with where, when and by how
    much, the first ten of each rule, and the exit code is 3; faults of the book or of the folder itself
    end with 1. What the goals say is worked out again, but for cost and points told by an older version;
    how much differs from the plan before, reasons, and places and notes of tasks, are not judged.
    """
    from scheduler.book.book import read_book
    from scheduler.farm.build import build_farm
    from scheduler.outputs.csv_folder import read_note, read_plan

    _check_order(book, plan)
    note = read_note(plan)
    farm = build_farm(read_book(book), today=_today(note))
    check_same_farm(plan, str(note.get("farm", farm.name)), farm.name)
    read = read_plan(plan, farm.calendar)
    faults = faults_told(farm, read)
    if faults:
        click.echo(f"{counted(faults, 'fault')} in the plan; mend its tables, or plan again", err=True)
        if _is_of_another_book(book, plan):
            click.echo(
                f"The plan was made from another book: raftway audit {typed(plan / 'book')} {typed(plan)} "
                "judges it by its own",
                err=True,
            )
        ctx.exit(BREAKS_A_RULE)
    click.echo(SOUND.format(", and ".join(_not_judged(read))))


def _not_judged(plan: "Plan") -> list[str]:
    """Return what no rule says of a plan."""
    from scheduler.plan.exact import tells_all
    from scheduler.plan.worth import CHANGE as CHANGE_LEVEL

    older = bool(plan.goals) and not tells_all(plan)
    again = any(goal.level == CHANGE_LEVEL for goal in plan.goals)
    return [*([OLDER] if older else []), *([CHANGE] if again else []), NOTES]


def _is_of_another_book(book: Path, plan: Path) -> bool:
    """Say whether the copy of its book in the plan's folder says something else than a book."""
    own = plan / "book"
    if not own.is_dir():
        return False
    from scheduler.book.book import read_raw
    from scheduler.book.faults import BookFaults
    from scheduler.book.plain_copy import book_copy, book_digest

    try:
        theirs, ours = (book_digest(book_copy(read_raw(each))) for each in (book, own))
    except BookFaults:
        return False
    return theirs != ours


def _check_order(book: Path, plan: Path) -> None:
    """Tell a plan folder from a book where one stands in the place of the other."""
    if is_plan(book):
        raise click.UsageError(
            f"{book} looks like a plan folder; the book comes first: raftway audit BOOK PLAN"
        )
    if not plan.is_dir():
        raise click.UsageError(f"{plan} is a file; name the folder that raftway plan wrote")


def _today(note: dict[str, Any]) -> date | None:
    """Return the day the plan was made for, so that it is judged as it was made."""
    try:
        return date.fromisoformat(str(note.get("today")))
    except ValueError:
        return None
