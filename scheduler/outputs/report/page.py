"""The whole report as one page of HTML: season, a sheet for each week, and the pages behind."""

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from markupsafe import Markup

from scheduler.farm.dates import period
from scheduler.farm.farm import Farm
from scheduler.outputs.cautions import LOCAL
from scheduler.outputs.pace.section import pace_section
from scheduler.outputs.report.back import BackPage, back_context
from scheduler.outputs.report.boxes import boxes_context
from scheduler.outputs.report.changed import changed_context
from scheduler.outputs.report.choice import BACK, BOXES, PACE, SEASON, WATER, Choice, Part, choice_of, rules
from scheduler.outputs.report.lots import LotPage
from scheduler.outputs.report.paper import sheaves, stays_together
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

SHEETS = ("style.css", "season.css", "paper.css")
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
    return _page(farm, plan, weeks, pictures, parted=False)


def part_html(farm: Farm, plan: Plan, sheets: Sheets, pictures: Pictures) -> str:
    """Return one page of a report that has many; its links lead to the others, by names beside it."""
    if sheets.leads:
        return _page(farm, plan, sheets.weeks, pictures, parted=True)
    parts = BACK if sheets.back else ()
    shown = _shown(farm, sheets.weeks, pictures, choice_of(parts, ()))
    template = environment(HERE).get_template("part.html.j2")
    return template.render(**shown, weeks=sheets.weeks, back=sheets.back, lots=sheets.lots)


def _page(farm: Farm, plan: Plan, weeks: Sequence[WeekSheet], pictures: Pictures, *, parted: bool) -> str:
    calendar = farm.calendar
    found = {
        "season": season_context(farm, plan),
        "changed": changed_context(farm, plan),
        "boxes": boxes_context(farm, plan),
        "back": None if parted else back_context(farm, plan),
        "pace": pace_section(farm, plan),
        "water": water_section(farm, plan),
    }
    choice = choice_of(_parts(found), () if parted else weeks)
    return (
        environment(HERE)
        .get_template("page.html.j2")
        .render(
            **_shown(farm, weeks, pictures, choice),
            **found,
            parted=parted,
            dates=period(farm.date_of(farm.today), farm.date_of(calendar.days - 1)),
            weeks=weeks,
            harvest=harvest_heading(farm),
        )
    )


def _parts(found: Mapping[str, object]) -> Iterator[Part]:
    """Yield what of a page with these parts can be printed or left out."""
    yield SEASON
    yield from (part for part in (BOXES, PACE, WATER) if found[part.name])
    yield from BACK if found["back"] else ()


def _shown(farm: Farm, weeks: Sequence[WeekSheet], pictures: Pictures, choice: Choice) -> dict[str, object]:
    """Return what every page has: names, cautions, style, what can be printed, what its drawings share."""
    return {
        "farm": own(farm.name),
        "title": plain(farm.name),
        "local": LOCAL,
        "style": Markup(style()),
        "running": Markup(f"{_running_heads(farm, weeks)}\n{rules(choice, weeks)}"),
        "choice": choice,
        "stays_together": stays_together,
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


def _running_heads(farm: Farm, weeks: Sequence[WeekSheet]) -> str:
    """Return the rules that write farm, week or weeks, and page on top of each printed page."""
    pages = {week.page: f"{week.title}, {week.dates}" for week in weeks}
    pages |= {sheaf.page: sheaf.head for sheaf in sheaves(weeks)}
    found = [_head("", farm.name, ""), *(_head(name, farm.name, said) for name, said in pages.items())]
    return "\n".join(found)


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
