"""Crates in coolers."""

from collections import defaultdict

from ortools.sat.python.cp_model import CpModel, IntVar

from scheduler.farm.coolers import coolers_for
from scheduler.model.variables.crates import held
from scheduler.model.variables.decisions import Decisions


def coolers(model: CpModel, chosen: Decisions) -> None:
    """Crates of heads that wait for their delivery never exceed the places of the coolers that suit them."""
    rooms: dict[tuple[int, int], list[IntVar]] = defaultdict(list)
    places: dict[int, int] = {}
    standing = held(chosen)
    for (crop, day), crates in chosen.crates.items():
        crating = chosen.farm.crops[crop].crating
        if crating is None:
            continue
        model.add(crating.heads * crates >= sum(standing[crop][day]))
        suited = coolers_for(crating, chosen.farm.coolers)
        if suited:
            temperature = suited[0].temperature
            places[temperature] = sum(cooler.crates for cooler in suited)
            rooms[temperature, day].append(crates)
        else:
            model.add(crates == 0)
    for (temperature, _), there in rooms.items():
        if sum(chosen.most(crates) for crates in there) > places[temperature]:
            model.add(sum(there) <= places[temperature])
