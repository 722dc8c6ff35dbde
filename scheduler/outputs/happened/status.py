"""The farm by the records on one screen: what grows where, what is held back, and what the plan misses."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date

from rich.text import Text

from scheduler.farm.dates import column_day, day_of_month, full_day
from scheduler.farm.farm import Farm
from scheduler.outputs.happened.words import RULES_DECIDE, moment_in_words
from scheduler.outputs.screen import heading
from scheduler.outputs.show.page import Part, row, table, titled
from scheduler.outputs.words import counted, plain
from scheduler.plan.layout.words import slots_in_words
from scheduler.plan.rows import TaskRow
from scheduler.plan.words import cell_word, word_of_heads, worth_listing
from scheduler.records.closures import Held
from scheduler.records.compare import Amount, Difference
from scheduler.records.pieces import said_of
from scheduler.records.risk import AtRisk
from scheduler.records.state import Content, Standing, State
from scheduler.records.yard import BED

UNITS_OF = {BED: "plant"}
"""What one unit is called where its own name is not what is counted."""

MOST = 12
"""Lines of one kind before the rest is counted."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Status:
    """What is shown.

    Attributes:
        farm, day: the farm, and the day whose evening is shown.
        state: what stands then.
        entries: entries up to then; ``last`` the time the last of all was written, empty for none.
        held, doubts: what may not be cut, and what can hardly be.
        differences, due, risks: beside the plan; None without one.
        planned: the farm of the plan's own book, in whose days ``due`` and ``risks`` are counted: a plan
            made again begins later than the book of the records.
    """

    farm: Farm
    day: date
    state: State
    entries: int
    last: str
    held: Sequence[Held]
    doubts: Sequence[str]
    differences: Sequence[Difference] | None = None
    due: Sequence[TaskRow] = ()
    risks: Sequence[AtRisk] = ()
    planned: Farm | None = None


def status_page(status: Status) -> Iterator[Part]:
    """Yield the parts of the page."""
    yield heading(f"{plain(status.farm.name)}, {full_day(status.day)}")
    if status.entries:
        written = f", the last written {moment_in_words(status.last)}" if status.last else ""
        yield Text(f"By {counted(status.entries, 'entry')}{written}")
    else:
        yield Text("Nothing is recorded yet; this is what the book says was growing on its first day")
    yield from _places(status)
    yield from _cooler(status)
    yield from _held(status)
    if status.doubts:
        yield titled("This can hardly be")
        yield from _listed([("", doubt) for doubt in status.doubts])
    if status.differences is not None:
        yield from _beside_plan(status, status.differences)


def _places(status: Status) -> Iterator[Part]:
    state, farm = status.state, status.farm
    owners = dict.fromkeys(place.belongs_to for place in farm.places)
    known = {place.name: place.belongs_to for place in farm.places} | {owner: owner for owner in owners}
    groups: dict[str, list[Standing]] = {owner: [] for owner in owners}
    for unit in state.units:
        groups.setdefault(known.get(unit.place, unit.place), []).append(unit)
    order = {place.name: at for at, place in enumerate(farm.places)}
    for owner, units in groups.items():
        if not units:
            continue
        yield titled(plain(owner))
        lines = table("place", "what", "rest")
        units.sort(key=lambda unit: (order.get(unit.place, -1), unit.slot, _lot_of(unit)))
        last = ""
        for place, slots, what in _rows(farm, units, state):
            row(lines, place if place != last else "", slots, what)
            last = place
        yield lines
    if not state.units:
        yield Text("\nNothing stands anywhere.")


def _lot_of(unit: Standing) -> str:
    """Return what units without a slot are sorted by, so that those of a lot stand together."""
    return "" if unit.slot or not unit.contents else unit.contents[0].lot


def _rows(farm: Farm, units: Sequence[Standing], state: State) -> Iterator[tuple[str, str, str]]:
    """Yield place, slots and what stands there: neighbours that hold the same lot alike go together."""
    groups: list[tuple[Standing, Content | None, list[int], int]] = []
    for unit in units:
        for content in unit.contents or (None,):
            before, plants = groups[-1] if groups else None, content.plants if content else 0
            if before is not None and _alike(before, unit, content):
                groups[-1] = (*before[:2], [*before[2], unit.slot], before[3] + plants)
            else:
                groups.append((unit, content, [unit.slot], plants))
    told: Standing | None = None
    for unit, content, slots, plants in groups:
        known = [slot for slot in slots if slot]
        where = slots_in_words(known) if known else counted(len(slots), UNITS_OF.get(unit.item, unit.item))
        if unit.item == BED:
            where = where.replace("slot", "position", 1)
        said = "" if told is unit else where
        told = unit
        if content is None:
            yield unit.place, said, f"empty {unit.item}, waits for those ahead"
            continue
        crop = state.lots[content.lot].crop
        noun = cell_word(farm, crop) if content.form == "cells" else said_of(content).removesuffix("s")
        what = [f"{counted(plants, noun)} of {content.lot}, {crop}"]
        what.append(f"since {day_of_month(unit.since)}")
        if content.cuts and content.last_cut:
            times = "once" if content.cuts == 1 else f"{content.cuts} times"
            done = "picked" if unit.item == BED else "cut"
            what.append(f"{done} {times}, last {day_of_month(content.last_cut)}")
        yield unit.place, said, ", ".join(what)


def _alike(
    before: tuple[Standing, Content | None, list[int], int], unit: Standing, content: Content | None
) -> bool:
    other, theirs = before[0], before[1]
    if content is None or theirs is None or len(unit.contents) > 1 or len(other.contents) > 1:
        return False
    same = (theirs.lot, theirs.form, theirs.cuts, theirs.last_cut) == (
        content.lot,
        content.form,
        content.cuts,
        content.last_cut,
    )
    return same and (other.place, other.since) == (unit.place, unit.since)


def _cooler(status: Status) -> Iterator[Part]:
    found = [(day, heads, lot) for lot in status.state.lots.values() for day, heads in lot.cooler]
    stock = [
        (
            column_day(day),
            f"{counted(heads, word_of_heads(status.farm, lot.crop))} of {plain(lot.lot)}, {plain(lot.crop)}",
        )
        for day, heads, lot in sorted(found, key=lambda each: (each[0], each[2].lot))
    ]
    if stock:
        yield titled("Cut and not delivered")
        yield from _listed(stock)


def _held(status: Status) -> Iterator[Part]:
    lines = [
        (
            f"through {column_day(held.last)}" if held.last else "without end",
            f"{held.lot} in {held.place}: {held.why}",
        )
        for held in status.held
    ]
    for each in status.state.restricted:
        if each.last is None or each.last >= status.day:
            days = f"{column_day(each.first)} to {column_day(each.last) if each.last else 'no end'}"
            what = f"{', '.join(_whole(each.places)) or each.lot}: {each.what}"
            lines.append((days, f"{what}, {each.note}" if each.note else what))
    if lines:
        yield titled("Held back and closed")
        yield from _listed(lines)
        yield Text(RULES_DECIDE)


def _whole(places: Sequence[str]) -> list[str]:
    return [name for name in places if not any(name.startswith(f"{other} ") for other in places)]


def _beside_plan(status: Status, found: Sequence[Difference]) -> Iterator[Part]:
    yield titled("Beside the plan")
    if not found:
        yield Text("Everything stands as planned.")
    lines = table("name", "what", "rest")
    shown = worth_listing(len(found), MOST)
    for each in found[:shown]:
        row(lines, each.lot, "plan", _amounts(each.planned))
        row(lines, "", "records", _amounts(each.stands))
    if found:
        yield lines
    if len(found) > shown:
        yield Text(f"and {len(found) - shown} more lots")
    date_of = (status.planned or status.farm).date_of
    if status.due:
        yield titled(f"Not recorded: {counted(len(status.due), 'task')} up to this day")
        yield from _listed([(column_day(date_of(task.day)), task.key) for task in status.due])
    yield titled("Deliveries at risk")
    if not status.risks:
        yield Text("None: what stands can still give what the plan promises.")
    days = [column_day(date_of(each.demand.first)) for each in status.risks]
    yield from _listed(
        [(day, _risk(status.farm, each)) for day, each in zip(days, status.risks, strict=True)]
    )


def _risk(farm: Farm, each: AtRisk) -> str:
    demand = each.demand
    whom = demand.customer or "target"
    firm = "" if demand.firm else ", flexible"
    promised = counted(each.promised, word_of_heads(farm, each.crop))
    what = f"{demand.product} for {whom} ({demand.order}{firm})"
    return f"{what}: {each.short:,} of {promised} of {each.lot} missing; {each.why}"


def _amounts(amounts: Sequence[Amount]) -> str:
    if not amounts:
        return "nothing"
    return "; ".join(map(_amount, amounts))


def _amount(each: Amount) -> str:
    """Return ``2 boards in Trough boards, 36 plants``; an open tray, which is one cell, without its cells."""
    many = counted(each.plants, each.form.removesuffix("s"))
    if each.item == BED:
        return f"{many} in {each.place}"
    units = f"{counted(each.units, each.item)} in {each.place}"
    return units if each.item == "tray" and each.plants == each.units else f"{units}, {many}"


def _listed(lines: Sequence[tuple[str, str]]) -> Iterator[Part]:
    made = table("days", "rest")
    shown = worth_listing(len(lines), MOST)
    for cells in lines[:shown]:
        row(made, *cells)
    if lines:
        yield made
    if len(lines) > shown:
        yield Text(f"and {len(lines) - shown} more")
