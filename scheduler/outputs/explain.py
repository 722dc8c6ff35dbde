"""One screen on why deliveries are short: what stood in the way, what fills them, and where it is tight."""

from collections.abc import Iterator, Sequence

from rich.padding import Padding
from rich.text import Text

from scheduler.farm.farm import Farm
from scheduler.outputs.relief_words import (
    between,
    cause_in_words,
    hours,
    relief_in_words,
)
from scheduler.outputs.screen import heading
from scheduler.outputs.show.page import Part, day_of, days_in_words, row, table, titled
from scheduler.outputs.words import date_in_text, money, plain
from scheduler.plan.relief import Explained, OrderCost
from scheduler.plan.views.bottleneck import CREW, Bottleneck
from scheduler.plan.words import worth_listing

OTHER_RELIEFS = 3
WEEKS = 8


def explain_parts(
    farm: Farm,
    explained: Sequence[Explained],
    left: int,
    weeks: Sequence[Bottleneck],
    order: OrderCost | None = None,
) -> Iterator[Part]:
    """Yield the page.

    Args:
        farm: the farm.
        explained: deliveries, the most valuable first.
        left: number of unfilled deliveries that were not looked at.
        weeks: bottlenecks, by time.
        order: what the order in rows costs, where it was asked for and there is anything to say.
    """
    last = farm.calendar.days - 1
    yield heading(f"{plain(farm.name)}: {date_in_text(farm, 0)} to {date_in_text(farm, last)}")
    if not explained:
        yield Text("Every delivery is filled.")
    for each in explained:
        yield Text()
        yield from _delivery(farm, each)
    if left:
        many = "deliveries are not filled and were" if left > 1 else "delivery is not filled and was"
        yield Text(f"\n{left:,} more {many} not looked at; --deliveries takes more")
    if order is not None:
        yield titled("What the order in rows costs")
        yield Text(order_in_words(order))
    yield from _tight(farm, weeks)


def order_in_words(order: OrderCost) -> str:
    """Return what lane order costs, and how sure that is, in a sentence or two."""
    units = "unit of firm deliveries is" if order.kept == 1 else "units of firm deliveries are"
    short = f"{order.kept:,} {units} short with every row in order"
    if order.free < order.kept:
        sure = "no plan is less short" if order.proven else "the fewest found in the time"
        return (
            f"{short}, {order.free:,} if any raft could be cut and lifted out where it stands ({sure}): "
            f"the order costs {order.kept - order.free:,}."
        )
    if order.proven:
        return (
            f"{short}, and as many if any raft could be lifted out where it stands: the order costs nothing."
        )
    return (
        f"{short}. No plan was found that leaves fewer if any raft could be lifted out where it stands; "
        "that is no proof that there is none."
    )


def _delivery(farm: Farm, each: Explained) -> Iterator[Part]:
    asked = each.row
    who = plain(asked.customer or asked.order)
    worth = f", worth {money(farm, each.value)}" if each.value else ""
    yield Text(
        f"{day_of(farm, asked.day)} {asked.missing:,} of {asked.amount:,} "
        f"{plain(asked.product)} missing for {who}{worth}",
        style="bold",
    )
    yield _line(f"In the way: {cause_in_words(farm, each)}.")
    if not each.reliefs:
        if each.ended:
            yield _line("Nothing that was tried fills it.")
        else:
            yield _line(
                "Nothing that fills it was found in the time, which proves nothing; --seconds gives it more."
            )
        return
    first, *others = each.reliefs
    yield _line(relief_in_words(farm, first, "Filled"))
    shown = worth_listing(len(others), OTHER_RELIEFS)
    for other in others[:shown]:
        yield _line(relief_in_words(farm, other, "Or"))


def _line(text: str) -> Part:
    return Padding(Text(text), (0, 0, 0, 2))


def _tight(farm: Farm, weeks: Sequence[Bottleneck]) -> Iterator[Part]:
    if not weeks:
        return
    yield titled("Nearest its limit, week by week")
    lines = table("day", "name", "rest")
    shown = worth_listing(len(weeks), WEEKS)
    for week in weeks[:shown]:
        name, full = _said(week)
        row(
            lines,
            days_in_words(farm, [week.first, week.last]),
            name,
            f"{full} {between(farm, week.day, week.day)}",
        )
    yield lines
    if len(weeks) > shown:
        yield Text(f"and {len(weeks) - shown} more stretches of weeks; report.html draws them all")


def _said(week: Bottleneck) -> tuple[str, str]:
    if week.called == CREW:
        return "the crew's hours", f"{hours(week.used)} of {hours(week.there)}"
    return week.name, f"{week.used:,} of {week.there:,} {PLACES.get(week.called, f'{week.called}s')}"


PLACES = {"shelf": "tray places", "board zone": "board places", "trough": "raft places", "bed": "positions"}
"""What a place is called by -> what it has so many of."""
