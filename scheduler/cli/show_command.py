"""``raftway show``: answers from a finished plan, each on one screen."""

import re
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from scheduler.cli.completing import question as question_words
from scheduler.cli.opening import day_in_plan
from scheduler.cli.pages import show_page
from scheduler.cli.telling import as_wrong_use
from scheduler.cli.values import DAY, PLAN

if TYPE_CHECKING:
    from scheduler.farm.farm import Farm

WITH_DATE = ("week", "day")
ALONE = ("today", "short", "money")
WRITTEN_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")

HELP = """Show what PLAN, a folder that raftway plan wrote, says about one thing.

\b
QUESTION is one of
  week [DATE]      the work of a week, day by day
  today, day DATE  the work of one day, every task
  crop NAME        where it stands, what is sown next, heads by week
                   and for whom
  customer NAME    its deliveries, their state and their lots
  share NAME       the boxes of a share: what is in them, what they lack
  tier, zone NAME  a tier's or board zone's slots on the day, what comes
                   and goes, and what stands there week by week
  row NAME         a row's slots on the day, and what comes, is cut and leaves
  lot CODE         its way from seed to delivery
  short            the deliveries that are not filled, and why
  money            what each crop earns for the space it takes

Without QUESTION it prints what there is to ask about. A target goes as a customer; lane and bed are other
words for row, which takes a tier or board zone too. After the name of any of these but a lot a DATE may
follow: what stands, comes and goes as seen on that day, as with --today.
"""


@click.command(
    help=HELP,
    short_help="Answer a question about a plan on one screen.",
    epilog="Example: raftway show plan crop Basil",
)
@click.argument("plan", type=PLAN)
@click.argument("question", nargs=-1, shell_complete=question_words)
@click.option(
    "--today",
    type=DAY,
    metavar="DATE",
    help="See the plan from this day.  [default: today, or the plan's first day]",
)
def show(plan: Path, question: tuple[str, ...], today: date | None) -> None:
    """Answer one question about a plan, see HELP."""
    from scheduler.outputs.saved import open_plan
    from scheduler.outputs.show.answer import answer, tables_for
    from scheduler.outputs.show.finding import NotFound

    word, rest = (question[0].lower(), question[1:]) if question else ("", ())
    rest, today = _dated(word, rest, today)
    _check_form(word, rest)
    farm, found = open_plan(plan, tables_for(word))
    name = "" if word in WITH_DATE else " ".join(rest)
    day = _day(farm, word, DAY.convert(rest[0], None, None) if word in WITH_DATE and rest else today)
    with as_wrong_use(NotFound):
        show_page(answer(farm, found, word, name, day))


def _dated(word: str, rest: tuple[str, ...], today: date | None) -> tuple[tuple[str, ...], date | None]:
    """Return a name without the date behind it, and the day the plan is seen from.

    Raises:
        click.UsageError: another day is given as an option, or there is no such day.
    """
    from scheduler.outputs.show.answer import NAMED

    if word not in NAMED or word == "lot" or len(rest) < 2 or not WRITTEN_DAY.fullmatch(rest[-1]):
        return rest, today
    if today is not None:
        raise click.UsageError(f"{rest[-1]} and --today {today}: give one of the two")
    return rest[:-1], DAY.convert(rest[-1], None, None)


def _check_form(word: str, rest: tuple[str, ...]) -> None:
    """Make sure a question has the words it needs.

    Raises:
        click.UsageError: a name or date is missing, or one too many.
    """
    from scheduler.outputs.show.answer import NAMED

    if word in ALONE and rest:
        raise click.UsageError(f"{word} stands alone; leave out what follows it")
    if word in WITH_DATE and len(rest) > 1:
        raise click.UsageError(f"{word} takes one date, such as {word} 2026-03-09")
    if word == "day" and not rest:
        raise click.UsageError("say which day, such as day 2026-03-09")
    if word in NAMED and not rest:
        raise click.UsageError(f"say which {NAMED[word][0]}; raftway show PLAN lists what there is")


def _day(farm: "Farm", word: str, asked: date | None) -> int:
    """Return the day a plan is seen from: the one asked for, else today, else the plan's first.

    Raises:
        click.UsageError: the day asked for, or today when that is asked for, lies outside the plan.
    """
    day = asked or date.today()
    if asked is None and word != "today" and not 0 <= farm.calendar.day_of(day) < farm.calendar.days:
        return farm.today
    return day_in_plan(farm, day, f"name a day of it, such as day {farm.date_of(farm.today)}")
