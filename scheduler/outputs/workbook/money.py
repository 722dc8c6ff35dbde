"""The sheet of money by crop: what each brings, costs and holds, and what is left for that space."""

from fractions import Fraction

from scheduler.farm.farm import Farm
from scheduler.farm.units import nearest
from scheduler.outputs.crop_money import COUNTED, NOT_SPLIT, SLOTS, named_lines
from scheduler.outputs.workbook.cells import Kind, Value
from scheduler.outputs.workbook.sheets import Column, TableSheet
from scheduler.outputs.workbook.work import in_money
from scheduler.plan.rows import Plan
from scheduler.plan.views.crop_money import CropMoney, money_by_crop


def money_sheet(farm: Farm, plan: Plan) -> TableSheet:
    """Return one row a crop, what earns most for its space first; without prices only hours and space."""
    found = money_by_crop(farm, plan)
    priced = found.priced
    return TableSheet(
        name="money",
        title="What each crop earns for the space it takes",
        columns=(
            Column(heading="crop", note=f"{COUNTED} {NOT_SPLIT}"),
            *(_money_columns(farm) if priced else ()),
            Column(heading="work (hours)", kind=Kind.HOURS),
            *(_work_columns(farm) if priced else ()),
            Column(heading="space (m²-weeks)", kind=Kind.NUMBER, note="Boards, rafts and beds."),
            Column(heading="space (slot-weeks)", kind=Kind.NUMBER, note=SLOTS),
            *(_earning_columns(farm) if priced else ()),
        ),
        rows=[
            (
                name,
                *((nearest(each) for each in (line.brought, line.seed, line.filling)) if priced else ()),
                line.minutes,
                *((nearest(line.work), nearest(line.left)) if priced else ()),
                _weeks(line.area),
                _weeks(line.slots),
                *(_earnings(line) if priced else ()),
            )
            for name, line in named_lines(found)
        ],
        empty="No crop stands anywhere, is paid for or brings anything.",
    )


def _money_columns(farm: Farm) -> tuple[Column, ...]:
    return tuple(
        Column(heading=in_money(farm, name), kind=Kind.MONEY) for name in ("brought", "seed", "filling")
    )


def _work_columns(farm: Farm) -> tuple[Column, ...]:
    return (
        Column(heading=in_money(farm, "work"), kind=Kind.MONEY, note="Hours at the price of one."),
        Column(heading=in_money(farm, "left"), kind=Kind.MONEY, note="Brought, less all that is paid."),
    )


def _earning_columns(farm: Farm) -> tuple[Column, ...]:
    return (
        Column(
            heading=in_money(farm, "left a m²-week"), kind=Kind.MONEY, note="For one square metre and week."
        ),
        Column(
            heading=in_money(farm, "left a slot-week"),
            kind=Kind.MONEY,
            note="For one slot and week, of crops that hold slots only.",
        ),
    )


def _weeks(weeks: Fraction) -> Value:
    return round(float(weeks), 2) if weeks else None


def _earnings(line: CropMoney) -> tuple[Value, Value]:
    area, slot = line.for_area, line.for_slot
    return None if area is None else nearest(area), None if slot is None else nearest(slot)
