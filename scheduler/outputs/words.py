"""Words that every output uses for the work of a day, so that phone, screen and paper say the same."""

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from scheduler.farm.farm import Farm
from scheduler.farm.units import CENT
from scheduler.plan.rows import TaskRow
from scheduler.plan.views.weeks_total import task_heads
from scheduler.plan.words import counted, head_word, worth_listing

__all__ = ["WORK", "Words", "counted", "harmless", "headline", "money", "plain", "task_line", "work_order"]


@dataclass(frozen=True, slots=True)
class Words:
    """How one kind of work is said: ``verb``, and what is counted."""

    verb: str
    noun: str
    counts_units: bool
    plants: str


HARVESTS = ("cut", "pick")
"""Kinds of work that bring what is sold."""

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
"""Kind of work -> its words, in the order of a day's work (discarding aside)."""


def plain(text: str) -> str:
    """Return a grower's text on one line and without signs that could steer a terminal or a calendar."""
    return "".join(sign if sign.isprintable() else " " for sign in text)


def money(farm: Farm, hundredths: int | Fraction) -> str:
    """Return an amount of money with the farm's currency, such as ``1,234.50 EUR``."""
    return f"{float(hundredths) / CENT:,.2f} {plain(farm.currency)}".rstrip()


def harmless(text: str) -> str:
    """Return a message of several lines without signs that could steer a terminal."""
    return "\n".join(plain(line) for line in text.split("\n"))


def work_order(work: str) -> tuple[int, str]:
    """Return where a kind of work stands in the order of a day; unknown kinds come last, by name."""
    return (list(WORK).index(work) if work in WORK else len(WORK), work)


def headline(farm: Farm, work: str, tasks: Sequence[TaskRow], names: int = 3) -> str:
    """Return one line for all tasks of one kind of work on one day, such as ``Sow 8 trays: Basil, Chard``.

    Args:
        farm: the farm.
        work: the kind of work.
        tasks: the tasks.
        names: how many crops are named before the rest is only counted.
    """
    words = WORK.get(work, Words(plain(work).capitalize(), "piece", True, "plant"))
    number = sum(task.units if words.counts_units else task_heads(farm, task) for task in tasks)
    crops = list(dict.fromkeys(plain(task.crop) for task in tasks if task.crop))
    noun = words.noun
    if work == "pick" and all(_is_weighed(farm, task) for task in tasks):
        number, noun = sum(task.plants for task in tasks), "g"
    said = f"{words.verb} {counted(number, noun)}" if number else words.verb.removesuffix(" for")
    if not crops:
        return said
    named = worth_listing(len(crops), names)
    more = f" and {len(crops) - named} more" if len(crops) > named else ""
    return f"{said}: {', '.join(crops[:named])}{more}"


def _is_weighed(farm: Farm, task: TaskRow) -> bool:
    crop = farm.crops.get(task.crop)
    return crop is not None and crop.is_sold_by_mass


def task_line(farm: Farm, task: TaskRow) -> str:
    """Return one line that says all of a task: lot, crop, how many, from where, to where, note."""
    words = WORK.get(task.work, Words("", "piece", True, "plant"))
    what = " ".join(plain(each) for each in (task.lot, task.crop) if each)
    many = []
    if task.units:
        many.append(
            f"{task.units:,} x {plain(task.unit_kind)}" if task.unit_kind else counted(task.units, words.noun)
        )
    if task.plants:
        crop = farm.crops.get(task.crop) if task.work in HARVESTS else None
        many.append(counted(task.plants, words.plants if crop is None else head_word(crop)))
    line = ": ".join(each for each in (what, ", ".join(many)) if each)
    if task.where:
        line += f"; {'at' if not task.to else 'from'} {plain(task.where)}"
    if task.to:
        line += f"{';' if not task.where else ''} to {plain(task.to)}"
    return f"{line}. {plain(task.note)}" if task.note else line
