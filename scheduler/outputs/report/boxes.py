"""The report's section on box shares: what each box holds, what it is worth, and what it lacks."""

from dataclasses import dataclass

from markupsafe import Markup

from scheduler.farm.farm import Farm
from scheduler.farm.units import CENT
from scheduler.outputs.boxes.amounts import several_boxes
from scheduler.outputs.boxes.lacking import lacking
from scheduler.outputs.report.say import joined, own
from scheduler.outputs.words import day_in_text, money
from scheduler.plan.rows import Plan
from scheduler.plan.views.box_days import BoxLine, BoxPage, box_pages


@dataclass(frozen=True, slots=True, kw_only=True)
class BoxRowShown:
    """One delivery day of a share; ``marked`` when something is short."""

    day: str
    boxes: str
    contents: Markup
    value: str
    products: str
    lacking: Markup
    marked: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class ShareShown:
    """All boxes of one share."""

    name: Markup
    lead: str
    rows: tuple[BoxRowShown, ...]


def boxes_context(farm: Farm, plan: Plan) -> tuple[ShareShown, ...]:
    """Return what ``boxes.html.j2`` shows; nothing without box shares."""
    return tuple(
        ShareShown(name=own(name), lead=_lead(farm, pages), rows=tuple(_row(farm, page) for page in pages))
        for name, pages in box_pages(farm, plan).items()
    )


def _lead(farm: Farm, pages: list[BoxPage]) -> str:
    full = sum(page.row.state == "full" for page in pages)
    values = [page.row.value for page in pages if page.row.state == "full"]
    said = f"{full:,} of {len(pages):,} delivery days with full boxes."
    if values:
        least = f"{min(values) / CENT:,.2f} to " if min(values) < max(values) else ""
        said += f" A full box is worth {least}{money(farm, max(values))}."
    return said


def _row(farm: Farm, page: BoxPage) -> BoxRowShown:
    row = page.row
    value = f"{row.value / CENT:,.2f}"
    if row.highest != row.value:
        value += f" to {row.highest / CENT:,.2f}"
    return BoxRowShown(
        day=day_in_text(farm, row.day),
        boxes=several_boxes(page),
        contents=joined(_content(line) for line in page.lines if line.row.product) or Markup("nothing"),
        value=value,
        products=f"{row.kinds}, {row.repeats} again" if row.repeats else f"{row.kinds}",
        lacking=own("; ".join(lacking(page, farm.currency))),
        marked=row.state == "short",
    )


def _content(line: BoxLine) -> Markup:
    return Markup("{} {:,}").format(own(line.row.product), line.row.filled)
