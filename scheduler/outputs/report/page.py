"""The whole report as one page of HTML: season, a sheet for each week, and the pages behind."""

import re
from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup

from scheduler.farm.dates import period
from scheduler.farm.farm import Farm
from scheduler.outputs.cautions import LOCAL
from scheduler.outputs.pace.section import pace_section
from scheduler.outputs.report.back import BackPage, back_context
from scheduler.outputs.report.boxes import boxes_context
from scheduler.outputs.report.changed import changed_context
from scheduler.outputs.report.lots import LotPage
from scheduler.outputs.report.pictures import Pictures
from scheduler.outputs.report.say import own
from scheduler.outputs.report.season import season_context
from scheduler.outputs.report.week import WeekSheet, harvest_heading, week_sheet
from scheduler.outputs.templates import environment, style_sheet
from scheduler.outputs.water.section import water_section
from scheduler.outputs.words import plain
from scheduler.plan.rows import Plan
from scheduler.plan.views.week import week_sheets

HERE = "scheduler.outputs.report"

SHEETS = ("style.css", "season.css")
"""Style sheets, in the order they are read."""

PAGE_NAMES = re.compile(r"[a-z][a-z0-9]*")


@dataclass(frozen=True, slots=True, kw_only=True)
class Sheets:
    """What a page holds.

    Attributes:
        weeks: its week sheets; of a page that leads to others, what it tells of them.
        leads: whether it is the page that leads to a page for each week.
        back: the pages at the back, where it holds these and nothing else.
        lots: some of the lots, where it holds these and nothing else.
    """

    weeks: Sequence[WeekSheet] = ()
    leads: bool = False
    back: BackPage | None = None
    lots: LotPage | None = None


def report_html(farm: Farm, plan: Plan) -> str:
    """Return the report as one page that loads nothing, runs nothing, and is the same for the same plan."""
    pictures = Pictures(farm, plan)
    weeks = [week_sheet(farm, week, pictures) for week in week_sheets(farm, plan)]
    return _page(farm, plan, "page.html.j2", weeks, pictures, parted=False)


def part_html(farm: Farm, plan: Plan, sheets: Sheets, pictures: Pictures) -> str:
    """Return one page of a report that has many; its links lead to the others, by names beside it."""
    if sheets.leads:
        return _page(farm, plan, "page.html.j2", sheets.weeks, pictures, parted=True)
    shown = _shown(farm, sheets.weeks, pictures)
    template = environment(HERE).get_template("part.html.j2")
    return template.render(**shown, weeks=sheets.weeks, back=sheets.back, lots=sheets.lots)


def _page(
    farm: Farm, plan: Plan, template: str, weeks: Sequence[WeekSheet], pictures: Pictures, *, parted: bool
) -> str:
    calendar = farm.calendar
    return (
        environment(HERE)
        .get_template(template)
        .render(
            **_shown(farm, weeks, pictures),
            parted=parted,
            dates=period(farm.date_of(farm.today), farm.date_of(calendar.days - 1)),
            weeks=weeks,
            harvest=harvest_heading(farm),
            last_week=weeks[-1].number if weeks else 0,
            season=season_context(farm, plan),
            changed=changed_context(farm, plan),
            boxes=boxes_context(farm, plan),
            back=None if parted else back_context(farm, plan),
            pace=pace_section(farm, plan),
            water=water_section(farm, plan),
        )
    )


def _shown(farm: Farm, weeks: Sequence[WeekSheet], pictures: Pictures) -> dict[str, object]:
    """Return what every page has: names, cautions, style, and what its drawings share."""
    return {
        "farm": own(farm.name),
        "title": plain(farm.name),
        "local": LOCAL,
        "style": Markup(style()),
        "running": Markup(
            _running_heads(farm, [(week.page, f"{week.title}, {week.dates}") for week in weeks])
        ),
        "shared": pictures.shared(),
        "rules": pictures.rules(),
    }


def frame_of_page(farm: Farm, running: str) -> dict[str, object]:
    """Return what the pages beside the report have in common: the farm's name, style, and running heads.

    ``running`` stands on top of each printed page beside the farm.
    """
    return {
        "farm": own(farm.name),
        "title": plain(farm.name),
        "style": Markup(f"{style()}\n{style_sheet('scheduler.outputs.compare', 'compare.css')}"),
        "running": Markup(f"@page{_tops(farm.name, running)}"),
    }


def style() -> str:
    """Return the style sheets of all parts, one after the other."""
    return "\n".join(style_sheet(HERE, name) for name in SHEETS)


def _running_heads(farm: Farm, pages: list[tuple[str, str]]) -> str:
    """Return the rules that write farm, week and page on top of each printed page."""
    rules = [_head("", farm.name, ""), *(_head(name, farm.name, said) for name, said in pages)]
    return "\n".join(rules)


def _head(name: str, farm: str, said: str) -> str:
    if name and not PAGE_NAMES.fullmatch(name):
        raise ValueError(f"{name!r} is no name of a page")
    return f"@page {name}{_tops(farm, said)}"


def _tops(farm: str, said: str) -> str:
    return f"{{@top-left{{content:{quoted(farm)}}}@top-center{{content:{quoted(said)}}}}}"


def quoted(text: str) -> str:
    """Return a text as a string of a style sheet; all but letters and digits is written by its number."""
    signs = (sign if sign.isascii() and sign.isalnum() else f"\\{ord(sign):06x}" for sign in plain(text))
    return f'"{"".join(signs)}"'
