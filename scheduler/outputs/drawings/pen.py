"""What every part of a drawing needs: the farm's days in words, the look of each crop, ids of its own."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from scheduler.farm.dates import day_of_month
from scheduler.farm.farm import Farm
from scheduler.outputs.drawings.palette import Style, crop_styles, pattern
from scheduler.outputs.drawings.svg import Node, Value, node
from scheduler.outputs.drawings.text import clipped_start, width_of
from scheduler.outputs.words import counted, date_in_text, day_in_text
from scheduler.plan.views.standing import Load, Standing, Step

WIDTH = 800
"""Width of every drawing; at the width of an A4 page, letters of size 10 are then 6.6 points high."""

PAGE = 1080
"""Height of a drawing that fills an upright A4 page."""

LONGEST = "Wed 30 Mar"
"""No day in words is wider."""

USUAL_LOT = "MMM-260330"

INK, SOFT, FAINT, PAPER = "#111111", "#555555", "#999999", "#FFFFFF"
SHUT = "#DDDDDD"

_WHAT = {"tray": "cell", "board": "plant", "raft": "plant"}
_MOVES = {"tray": "moves", "board": "moves", "raft": "leaves"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Pen:
    """Draws for one farm; ``name`` begins every id of one drawing."""

    farm: Farm
    name: str
    styles: Mapping[str, Style]

    def paint(self, crop: str, tag: str, **shape: Value) -> list[Node]:
        """Return a shape filled with a crop's colour and, above it, its hatch; the shape without outline."""
        style = self.styles[crop]
        drawn = [node(tag, **shape, fill=style.colour)]
        if style.hatch:
            drawn.append(node(tag, **shape, fill=f"url(#{self._id(style)})"))
        return drawn

    def patterns(self, crops: Iterable[str]) -> list[Node]:
        """Return what the fills of some crops refer to, in the order of the book."""
        wanted = set(crops)
        return [
            pattern(style, self._id(style))
            for crop, style in self.styles.items()
            if crop in wanted and style.hatch
        ]

    def _id(self, style: Style) -> str:
        return f"{self.name}-crop{style.number}"

    def day(self, day: int) -> str:
        """Return a day such as ``10 Mar``."""
        return day_of_month(self.farm.date_of(day))

    def weekday(self, day: int) -> str:
        """Return a day such as ``Tue 10 Mar``."""
        return day_in_text(self.farm, day)

    def date(self, day: int) -> str:
        """Return a day such as ``Tue 10 Mar 2026``."""
        return date_in_text(self.farm, day)


def pen_for(farm: Farm, kind: str, place: str, day: int | None = None) -> Pen:
    """Return a pen whose ids are those of one kind of drawing of one place on one day."""
    names = [name for each in farm.places for name in (each.belongs_to, each.name)]
    at = names.index(place)
    when = "" if day is None else f"-day{day}".replace("--", "-before")
    return Pen(farm=farm, name=f"{kind}{at}{when}", styles=crop_styles(farm))


def what_is_due(pen: Pen, load: Load, item: str, room: float, size: float) -> str:
    """Return when plants are cut or go on, as long as any day said so would fit into ``room``."""
    step = load.due
    if step is None:
        return ""
    verb = "cut" if step.cut else _MOVES[item]
    ways = (f"{verb} {pen.weekday(step.day)}", f"{verb} {pen.day(step.day)}", pen.day(step.day))
    longest = (f"{verb} {LONGEST}", f"{verb} {LONGEST[4:]}", "")
    return next(way for way, long in zip(ways, longest, strict=True) if width_of(long, size) <= room)


def lot_in_short(lot: str, code: str, room: float, size: float) -> str:
    """Return a lot's code: whole where any of the usual form would fit, else without the crop's code.

    What tells lots of a crop apart stands at the end, so that is kept.
    """
    if width_of(USUAL_LOT, size) <= room and width_of(lot, size) <= room:
        return lot
    return clipped_start(lot.removeprefix(f"{code}-").replace(f"-{code}-", "-"), room, size)


def in_full(pen: Pen, standing: Standing) -> str:
    """Return all there is to say of a unit, for those who point at it."""
    lines = [
        f"Slot {standing.slot}: {standing.item} {standing.unit} ({standing.kind}), "
        f"filled {pen.date(standing.enters)}"
    ]
    if standing.came:
        origin = f" from {', '.join(standing.came_from)}" if standing.came_from else ""
        lines.append(f"Came in on this day{origin}")
    lines += [_load_in_full(pen, load, standing.item) for load in standing.loads]
    if not standing.loads:
        lines.append("Empty: waits for those ahead of it")
    if standing.domed:
        lines.append("Under a dome")
    if standing.dark:
        lines.append("In the dark")
    lines.append(f"Leaves {pen.date(standing.leaves)}")
    return "\n".join(lines)


def _load_in_full(pen: Pen, load: Load, item: str) -> str:
    noun = noun_of(load, item)
    said = [f"{load.lot} {load.crop}: {counted(load.plants, noun)} of {load.put_in:,}"]
    if load.taken:
        said.append(f"{load.taken:,} taken on this day")
    said += [_step(pen, step, item) for step in load.to_come]
    return "; ".join(said)


def _step(pen: Pen, step: Step, item: str) -> str:
    done = f"cut {step.cut} of {step.plants:,}" if step.cut else f"{step.plants:,} {_MOVES[item][:-1]}"
    return f"{done} on {pen.date(step.day)}"


def noun_of(load: Load, item: str) -> str:
    """Return what plants are called in a unit: cells of a sown tray, or the open tray itself; else plants."""
    if item == "tray" and load.rows == load.put_in == 1:
        return "open tray"
    return "plant" if item == "tray" and not load.rows and load.plants else _WHAT[item]
