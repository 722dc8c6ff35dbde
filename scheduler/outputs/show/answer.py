"""From a question to a page: what is asked for, of which name, seen from which day."""

from collections.abc import Callable, Iterable, Iterator

from rich.text import Text

from scheduler.book.names import nearest
from scheduler.farm.farm import Farm
from scheduler.outputs.screen import heading
from scheduler.outputs.show.boxes import share_parts
from scheduler.outputs.show.crops import crop_parts
from scheduler.outputs.show.customers import customer_parts, short_parts, states_in_words
from scheduler.outputs.show.finding import NotFound, named
from scheduler.outputs.show.lots import lot_page
from scheduler.outputs.show.money import money_page
from scheduler.outputs.show.page import Part, row, table, titled
from scheduler.outputs.show.places import place_parts
from scheduler.outputs.show.work import day_page, week_page
from scheduler.outputs.words import counted, date_in_text, day_in_text, plain, some
from scheduler.plan.rows import TABLES, Plan
from scheduler.plan.views.overview import Overview, overview

NAMES = 12
DATED = {"week": week_page, "day": day_page, "today": day_page}
NAMED: dict[str, tuple[str, Callable[[Overview], tuple[str, ...]]]] = {
    "crop": ("crop", lambda found: found.crops),
    "customer": ("customer or target", lambda found: found.customers),
    "share": ("share", lambda found: found.shares),
    "tier": ("tier", lambda found: found.tiers),
    "zone": ("board zone", lambda found: found.zones),
    "row": ("row, board zone or tier", lambda found: found.places),
    "lane": ("row, board zone or tier", lambda found: found.places),
    "bed": ("bed, row, board zone or tier", lambda found: found.places),
    "lot": ("lot", lambda found: found.lots),
}
"""Word -> what it names, and the names there are; a grower says row for what the code calls lane."""

WORDS = (*DATED, *NAMED, "short", "money")

WORK = ("tasks", "hours")
ASKS: dict[str, tuple[str, ...]] = {
    **dict.fromkeys(DATED, WORK),
    "short": ("demands",),
    "": ("lots", "demands", "tasks", "outlets"),
}
"""Word -> the tables of a plan that its page is made of; those left out need all of them.

A plan of two years on 400 rows takes 14 s to read, its tasks 2 s (measured).
"""


def tables_for(word: str) -> tuple[str, ...]:
    """Return the tables of a plan that :func:`answer` looks at for a word."""
    return ASKS.get(word, tuple(TABLES))


def answer(farm: Farm, plan: Plan, word: str, name: str, day: int) -> Iterable[Part]:
    """Return the page that answers a question.

    Args:
        farm: the farm.
        plan: its plan, at least with the tables of :func:`tables_for`.
        word: one of :data:`WORDS`; anything else, or nothing, brings the overview or an error.
        name: of the crop, customer, place or lot; empty for the others.
        day: day number it is seen from.

    Raises:
        NotFound: there is no such word or name; the message says what there is.
    """
    if word in DATED:
        return DATED[word](farm, plan, day)
    if word == "short":
        return short_parts(farm, plan)
    if word == "money":
        return money_page(farm, plan)
    found = overview(farm, plan, day)
    if not word:
        return overview_page(farm, found)
    if word not in NAMED:
        raise NotFound(_unknown(found, f"{word} {name}".strip()))
    what, names = NAMED[word]
    meant = named(name, names(found), what)
    if word == "lot":
        return lot_page(farm, plan, meant)
    pages = {"crop": crop_parts, "customer": customer_parts, "share": share_parts}
    return pages.get(word, place_parts)(farm, plan, meant, day)


def _unknown(found: Overview, asked: str) -> str:
    """Say what can be shown, and under which word a name stands if it is one."""
    for word, (what, names) in NAMED.items():
        try:
            name = named(asked, names(found), what)
        except NotFound:
            continue
        return f"say what '{plain(name)}' is: {word} {plain(name)}"
    words = asked.split()
    near = nearest(words[0], WORDS) if words else None
    meant = f"did you mean '{plain(' '.join([near, *words[1:]]))}'? There" if near else "there"
    return f"'{plain(asked)}' is nothing that can be shown; {meant} is {', '.join(WORDS)}"


def overview_page(farm: Farm, found: Overview) -> Iterator[Part]:
    """Yield what the plan holds and what can be shown of it."""
    calendar = farm.calendar
    yield heading(f"{plain(farm.name)}: {date_in_text(farm, 0)} to {date_in_text(farm, calendar.days - 1)}")
    yield Text(f"Deliveries: {states_in_words(found.deliveries)}")
    if found.next_work_day is not None:
        yield Text(f"Next work: {day_in_text(farm, found.next_work_day)}")
    yield titled("What can be shown")
    lines = table("word", "rest")
    row(lines, "week [DATE]", "the work of a week, day by day in sums")
    row(lines, "today, day DATE", "the work of one day, every task of it")
    row(lines, "crop NAME", some(found.crops, NAMES))
    row(lines, "customer NAME", some(found.customers, NAMES))
    if found.shares:
        row(lines, "share NAME", some(found.shares, NAMES))
    for word, names in (
        ("tier", found.tiers),
        ("zone", found.zones),
        ("row", found.rows),
        ("bed", found.beds),
    ):
        if names:
            row(lines, f"{word} NAME", some(names, NAMES))
    such = f", such as {found.lots[0]}" if found.lots else ""
    row(lines, "lot CODE", f"one of {counted(len(found.lots), 'lot')}{such}")
    row(lines, "short", "the deliveries that are not filled, and why")
    row(lines, "money", "what each crop earns for the space it takes")
    yield lines
