"""One screen on a new standing order: can it be taken, from when, how much of it, and at whose expense."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from rich.text import Text

from scheduler.farm.farm import Farm
from scheduler.outputs.screen import heading
from scheduler.outputs.show.page import Part, day_of, row, table, titled
from scheduler.outputs.words import date_in_text, money, plain
from scheduler.plan.offered import Greatest, Offered, Taken
from scheduler.plan.words import worth_listing

LESS_ROWS = 8


@dataclass(frozen=True, slots=True, kw_only=True)
class Question:
    """What was asked.

    Attributes:
        amount, product, weekdays: as typed.
        dated: whether a first day was given.
        cells: the row of the book's ``orders`` it would be.
    """

    amount: int
    product: str
    weekdays: str
    dated: bool
    cells: Mapping[str, str]

    @property
    def said(self) -> str:
        """The order in words: ``40 Butterhead every Tue Fri``."""
        return f"{self.amount:,} {plain(self.product)} every {plain(self.weekdays)}"


def offer_parts(farm: Farm, asked: Question, offered: Offered, price_of: str) -> Iterator[Part]:
    """Yield the page; ``price_of`` says where the price of a unit comes from."""
    yield heading(f"{plain(farm.name)}: {asked.said}")
    if not offered.days:
        yield Text("No: no sowing from today on is ready for any of its deliveries within the plan.")
        return
    if not offered.tried:
        yield Text("Not known: the time was up before anything was tried; --seconds gives it more.")
        return
    yield from _answer(farm, offered, price_of)
    if offered.early and asked.dated:
        yield Text(
            f"{offered.early:,} before {date_in_text(farm, offered.asked)}: too early for any new sowing."
        )
    if offered.greatest is not None:
        yield Text(_greatest(farm, offered, offered.greatest))
    if offered.displacing is not None:
        yield from _less(farm, offered.displacing)
    elif not offered.fits:
        yield Text(
            f"Nor was a way found{_in_time(offered)} to take it from then on at the expense of others."
        )
    if offered.taken is not None:
        yield from _row(farm, asked, offered.taken)


def _answer(farm: Farm, offered: Offered, price_of: str) -> Iterator[Part]:
    taken, first = offered.taken, date_in_text(farm, offered.asked)
    if taken is None:
        yield Text(
            f"No way was found{_in_time(offered)} to take it to the end of the plan, from {first} or from "
            f"any later day on, without others getting less.{_no_proof(offered)}"
        )
        return
    start = date_in_text(farm, taken.first)
    if offered.fits:
        yield Text(f"Yes, from {start} on: {_filled(taken)}, and no other delivery gets less.")
    else:
        yield Text(
            f"From {first} on no way was found{_in_time(offered)}; from {start} on: {_filled(taken)}, and no "
            f"other gets less.{_no_proof(offered)}"
        )
    cost = "" if taken.cost is None else f"; the whole plan costs {_more(farm, taken.cost)}"
    yield Text(f"It earns {money(farm, taken.earns)} in this plan ({price_of}){cost}.")


def _in_time(offered: Offered) -> str:
    return "" if offered.ended else " in the time"


def _no_proof(offered: Offered) -> str:
    """Return what is to be known where the time was up first."""
    if offered.ended:
        return ""
    return " That is no proof that there is none; --seconds gives the search more."


def _filled(taken: Taken) -> str:
    if taken.deliveries == 1:
        return "its only delivery in this plan is filled"
    return f"all its {taken.deliveries:,} deliveries in this plan are filled"


def _more(farm: Farm, cost: int) -> str:
    return f"{money(farm, cost)} more" if cost > 0 else "no more"


def _greatest(farm: Farm, offered: Offered, greatest: Greatest) -> str:
    day = date_in_text(farm, offered.asked)
    if not greatest.amount and greatest.beyond is None:
        return f"The greatest amount from {day} on was not found in the time; --seconds gives it more."
    if not greatest.amount:
        return f"No amount was found that fits from {day} on."
    said = f"Greatest amount from {day} on: {greatest.amount:,} a delivery"
    if greatest.beyond is None:
        return f"{said} at least; --seconds gives the search more time."
    if greatest.proven:
        return f"{said}; {greatest.beyond:,} does not fit."
    return f"{said}; no way was found for {greatest.beyond:,}."


def _less(farm: Farm, taken: Taken) -> Iterator[Part]:
    firm = sum(each.row.firm for each in taken.less)
    kinds = f"{firm:,} of them firm" if firm else "all of them flexible"
    many = "delivery that would get" if len(taken.less) == 1 else "deliveries that would get"
    first = date_in_text(farm, taken.first)
    yield titled(f"Taken from {first} on all the same: {len(taken.less):,} {many} less, {kinds}")
    lines = table("day", "name", "name", "rest")
    shown = worth_listing(len(taken.less), LESS_ROWS)
    for each in taken.less[:shown]:
        row(
            lines,
            day_of(farm, each.row.day),
            each.row.customer or each.row.order,
            each.row.product,
            f"{each.units:,} of {each.row.filled:,} less",
        )
    yield lines
    if len(taken.less) > shown:
        yield Text(f"and {len(taken.less) - shown:,} more")


def _row(farm: Farm, asked: Question, taken: Taken) -> Iterator[Part]:
    cells = {**asked.cells, "from": farm.date_of(taken.first).isoformat()}
    filled = {column: text for column, text in cells.items() if text}
    yield titled("To take it, add this row to the table orders")
    lines = table("day", "rest")
    for column, text in filled.items():
        row(lines, column, text)
    yield lines
