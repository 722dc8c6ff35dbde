"""More rows for crops that stay short: the same plan as an answer of a model with more choice."""

from collections.abc import Mapping, Set

from scheduler.farm.orders.goods import crops_for
from scheduler.model.build import Built
from scheduler.model.first.laying import set_cleared
from scheduler.model.options.pools import lanes_of
from scheduler.model.search.incumbent import Incumbent
from scheduler.model.variables.decisions import Decisions, Homes, Queue


def wider_homes(chosen: Decisions, homes: Homes, short: Set[int]) -> Homes | None:
    """Let the crops of short wishes stand in every bundle they may; None when they all can already."""
    wishes, farm = chosen.frame.wishes, chosen.farm
    crops = {crop for index in short for crop in crops_for(farm, wishes[index])}
    # Where rafts are shared they stand in the name of one crop for all of its kind.
    names = {
        kind.crop
        for group, kind in chosen.class_of.items()
        if kind.growing < 0 and any(option.crop in crops for option in chosen.raft_groups[group])
    }
    wider = {
        name: found | _allowed(chosen, name) if name in names else found for name, found in homes.items()
    }
    return wider if wider != dict(homes) else None


def _allowed(chosen: Decisions, crop: str) -> frozenset[str]:
    """Return the bundles the book lets a crop stand in."""
    lanes = chosen.farm.crops[crop].lanes
    return frozenset(bundle.name for bundle in chosen.bundles if lanes_of([bundle]) <= lanes)


def carried_over(best: Incumbent, built: Built) -> list[int]:
    """Return a plan's answer as one of a model of the same options with more bundles for some crops."""
    old, new = best.built.chosen, built.chosen
    values = [0] * len(built.model.proto.variables)

    def carry(one: Mapping[object, object], other: Mapping[object, object]) -> None:
        for before, after in zip(one.values(), other.values(), strict=True):
            values[after.index] = best.values[before.index]  # type: ignore[attr-defined]

    for name in _SAME:
        carry(getattr(old, name), getattr(new, name))
    for before, after in zip(old.leaving.values(), new.leaving.values(), strict=True):
        for day, gone in after.items():
            for one, other in zip(before[day], gone, strict=True):
                values[other.index] = best.values[one.index]
    by_key = {_key(queue): days for queue, days in new.queues.items()}
    for queue, days in old.queues.items():
        target = by_key[_key(queue)]
        for day, rafts in days.items():
            values[target[day].index] = best.values[rafts.index]
    set_cleared(new, values)
    return values


def _key(queue: Queue) -> tuple[str, int, str, int]:
    return queue.raft_class.crop, queue.raft_class.growing, queue.bundle, queue.entry


_SAME = (
    "tray_rows",
    "board_plants",
    "raft_plants",
    "cut_plants",
    "thrown",
    "heads",
    "fills",
    "units",
    "short",
    "whole",
    "picks",
    "box_marks",
    "sold",
    "trays",
    "boards",
    "rafts",
    "lots",
    "emptied",
    "kept",
    "lifted",
    "bed_plants",
    "bed_kept",
)
"""Tables of variables that a change of bundles leaves as they are, in the same order."""
