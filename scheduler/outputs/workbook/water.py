"""Sheet of fish feed against what the plants ask."""

from scheduler.farm.farm import Farm
from scheduler.farm.units import CENT
from scheduler.outputs.water import DECIDE
from scheduler.outputs.workbook.cells import Kind
from scheduler.outputs.workbook.sheets import SHORT, Column, Mark, TableSheet
from scheduler.plan.rows import Plan
from scheduler.plan.water import SHORT as PLANTS_SHORT

COLUMNS = (
    Column(heading="water", note=DECIDE),
    Column(heading="from", kind=Kind.DATE),
    Column(heading="to", kind=Kind.DATE),
    Column(heading="leafy plants (m²)", kind=Kind.NUMBER),
    Column(heading="fruiting plants (m²)", kind=Kind.NUMBER),
    Column(heading="asked at least (g a day)", kind=Kind.WHOLE),
    Column(heading="asked at most (g a day)", kind=Kind.WHOLE),
    Column(heading="eaten (g a day)", kind=Kind.WHOLE),
    Column(heading="state"),
    Column(
        heading="lacking or too much (g a day)",
        kind=Kind.WHOLE,
        note="To the middle of what is asked; lacking or too much as the state says.",
    ),
    Column(
        heading="too many or more (m²)",
        kind=Kind.NUMBER,
        note="The same in square metres: planted too many, or that could be planted besides.",
    ),
    Column(heading="fish", kind=Kind.WHOLE),
    Column(heading="remark", kind=Kind.LONG),
)


def water_sheet(farm: Farm, plan: Plan) -> TableSheet:
    """Return the balance of each loop, week by week."""
    return TableSheet(
        name="water",
        title="Fish feed against what the plants ask",
        columns=COLUMNS,
        rows=[
            (
                row.loop,
                farm.date_of(row.day),
                farm.date_of(row.last),
                row.leafy / CENT,
                row.fruiting / CENT,
                row.asked_low,
                row.asked_high,
                row.eaten,
                row.state,
                row.off,
                row.area_off / CENT,
                row.fish,
                row.remark,
            )
            for row in plan.water
        ],
        empty="The book has no fish.",
        marks=(Mark(columns=("state", "state"), formula=f'{{state}}="{PLANTS_SHORT}"', fill=SHORT),),
    )
