"""New entries held against the log: all of them can be, or none is taken and every fault is told."""

import json
from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from datetime import date, timedelta
from itertools import count

from scheduler.book.faults import BookFaults, Fault, FaultLog, quoted
from scheduler.book.place import Cell
from scheduler.farm.crops import StageKind
from scheduler.farm.farm import Farm, Growing
from scheduler.farm.units import ceil_div, spread
from scheduler.records.applying import apply
from scheduler.records.corrections import number_of
from scheduler.records.drafts import Draft, Told, draft_of
from scheduler.records.entries import (
    CLOSED,
    CULLED,
    FOUND,
    LAST,
    LOST,
    MOVED,
    SOWN,
    WITHDRAWN,
    Entry,
    InForce,
    Logged,
    Put,
    in_force,
)
from scheduler.records.ground import Ground
from scheduler.records.resolver import Resolver
from scheduler.records.resolving import completed
from scheduler.records.yard import Refused, Yard

AHEAD = 730
"""Days that a closure may be told ahead."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Judged:
    """What becomes of some entries.

    Attributes:
        new: complete entries to write, in the order they were told.
        known: how many were in the log already, word for word.
    """

    new: tuple[Entry, ...]
    known: int


def opening_entries(farm: Farm) -> list[Entry]:
    """Return what the book says was growing on its first day, as the entries that a log begins with."""
    entries = []
    taken = _told_slots(farm)
    shared: dict[str, Put] = {}
    for number, row in enumerate(farm.growing, start=1):
        if row.together in shared:
            # it stands in the unit of the row before: the last raft of its lane, or that slot
            first = shared[row.together]
            puts: tuple[Put, ...] = (Put(first.place, first.slot or LAST, row.plants),)
        else:
            puts = tuple(_found_puts(farm, row, taken))
            shared.update({row.together: puts[0]} if row.together else {})
        entries.append(
            Entry(
                op=f"found {farm.calendar.first_day} {number}",
                what=FOUND,
                day=farm.calendar.first_day,
                lot=row.lot,
                crop=row.crop,
                stage=row.stage.value,
                to=puts,
                plants=row.plants,
                since=farm.date_of(row.since),
                cuts=row.cuts_done,
                last_cut=None if row.last_cut is None else farm.date_of(row.last_cut),
            )
        )
    return entries


def _told_slots(farm: Farm) -> dict[str, set[int]]:
    """Return place -> slots in which the book has trays or boards."""
    told: dict[str, set[int]] = defaultdict(set)
    for row in farm.growing:
        if row.stage in (StageKind.TRAY, StageKind.BOARD) and row.order:
            told[row.place].update(range(row.order, row.order + row.units))
    return told


def _found_puts(farm: Farm, row: Growing, taken: dict[str, set[int]]) -> Iterator[Put]:
    """Yield the units of a growing row, full ones first; trays and boards get slots if a place is named."""
    if row.stage is StageKind.BED:
        # a position that is empty has no plant to record
        yield from (Put(row.place, row.order + at, 1) for at in range(row.plants))
        return
    is_raft = row.stage is StageKind.RAFT
    numbered = any(place.name == row.place for place in farm.places) and not is_raft
    for at, plants in enumerate(spread(row.plants, row.units, ceil_div(row.plants, row.units))):
        slot = row.order + at if row.order and not is_raft else 0
        if numbered and not slot:
            slot = next(slot for slot in count(1) if slot not in taken[row.place])
            taken[row.place].add(slot)
        yield Put(row.place, slot, plants)


def judge(farm: Farm, log: Sequence[Logged], told: Sequence[Told], today: date) -> Judged:
    """Return what is to be written of some entries.

    An entry that is written late takes its place by its day: all that follows must still be possible.

    Args:
        farm: the farm, for names and for what an entry leaves out.
        log: all entries so far.
        told: the new ones.
        today: no entry but a closure may lie after it.

    Raises:
        BookFaults: some of them cannot be; every fault that could be seen, each with its place.
    """
    faults = FaultLog()
    ground = Ground(farm)
    drafts = [draft for each in told if (draft := draft_of(each, ground, faults)) is not None]
    opening = [] if log else opening_entries(farm)
    first = min([farm.calendar.first_day, *(each.entry.day for each in log)])
    known = {each.entry.op: each for each in log}
    fresh = list(_unknown(drafts, known, faults))
    desk = _Desk(log=log, opening=opening, first=first, today=today, faults=faults)
    numbered = desk.numbered(fresh)
    new = _gone_through(Resolver(ground), desk, numbered)
    if faults:
        raise BookFaults(faults, more_may_show=True)
    return Judged(new=(*opening, *new), known=len(drafts) - len(fresh))


def judge_what_can_be(
    farm: Farm, log: Sequence[Logged], told: Sequence[Told], today: date
) -> tuple[Judged, tuple[Fault, ...]]:
    """Return what is to be written of those entries that can be, and the faults of the others.

    All entries of one place go or stay together, so that of a delivery from two lots no half is taken.

    Args:
        farm: the farm.
        log: all entries so far.
        told: the new ones.
        today: no entry but a closure may lie after it.

    Raises:
        BookFaults: an entry of the log could not have happened after what is new before it.
    """
    left, faults = list(told), list[Fault]()
    while True:
        try:
            return judge(farm, log, left, today), tuple(faults)
        except BookFaults as damaged:
            wrong = {fault.place for fault in damaged.faults}
            staying = [each for each in left if each.where not in wrong]
            if len(staying) == len(left):
                raise
            asked = {each.where for each in left}
            faults += [fault for fault in damaged.faults if fault.place in asked]
            left = staying


def _unknown(drafts: Sequence[Draft], known: Mapping[str, Logged], faults: FaultLog) -> Iterator[Draft]:
    """Yield the drafts that are not in the log; one told in other words than before is a fault.

    Who did it is no other word: two may hand in the same sheet, and the first name stays.
    """
    told: dict[str, str] = {}
    for draft in drafts:
        op, given = draft.entry.op, draft.entry.given
        logged = known.get(op)
        if logged is None and op not in told:
            told[op] = given
            yield draft
            continue
        before = logged.entry.given if logged else told[op]
        if differing := _differing(before, given):
            found = f"an entry that was told before in other words ({', '.join(differing)})"
            expected = "the same words, or a correction of it"
            if logged is not None:
                expected = f"the same words, or: {_instead(draft.entry)} {logged.number}"
            faults.add(draft.where, found, expected, "told-otherwise")


def _instead(entry: Entry) -> str:
    """Return the command that makes good what was told otherwise: what nothing was done of never happened."""
    nothing = entry.plants == 0 and entry.what in (SOWN, MOVED, LOST, CULLED)
    return "withdraw" if nothing else "correct"


def _differing(before: str, now: str) -> list[str]:
    """Return what an entry told again was before, where it now is otherwise: ``plants: '98'``."""
    was, is_now = (json.loads(given or "{}") for given in (before, now))
    names = [name for name in was | is_now if name != "who" and was.get(name) != is_now.get(name)]
    return [
        f"{name.replace('_', ' ')}: {quoted(str(was[name])) if name in was else 'none'}" for name in names
    ]


@dataclass(slots=True, kw_only=True)
class _Desk:
    """What new entries are held against."""

    log: Sequence[Logged]
    opening: Sequence[Entry]
    first: date
    today: date
    faults: FaultLog
    drafts: dict[int, Draft] = field(default_factory=dict)
    entries: dict[int, Entry] = field(default_factory=dict)

    def numbered(self, fresh: Sequence[Draft]) -> list[InForce]:
        """Give the new entries their numbers, and return all that hold in the order they happened."""
        self.entries = {each.number: each.entry for each in self.log}
        self.entries.update(enumerate(self.opening, start=1))
        number = max(self.entries, default=0)
        for draft in fresh:
            corrects = self._corrected(draft) if draft.corrects else 0
            if corrects is None or not self._day_fits(draft):
                continue
            number += 1
            entry = replace(draft.entry, corrects=corrects)
            if corrects and entry.due is None and entry.what == self.entries[corrects].what:
                # what the plan had stays so, however it went
                entry = replace(entry, due=self.entries[corrects].due, wanted=self.entries[corrects].wanted)
            if entry.what == WITHDRAWN:
                entry = replace(entry, lot=self.entries[corrects].lot)
            self.drafts[number] = replace(draft, entry=entry)
            self.entries[number] = entry
        return in_force(self.entries.items())

    def _corrected(self, draft: Draft) -> int | None:
        """Return the number of the entry a draft stands in for; None when it may not."""
        try:
            number = number_of(draft.corrects, self.entries)
        except Refused as refused:
            self._refuse(draft, refused)
            return None
        entry = self.entries[number]
        later = next((n for n, other in self.entries.items() if other.corrects == number), None)
        if later is not None:
            what = self.entries[later].what
            did = "withdrawn" if what == WITHDRAWN else "corrected"
            expected = f"entry {later}" if what != WITHDRAWN else "an entry that holds"
            found = f"entry {number}, {did} already by entry {later}"
            self._refuse(draft, Refused("corrects", found, expected, "corrected-already"))
            return None
        if entry.what == WITHDRAWN:
            found = f"entry {number}, which only withdraws another"
            self._refuse(draft, Refused("corrects", found, "an entry of what was done", "no-entry"))
            return None
        return number

    def _day_fits(self, draft: Draft) -> bool:
        day, what = draft.entry.day, draft.entry.what
        last = self.today + timedelta(days=AHEAD) if what == CLOSED else self.today
        if self.first <= day <= last or what == WITHDRAWN:
            return True
        expected = f"a day from {self.first}, on which the records begin, to {last}"
        if self.first > last:
            expected = f"nothing yet: the records begin on {self.first}, which is still to come"
        self._refuse(draft, Refused("when", str(day), expected, "bad-day"))
        return False

    def _refuse(self, draft: Draft, refused: Refused) -> None:
        self.faults.extend([draft.fault(refused)])


def _gone_through(resolver: Resolver, desk: _Desk, numbered: Sequence[InForce]) -> list[Entry]:
    """Let all entries happen in their order, and complete the new ones on the way.

    What follows a refused entry of the same lot is not judged: it may be wrong only because of it.
    """
    yard, unsure = Yard(), set[str]()
    done: dict[int, Entry] = {}
    for each in numbered:
        entry, draft = each.entry, desk.drafts.get(each.number)
        if entry.lot in unsure and entry.lot:
            continue
        try:
            if draft is not None:
                entry = completed(resolver, draft, yard)
                done[each.number] = entry
            apply(yard, entry, each.number)
        except Refused as refused:
            unsure.update({entry.lot, *_sharing(yard, entry)})
            if draft is not None:
                desk.faults.extend([draft.fault(refused)])
            else:
                desk.faults.extend([_no_longer(each, refused)])
    return [done.get(number, draft.entry) for number, draft in desk.drafts.items()]


def _sharing(yard: Yard, entry: Entry) -> set[str]:
    """Return the lots that share units with a lot."""
    return {held.lot for unit in yard.holding(entry.lot) for held in unit.held} if entry.lot else set()


def _no_longer(each: InForce, refused: Refused) -> Fault:
    """Return the fault of an entry in the log that could not have happened after what is new before it."""
    entry = each.entry
    what = f"{entry.what} {entry.lot}".strip()
    return Fault(
        place=Cell(f"entry {each.number} ({what}, {entry.day})"),
        found=refused.found,
        expected=f"{refused.expected}; correct that entry too, or change what is new",
        code="no-longer",
    )
