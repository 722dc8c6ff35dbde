"""``raftway offer``: can a new standing order be taken?"""

from collections.abc import Callable
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from scheduler.cli.completing import of_book
from scheduler.cli.exits import BREAKS_A_RULE, DONE, NO_PLAN, SHORT
from scheduler.cli.opening import DAY, PLAN, book_argument
from scheduler.cli.pages import show_page
from scheduler.cli.searching import search_options

if TYPE_CHECKING:
    from scheduler.book.book import Book
    from scheduler.book.raw import RawBook
    from scheduler.farm.farm import Farm
    from scheduler.model.settings import SolveSettings
    from scheduler.outputs.everything import Way
    from scheduler.plan.offered import Offered
    from scheduler.plan.rows import Plan

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
@click.option("--out", type=click.Path(path_type=Path), metavar="DIR", help="Folder for the plan with it.")
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
    from scheduler.model.answers.read_back import NotReadBack
    from scheduler.model.settings import SolveSettings
    from scheduler.outputs.everything import Way
    from scheduler.outputs.folder import FolderRefused, check_target

    search = {name: asked.pop(name) for name in ("seconds", "workers", "seed", "deterministic")}
    try:
        if out is not None:
            check_target(out)
        question = _Question(read_raw(book), asked)
        found = _plan_of(question, folder, SolveSettings(**search))
        if isinstance(found, int):
            ctx.exit(found)
        with keeping() as keeper:
            answer = question.answer(*found)
            question.show(answer)
            if out is not None:
                question.write(out, answer, Way(page=keeper.page))
    except NotReadBack as wrong:
        raise click.UsageError(f"this plan cannot be taken up again: {wrong}; plan the book anew") from None
    except FolderRefused as refused:
        raise click.UsageError(str(refused)) from None
    ctx.exit(DONE if answer.fits else SHORT)


def _plan_of(
    question: "_Question", folder: Path | None, settings: "SolveSettings"
) -> "tuple[Plan, SolveSettings] | int":
    """Return the plan to build on and what time is left, or the exit code that says why there is none."""
    from dataclasses import replace

    from scheduler.book.plain_copy import book_copy, book_digest
    from scheduler.cli.judging import breaks_rules
    from scheduler.cli.progress import solve_watched
    from scheduler.cli.stopping import Ended, asked_once
    from scheduler.outputs.saved import open_saved

    if folder is not None:
        saved = open_saved(folder)
        if book_digest(saved.book) != book_digest(book_copy(question.raw)):
            raise click.UsageError(
                f"{folder} is the plan of another book; leave out --plan, or ask the book it was made from: "
                f"raftway offer {folder / 'book'} ... --plan {folder}"
            )
        question.farm = saved.farm
        return BREAKS_A_RULE if breaks_rules(saved.farm, saved.plan) else (saved.plan, settings)
    found = solve_watched(question.farm, replace(settings, seconds=settings.seconds * PLANNING)).plan
    if asked_once():
        raise Ended("Stopped before the order was looked at. Nothing was written.")
    if found is None:
        click.echo("No plan was found in time; give it more with --seconds.", err=True)
        return NO_PLAN
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
        try:
            product = named(asked["product"], _products(book), "product")
        except NotFound as wrong:
            raise click.UsageError(str(wrong)) from None
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
        self.changed(self.amount, self.start)  # a fault of the order is told before any search

    def _usual_price(self, product: str) -> str:
        """Return the lowest price other orders of the product pay; the book's own default without any."""
        prices = [demand.price for demand in self.farm.demands if demand.product == product]
        if not prices:
            self.price_of = "1 a unit, for nobody buys it yet; see --price"
            return ""
        return f"{min(prices) // 100}.{min(prices) % 100:02d}"

    def changed(self, amount: int, first: date | None) -> "RawBook":
        """Return the book with the order in it."""
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
        result = changed(self.raw, [added])
        result.book()
        return result.raw

    def farm_for(self, today: date) -> Callable[[int, int], "Farm"]:
        """Return what makes the farm with the order of an amount from a day on."""
        from scheduler.book.book import typed_book
        from scheduler.farm.build import build_farm

        calendar = self.farm.calendar

        def made(amount: int, first: int) -> "Farm":
            return build_farm(typed_book(self.changed(amount, calendar.date_of(first))), today=today)

        return made

    def answer(self, plan: "Plan", settings: "SolveSettings") -> "Offered":
        """Search, watched."""
        from scheduler.cli.searching import searched
        from scheduler.cli.stopping import asked_once
        from scheduler.model.offer import Wanted, offer

        farm = self.farm
        first = farm.today if self.start is None else max(farm.today, farm.calendar.day_of(self.start))
        if first >= farm.calendar.days:
            raise click.UsageError(
                f"--from {self.start} lies after the plan's last day; name a day of the plan"
            )
        wanted = Wanted(order=self.order, amount=self.amount, first=first)
        make = self.farm_for(farm.date_of(farm.today))
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
        from scheduler.book.book import typed_book
        from scheduler.book.plain_copy import book_copy
        from scheduler.cli.keeping import rest_told
        from scheduler.farm.build import build_farm
        from scheduler.outputs.everything import Edition, write_plan

        if answer.taken is None:
            click.echo("Nothing was written.", err=True)
            return
        raw = self.changed(self.amount, self.farm.date_of(answer.taken.first))
        farm = build_farm(typed_book(raw), today=self.farm.date_of(self.farm.today))
        with rest_told(out):
            write_plan(out, farm, answer.taken.plan, book_copy(raw), Edition(), way)
        click.echo(f"Written to {out}, with the order in its copy of the book")
