"""What of the report is printed: ticks in its contents, and the rules of a style sheet that obey them.

The page runs no script. A tick is an input that the style sheet asks for its state when the page is printed;
on the screen everything is there, whatever is ticked. A browser that cannot ask (from before about 2023)
prints everything.
"""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from scheduler.outputs.report.paper import Sheaf, first_ticked, sheaves
from scheduler.outputs.report.week import WeekSheet

ALL = ":is(#print-all:checked, #print-all:target)"
"""That everything is asked for: by its tick, or by its name at the end of the page's address."""

AT_THE_BACK = ("orders", "numbers", "lots", "figures")
"""Parts of the pages at the back."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Part:
    """A part of the report that is printed or left out.

    Attributes:
        name: of its tick, without ``print-``.
        title: what the contents call it.
        href: where it stands.
        chosen: what of the page it is, as a selector below the contents.
        ticked: whether it is printed unless somebody chooses otherwise.
    """

    name: str
    title: str
    href: str
    chosen: str
    ticked: bool


SEASON = Part(name="season", title="Season", href="#season", chosen="#season", ticked=True)
BOXES = Part(name="boxes", title="Boxes", href="#boxes", chosen="#boxes", ticked=False)
PACE = Part(name="pace", title="How fast plants grow", href="#pace", chosen="#pace", ticked=False)
WATER = Part(name="water", title="Fish feed and plants", href="#water", chosen="#water", ticked=False)
BACK = (
    Part(
        name="orders",
        title="Orders, seed and cautions",
        href="#back",
        chosen="#back > :is(.orders, .seed, .money, .cautions, .goals)",
        ticked=True,
    ),
    Part(name="numbers", title="Numbers by week", href="#numbers", chosen="#back > .byweek", ticked=False),
    Part(name="lots", title="Lots", href="#lots", chosen="#back > .lots", ticked=False),
    Part(
        name="figures",
        title="Crop figures and sources",
        href="#figures",
        chosen="#back > .figures",
        ticked=False,
    ),
)


@dataclass(frozen=True, slots=True, kw_only=True)
class Choice:
    """What can be chosen on one page.

    Attributes:
        parts: its parts with ticks.
        weeks: numbers of the weeks that are printed to begin with; none where weeks have no ticks.
    """

    parts: tuple[Part, ...]
    weeks: frozenset[int]


def choice_of(parts: Iterable[Part], weeks: Sequence[WeekSheet]) -> Choice:
    """Return the ticks of a page with these parts and the sheets of these weeks."""
    return Choice(parts=tuple(parts), weeks=first_ticked(weeks))


def rules(choice: Choice, weeks: Sequence[WeekSheet]) -> str:
    """Return the rules by which what is not ticked stays off the paper, and small weeks share pages."""
    return "@media print{" + "\n".join([*_left_out(choice, weeks), *_together(weeks)]) + "}"


def _left_out(choice: Choice, weeks: Sequence[WeekSheet]) -> Iterator[str]:
    for part in choice.parts:
        yield f"{_unless([part.name])} ~ {part.chosen}{{display:none}}"
    if set(BACK) <= set(choice.parts):
        yield f"{_unless(AT_THE_BACK)} ~ #back{{display:none}}"
    for week in weeks if choice.weeks else ():
        yield f"{_unless([week.anchor])} ~ #{week.anchor}:not(:target){{display:none}}"


def _unless(names: Iterable[str]) -> str:
    ticks = ", ".join(f"#print-{name}:checked" for name in names)
    return f".cover:not(:has({ALL}, {ticks}))"


def _together(weeks: Sequence[WeekSheet]) -> Iterator[str]:
    """Yield the rules of weeks by themselves, and those of weeks that share a page when all are printed."""
    for week in weeks:
        yield f"#{week.anchor}{{page:{week.page}}}"
    for sheaf in sheaves(weeks):
        if len(sheaf.weeks) > 1:
            yield from _shared(sheaf)


def _shared(sheaf: Sheaf) -> Iterator[str]:
    ticked = "".join(f":has(#print-{week.anchor}:checked)" for week in sheaf.weeks)
    for asked in (f".cover:has({ALL})", f".cover{ticked}"):
        every, after = (
            ",".join(f"#{week.anchor}" for week in weeks) for weeks in (sheaf.weeks, sheaf.weeks[1:])
        )
        yield f"{asked} ~ :is({every}):not(:target){{page:{sheaf.page}}}"
        yield f"{asked} ~ :is({after}):not(:target){{break-before:auto;margin-top:7mm}}"
