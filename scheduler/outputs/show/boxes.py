"""The page of one share: its boxes from a day on, what they lack, and how often each product comes."""

from collections import Counter
from collections.abc import Iterator

from rich.padding import Padding
from rich.text import Text

from scheduler.farm.farm import Farm
from scheduler.farm.units import CENT
from scheduler.outputs.boxes.amounts import in_boxes, several_boxes
from scheduler.outputs.boxes.lacking import lacking
from scheduler.outputs.screen import heading
from scheduler.outputs.show.page import Part, day_of, left_out, row, table, titled
from scheduler.outputs.words import date_in_text, plain, some
from scheduler.plan.rows import Plan
from scheduler.plan.views.box_days import BoxPage, box_pages
from scheduler.plan.words import most_first, worth_listing

BOXES = 12
PRODUCTS = 20


def share_parts(farm: Farm, plan: Plan, name: str, day: int) -> Iterator[Part]:
    """Yield the boxes of a share from a day on."""
    pages = box_pages(farm, plan).get(name, [])
    coming = [page for page in pages if page.row.day >= day]
    yield heading(f"{plain(name)}, from {date_in_text(farm, day)}")
    states = Counter(page.row.state for page in pages)
    said = [f"{states.pop('full', 0)} of {len(pages)} full", *(f"{n} {s}" for s, n in sorted(states.items()))]
    yield Text(f"Boxes of the whole plan: {', '.join(said)}")
    if not coming:
        yield Text("No box is to come.")
        return
    yield from _next(coming[0])
    yield titled("Boxes to come")
    lines = table("day", "state", "number", "rest")
    shown = worth_listing(len(coming), BOXES)
    for page in coming[:shown]:
        missing = lacking(page, farm.currency)
        told = ", ".join(page.products) or "nothing"
        more = f" ({'; '.join(missing)})" if missing else ""
        row(
            lines,
            day_of(farm, page.row.day),
            page.row.state,
            f"{page.row.value / CENT:,.2f}",
            f"{told}{more}",
        )
    yield lines
    if len(coming) > shown:
        yield left_out(len(coming) - shown, "tables/boxes.csv")
    times = Counter(product for page in coming for product in page.products)
    yield titled("How often")
    yield Text(some([f"{plain(product)} {number}" for product, number in most_first(times)], PRODUCTS))


def _next(page: BoxPage) -> Iterator[Part]:
    yield Text(f"Next: {several_boxes(page)}")
    lines = table("name", "name", "number", "rest")
    for line in page.lines:
        given = line.row.filled if line.row.product else 0
        row(
            lines,
            line.row.slot,
            line.row.product or "nothing",
            f"{given:,} of {line.row.wanted:,}",
            in_boxes(page, line) if line.row.product else "",
        )
    yield Padding(lines, (0, 0, 0, 2))
