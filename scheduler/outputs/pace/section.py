"""How fast places grow, and how long crops take by the week they are sown, as a section of the report."""

from dataclasses import dataclass

from markupsafe import Markup

from scheduler.farm.dates import dated
from scheduler.farm.farm import Farm
from scheduler.outputs.pace.chart import pace_chart
from scheduler.outputs.report.say import own
from scheduler.plan.rows import Plan
from scheduler.plan.views.pace_curve import CropCurve, SowingWeek, crop_curves, place_curves


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """One crop: days and week of sowing of its quickest and its slowest sowing, and all weeks."""

    crop: Markup
    fewest: str
    sown_quick: str
    most: str
    sown_slow: str
    weeks: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PaceSection:
    """What the section shows."""

    svg: Markup
    rows: tuple[Line, ...]


def pace_section(farm: Farm, plan: Plan) -> PaceSection | None:
    """Return the section; None for a farm on which every place always grows alike."""
    if all(curve.is_flat for curve in place_curves(farm)):
        return None
    lines = tuple(line for curve in crop_curves(farm) if (line := _line(farm, curve)) is not None)
    return PaceSection(svg=Markup(pace_chart(farm, plan)), rows=lines)


def _line(farm: Farm, curve: CropCurve) -> Line | None:
    """Return a crop's line, of the weeks in which it may be sown; None without any."""
    if curve.extremes is None:
        return None
    quick, slow = curve.extremes
    return Line(
        crop=own(curve.crop),
        fewest=str(quick.fastest),
        sown_quick=_day(farm, quick),
        most=str(slow.slowest),
        sown_slow=_day(farm, slow),
        weeks=" ".join(str(week.slowest) for week in curve.sowable),
    )


def _day(farm: Farm, week: SowingWeek) -> str:
    return dated(farm.date_of(week.first))
