"""Words all outputs use for names, days, money and work, so that phone, screen and paper say the same."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from fractions import Fraction

from scheduler.book.words import counted
from scheduler.farm.dates import full_day, short_day
from scheduler.farm.farm import Farm
from scheduler.farm.units import CENT, HOUR
from scheduler.plan.rows import TaskRow
from scheduler.plan.views.lines import DAY_ORDER
from scheduler.plan.words import by_word, cell_word, head_word, is_sold_standing, worth_listing

__all__ = [
    "WORK",
    "Words",
    "amount_in_words",
    "counted",
    "date_in_text",
    "day_in_text",
    "harmless",
    "harvest_word",
    "headline",
    "hours_in_text",
    "money",
    "plain",
    "shortened",
    "some",
    "sown_word",
    "task_line",
    "words_for",
    "work_order",
    "work_sum",
]


@dataclass(frozen=True, slots=True)
class Words:
    """How one kind of work is said: ``verb``, and what is counted."""

    verb: str
    noun: str
    counts_units: bool
    plants: str


HARVESTS = ("cut", "pick")
"""Kinds of work that bring what is sold."""

TAKEN_OUT = "Take out"
"""What is done to trays that are sold as they stand, on a day of cutting."""

WORK = {
    "order": Words("Order", "pack", True, "piece"),
    "soak": Words("Soak seed for", "tray", True, "cell"),
    "sow": Words("Sow", "tray", True, "cell"),
    "uncover": Words("Uncover", "tray", True, "cell"),
    "thin": Words("Thin", "tray", True, "cell"),
    "transplant": Words("Plant", "board", True, "plant"),
    "raft": Words("Plant", "raft", True, "plant"),
    "plant": Words("Set into the bed", "plant", False, "plant"),
    "cut": Words("Cut", "head", False, "head"),
    "pick": Words("Pick", "piece", False, "piece"),
    "clear": Words("Pull out", "plant", False, "plant"),
    "clean": Words("Clean between crops", "row", True, "plant"),
    "lift": Words("Lift out", "raft", True, "plant"),
    "discard": Words("Throw away", "plant", False, "plant"),
    "deliver": Words("Deliver", "unit", False, "unit"),
    "chore": Words("Chores", "chore", True, "piece"),
}
"""Kind of work -> its words."""


def plain(text: str) -> str:
    """Return a grower's text on one line and without signs that could steer a terminal or a calendar."""
    if text.isprintable():
        return text
    return "".join(sign if sign.isprintable() else " " for sign in text)


def shortened(text: str, most: int) -> str:
    """Return a text of at most so many letters, with dots where it is cut off."""
    return text if len(text) <= most else f"{text[: most - 3].rstrip()}..."


def money(farm: Farm, hundredths: int | Fraction) -> str:
    """Return an amount of money with the farm's currency, such as ``1,234.50 EUR``."""
    return f"{float(hundredths) / CENT:,.2f} {plain(farm.currency)}".rstrip()


def some(names: Sequence[str], limit: int, between: str = ", ") -> str:
    """Return names, and how many more there are where there are more than ``limit``."""
    shown = worth_listing(len(names), limit)
    more = f" and {len(names) - shown} more" if len(names) > shown else ""
    return between.join(names[:shown]) + more


def day_in_text(farm: Farm, day: int) -> str:
    """Return a day as ``Mon 9 Mar``."""
    return short_day(farm.date_of(day))


def date_in_text(farm: Farm, day: int) -> str:
    """Return a day as ``Mon 9 Mar 2026``."""
    return full_day(farm.date_of(day))


def hours_in_text(hundredths: float) -> str:
    """Return a time in hours with one decimal, such as ``1,234.5``, from hundredths of a minute."""
    return f"{hundredths / HOUR:,.1f}"


def harmless(text: str) -> str:
    """Return a message of several lines without signs that could steer a terminal."""
    return "\n".join(plain(line) for line in text.split("\n"))


def work_order(work: str) -> tuple[int, str]:
    """Return where a kind of work stands in the order of a day, that of the week sheets.

    Unknown kinds come last, by name.
    """
    return (DAY_ORDER.index(work) if work in DAY_ORDER else len(DAY_ORDER), work)


def headline(farm: Farm, work: str, tasks: Sequence[TaskRow], names: int = 3) -> str:
    """Return one line for all tasks of one kind of work on one day, such as ``Sow 8 trays: Basil, Chard``.

    Args:
        farm: the farm.
        work: the kind of work.
        tasks: the tasks.
        names: how many crops are named before the rest is only counted.
    """
    parts = ((task.crop, task.plants) for task in tasks)
    said = work_sum(
        farm, work, (sum(task.units for task in tasks), sum(task.plants for task in tasks)), parts
    )
    crops = list(dict.fromkeys(plain(task.crop) for task in tasks if task.crop))
    if not crops:
        return said
    return f"{said}: {some(crops, names)}"


def work_sum(farm: Farm, work: str, sums: tuple[int, int], parts: Iterable[tuple[str, int]]) -> str:
    """Say how much there is of a kind of work: ``Sow 8 trays``, or ``Cut 8 heads, 640 g``.

    Args:
        farm: the farm.
        work: the kind of work.
        sums: units and plants of all its tasks.
        parts: crop and number of each; heads, pieces and grams that are cut or picked are told by themselves.
    """
    words, verb = words_for(work), words_for(work).verb
    if work in HARVESTS:
        parts = list(parts)
        verb = TAKEN_OUT if are_taken_out(farm, work, (crop for crop, _ in parts)) else verb
        harvested = by_word((harvest_word(farm, work, crop), number) for crop, number in parts)
        amount = ", ".join(counted(number, word) for word, number in harvested.items() if number)
    else:
        number = sums[0] if words.counts_units else sums[1]
        amount = counted(number, words.noun) if number else ""
    return f"{verb} {amount}" if amount else verb.removesuffix(" for")


def are_taken_out(farm: Farm, work: str, crops: Iterable[str]) -> bool:
    """Say whether all of what is cut on a day is sold in its trays as it stands."""
    cut = set(crops)
    return work == "cut" and bool(cut) and all(is_sold_standing(farm, crop) for crop in cut)


def words_for(work: str) -> Words:
    """Return the words for a kind of work; one that is not known is called by its own name."""
    return WORK.get(work) or Words(plain(work).capitalize(), "piece", True, "plant")


def harvest_word(farm: Farm, work: str, crop: str) -> str:
    """Return what one of what is cut or picked of a crop is called; the book may not know the crop."""
    return head_word(farm.crops[crop]) if crop in farm.crops else WORK[work].noun


def amount_in_words(farm: Farm, task: TaskRow) -> str:
    """Say the cells, plants, heads or grams of a task."""
    if task.work in HARVESTS:
        return counted(task.plants, harvest_word(farm, task.work, task.crop))
    return counted(task.plants, sown_word(farm, task.work, task.crop))


def sown_word(farm: Farm, work: str, crop: str) -> str:
    """Return what one of the plants of a kind of work is called: of cells, open trays apart."""
    word = words_for(work).plants
    return cell_word(farm, crop) if word == "cell" else word


def task_line(farm: Farm, task: TaskRow) -> str:
    """Return one line that says all of a task: lot, crop, how many, from where, to where, note."""
    what = " ".join(plain(each) for each in (task.lot, task.crop) if each)
    many = []
    if task.units:
        many.append(
            f"{task.units:,} x {plain(task.unit_kind)}"
            if task.unit_kind
            else counted(task.units, words_for(task.work).noun)
        )
    if task.plants and not (task.units and sown_word(farm, task.work, task.crop) == "tray"):
        many.append(amount_in_words(farm, task))
    line = ": ".join(each for each in (what, ", ".join(many)) if each)
    if task.where:
        line += f"; {'at' if not task.to else 'from'} {plain(task.where)}"
    if task.to:
        line += f"{';' if not task.where else ''} to {plain(task.to)}"
    return f"{line}. {plain(task.note)}" if task.note else line
