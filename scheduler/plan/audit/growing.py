"""What grows on the first day: nothing is lost, added, moved before today or thrown away unseen."""

from collections import defaultdict
from collections.abc import Iterator

from scheduler.farm.crops import StageKind
from scheduler.farm.farm import Growing
from scheduler.plan.audit.fault import AuditFault
from scheduler.plan.audit.ledger import Ledger, beside
from scheduler.plan.positions import positions_in
from scheduler.plan.rows import ContentRow
from scheduler.plan.tally import names_of


def growing(ledger: Ledger) -> Iterator[AuditFault]:
    """Report growing entries with other units, plants, places, flags or discards than the farm has."""
    units: dict[int, list[str]] = defaultdict(list)
    for unit, first in ledger.entry_of.items():
        inside = {row.lot for row in ledger.contents.get(unit, ())}
        for entry in beside(ledger.farm, first):
            if entry is first or entry.lot in inside:
                units[id(entry)].append(unit)
    for entry in ledger.farm.growing:
        if entry.stage is StageKind.BED:
            yield from _in_bed(ledger, entry)
        else:
            yield from _entry(ledger, entry, units[id(entry)])
    for lot, entries in ledger.entries.items():
        if lot in ledger.lots:
            yield from _lot(ledger, lot, entries)
        else:
            yield ledger.fault("growing", lot, 0, "grows on the first day and is not in the plan")
    yield from _together(ledger, units)
    yield from _cut_too_soon(ledger)
    yield from _picked_too_soon(ledger)
    yield from _found_nowhere(ledger)


def _together(ledger: Ledger, units: dict[int, list[str]]) -> Iterator[AuditFault]:
    """Entries that were found in one unit stand in that one, and it holds nothing else."""
    for name in dict.fromkeys(entry.together for entry in ledger.farm.growing if entry.together):
        entries = [entry for entry in ledger.farm.growing if entry.together == name]
        lots = {entry.lot for entry in entries}
        found = list(dict.fromkeys(unit for entry in entries for unit in units[id(entry)]))
        said = f"{' and '.join(sorted(lots))}, which were found in one {entries[0].stage.value}"
        if len(found) > 1:
            yield ledger.fault("growing", entries[0].place, 0, f"{len(found)} units of {said}")
        for unit in found:
            strange = sorted({row.lot for row in ledger.contents.get(unit, ())} - lots)
            if strange:
                yield ledger.fault("growing", unit, 0, f"{strange[0]} stands with {said}")


def _entry(ledger: Ledger, entry: Growing, units: list[str]) -> Iterator[AuditFault]:
    where, plural = entry.place, f"{entry.stage.value}s of {entry.lot}"
    if len(units) != entry.units:
        yield ledger.fault("growing", where, 0, f"{len(units)} {plural}, {entry.units} were found")
    plants = sum(row.plants for unit in units for row in ledger.contents[unit] if row.lot == entry.lot)
    if plants != entry.plants:
        yield ledger.fault("growing", where, 0, f"{plants} plants in {plural}, {entry.plants} were found")
    for unit in units:
        for row in ledger.positions.get(unit, ()):
            if row.enters <= 0 < row.until and entry.place not in names_of(ledger.farm, row.place):
                yield ledger.fault(
                    "growing", where, 0, f"{unit} of {entry.lot} was found here, not in {row.place}"
                )
            elif 0 < row.enters < ledger.farm.today and entry.stage is not StageKind.RAFT:
                today = ledger.farm.date_of(ledger.farm.today)
                yield ledger.fault("growing", row.place, row.enters, f"{unit} is moved here before {today}")


def _in_bed(ledger: Ledger, entry: Growing) -> Iterator[AuditFault]:
    """Plants found in a bed are one planting with their positions, plants and days."""
    found = [name for name, of in ledger.planted.items() if of is entry]
    if len(found) != 1:
        message = f"{len(found)} plantings of {entry.lot}, which was found here in one"
        yield ledger.fault("growing", entry.place, 0, message)
        return
    row = ledger.plantings[found[0]]
    if row.plants != entry.plants:
        message = f"{row.plants} plants of {entry.lot} in {row.planting}, {entry.plants} were found"
        yield ledger.fault("growing", entry.place, 0, message)
    if positions_in(row.positions) != list(range(entry.order, entry.order + entry.units)):
        last = entry.order + entry.units - 1
        message = f"{row.planting} stands in {row.positions}, it was found in {entry.order}-{last}"
        yield ledger.fault("growing", entry.place, 0, message)


def _lot(ledger: Ledger, lot: str, entries: list[Growing]) -> Iterator[AuditFault]:
    row, plants = ledger.lots[lot], sum(entry.plants for entry in entries)
    if row.crop != entries[0].crop:
        yield ledger.fault("growing", lot, 0, f"is {entries[0].crop}, not {row.crop}")
    if row.plants != plants:
        yield ledger.fault("growing", lot, 0, f"{row.plants} plants, {plants} were found")
    if row.cells or row.seeds:
        yield ledger.fault("growing", lot, 0, f"{row.cells} cells and {row.seeds} seeds, but nothing is sown")
    trays = {entry.since for entry in entries if entry.stage is StageKind.TRAY}
    if trays and row.sown not in trays:
        yield ledger.fault("growing", lot, 0, f"was sown on {ledger.farm.date_of(min(trays))}")
    overdue = any(id(entry) in ledger.overdue for entry in entries)
    if row.overdue != overdue:
        said = "not marked overdue, but it is" if overdue else "marked overdue, but it is not"
        yield ledger.fault("growing", lot, 0, said)
    yield from _discarded(ledger, lot)


def _discarded(ledger: Ledger, lot: str) -> Iterator[AuditFault]:
    """Plants discarded are no more than those that leave today and neither move on nor are cut."""
    today, target = ledger.farm.today, _target(ledger, lot)
    left_behind, uncut = 0, 0
    for unit, contents in ledger.contents.items():
        rows = [row for row in contents if row.lot == lot]
        item = ledger.units[unit].item
        if not ledger.is_growing(unit):
            left_behind -= sum(row.plants for row in rows if row.enters == today and item in target)
        elif item == ledger.crop_of(lot).finish.kind:
            uncut += _leave_uncut(ledger, unit, rows)
        else:
            left_behind += sum(row.plants for row in rows if row.leaves == today)
    for name, planting in ledger.plantings.items():
        if planting.lot == lot and name not in ledger.planted:
            left_behind -= planting.plants if planting.enters == today and "bed" in target else 0
        elif planting.lot == lot and planting.leaves == today:
            picked = any(row.planting == name for row in ledger.plan.pickings)
            uncut += 0 if picked else planting.plants
    lost = max(left_behind, 0) + uncut
    discarded = ledger.lots[lot].discarded
    if not 0 <= discarded <= lost:
        message = f"{discarded} plants discarded, but {lost} leave that day and go nowhere"
        yield ledger.fault("growing", lot, today, message)
    elif discarded < (unsaid := _surely_thrown(ledger, lot)):
        message = f"{discarded} plants discarded, but {unsaid} leave that day uncut"
        yield ledger.fault("growing", lot, today, message)


def _surely_thrown(ledger: Ledger, lot: str) -> int:
    """Return the plants of a lot that leave what they would be cut from today and cannot have been cut then.

    Seedlings that leave a tray and are set nowhere may be more than fit, which no lot tells.
    """
    today, finish = ledger.farm.today, ledger.crop_of(lot).finish.kind
    thrown = 0
    for unit, contents in ledger.contents.items():
        if ledger.is_growing(unit) and ledger.units[unit].item == finish:
            leaving = sum(row.plants for row in contents if row.lot == lot and row.leaves == today)
            cuts = (cut for cut in ledger.cuts.get(unit, ()) if cut.lot == lot and cut.day == today)
            thrown += max(0, leaving - sum(cut.plants for cut in cuts))
    return thrown


def _leave_uncut(ledger: Ledger, unit: str, rows: list[ContentRow]) -> int:
    """Return the most plants of a lot that can leave a growing raft today without any cut in the plan.

    Every plant that the plan cuts at all has the first of its cuts; the others are never cut, and some
    of those that are cut today stay for another cut and do not leave.
    """
    cuts = [cut for cut in ledger.cuts.get(unit, ()) if cut.lot in {row.lot for row in rows}]
    first = min((cut.number for cut in cuts), default=0)
    never_cut = sum(row.plants for row in rows) - sum(cut.plants for cut in cuts if cut.number == first)
    leaving = sum(row.plants for row in rows if row.leaves == ledger.farm.today)
    return max(min(leaving, never_cut), 0)


def _target(ledger: Ledger, lot: str) -> set[str]:
    """Units that plants of a growing lot go into when they leave the stage they were found in."""
    stages = {entry.stage for entry in ledger.entries[lot]}
    targets = {"raft"} if StageKind.BOARD in stages else set()
    if StageKind.TRAY in stages:
        after_tray = ledger.crop_of(lot).route[1:2]
        targets.update(stage.kind.value for stage in after_tray)
    return targets


def _cut_too_soon(ledger: Ledger) -> Iterator[AuditFault]:
    """Report cuts of what grew on the first day before the book allows them."""
    for unit, cuts in ledger.cuts.items():
        for cut in cuts:
            entry = ledger.entry_for(unit, cut.lot)
            entries = [entry] if entry is not None else ledger.entries.get(cut.lot, [])
            held = [each.not_before for each in entries if each.lot == cut.lot]
            opens = min((day for day in held if day is not None), default=None)
            if opens is not None and None not in held and cut.day < opens:
                when = ledger.farm.date_of(opens)
                yield ledger.fault("growing", unit, cut.day, f"{cut.lot} is cut; not before {when}")


def _picked_too_soon(ledger: Ledger) -> Iterator[AuditFault]:
    """Report pickings in beds of what grew on the first day before the book allows them."""
    for row in ledger.plan.pickings:
        planting = ledger.plantings.get(row.planting)
        if planting is None:
            continue
        entry = ledger.planted.get(row.planting)
        entries = [entry] if entry is not None else ledger.entries.get(planting.lot, [])
        opens = min((each.not_before for each in entries if each.not_before is not None), default=None)
        if opens is not None and all(each.not_before is not None for each in entries) and row.day < opens:
            when = ledger.farm.date_of(opens)
            message = f"{planting.lot} is picked; not before {when}"
            yield ledger.fault("growing", planting.bed, row.day, message)


def _found_nowhere(ledger: Ledger) -> Iterator[AuditFault]:
    """Units that enter before day 0, or trays of a growing lot, without an entry that puts them there."""
    for planting in ledger.plan.plantings:
        if planting.enters < 0 and planting.planting not in ledger.planted:
            message = f"planting of {planting.lot} that was not found in the bed"
            yield ledger.fault("growing", planting.planting, planting.enters, message)
    for name, unit in ledger.units.items():
        if ledger.is_growing(name):
            continue
        lots = [row.lot for row in ledger.contents.get(name, ())]
        if unit.enters < 0 or (unit.item == "tray" and any(lot in ledger.entries for lot in lots)):
            of = f" of {lots[0]}" if lots else ""
            yield ledger.fault(
                "growing", name, unit.enters, f"{unit.item}{of} that was not found on the farm"
            )
