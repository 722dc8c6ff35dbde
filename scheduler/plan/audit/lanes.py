"""Lane order: rafts keep their lane, use allowed lanes, and leave first in, first out."""

from collections.abc import Iterator

from scheduler.plan.audit.fault import AuditFault
from scheduler.plan.audit.ledger import Ledger
from scheduler.plan.rows import UnitRow


def lane_rules(ledger: Ledger) -> Iterator[AuditFault]:
    """Report rafts that change lanes, stand in a lane their crop may not use, or overtake others."""
    for lane, rafts in ledger.queues.items():
        for raft in rafts:
            yield from _own_lane(ledger, lane, raft)
        if not ledger.farm.rules.lift_out:
            yield from _overtaken(ledger, lane, rafts)


def rests(ledger: Ledger) -> Iterator[AuditFault]:
    """Report rafts that come into a row that rests between crops, while another is there or just left."""
    for lane, rafts in ledger.queues.items():
        place = ledger.places[lane]
        crops = {raft.unit: _crops(ledger, raft) for raft in rafts if place.rest}
        for raft in rafts if place.rest else ():
            if ledger.is_growing(raft.unit):
                continue
            days = place.rest_before(raft.enters)
            before = [
                other
                for other in rafts
                if crops[other.unit] != crops[raft.unit] and other.enters <= raft.enters < other.leaves + days
            ]
            if before:
                last = max(before, key=lambda other: (other.leaves, other.unit))
                until = ledger.farm.date_of(last.leaves)
                message = f"{raft.unit} holds {crops[raft.unit]}, but {last.unit} of {crops[last.unit]} "
                message += f"stays until {until}; {days} days of rest"
                yield ledger.fault("rest", lane, raft.enters, message)


def _crops(ledger: Ledger, raft: UnitRow) -> str:
    held = {ledger.lots[row.lot].crop for row in ledger.contents.get(raft.unit, ())}
    return " and ".join(sorted(held))


def _own_lane(ledger: Ledger, lane: str, raft: UnitRow) -> Iterator[AuditFault]:
    for row in ledger.positions.get(raft.unit, ()):
        if row.place != lane:
            yield ledger.fault("lane order", lane, row.enters, f"{raft.unit} changes over to {row.place}")
    if ledger.is_growing(raft.unit):
        return
    for name in {ledger.lots[row.lot].crop: None for row in ledger.contents.get(raft.unit, ())}:
        if lane not in ledger.farm.crops[name].lanes:
            yield ledger.fault(
                "lane order", lane, raft.enters, f"{raft.unit} holds {name}, not allowed in this row"
            )


def _overtaken(ledger: Ledger, lane: str, rafts: list[UnitRow]) -> Iterator[AuditFault]:
    """Each raft is held against the one ahead of it that stays longest."""
    ahead: UnitRow | None = None
    for raft in rafts:
        if ahead is not None and raft.leaves < ahead.leaves:
            until = ledger.farm.date_of(ahead.leaves)
            message = (
                f"{raft.unit} leaves before {ahead.unit}, which entered before it and stays until {until}"
            )
            yield ledger.fault("lane order", lane, raft.leaves, message)
        else:
            ahead = raft
