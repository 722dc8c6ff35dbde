"""A season in one place: weeks along, slots up, one band for each lot that goes through."""

from collections import defaultdict
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

from scheduler.farm.calendar import WEEK
from scheduler.farm.farm import Farm
from scheduler.farm.places import PlaceKind
from scheduler.farm.units import ceil_div
from scheduler.outputs.drawings.area import Area, Point, Rectangle
from scheduler.outputs.drawings.block import Block
from scheduler.outputs.drawings.pen import INK, PAGE, PAPER, SHUT, SOFT, WIDTH, Pen, pen_for
from scheduler.outputs.drawings.rows import STRIP, free_strip
from scheduler.outputs.drawings.sheet import Heading, sheets
from scheduler.outputs.drawings.svg import Node, group, label, line, node, number, rect
from scheduler.outputs.drawings.text import clipped_name, width_of
from scheduler.outputs.words import counted
from scheduler.plan.rows import Plan
from scheduler.plan.views.flow import PlaceFlow, Stretch, flows

LEFT = 62
"""Room on the left for slot numbers and the two ends of a row."""

PARTS = 60
"""Parts of a slot's height in which lots that share a unit are measured."""

HEIGHTS = ((14, 18), (40, 13), (90, 9), (400, 7))
"""Up to so many slots in one drawing, each is so high."""

LOWEST = 5
_TITLE, _DATE = 15.0, 34


@dataclass(frozen=True, slots=True, kw_only=True)
class Scale:
    """How wide a day and how high a slot is."""

    day: float
    slot: float
    days: int

    def x(self, day: float) -> float:
        """Return where a day begins."""
        return LEFT + day * self.day


def flow_svg(farm: Farm, plan: Plan, place: str) -> str:
    """Return the season of a trough, a shelf or one row, board zone or tier as one drawing.

    Raises:
        KeyError: the farm has no such place.
    """
    return str(flow_sheets(farm, plan, place, tallest=None)[0])


def flow_sheets(farm: Farm, plan: Plan, place: str, tallest: float | None = PAGE) -> list[Node]:
    """Return the same in several drawings where one would be higher than ``tallest``.

    Raises:
        KeyError: the farm has no such place.
    """
    names = [each.name for each in farm.places if each.belongs_to == place]
    names = names or [farm.place(place).name]
    found = flows(farm, plan, names)
    pen = pen_for(farm, "flow", place)
    scale = _scale(found, farm.calendar.days)
    first, last = pen.date(0), pen.date(farm.calendar.days - 1)
    lots = {each.lot for flow in found for each in flow.stretches if each.lot}
    heading = Heading(
        name=place,
        rest=f"{first} to {last}",
        spoken=f"{place} from {first} to {last}: {counted(len(lots), 'lot')} go through it.",
    )
    return sheets(pen, heading, _blocks(pen, found, scale), tallest)


def flow_places(farm: Farm) -> list[str]:
    """Return the names of all troughs and shelves, and of what they are made of."""
    wholes = list(dict.fromkeys(place.belongs_to for place in farm.places))
    return list(dict.fromkeys([*wholes, *(place.name for place in farm.places)]))


def _blocks(pen: Pen, found: Sequence[PlaceFlow], scale: Scale) -> list[Block]:
    weeks = _weeks(pen, scale)
    blocks: list[Block] = []
    for used, run in groupby(found, key=lambda flow: bool(flow.stretches)):
        places = list(run)
        if used:
            blocks += [_block(pen, flow, scale, weeks) for flow in places]
        else:
            names = dict.fromkeys((places[0].place, places[-1].place))
            told = f"{' to '.join(names)}: nothing stands here on these days"
            blocks.append(Block(height=STRIP, inside=[free_strip(told, 0)], gap=9))
    return blocks


def _scale(found: Sequence[PlaceFlow], days: int) -> Scale:
    slots = sum(flow.most for flow in found)
    height = next((height for most, height in HEIGHTS if slots <= most), LOWEST)
    return Scale(day=(WIDTH - LEFT) / max(1, days), slot=height, days=days)


def _mondays(pen: Pen, scale: Scale) -> range:
    first = -pen.farm.calendar.weekday(0) % WEEK
    return range(first, scale.days, WEEK)


def _weeks(pen: Pen, scale: Scale) -> Block:
    """Return the dates of Mondays, as many as there is room for."""
    step = ceil_div(_DATE, max(1, int(scale.day * WEEK)))
    inside: list[Node] = [label(0, 9, "weeks from", 9, fill=SOFT)]
    for day in list(_mondays(pen, scale))[::step]:
        x = scale.x(day)
        if x + _DATE <= WIDTH:
            inside.append(label(x + 2, 9, pen.day(day), 9, fill=SOFT))
            inside.append(line(x, 2, x, 13, stroke=SOFT, stroke_width=0.7))
    return Block(height=13, inside=inside, gap=1)


def _block(pen: Pen, flow: PlaceFlow, scale: Scale, weeks: Block) -> Block:
    height = flow.most * scale.slot
    inside: list[Node] = [
        group(
            [label(0, 11, clipped_name(flow.place, flow.belongs_to, WIDTH, 11), 11, font_weight="bold")],
            title=flow.place,
        ),
        group(_ground(pen, flow, scale, height), y=_TITLE),
        group(_bands(pen, flow, scale, height), y=_TITLE),
        group(_frame(pen, flow, scale, height), y=_TITLE),
    ]
    marks = {"waits"} if any(not each.lot for each in flow.stretches) else set()
    marks |= {"shut"} if any(each.slots < flow.most for each in flow.openings) else set()
    return Block(
        height=_TITLE + height,
        inside=inside,
        crops=frozenset(each.crop for each in flow.stretches if each.crop),
        marks=frozenset(marks),
        above=weeks,
        gap=9,
    )


def _ground(pen: Pen, flow: PlaceFlow, scale: Scale, height: float) -> Iterator[Node]:
    """Yield lines of weeks and slots, and what is closed."""
    for each in flow.openings:
        high = (flow.most - each.slots) * scale.slot
        if high > 0:
            x, width = scale.x(each.start), (each.end - each.start) * scale.day
            yield group(
                [rect(x, 0, width, high, fill=SHUT)],
                title=f"{counted(flow.most - each.slots, 'slot')} closed from {pen.date(each.start)}",
            )
    for day in _mondays(pen, scale):
        yield line(scale.x(day), 0, scale.x(day), height, stroke="#CCCCCC", stroke_width=0.6)
    for slot in range(1, flow.most):
        y = height - slot * scale.slot
        yield line(LEFT, y, WIDTH, y, stroke="#E4E4E4", stroke_width=0.5)


def _frame(pen: Pen, flow: PlaceFlow, scale: Scale, height: float) -> Iterator[Node]:
    """Yield the border, slot numbers, the ends of a row, and the first day that can be planned."""
    yield rect(LEFT, 0, WIDTH - LEFT, height, fill="none", stroke=SOFT, stroke_width=0.8)
    step = 1 if scale.slot >= 9 else 5
    for slot in range(1, flow.most + 1):
        if slot == 1 or slot == flow.most or (slot % step == 0 and flow.most - slot >= step / 2):
            y = height - (slot - 0.5) * scale.slot + 3
            yield label(LEFT - 4, y, str(slot), min(8, scale.slot), text_anchor="end", fill=SOFT)
    if flow.kind is PlaceKind.LANE and height >= 24:
        yield label(0, 8, "intake", 8, fill=SOFT)
        yield label(0, height - 2, "harvest", 8, fill=SOFT)
    if 0 < pen.farm.today < scale.days:
        x = scale.x(pen.farm.today)
        yield group(
            [line(x, 0, x, height, stroke=INK, stroke_width=1.4, stroke_dasharray="4 2")],
            title=f"Planned from {pen.date(pen.farm.today)} on",
        )


def _bands(pen: Pen, flow: PlaceFlow, scale: Scale, height: float) -> Iterator[Node]:
    """Yield one band a lot, in order of time, those that wait first."""
    lots: dict[str, list[Stretch]] = defaultdict(list)
    for each in flow.stretches:
        lots[each.lot].append(each)
    for lot, stretches in sorted(lots.items(), key=lambda item: (item[1][0].start, item[0])):
        area = Area(_rectangle(each) for each in stretches)
        path = _path(area.outlines(), scale, height)
        if not lot:
            yield _waiting(stretches, path, scale, height)
            continue
        crop = stretches[0].crop
        inside = pen.paint(crop, "path", d=path)
        inside.append(node("path", d=path, fill="none", stroke=INK, stroke_width=0.8))
        inside += _code(pen, (lot, crop), area, scale, height)
        yield group(inside, title=_lot_in_full(pen, flow, stretches))


def _waiting(stretches: list[Stretch], path: str, scale: Scale, height: float) -> Node:
    """Return rafts that are empty: white, with a broken line through each."""
    lines = [
        line(scale.x(each.start) + 1, y, scale.x(each.end) - 1, y, stroke=INK, stroke_dasharray="2 2")
        for each in stretches
        for y in (height - (each.slot - 0.5) * scale.slot,)
    ]
    ground = node("path", d=path, fill=PAPER, stroke=SOFT, stroke_width=0.7)
    return group([ground, *lines], title="Empty rafts that wait for those ahead of them")


def _rectangle(each: Stretch) -> Rectangle:
    low = (each.slot - 1) * PARTS
    return (
        each.start,
        each.end,
        low + each.part * PARTS // each.parts,
        low + (each.part + 1) * PARTS // each.parts,
    )


def _path(outlines: list[list[Point]], scale: Scale, height: float) -> str:
    def at(point: Point) -> str:
        return f"{number(scale.x(point[0]))} {number(height - point[1] * scale.slot / PARTS)}"

    return "".join(f"M{'L'.join(at(point) for point in loop)}Z" for loop in outlines)


def _code(pen: Pen, lot: tuple[str, str], area: Area, scale: Scale, height: float) -> list[Node]:
    """Return the lot's code, or that of its crop, on a light ground where the band has room for it."""
    size = max(LOWEST, min(9.0, scale.slot - 0.5))
    for text in (lot[0], pen.styles[lot[1]].code):
        width = width_of(text, size, bold=True) + 3
        found = area.roomiest((width + 2) / scale.day, size * PARTS / scale.slot)
        if found is None:
            continue
        left, right, low, high = found
        x = scale.x((left + right) / 2)
        y = height - (low + high) / 2 * scale.slot / PARTS
        return [
            rect(x - width / 2, y - size / 2, width, size, rx=2, fill=PAPER, fill_opacity=0.9),
            label(x, y + size * 0.36, text, size, text_anchor="middle", font_weight="bold"),
        ]
    return []


def _lot_in_full(pen: Pen, flow: PlaceFlow, stretches: list[Stretch]) -> str:
    first, last = min(each.start for each in stretches), max(each.end for each in stretches)
    what = {PlaceKind.TIER: "tray", PlaceKind.ZONE: "board", PlaceKind.LANE: "raft", PlaceKind.BED: "plant"}[
        flow.kind
    ]
    units = len({each.unit for each in stretches})
    held = f"{counted(units, what)} in {flow.place}"
    return f"{stretches[0].lot} {stretches[0].crop}: {held}, {pen.date(first)} to {pen.date(last - 1)}"
