"""``raftway offer``: can a new standing order be taken?"""

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from scheduler.cli.completing import of_book
from scheduler.cli.exits import DONE, SHORT
from scheduler.cli.opening import book_argument
from scheduler.cli.pages import show_page
from scheduler.cli.searching import search_options
from scheduler.cli.telling import as_wrong_use, typed
from scheduler.cli.values import DAY, NEW, PLAN

if TYPE_CHECKING:
    from scheduler.book.book import Book
    from scheduler.book.raw import RawBook
    from scheduler.farm.farm import Farm
    from scheduler.model.settings import SolveSettings
    from scheduler.outputs.everything import Way
    from scheduler.plan.offered import Offered
    from scheduler.plan.rows import Plan
    from scheduler.scenario.apply import Changed

PLANNING = 0.5
"""Part of the time for a plan without the order, where none is given."""

WORKED_OUT = "as other orders of it pay"


@click.command(
    short_help="Say whether a new standing order can be taken.",
    epilog="Example: raftway offer my-farm --product Basil --amount 12 --weekday Fri",
)
@book_argument
@click.option(
    "--product",
    required=True,
    help="A product of the book.",
    shell_complete=of_book("products", "product"),
)
@click.option("--amount", type=click.IntRange(1, 1_000_000), required=True, help="Units in one delivery.")
@click.option("--weekday", required=True, metavar="DAYS", help='Such as Tue, or "Tue Fri".')
@click.option("--from", "start", type=DAY, metavar="DATE", help="First day.  [default: as early as can be]")
@click.option("--price", metavar="MONEY", help="Price of a unit.  [default: as other orders of it pay]")
@click.option(
    "--customer",
    default="New customer",
    show_default=True,
    help="Who asks.",
    shell_complete=of_book("orders", "customer"),
)
@click.option(
    "--plan",
    "folder",
    type=PLAN,
    metavar="DIR",
    help="The plan of BOOK to build on.  [default: one is searched first, in half the time]",
)
@click.option("--out", type=NEW, metavar="DIR", help="Folder for the plan with it, as of raftway plan.")
@search_options(
    "Time to search.",
    "As in plan.",
    "The same book gives the same answer; uses one worker.",
)
@click.pass_context
def offer(ctx: click.Context, /, book: Path, folder: Path | None, out: Path | None, **asked: Any) -> None:
    """Say whether a new standing order can be taken on top of what BOOK asks for.

    Told are the day from which every delivery of it can be filled with no other getting less, the greatest
    amount, what it earns, and who would get less if it were taken all the same. Each answer is proven by a
    plan that keeps every rule. BOOK is never changed; --out writes the plan with the order.
    """
    from scheduler.book.book import read_raw
    from scheduler.cli.keeping import keeping
    from scheduler.cli.searching import settings_of, taken_up
    from scheduler.outputs.everything import Way
    from scheduler.outputs.folder import FolderRefused, check_target

    with as_wrong_use(FolderRefused), taken_up():
        if out is not None:
            check_target(out)
        question = _Question(read_raw(book), asked)
        found = _plan_of(question, folder, settings_of(asked))
        with keeping() as keeper:
            answer = question.answer(*found)
            question.show(answer)
            if out is not None:
                question.write(out, answer, Way(page=keeper.page))
    ctx.exit(DONE if answer.fits else SHORT)


def _plan_of(
    question: "_Question", folder: Path | None, settings: "SolveSettings"
) -> "tuple[Plan, SolveSettings]":
    """Return the plan to build on and what time is left.

    Raises:
        click.UsageError: it is the plan of another book.
        click.exceptions.Exit: it breaks a rule, or none was found; it was told on stderr.
    """
    from dataclasses import replace

    from scheduler.book.plain_copy import book_copy, book_digest
    from scheduler.cli.judging import check_own, check_sound, end_without_plan
    from scheduler.cli.progress import solve_watched
    from scheduler.cli.stopping import Ended, asked_once
    from scheduler.outputs.saved import open_saved

    if folder is not None:
        saved = open_saved(folder)
        if book_digest(saved.book) != book_digest(book_copy(question.raw)):
            raise click.UsageError(
                f"{folder} is the plan of another book; leave out --plan, or ask the book it was made from: "
                f"raftway offer {typed(folder / 'book')} ... --plan {typed(folder)}"
            )
        question.farm = saved.farm
        check_sound(saved.farm, saved.plan)
        return saved.plan, settings
    outcome = solve_watched(question.farm, replace(settings, seconds=settings.seconds * PLANNING))
    found = outcome.plan
    if asked_once():
        raise Ended("Stopped before the order was looked at. Nothing was written.")
    if found is None:
        end_without_plan(without_memory=outcome.without_memory)
    check_own(question.farm, found)
    return found, replace(settings, seconds=settings.seconds * (1 - PLANNING))


def _products(book: "Book") -> list[str]:
    """Return what an order may name: products and mixes; a category of boxes is none."""
    rows = (*book.rows("products"), *book.rows("recipes"))
    return list(dict.fromkeys(row.text("product") for row in rows))


class _Question:
    """The order asked about, as a row of the book."""

    def __init__(self, raw: "RawBook", asked: dict[str, Any]) -> None:
        from scheduler.book.book import typed_book
        from scheduler.farm.build import build_farm
        from scheduler.outputs.show.finding import NotFound, named

        self.raw = raw
        book = typed_book(raw)
        self.farm: Farm = build_farm(book)
        self.amount: int = asked["amount"]
        self.start: date | None = asked["start"]
        with as_wrong_use(NotFound):
            product = named(asked["product"], _products(book), "product")
        taken = {demand.order for demand in self.farm.demands}
        self.order = next(name for n in range(1, len(taken) + 2) if (name := f"NEW-{n}") not in taken)
        self.price_of = "price as given" if asked["price"] else WORKED_OUT
        self.cells = {
            "order": self.order,
            "customer": asked["customer"],
            "product": product,
            "amount": str(self.amount),
            "weekdays": asked["weekday"],
            "from": "",
            "kind": "firm",
            "price": asked["price"] or self._usual_price(product),
        }
        # what is wrong with the order is told before any search
        self.farm_of(self.with_order(self.amount, self.start))
        calendar = self.farm.calendar
        if self.start is not None and calendar.day_of(self.start) >= calendar.days:
            raise click.UsageError(
                f"--from {self.start} lies after the plan's last day; name a day of the plan"
            )

    def _usual_price(self, product: str) -> str:
        """Return the lowest price other orders of the product pay; the book's own default without any."""
        prices = [demand.price for demand in self.farm.demands if demand.product == product]
        if not prices:
            self.price_of = "1 a unit, for nobody buys it yet; see --price"
            return ""
        return f"{min(prices) // 100}.{min(prices) % 100:02d}"

    def with_order(self, amount: int, first: date | None) -> "Changed":
        """Return the book with the order in it, of an amount from a day on."""
        from scheduler.scenario.apply import changed
        from scheduler.scenario.scenario import Change, Scenario

        cells = {**self.cells, "amount": str(amount), "from": "" if first is None else first.isoformat()}
        change = Change(
            kind="add row",
            place="the new order",
            values={"table": "orders"},
            columns=cells,
            given=frozenset({"table"}),
            start=None,
        )
        added = Scenario(name="offer", source="command line", changes=(change,), cost=0, cost_per_week=0)
        return changed(self.raw, [added])

    def farm_of(self, made: "Changed") -> "Farm":
        """Return the farm of the book with the order in it.

        Raises:
            BookFaults: the order has faults, told at its options.
        """
        from scheduler.farm.build import build_farm

        with made.told():
            return build_farm(made.book(), today=self.farm.date_of(self.farm.today))

    def answer(self, plan: "Plan", settings: "SolveSettings") -> "Offered":
        """Search, watched."""
        from scheduler.cli.searching import searched
        from scheduler.cli.stopping import asked_once
        from scheduler.model.offer import Wanted, offer

        farm = self.farm
        first = farm.today if self.start is None else max(farm.today, farm.calendar.day_of(self.start))
        wanted = Wanted(order=self.order, amount=self.amount, first=first)

        def make(amount: int, first: int) -> "Farm":
            return self.farm_of(self.with_order(amount, farm.date_of(first)))

        found = searched(lambda stop: offer(plan, make, wanted, settings, stop))
        if asked_once():
            click.echo("Stopped: what was not found was not looked for to the end.", err=True)
        return found

    def show(self, answer: "Offered") -> None:
        """Print the answer."""
        from scheduler.outputs.offer import Question, offer_parts

        asked = Question(
            amount=self.amount,
            product=self.cells["product"],
            weekdays=self.cells["weekdays"],
            dated=self.start is not None,
            cells=self.cells,
        )
        show_page(offer_parts(self.farm, asked, answer, self.price_of))

    def write(self, out: Path, answer: "Offered", way: "Way") -> None:
        """Write the plan with the order in it, its book included."""
        from scheduler.book.plain_copy import book_copy
        from scheduler.cli.keeping import write_found
        from scheduler.outputs.everything import Edition, write_plan

        if answer.taken is None:
            click.echo("Nothing was written.", err=True)
            return
        made = self.with_order(self.amount, self.farm.date_of(answer.taken.first))
        farm, plan, book = self.farm_of(made), answer.taken.plan, book_copy(made.raw)
        write_found(out, lambda folder: write_plan(folder, farm, plan, book, Edition(), way))
        click.echo(f"Written to {out}, with the order in its copy of the book")
