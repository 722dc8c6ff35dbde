"""Space: one unit in one slot, slot numbers that exist, and slots of a lane counted from the harvest end."""

from bisect import bisect_right, insort
from collections import defaultdict
from collections.abc import Iterator
from itertools import pairwise

from scheduler.farm.places import Keeps, PlaceKind
from scheduler.plan.audit.fault import AuditFault
from scheduler.plan.audit.ledger import Ledger
from scheduler.plan.audit.runs import runs_over
from scheduler.plan.rows import PositionRow, UnitRow
from scheduler.plan.tally import daily

KEPT_FOR = {Keeps.NURSERY: "the nursery", Keeps.GREENS: "crops that are cut in their trays"}
PLACE_FOR = {"tray": PlaceKind.TIER, "board": PlaceKind.ZONE, "raft": PlaceKind.LANE}


def slots(ledger: Ledger) -> Iterator[AuditFault]:
    """Report units that stand nowhere or twice, places over their slots, and slots that do not fit."""
    for unit in ledger.units.values():
        yield from _whereabouts(ledger, unit)
    by_place: dict[str, list[PositionRow]] = defaultdict(list)
    for row in ledger.plan.positions:
        if max(row.enters, 0) < row.until:
            by_place[row.place].append(row)
    for name in ledger.places:
        yield from _space(ledger, name, by_place[name])
        if (
            ledger.places[name].kind is not PlaceKind.LANE
        ):  # ranks are never equal, and lanes are held to ranks
            yield from _same_slot(ledger, name, by_place[name])
    for lane, rafts in ledger.queues.items():
        yield from _ranks(ledger, lane, rafts)


def _whereabouts(ledger: Ledger, unit: UnitRow) -> Iterator[AuditFault]:
    """One place each day from the day it enters (day 0 for what grows) to the day it leaves."""
    at = max(unit.enters, 0)
    for row in ledger.positions.get(unit.unit, ()):
        if ledger.places[row.place].kind is not PLACE_FOR[unit.item]:
            yield ledger.fault(
                "slots", row.place, row.enters, f"{unit.unit} is a {unit.item}; none stands here"
            )
        yield from _kept_tier(ledger, unit, row)
        start, until = max(row.enters, 0), max(row.until, 0)
        if row.until < row.enters:
            yield ledger.fault(
                "slots", row.place, row.enters, f"{unit.unit} leaves its slot before it enters it"
            )
        elif start < until:
            if start > at:
                yield ledger.fault("slots", unit.unit, at, f"stands nowhere for {start - at} days")
            elif start < at:
                early = "before it is filled" if at == unit.enters else "while it still stands elsewhere"
                yield ledger.fault(
                    "slots", row.place, start, f"{unit.unit} enters {at - start} days early, {early}"
                )
            at = max(at, until)
    if at < unit.leaves:
        yield ledger.fault("slots", unit.unit, at, f"stands nowhere for {unit.leaves - at} days")
    elif at > max(unit.leaves, unit.enters, 0):
        yield ledger.fault(
            "slots", unit.unit, unit.leaves, f"keeps a slot for {at - unit.leaves} days after it left"
        )


def _kept_tier(ledger: Ledger, unit: UnitRow, row: PositionRow) -> Iterator[AuditFault]:
    """A tier may be kept for trays whose plants move on, or for trays that are cut as they stand."""
    keeps = ledger.places[row.place].keeps
    for lot in {content.lot: None for content in ledger.contents.get(unit.unit, ())} if keeps else ():
        crop = ledger.crop_of(lot)
        if keeps is (Keeps.NURSERY if crop.is_cut_in_trays else Keeps.GREENS):
            message = f"{unit.unit} holds {crop.name}; the tier is kept for {KEPT_FOR[keeps]}"
            yield ledger.fault("slots", row.place, row.enters, message)


def _space(ledger: Ledger, name: str, rows: list[PositionRow]) -> Iterator[AuditFault]:
    """Units are no more than slots, and where they are not, no slot number is above them."""
    if not rows:
        return
    days = max(row.until for row in rows)
    used = daily(((row.enters, row.until, 1) for row in rows), days)
    there = [ledger.places[name].slots.on(day) for day in range(days)]
    what = {PlaceKind.TIER: "trays", PlaceKind.ZONE: "boards", PlaceKind.LANE: "rafts"}
    units = what[ledger.places[name].kind]
    for day, length, number, limit in runs_over(used, there):
        lasting = f" for {length} days" if length > 1 else ""
        yield ledger.fault("slots", name, day, f"{number} {units}, {limit} slots there{lasting}")
    least = min(there)
    for row in rows:
        if row.slot < 1:
            yield ledger.fault("slots", name, row.enters, f"{row.unit} is in slot {row.slot}; the first is 1")
        for day in range(max(row.enters, 0), row.until if row.slot > least else 0):
            if row.slot > there[day] >= used[day]:
                yield ledger.fault("slots", name, day, f"{row.unit} is in slot {row.slot} of {there[day]}")
                break


def _same_slot(ledger: Ledger, name: str, rows: list[PositionRow]) -> Iterator[AuditFault]:
    by_slot: dict[int, list[PositionRow]] = defaultdict(list)
    for row in rows:
        by_slot[row.slot].append(row)
    for slot, held in by_slot.items():
        held.sort(key=lambda row: (row.enters, row.until))
        holder = held[0]
        for row in held[1:]:
            if row.enters < holder.until and row.unit != holder.unit:
                day = max(row.enters, 0)
                yield ledger.fault(
                    "slots", name, day, f"{holder.unit} and {row.unit} are both in slot {slot}"
                )
            if row.until > holder.until:
                holder = row


def _ranks(ledger: Ledger, lane: str, rafts: list[UnitRow]) -> Iterator[AuditFault]:
    """A raft's slot is its rank from the harvest end among the rafts that are in the lane that day."""
    leaving: list[int] = []
    for raft in rafts:
        enters = max(raft.enters, 0)
        ahead = leaving[bisect_right(leaving, enters) :]
        changes = [enters, *(day for day in ahead if day < raft.leaves), raft.leaves]
        wanted = [
            (start, end, len(ahead) + 1 - step)
            for step, (start, end) in enumerate(pairwise(changes))
            if start < end
        ]
        wrong = _first_difference(wanted, ledger.positions.get(raft.unit, []), lane)
        if wrong is not None:
            day, slot, rank = wrong
            found_so = ledger.is_growing(raft.unit) and day == 0
            rule, was = ("growing", "was found as") if found_so else ("slots", "stands as")
            message = f"{raft.unit} is in slot {slot}, but {was} number {rank} from the harvest end"
            yield ledger.fault(rule, lane, day, message)
        leaving = ahead
        insort(leaving, raft.leaves)


def _first_difference(
    wanted: list[tuple[int, int, int]], rows: list[PositionRow], lane: str
) -> tuple[int, int, int] | None:
    """Return (day, slot found, rank) of the first day on which a raft's slot is not its rank."""
    at = 0
    for start, end, rank in wanted:
        while at < len(rows) and rows[at].until <= start:
            at += 1
        look = at
        while look < len(rows) and rows[look].enters < end:
            if rows[look].slot != rank and rows[look].place == lane:
                return max(start, rows[look].enters), rows[look].slot, rank
            look += 1
    return None
