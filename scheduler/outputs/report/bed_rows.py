"""Rows of a work sheet at the beds."""

from markupsafe import Markup

from scheduler.farm.farm import Farm
from scheduler.outputs.report.nursery_rows import the_sources
from scheduler.outputs.report.row import Row, row
from scheduler.outputs.report.say import in_positions, numbers, one_day, several, unbroken
from scheduler.outputs.report.trough_rows import takers
from scheduler.outputs.words import counted
from scheduler.plan.views.lines import Picking, PullingOut, SettingIn
from scheduler.plan.words import head_word

BedLine = SettingIn | Picking | PullingOut


def bed_row(line: BedLine, farm: Farm) -> Row:
    """Return the row of a line at the beds."""
    match line:
        case SettingIn():
            return _setting_in(line)
        case Picking():
            return _picking(line, farm)
        case PullingOut():
            return _pulling_out(line, farm)


def _setting_in(line: SettingIn) -> Row:
    return row(
        (line.crop, line.lot),
        "plants",
        (several(line.plants, "plant"),),
        source=the_sources(line.sources),
        target=in_positions(line.bed),
        note=["one in each position"] if line.plants > 1 else [],
    )


def _picking(line: Picking, farm: Farm) -> Row:
    head = head_word(farm.crops[line.crop])
    return row(
        (line.crop, line.lot),
        "pieces" if head != "g" else "weight",
        (
            several(line.heads, head) if line.heads else Markup("<b>none to sell</b>"),
            Markup("from {}").format(unbroken(counted(line.plants, "plant"))),
            Markup("picking number {}").format(numbers(line.numbers)),
        ),
        source=in_positions(line.bed),
        target=takers(line.whom, line.spare, farm),
    )


def _pulling_out(line: PullingOut, farm: Farm) -> Row:
    return row(
        (line.crop, line.lot),
        "plants",
        (several(line.plants, "plant"),),
        source=in_positions(line.bed),
        note=[Markup("free again on {}").format(one_day(farm, line.free))],
    )
