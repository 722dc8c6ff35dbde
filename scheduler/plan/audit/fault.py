"""What the audit says: one rule broken, where, when, by whom and by how much."""

from collections import defaultdict
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from types import MappingProxyType

from scheduler.plan.words import worth_listing

RULES: Mapping[str, str] = MappingProxyType(
    {
        "slots": "Every unit stands in one slot of one place each day, trays never on tiers kept for others, "
        "no slot holds two units, and no place holds more units than it has slots open.",
        "lane order": "A raft stays in one row that its crop may use, "
        "and leaves it no earlier than the rafts that entered before it, unless rafts may be lifted out.",
        "rest": "A row that rests between crops stays empty for its days of rest "
        "before another crop comes in.",
        "beds": "Plants in a bed keep their positions from the day they are set in to the end of clean-up, "
        "no position holds two plants, and every position is open all that time.",
        "stage days": "Plants stay in trays and on boards at least their days at the pace of the place, "
        "and at most their days and wait.",
        "whole units": "Seed, cells, rows and holes are whole and never more than a unit has; "
        "plants that move on, and heads that are sold, are never more than losses leave.",
        "work days": "Sowing, setting out, cutting and picking are done only on the farm's days for that "
        "work, from today on, and sowing inside the crop's sowing windows.",
        "heat": "Where the book refuses heat, nothing is sown that, moving on without a wait, would stand "
        "in air warmer than its crop bears before its first harvest day, in any place it may go.",
        "equipment": "Trays, boards, rafts and domes in use or being washed are never more than are owned.",
        "fresh": "Heads are cut within the harvest window, cut again within theirs, "
        "and delivered no older than the customer allows.",
        "picking": "Plants in a bed are picked only on their crop's picking days within its picking weeks, "
        "and never more of a week than its curve gives, rounded down over the lot.",
        "products": "A delivery gets the product it asks for, or one that the book lets stand in for it, "
        "made of the crops that product is made of and of no more heads than that takes; "
        "a unit of a mix holds all its parts.",
        "boxes": "All boxes of a share hold the same in a week, on whichever of its days they go out, "
        "but for places that may be split; a place holds only what is of its category, "
        "and on all those days no more products than it may; "
        "nothing comes twice in a box or oftener than it may, and no box is worth too much.",
        "outlets": "An outlet sells only on its days, of heads that no delivery gets, "
        "and no more in a week than it takes.",
        "growing": "What grows on the first day appears once, keeps its place and age, is not cut before "
        "the day the book allows, and what of it is thrown away or overdue is said.",
        "hours": "Work on a day never takes more than chores leave of the crew's hours.",
        "coolers": "Heads cut before the day of their delivery stand in crates of one crop, in coolers as "
        "cold as it bears, and never in more crates than those have places for.",
        "bookkeeping": "The plan's tables agree with each other and with the book.",
    }
)
"""Rule name -> what every plan keeps, in one sentence."""


@dataclass(frozen=True, slots=True, kw_only=True)
class AuditFault:
    """One rule that a plan breaks.

    Attributes:
        rule: a name of ``RULES``.
        where: the place, lot, raft, kind of equipment, demand or table concerned.
        when: the (first) date concerned, None when it has none.
        message: who, how much, and how much may be.
    """

    rule: str
    where: str
    when: date | None
    message: str

    def __str__(self) -> str:
        when = "" if self.when is None else f" | {self.when.isoformat()}"
        return f"{self.rule} | {self.where}{when}: {self.message}"


def fault_lines(faults: Iterable[AuditFault], each: int = 10) -> list[str]:
    """Return faults as lines of text, at most ``each`` of one rule and then a count of the rest."""
    by_rule: dict[str, list[str]] = defaultdict(list)
    for fault in faults:
        by_rule[fault.rule].append(str(fault))
    listed = {rule: worth_listing(len(lines), each) for rule, lines in by_rule.items()}
    left = {rule: len(lines) - listed[rule] for rule, lines in by_rule.items()}
    return [
        *(line for rule, lines in by_rule.items() for line in lines[: listed[rule]]),
        *(f"{rule}: {number} more" for rule, number in left.items() if number),
    ]
