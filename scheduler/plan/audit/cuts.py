"""Cuts: the harvest window, cuts of the same raft again, and heads that may be counted on."""

from collections import defaultdict
from collections.abc import Iterator
from itertools import groupby

from scheduler.farm.crops import Crop, StageKind
from scheduler.farm.units import MILLI, WHOLE_SHARE, ceil_div
from scheduler.plan.audit.fault import AuditFault
from scheduler.plan.audit.ledger import OVERDUE_GRACE, Ledger
from scheduler.plan.audit.portions import Portions
from scheduler.plan.audit.stages import days
from scheduler.plan.rows import ContentRow, CutRow


def cut_windows(ledger: Ledger) -> Iterator[AuditFault]:
    """Report cuts out of their window, cut numbers that do not exist, and plants that do not stand there."""
    for unit, cuts in ledger.cuts.items():
        by_lot: dict[str, list[CutRow]] = defaultdict(list)
        for cut in cuts:
            by_lot[cut.lot].append(cut)
        for lot, rows in by_lot.items():
            contents = [row for row in ledger.contents.get(unit, ()) if row.lot == lot]
            item = ledger.crop_of(lot).finish.kind
            if not contents or ledger.units[unit].item != item:
                held = f"in a {item}" if item is StageKind.TRAY else f"on a {item}"
                message = f"{lot} is cut from {unit}, which holds none of it {held}"
                yield ledger.fault("bookkeeping", unit, rows[0].day, message)
                continue
            yield from _one_raft(ledger, contents, rows)


def _one_raft(ledger: Ledger, contents: list[ContentRow], cuts: list[CutRow]) -> Iterator[AuditFault]:
    """Judge the cuts of one lot on one raft: their numbers, then whose plants they can have been."""
    crop = ledger.crop_of(contents[0].lot)
    entry = ledger.entry_for(contents[0].unit, contents[0].lot)
    done = entry.cuts_done if entry else 0
    emptied = max(row.leaves for row in contents)
    number, known = done, []
    ordered = sorted(cuts, key=lambda row: (row.number, row.day))
    for number_of, rows in groupby(ordered, key=lambda row: row.number):
        listed = list(rows)
        if not done < number_of <= crop.cuts:
            message = f"cut {number_of} of {listed[0].unit}, which has cuts {done + 1} to {crop.cuts}"
            yield ledger.fault("fresh", listed[0].unit, listed[0].day, message)
            continue
        if number_of > number + 1:
            message = f"cut {number_of} of {listed[0].unit} comes without cut {number + 1}"
            yield ledger.fault("fresh", listed[0].unit, listed[0].day, message)
        for row in listed:
            if row.plants < 1 or row.heads < 0:
                message = f"cut {number_of} of {row.lot} is of {row.plants} plants and {row.heads} heads"
                yield ledger.fault("whole units", row.unit, row.day, message)
            if row.day > emptied:
                message = f"{row.unit} is cut after its last plants left it"
                yield ledger.fault("bookkeeping", row.unit, row.day, message)
        known += listed
        number = number_of
    yield from _whose_plants(ledger, contents, known)


def _whose_plants(ledger: Ledger, contents: list[ContentRow], cuts: list[CutRow]) -> Iterator[AuditFault]:
    """Report cuts of plants that were not there, or not within the window of what happened to them before.

    Every plant comes onto the raft, has its cuts one after another and leaves with or after the last. The
    rows do not say which plant is which, so a fault is one only if no way of telling them apart is sound.
    Givers are the raft's filling (0) and each cut; takers are the contents as they leave, then each cut.
    """
    entry = ledger.entry_for(contents[0].unit, contents[0].lot)
    filled = contents[0].enters if entry is None or entry.last_cut is None else entry.last_cut
    since = [filled, *(row.day for row in cuts)]
    before = _givers_of_cuts(cuts)
    windows = [
        {giver: _out_of_window(ledger, row, since[giver], first=givers == [0]) for giver in givers}
        for row, givers in zip(cuts, before, strict=True)
    ]
    in_time = [[giver for giver, fault in window.items() if fault is None] for window in windows]
    leaving = _givers_of_leaving(contents, cuts)
    amounts = [row.plants for row in cuts]
    plants = [row.plants for row in contents]
    portions = Portions([sum(plants), *amounts], [*plants, *amounts])
    portions.share_out([*leaving, *in_time])
    portions.share_out([*leaving, *before])
    for taker, (row, window) in enumerate(zip(cuts, windows, strict=True), start=len(contents)):
        faults = [fault for giver, fault in window.items() if fault and portions.taken.get((giver, taker))]
        yield from _one_cut(ledger, row, faults, portions.short[taker])


def _givers_of_cuts(cuts: list[CutRow]) -> list[list[int]]:
    """Return for each cut those of the number before it, first cut first; for the lowest the filling."""
    numbers = sorted({row.number for row in cuts})
    number_before = dict(zip(numbers[1:], numbers, strict=False))
    return [
        [at for at, other in enumerate(cuts, start=1) if other.number == number_before[row.number]]
        if row.number in number_before
        else [0]
        for row in cuts
    ]


def _givers_of_leaving(contents: list[ContentRow], cuts: list[CutRow]) -> list[list[int]]:
    """Return for each row of contents the cuts it may leave after, latest first, then the filling.

    Cuts after all plants have left are a fault of their own: the plants that leave last may have them.
    """
    latest_first = sorted(range(len(cuts)), key=lambda at: -cuts[at].day)
    emptied = max(row.leaves for row in contents)
    return [
        [*(at + 1 for at in latest_first if cuts[at].day <= row.leaves or row.leaves == emptied), 0]
        for row in contents
    ]


def _one_cut(ledger: Ledger, row: CutRow, out_of_window: list[str], short: int) -> Iterator[AuditFault]:
    if out_of_window:
        lane = ledger.first[row.unit].place if row.unit in ledger.first else row.unit
        message = f"{row.plants} plants of {row.lot} on {row.unit}, cut {row.number}: {out_of_window[0]}"
        yield ledger.fault("fresh", lane, row.day, message)
    if short:
        message = (
            f"cut {row.number} of {row.lot} takes {row.plants} plants, {short} more than are there to cut"
        )
        yield ledger.fault("whole units", row.unit, row.day, message)


def _out_of_window(ledger: Ledger, row: CutRow, since: int, *, first: bool) -> str | None:
    crop = ledger.crop_of(row.lot)
    grown = ledger.grown(row.unit, since, row.day)
    if grown is None:
        return None
    low = _wanted_days(crop, row.number) * MILLI
    high = low + crop.finish.wait * MILLI
    if first and ledger.is_overdue(row.unit, row.lot):
        last = ledger.farm.today + OVERDUE_GRACE
        return None if row.day <= last else f"overdue, it had to be cut by {ledger.farm.date_of(last)}"
    if grown < low:
        return f"only {days(grown)} grown of {days(low)}"
    return f"{days(grown)} grown, {days(high)} at most" if grown > high else None


def _wanted_days(crop: Crop, number: int) -> int:
    return crop.finish.days if number == 1 else crop.cut_interval


def heads_cut(ledger: Ledger) -> Iterator[AuditFault]:
    """Report heads that are more than losses leave of the plants cut so far, group by group.

    What rounding left over of a cut that began before the first day, by the book, counts with its rest.
    """
    groups: dict[tuple[str, int | None, int, int], dict[int, tuple[int, int]]] = defaultdict(dict)
    from_days = _from_days(ledger)
    for cuts in ledger.cuts.values():
        for row in cuts:
            enters = ledger.units[row.unit].enters
            group = groups[row.lot, from_days.get((row.unit, row.lot)), enters, row.number]
            plants, heads = group.get(row.day, (0, 0))
            group[row.day] = plants + row.plants, heads + row.heads
    for (lot, _, since, number), by_day in groups.items():
        over = sum(
            entry.part_heads
            for entry in ledger.entries.get(lot, ())
            if (entry.since, entry.cuts_done + 1) == (since, number)
        )
        share = ledger.crop_of(lot).heads_share
        plants = heads = 0
        for day in sorted(by_day):
            plants, heads = plants + by_day[day][0], heads + by_day[day][1]
            limit = (plants * share + over) // WHOLE_SHARE
            if heads > limit:
                message = f"{heads} heads of cut {number} so far from {plants} plants, which give {limit}"
                yield ledger.fault("whole units", lot, day, message)
                break
            cut, taken = by_day[day]
            most = ceil_div(cut * share, WHOLE_SHARE)
            if taken > most:
                message = f"{taken} heads of cut {number} from {cut} plants of one day, which give {most}"
                yield ledger.fault("whole units", lot, day, message)
                break


def _from_days(ledger: Ledger) -> dict[tuple[str, str], int | None]:
    """Return (raft, lot) -> day its plants entered the stage before.

    A cut does not say which day's plants it takes from a raft that two days of one lot share, so the
    whole lot of that raft day counts as one group there (None).
    """
    found: dict[tuple[str, str], int | None] = {}
    mixed: set[tuple[str, int]] = set()
    for row in ledger.plan.contents:
        key = (row.unit, row.lot)
        if found.setdefault(key, row.from_day) != row.from_day:
            mixed.add((row.lot, row.enters))
    for unit, lot in found:
        if (lot, ledger.units[unit].enters) in mixed:
            found[unit, lot] = None
    return found
