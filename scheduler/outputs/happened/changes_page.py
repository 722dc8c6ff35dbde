"""What planning again has changed, on one screen."""

from collections.abc import Iterator, Sequence
from datetime import timedelta

from rich.text import Text

from scheduler.farm.dates import short_day
from scheduler.farm.farm import Farm
from scheduler.outputs.screen import heading
from scheduler.outputs.show.page import Part, row, table, titled
from scheduler.outputs.words import WORK, counted, date_in_text, day_in_text, plain
from scheduler.plan.rows import ChangeRow, Plan
from scheduler.plan.words import cell_word, word_of_heads, worth_listing

MOST = 8
"""Lines of one kind before the rest is counted; changes.csv has them all."""

HEADS = {
    "newly short": "Newly short",
    "newly safe": "Newly safe",
    "moved": "Moved",
    "added": "Added",
    "dropped": "Dropped",
    "less": "Less",
    "more": "More",
}

VERBS = {"sow": "sow", "transplant": "onto boards", "raft": "onto rafts", "plant": "into beds", "cut": "cut",
         "pick": "pick", "clear": "pull out",
         "discard": "throw away", "deliver": "deliver"}  # fmt: skip
NOUNS = {"deliver": "unit"}


def changes_page(farm: Farm, plan: Plan) -> Iterator[Part]:
    """Yield the parts of the page: what is short and safe first, then work that changed."""
    yield heading(f"{plain(farm.name)}: planned again from {date_in_text(farm, farm.today)}")
    yield from promised_lines(farm, plan.changes)
    if not plan.changes:
        yield Text("Nothing else than in the plan before.")
    for change, said in HEADS.items():
        rows = [each for each in plan.changes if each.change == change]
        if not rows:
            continue
        yield titled(f"{said}: {len(rows):,}")
        lines = table("days", "rest")
        shown = worth_listing(len(rows), MOST)
        for each in rows[:shown]:
            row(lines, days_of(farm, each), what_of(farm, each))
        yield lines
        if len(rows) > shown:
            yield Text(f"and {len(rows) - shown:,} more, see changes.csv")


def promised_lines(farm: Farm, rows: Sequence[ChangeRow]) -> Iterator[Text]:
    """Yield what became of the work of the days that were to stay as planned."""
    days = farm.rules.freeze_days
    if not days:
        return
    last = farm.date_of(farm.today) + timedelta(days=days - 1)
    until = f"through {short_day(last)}"
    broken = sum(each.promised for each in rows)
    if broken:
        could = "could not stay as it was" if broken == 1 else "could not stay as they were"
        yield Text(f"Of the work promised {until}, {counted(broken, 'task')} {could}; marked * below")
    else:
        yield Text(f"All work promised {until} stays as it was")


def days_of(farm: Farm, each: ChangeRow) -> str:
    """Return the day, or the day before and now."""
    days = [day_in_text(farm, day) for day in (each.day_before, each.day) if day is not None]
    mark = "*" if each.promised else ""
    return (f"{days[0]} -> {days[-1]}" if len(days) > 1 and days[0] != days[-1] else days[-1]) + mark


def what_of(farm: Farm, each: ChangeRow) -> str:
    """Return what is done with what, and how many."""
    noun = cell_word(farm, each.of) if each.work == "sow" else NOUNS.get(each.work, "plant")
    if each.work in ("cut", "pick"):
        noun = word_of_heads(farm, each.of)
    amount = counted(each.now or each.before, noun)
    if each.before and each.now and each.before != each.now:
        amount = f"{counted(each.now, noun)} instead of {each.before:,}"
    verb = VERBS.get(each.work, WORK[each.work].verb if each.work in WORK else each.work)
    said = f"{verb} {plain(each.item)}, {plain(each.of)}: {amount}"
    return f"{said} {plain(each.note)}" if each.note else said
