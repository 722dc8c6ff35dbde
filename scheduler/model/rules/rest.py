"""Rows that rest between two crops."""

from collections import defaultdict

from ortools.sat.python.cp_model import CpModel, IntVar

from scheduler.model.options.pools import Bundle
from scheduler.model.variables.decisions import Decisions, Queue, Tag


def rest(model: CpModel, chosen: Decisions) -> None:
    """A row that rests between crops takes in none while another is there, or left it too few days ago.

    For each crop and day on which rafts of it may come in there is a yes-or-no: some do. What grew together
    on the first day may stand together.
    """
    for bundle in chosen.bundles:
        if not any(place.rest for place in bundle.places):
            continue
        inside = [queue for queue in chosen.queues if queue.bundle == bundle.name]
        coming: dict[tuple[str, int], list[IntVar]] = defaultdict(list)
        for queue in inside:
            if queue.raft_class.growing < 0:
                coming[queue.raft_class.crop, queue.enters] += chosen.queues[queue].values()
        for (crop, day), rafts in sorted(coming.items(), key=lambda item: (item[0][1], item[0][0])):
            chosen.pulse()
            others = _others(chosen, inside, (crop, day), rest_of(bundle, day))
            if not others:
                continue
            tag = Tag("", day, True, bundle.name)
            yes = chosen.new(model, 1, f"enter_{bundle.name}_{crop}_{day}", tag)
            chosen.entering[bundle.name, crop, day] = yes
            model.add(sum(rafts) == 0).only_enforce_if(~yes)
            model.add(sum(others) == 0).only_enforce_if(yes)


def rest_of(bundle: Bundle, day: int) -> int:
    """Return the days a bundle rests before another crop comes in on a day; such rows are bundles alone."""
    return max(place.rest_before(day) for place in bundle.places)


def _others(chosen: Decisions, inside: list[Queue], coming: tuple[str, int], rest_days: int) -> list[IntVar]:
    """Return the rafts of other crops that stand in a row on a day, or left it too few days before."""
    crop, day = coming
    return [
        rafts
        for queue in inside
        if queue.raft_class.crop != crop
        for leaves, rafts in chosen.queues[queue].items()
        if chosen.frame.copies(queue.enters, leaves + rest_days, day)
    ]
