"""Rows of a work sheet at the troughs."""

from collections.abc import Iterable
from itertools import groupby

from markupsafe import Markup

from scheduler.farm.farm import Farm
from scheduler.outputs.report.nursery_rows import how_many, taken_from, the_best
from scheduler.outputs.report.row import Row, row, shared
from scheduler.outputs.report.say import (
    area,
    code,
    in_positions,
    joined,
    numbers,
    own,
    several,
    slots,
    unbroken,
    where,
)
from scheduler.outputs.words import counted, day_in_text
from scheduler.plan.views.lines import Cutting, Discarding, ForWhom, RaftCut, SettingOut, TakingOut
from scheduler.plan.words import head_word, is_sold_standing, plant_word


def onto_rafts(line: SettingOut, farm: Farm) -> Row:
    """Return the row of plants that are set on rafts, which go into a row at its intake end."""
    return row(
        (line.crop, line.lot),
        "plants",
        how_many(line),
        source=taken_from(line),
        target=_into_row(line),
        note=the_best(line),
    )


def _into_row(line: SettingOut) -> Iterable[Markup]:
    yield Markup("{}, <b>intake&nbsp;end</b>").format(area(line.targets[0].spot))
    rafts = sorted((slot, stack.plants) for stack in line.targets for slot in stack.spot.slots)
    for plants, alike in groupby(rafts, key=lambda raft: raft[1]):
        stand = [slot for slot, _ in alike]
        each = " on each" if len(stand) > 1 else ""
        yield Markup("{}: {}{}").format(unbroken(slots(stand)), unbroken(counted(plants, "plant")), each)
    if line.entering > len(line.turns):
        raft = "raft" if len(line.turns) == 1 else "rafts"
        yield Markup("{} {} of the {} going in here today").format(raft, numbers(line.turns), line.entering)
    for stack in line.targets:
        yield from shared(stack)


def cutting(line: Cutting, farm: Farm) -> Row:
    """Return the row of a cut, with what becomes of plants and rafts."""
    crop = farm.crops[line.crop]
    head, plant = head_word(crop), plant_word(crop)
    done = "take out" if is_sold_standing(farm, line.crop) else "cut"
    many = [
        several(line.heads, head) if line.heads else Markup("<b>none to sell</b>"),
        Markup("{} {}").format(done, unbroken(counted(line.plants, plant))),
    ]
    if line.cuts > 1:
        many.append(Markup("cut number {} of {}").format(numbers(line.numbers), line.cuts))
    return row(
        (line.crop, line.lot),
        "weight" if head == "g" else f"{head}s",
        many,
        source=[where(line.row), *_from_rafts(line, plant)],
        target=takers(line.whom, line.spare, farm),
        note=_after_cut(line, farm),
    )


def takers(whom: Iterable[ForWhom], spare: int, farm: Farm) -> Iterable[Markup]:
    """Yield where heads go, and how many nobody asked for."""
    for each in whom:
        yield _for_whom(each, farm)
    if spare:
        yield Markup("<b>{:,}</b> not asked for").format(spare)


def _for_whom(each: ForWhom, farm: Farm) -> Markup:
    who = own(each.customer) if each.customer else Markup("weekly target {}").format(own(each.order))
    when = day_in_text(farm, each.day) if each.customer else "this week"
    return Markup("<b>{:,}</b> for {}, {} <small>({})</small>").format(
        each.heads, who, unbroken(when), own(each.product)
    )


def _from_rafts(line: Cutting, plant: str) -> Iterable[Markup]:
    # of an open tray there is nothing more to say than where it stands
    if len(line.rafts) > 1 and plant != "tray":
        for raft in line.rafts:
            yield Markup("{}: {}").format(
                unbroken(slots([raft.slot])), unbroken(counted(raft.plants, "plant"))
            )


def _after_cut(line: Cutting, farm: Farm) -> Iterable[str]:
    """Say what becomes of plants and rafts, slots that fare alike together."""
    alike: dict[str, list[int]] = {}
    for raft in line.rafts:
        alike.setdefault(_after(raft, line, farm), []).append(raft.slot)
    for said, stand in alike.items():
        yield said if len(alike) == 1 else f"{slots(stand)}: {said}"


def _after(raft: RaftCut, line: Cutting, farm: Farm) -> str:
    said, item = [], "tray" if farm.crops[line.crop].is_cut_in_trays else "raft"
    if line.cuts > 1 and raft.regrowing == raft.plants:
        said.append("leave them to grow again")
    elif raft.regrowing:
        said.append(f"leave {raft.regrowing:,} to grow again, pull out {raft.plants - raft.regrowing:,}")
    elif line.cuts > 1:
        said.append("pull them out")
    if raft.staying > raft.regrowing:
        stay = "stays" if raft.staying == 1 else "stay"
        said.append(f"{counted(raft.staying, 'plant')} {stay} on the {item}")
    if not raft.staying:
        when = "out today" if raft.leaves <= line.day else f"out on {day_in_text(farm, raft.leaves)}"
        said.append(f"{item} is empty: {when}")
    return "; ".join(said)


def taking_out(line: TakingOut, farm: Farm) -> Row:
    """Return the row of empty rafts that leave."""
    note = "lift out past the rafts that stay" if line.lifted else "the rafts behind close up"
    return row(
        ("Empty rafts", ""),
        "rafts",
        (several(line.units, "raft"), joined(code(kind) for kind in line.kinds)),
        source=[where(line.row)],
        note=[note],
    )


def discarding(line: Discarding, farm: Farm) -> Row:
    """Return the row of plants that are thrown away."""
    return row(
        (line.crop, line.lot),
        "plants",
        (several(line.plants, "plant"),),
        source=[
            *(each for stack in line.sources for each in (where(stack.spot), *shared(stack))),
            *(each for spot in line.beds for each in in_positions(spot)),
        ],
        note=["past its last good day"] if line.overdue else ["not asked for"],
    )
