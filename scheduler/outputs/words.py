"""Words that every output uses for the work of a day, so that phone, screen and paper say the same."""

from collections.abc import Sequence
from dataclasses import dataclass

from scheduler.plan.rows import TaskRow
from scheduler.plan.words import counted, worth_listing

__all__ = ["LOCAL", "WORK", "Words", "counted", "headline", "plain", "task_line", "work_order"]

LOCAL = "Local rules and licensed practice decide."

_LIFT = "Wet rafts are heavy: lift with two."
_POWER = "Keep plugs and cords away from the water."
_KNIVES = "Clean hands and clean knives."
_SEED = "Treated seed: never for microgreens."


@dataclass(frozen=True, slots=True)
class Words:
    """How one kind of work is said: ``verb`` and what is counted; ``cautions`` stand under the list."""

    verb: str
    noun: str
    counts_units: bool
    plants: str
    cautions: tuple[str, ...] = ()


WORK = {
    "order": Words("Order", "pack", True, "piece", (_SEED,)),
    "soak": Words("Soak seed for", "tray", True, "cell", (_SEED,)),
    "sow": Words("Sow", "tray", True, "cell", (_SEED,)),
    "uncover": Words("Uncover", "tray", True, "cell", (_POWER,)),
    "thin": Words("Thin", "tray", True, "cell", (_POWER,)),
    "transplant": Words("Plant", "board", True, "plant", (_POWER,)),
    "raft": Words("Plant", "raft", True, "plant", (_LIFT, _POWER)),
    "cut": Words("Cut", "head", False, "head", (_KNIVES, _LIFT, _POWER)),
    "lift": Words("Lift out", "raft", True, "plant", (_LIFT, _POWER)),
    "discard": Words("Throw away", "plant", False, "plant", (_LIFT,)),
    "deliver": Words("Deliver", "unit", False, "unit"),
}
"""Kind of work -> its words, in the order of a day's work (discarding aside)."""


def plain(text: str) -> str:
    """Return a grower's text on one line and without signs that could steer a terminal or a calendar."""
    return "".join(sign if sign.isprintable() else " " for sign in text)


def work_order(work: str) -> tuple[int, str]:
    """Return where a kind of work stands in the order of a day; unknown kinds come last, by name."""
    return (list(WORK).index(work) if work in WORK else len(WORK), work)


def headline(work: str, tasks: Sequence[TaskRow], names: int = 3) -> str:
    """Return one line for all tasks of one kind of work on one day, such as ``Sow 8 trays: Basil, Chard``.

    Args:
        work: the kind of work.
        tasks: the tasks.
        names: how many crops are named before the rest is only counted.
    """
    words = WORK.get(work, Words(plain(work).capitalize(), "piece", True, "plant"))
    number = sum(task.units if words.counts_units else task.plants for task in tasks)
    crops = list(dict.fromkeys(plain(task.crop) for task in tasks if task.crop))
    said = f"{words.verb} {counted(number, words.noun)}" if number else words.verb.removesuffix(" for")
    if not crops:
        return said
    named = worth_listing(len(crops), names)
    more = f" and {len(crops) - named} more" if len(crops) > named else ""
    return f"{said}: {', '.join(crops[:named])}{more}"


def task_line(task: TaskRow) -> str:
    """Return one line that says all of a task: lot, crop, how many, from where, to where, note."""
    words = WORK.get(task.work, Words("", "piece", True, "plant"))
    what = " ".join(plain(each) for each in (task.lot, task.crop) if each)
    many = []
    if task.units:
        many.append(
            f"{task.units:,} x {plain(task.unit_kind)}" if task.unit_kind else counted(task.units, words.noun)
        )
    if task.plants:
        many.append(counted(task.plants, words.plants))
    line = ": ".join(each for each in (what, ", ".join(many)) if each)
    if task.where:
        line += f"; {'at' if not task.to else 'from'} {plain(task.where)}"
    if task.to:
        line += f"{';' if not task.where else ''} to {plain(task.to)}"
    return f"{line}. {plain(task.note)}" if task.note else line
