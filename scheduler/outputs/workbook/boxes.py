"""The sheet of box shares: what each place of each box holds, day by day."""

from collections.abc import Iterator

from scheduler.farm.farm import Farm
from scheduler.outputs.boxes.lacking import lacking
from scheduler.outputs.workbook.cells import Kind, Value
from scheduler.outputs.workbook.sheets import SHORT, Column, Mark, TableSheet
from scheduler.outputs.workbook.work import in_money
from scheduler.plan.rows import Plan
from scheduler.plan.views.box_days import box_pages


def boxes_sheet(farm: Farm, plan: Plan) -> TableSheet:
    """Return one row for each place of a share's boxes and day of delivery."""
    return TableSheet(
        name="boxes",
        title="Boxes of the shares",
        columns=(
            Column(heading="day", kind=Kind.DATE),
            Column(heading="share"),
            Column(heading="boxes", kind=Kind.WHOLE),
            Column(heading="half boxes", kind=Kind.WHOLE),
            Column(heading="place"),
            Column(heading="product", note="Blank: nothing is in this place."),
            Column(heading="in a full box", kind=Kind.NUMBER),
            Column(heading="in a half box", kind=Kind.NUMBER),
            Column(heading="units needed", kind=Kind.WHOLE, note="By all boxes of the day in this place."),
            Column(heading="units given", kind=Kind.WHOLE),
            Column(heading="missing", kind=Kind.SHORT),
            Column(heading="boxes running", kind=Kind.WHOLE, note="In how many boxes one after another."),
            Column(heading=in_money(farm, "value"), kind=Kind.MONEY, note="Of a full box, all its places."),
            Column(heading="state"),
            Column(heading="what it lacks", kind=Kind.LONG),
        ),
        rows=list(_rows(farm, plan)),
        empty="The book has no box shares.",
        marks=(Mark(columns=("missing", "missing"), formula="{missing}>0", fill=SHORT),),
    )


def _rows(farm: Farm, plan: Plan) -> Iterator[tuple[Value, ...]]:
    pages = [page for found in box_pages(farm, plan).values() for page in found]
    for page in sorted(pages, key=lambda page: (page.row.day, page.row.share)):
        for number, line in enumerate(page.lines):
            row = line.row
            yield (
                farm.date_of(row.day),
                row.share,
                page.row.boxes,
                page.row.half_boxes,
                row.slot,
                row.product,
                row.full_box,
                row.half_box,
                row.wanted,
                row.filled,
                line.short,
                row.running,
                page.row.value,
                page.row.state,
                "" if number else "; ".join(lacking(page, farm.currency)),
            )
