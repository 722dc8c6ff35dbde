"""The rafts of a lot in other rows than the earlier plan has for them, as where those are closed by now."""

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from scheduler.farm.farm import Farm
from scheduler.farm.places import PlaceKind
from scheduler.model.again.parties import Afloat, Party, Source, fitted_chain
from scheduler.model.options.options import RaftSet
from scheduler.model.options.pools import Bundle, lanes_of
from scheduler.model.variables.decisions import Decisions, Homes
from scheduler.plan.earlier import Earlier


def elsewhere(chosen: Decisions, party: Party) -> Iterator[Party]:
    """Yield a lot with all rafts it is still to be set on in one other bundle, for each it may stand in."""
    now = {part.place for part in party.afloat if part.option.source is not None}
    sources = {part.option.source for part in party.afloat}
    found: dict[Source, list[RaftSet]] = defaultdict(list)
    for option in chosen.raft_plants:
        if option.source is not None and option.source in sources:
            found[option.source].append(option)
    allowed = _bundles_of(chosen)
    for bundle in chosen.bundles if now else ():
        if not now <= lanes_of([bundle]):
            moved = [_in_bundle(part, bundle, found, allowed) for part in party.afloat]
            if all(moved):
                yield replace(party, afloat=[part for part in moved if part is not None])


def _bundles_of(chosen: Decisions) -> Mapping[RaftSet, tuple[str, ...]]:
    groups = chosen.raft_groups.items()
    return {option: chosen.class_of[group].bundles for group, options in groups for option in options}


def _in_bundle(
    part: Afloat,
    bundle: Bundle,
    found: Mapping[Source, Sequence[RaftSet]],
    allowed: Mapping[RaftSet, tuple[str, ...]],
) -> Afloat | None:
    """Return plants on their raft in a bundle; None where they cannot be set out there or are never cut."""
    source = part.option.source
    if source is None:
        return part
    for option in found[source]:
        if option.pool == bundle.pool and bundle.name in allowed[option]:
            chain = fitted_chain(option, part.chain)
            if chain:
                return replace(part, option=option, chain=chain, place=bundle.places[0].name)
    return None


def with_rows_for_others(farm: Farm, before: Earlier, bundles: Sequence[Bundle], homes: Homes) -> Homes:
    """Let crops stand in all rows they may whose rafts no longer fit into those of the plan before."""
    crowded = _crowded(farm, before)
    return {
        name: found | {bundle.name for bundle in bundles if lanes_of([bundle]) <= farm.crops[name].lanes}
        if name in crowded
        else found
        for name, found in homes.items()
    }


def _crowded(farm: Farm, before: Earlier) -> set[str]:
    """Return the crops with rafts of the plan before on a day on which their row has too few slots by now."""
    rafts: dict[str, dict[str, tuple[int, int]]] = defaultdict(dict)
    crops: dict[str, set[str]] = defaultdict(set)
    for (lot, item), rows in before.held.items():
        for held in rows if item == "raft" else ():
            unit = held.unit
            if unit.leaves > farm.today:
                rafts[held.place][unit.unit] = max(unit.enters, farm.today), unit.leaves
                crops[unit.unit].add(before.crop_of[lot])
    found: set[str] = set()
    for lane in farm.places_of(PlaceKind.LANE):
        stays = rafts[lane.name]
        for day in {*lane.slots.changes(), *(enters for enters, _ in stays.values())}:
            stand = [name for name, (enters, leaves) in stays.items() if enters <= day < leaves]
            if len(stand) > lane.slots.on(day):
                found.update(crop for name in stand for crop in crops[name])
    return found
