"""What is in the box this week: one file a share, one printed page a day of delivery, nothing outside it."""

from dataclasses import dataclass

from markupsafe import Markup

from scheduler.farm.dates import long_day
from scheduler.farm.farm import Farm
from scheduler.outputs.boxes.amounts import in_boxes
from scheduler.outputs.boxes.keeping import CAUTION, hint
from scheduler.outputs.file_names import file_name
from scheduler.outputs.report.say import own
from scheduler.outputs.templates import environment
from scheduler.outputs.words import plain
from scheduler.plan.rows import Plan
from scheduler.plan.views.box_days import BoxLine, BoxPage, box_pages

FILE = "boxes/{}.html"


@dataclass(frozen=True, slots=True, kw_only=True)
class Content:
    """One product of a box: its name, what a box holds of it, and how to keep it."""

    product: Markup
    amount: str
    keeping: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheet:
    """One printed page: the boxes of one day."""

    anchor: str
    day: str
    contents: tuple[Content, ...]
    missing: tuple[Markup, ...]


def box_files(farm: Farm, plan: Plan) -> dict[str, bytes]:
    """Return file name -> contents of a page for each share; nothing on a farm without any."""
    files: dict[str, bytes] = {}
    for share, pages in box_pages(farm, plan).items():
        files[file_name(FILE, share, files)] = box_html(farm, share, pages).encode()
    return files


def box_html(farm: Farm, share: str, pages: list[BoxPage]) -> str:
    """Return the page of one share: only what its customers may see, no lot, no price, no other customer."""
    sheets = [_sheet(farm, page) for page in pages]
    return (
        environment("scheduler.outputs.boxes")
        .get_template("boxes.html.j2")
        .render(farm=own(farm.name), share=own(share), title=plain(share), sheets=sheets, caution=CAUTION)
    )


def _sheet(farm: Farm, page: BoxPage) -> Sheet:
    when = farm.date_of(page.row.day)
    return Sheet(
        anchor=f"d{when:%Y%m%d}",
        day=f"{long_day(when)} {when.year}",
        contents=tuple(_content(farm, page, line) for line in page.lines if line.row.product),
        missing=tuple(own(line.row.slot) for line in page.lines if not line.row.product),
    )


def _content(farm: Farm, page: BoxPage, line: BoxLine) -> Content:
    hints = dict.fromkeys(hint(farm, crop) for crop in line.crops)
    split = sum(each.row.slot == line.row.slot for each in page.lines) > 1
    some = "some boxes: " if split else ""
    return Content(
        product=own(line.row.product),
        amount=f"{some}{in_boxes(page, line)}",
        keeping=" ".join(each for each in hints if each),
    )
