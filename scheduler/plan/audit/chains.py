"""Chains: each delivered head is followed back through rafts, boards and trays that really held it."""

from collections import defaultdict
from collections.abc import Iterator

from scheduler.plan.audit.fault import AuditFault
from scheduler.plan.audit.ledger import Ledger
from scheduler.plan.exact import tells_all
from scheduler.plan.harvest import harvests_of
from scheduler.plan.outlets import as_fills
from scheduler.plan.rows import ChainRow

JOIN = "; "

Picked = set[tuple[str, int]]
"""Plantings with each day on which something is picked from them."""


def chains(ledger: Ledger) -> Iterator[AuditFault]:
    """Report chains that do not add up to the fills, or name units that did not hold their plants."""
    heads: dict[tuple[str, str, str, int], list[int]] = defaultdict(lambda: [0, 0])
    for fill in ledger.plan.fills:
        heads[fill.demand, fill.crop, fill.lot, fill.cut_day][0] += fill.heads
    for sale in as_fills(ledger.farm, ledger.plan.sales):
        heads[sale.demand, sale.crop, sale.lot, sale.cut_day][0] += sale.heads
    rafts: dict[tuple[str, str, int], int] = defaultdict(int)
    picked = {(row.planting, row.day) for row in ledger.plan.pickings}
    for chain in ledger.plan.chains:
        heads[chain.demand, chain.crop, chain.lot, chain.cut_day][1] += chain.heads
        rafts[chain.rafts, chain.lot, chain.cut_day] += chain.heads
        if chain.lot in ledger.lots:
            yield from _links(ledger, chain, picked)
    for (demand, _, lot, day), (filled, followed) in heads.items():
        if filled != followed:
            message = f"chains follow {followed} heads of {lot}, {filled} are delivered"
            yield ledger.fault("bookkeeping", demand, day, message)
    taken: dict[tuple[str, str, int], int] = defaultdict(int)
    for row in harvests_of(ledger.plan):
        taken[row.source, row.lot, row.day] += row.heads
    for (names, lot, day), number in rafts.items():
        cut = sum(taken[name, lot, day] for name in set(names.split(JOIN)))
        if number > cut:
            message = f"chains take {number} heads of {lot} from {names}, {cut} are cut there"
            yield ledger.fault("bookkeeping", "chains", day, message)


def _links(ledger: Ledger, chain: ChainRow, picked: Picked) -> Iterator[AuditFault]:
    """Every unit named held the lot on the days the chain says."""
    in_bed = ledger.crop_of(chain.lot).picking is not None
    wrong = [f"it follows {chain.heads} heads"] if chain.heads < 1 else []
    wrong += _bed_faults(ledger, chain, picked) if in_bed else _raft_faults(ledger, chain)
    if ledger.crop_of(chain.lot).is_cut_in_trays:
        if (chain.trays, chain.boards, chain.board_day) != (chain.rafts, "", None):
            wrong.append(f"it is cut in its trays, {chain.rafts}")
    else:
        out_of_tray = chain.raft_day if chain.board_day is None else chain.board_day
        wrong += _unit_faults(ledger, chain, chain.boards, "board", chain.board_day, chain.raft_day)
        wrong += _unit_faults(ledger, chain, chain.trays, "tray", chain.sow_day, out_of_tray)
        wrong += _left_out(ledger, chain, out_of_tray) if tells_all(ledger.plan) else ()
    sown = ledger.lots[chain.lot].sown
    if chain.sow_day != sown:
        wrong.append(f"{chain.lot} has another sowing day")
    for message in wrong:
        yield ledger.fault("bookkeeping", chain.demand, chain.cut_day, f"chain of {chain.lot}: {message}")


def _left_out(ledger: Ledger, chain: ChainRow, out_of_tray: int) -> Iterator[str]:
    """A chain names every board and tray that held the lot on its way, and the day it came onto boards."""
    held = [row for name in chain.rafts.split(JOIN) for row in ledger.contents.get(name, ())]
    since = {row.from_day for row in held if row.lot == chain.lot}
    if ledger.crop_of(chain.lot).board is None:
        since = {None}
    if chain.board_day not in since:
        yield "it came onto boards on another day"
    stays = (("board", chain.boards, chain.board_day, chain.raft_day),
             ("tray", chain.trays, chain.sow_day, out_of_tray))  # fmt: skip
    for item, names, enters, leaves in stays:
        told = set(filter(None, names.split(JOIN)))
        for unit in _that_held(ledger, chain.lot, item, (enters, leaves)):
            if unit not in told:
                yield f"{item} {unit} held it on those days and is not named"


def _that_held(ledger: Ledger, lot: str, item: str, days: tuple[int | None, int]) -> Iterator[str]:
    """Yield the trays or boards that held a lot from one day to another."""
    for row in ledger.of_lot.get(lot, ()):
        if ledger.item(row) == item and (row.enters, row.leaves) == days:
            yield row.unit


def _raft_faults(ledger: Ledger, chain: ChainRow) -> Iterator[str]:
    for name in chain.rafts.split(JOIN):
        unit = ledger.units.get(name)
        if unit is None or not any(
            row.lot == chain.lot and row.day == chain.cut_day for row in ledger.cuts.get(name, ())
        ):
            yield f"nothing of it is cut from {name} that day"
        elif unit.enters != chain.raft_day:
            yield f"{name} enters on {ledger.farm.date_of(unit.enters)}"
        elif name in ledger.first and ledger.first[name].place != chain.lane:
            yield f"{name} is in {ledger.first[name].place}, not {chain.lane}"


def _bed_faults(ledger: Ledger, chain: ChainRow, picked: Picked) -> Iterator[str]:
    for name in chain.rafts.split(JOIN):
        row = ledger.plantings.get(name)
        if row is None or row.lot != chain.lot or (name, chain.cut_day) not in picked:
            yield f"nothing of it is picked from {name} that day"
        elif row.enters != chain.raft_day:
            yield f"{name} is set in on {ledger.farm.date_of(row.enters)}"
        elif row.bed != chain.lane:
            yield f"{name} is in {row.bed}, not {chain.lane}"


def _unit_faults(
    ledger: Ledger, chain: ChainRow, names: str, item: str, enters: int | None, leaves: int
) -> Iterator[str]:
    for name in filter(None, names.split(JOIN)):
        rows = ledger.contents.get(name, ())
        if not any(
            row.lot == chain.lot
            and row.enters == enters
            and row.leaves == leaves
            and ledger.item(row) == item
            for row in rows
        ):
            yield f"{item} {name} did not hold it on those days"
