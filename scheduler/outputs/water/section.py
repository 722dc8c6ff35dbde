"""The balance of feed as a section of the report."""

from dataclasses import dataclass

from markupsafe import Markup

from scheduler.farm.dates import period
from scheduler.farm.farm import Farm
from scheduler.farm.loops.water import FRUITING, LEAFY, Water
from scheduler.outputs.report.say import own
from scheduler.outputs.water import DECIDE
from scheduler.outputs.water.chart import water_chart
from scheduler.outputs.water.say import area, summed, tanks_in_words, what_is_off
from scheduler.plan.rows import Plan


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One loop in one week."""

    loop: Markup
    days: str
    leafy: str
    fruiting: str
    asked: str
    eaten: str
    state: str
    off: str
    remark: str


@dataclass(frozen=True, slots=True, kw_only=True)
class WaterSection:
    """What the section shows; ``several`` says whether rows tell their loop of water."""

    sentences: tuple[str, ...]
    svg: Markup
    rows: tuple[Line, ...]
    several: bool
    bands: str
    decide: str


def water_section(farm: Farm, plan: Plan) -> WaterSection | None:
    """Return the section; None for a book without fish, or a plan made before there were any."""
    water = farm.water
    if water is None or not plan.water:
        return None
    return WaterSection(
        sentences=(*tanks_in_words(farm), *summed(farm, plan.water)),
        svg=Markup(water_chart(farm, plan)),
        rows=tuple(
            Line(
                loop=own(row.loop),
                days=period(farm.date_of(row.day), farm.date_of(row.last)),
                leafy=area(row.leafy) if row.leafy else "",
                fruiting=area(row.fruiting) if row.fruiting else "",
                asked=f"{row.asked_low:,} to {row.asked_high:,}",
                eaten=f"{row.eaten:,}",
                state=row.state,
                off=what_is_off(row),
                remark=row.remark,
            )
            for row in plan.water
        ),
        several=len({row.loop for row in plan.water}) > 1,
        bands=_bands(water),
        decide=DECIDE,
    )


def _bands(water: Water) -> str:
    leafy, fruiting = water.bands[LEAFY], water.bands[FRUITING]
    return (
        f"Counted with {leafy.low} to {leafy.high} g of feed a day for each square metre of leafy plants, "
        f"and {fruiting.low} to {fruiting.high} for fruiting ones in beds, as the settings have it. FAO "
        "Fisheries and Aquaculture Technical Paper 589, seen in copies, has 40 to 50 and 50 to 80 with feed "
        "of 32 percent protein. What is off is counted to the middle of the band."
    )
