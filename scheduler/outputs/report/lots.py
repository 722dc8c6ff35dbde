"""The story of a lot on one line of a table."""

from collections.abc import Sequence
from dataclasses import dataclass

from markupsafe import Markup

from scheduler.farm.dates import day_of_month
from scheduler.farm.farm import Farm
from scheduler.outputs.report.say import joined, own
from scheduler.outputs.words import counted
from scheduler.plan.views.lots import LotStory, Stay
from scheduler.plan.words import head_word


@dataclass(frozen=True, slots=True, kw_only=True)
class Stage:
    """When a lot came into trays, boards, rafts or beds, how many of them, and into which places."""

    days: str
    units: str
    places: Markup


@dataclass(frozen=True, slots=True, kw_only=True)
class Lot:
    """One lot: what happened when, and who got it."""

    lot: Markup
    crop: Markup
    sown: str
    trays: Stage
    boards: Stage
    rafts: Stage
    cut: str
    heads: str
    went: Markup


@dataclass(frozen=True, slots=True, kw_only=True)
class LotPage:
    """Lots of a plan that has too many for one page; ``name`` is that of the file without its ending."""

    name: str
    title: Markup
    lots: tuple[Lot, ...]


def lot_pages(lots: Sequence[Lot], most: int) -> tuple[LotPage, ...]:
    """Return pages of at most so many lots each; none where all fit on one."""
    if len(lots) <= most:
        return ()
    pages = [tuple(lots[first : first + most]) for first in range(0, len(lots), most)]
    return tuple(
        LotPage(
            name=f"lots-{number}",
            title=Markup("Lots {} to {}").format(page[0].lot, page[-1].lot),
            lots=page,
        )
        for number, page in enumerate(pages, start=1)
    )


def lot_line(farm: Farm, story: LotStory) -> Lot:
    """Return the line of one lot; its days have no year, which its code has."""
    return Lot(
        lot=own(story.lot),
        crop=own(story.crop),
        sown="growing" if story.sown is None else _days(farm, story.sown, story.sown),
        trays=_stage(farm, story.trays),
        boards=_stage(farm, story.boards),
        rafts=_stage(farm, story.rafts) if story.beds is None else _in_beds(farm, story.beds),
        cut=_days(farm, story.first_cut, story.last_cut),
        heads=_heads(farm, story),
        went=_went(story),
    )


def _heads(farm: Farm, story: LotStory) -> str:
    """Return what was cut or picked; what is not counted in heads says what it is."""
    if not story.heads:
        return ""
    word = head_word(farm.crops[story.crop])
    return f"{story.heads:,}" if word == "head" else counted(story.heads, word)


def _stage(farm: Farm, stay: Stay | None) -> Stage:
    if stay is None:
        return Stage(days="", units="", places=Markup())
    places = joined(own(place) for place in stay.places)
    return Stage(days=_days(farm, stay.first, stay.last), units=f"{stay.units:,}", places=places)


def _in_beds(farm: Farm, stay: Stay) -> Stage:
    """Return plants in beds, which stand where a lot on rafts has its rafts; they have no units to count."""
    beds = joined(own(place) for place in stay.places)
    plants = "1 plant" if stay.units == 1 else f"{stay.units:,} plants"
    return Stage(
        days=_days(farm, stay.first, stay.last), units="", places=Markup("{} in {}").format(plants, beds)
    )


def _went(story: LotStory) -> Markup:
    parts = [Markup("{}&nbsp;{:,}").format(own(name), heads) for name, heads in story.delivered]
    for number, said in (
        (story.later, "after the last day"),
        (story.left, "not sold"),
        (story.discarded, "plants thrown away"),
    ):
        if number:
            parts.append(Markup("{}&nbsp;{:,}").format(said, number))
    if story.overdue:
        parts.append(Markup("overdue on the first day"))
    return joined(parts)


def _days(farm: Farm, first: int | None, last: int | None) -> str:
    """Return days as ``3 Apr``, ``3-10 Apr`` or ``27 Apr-4 May``."""
    if first is None or last is None:
        return ""
    begin, end = farm.date_of(first), farm.date_of(last)
    said = day_of_month(end)
    if first == last:
        return said
    if (begin.year, begin.month) == (end.year, end.month):
        return f"{begin.day}-{said}"
    return f"{day_of_month(begin)}-{said}"
