"""Drawings taken apart for tests, and farms to draw."""

import xml.etree.ElementTree as ET
from dataclasses import replace

from farms import make_crop, make_farm
from plans import Batch, build

from scheduler.plan.views.standing import standing_on

SVG = "{http" + "://www.w3.org/2000/svg}"
HOSTILE = ("<b>&\"'</b>", "]]>", "=1+1", "\u202egnp", "خس أحمر", "a\x07b\x00c\nd", "生菜", "x" * 300)


def shared_units(farm, plan, day, place):
    """Return the trays, boards and rafts of a shelf or trough in which several lots stand on a day."""
    standing = (each for part in standing_on(farm, plan, day, place) for each in part.standing)
    return [each for each in standing if len([load for load in each.loads if load.plants]) > 1]


def parts(drawing, tag):
    """Return every element of a kind."""
    return ET.fromstring(drawing).iter(f"{SVG}{tag}")


def words(drawing):
    """Return every text that is drawn."""
    return ["".join(each.itertext()) for each in parts(drawing, "text")]


def titles(drawing):
    """Return every text that shows when something is pointed at, that of the drawing itself first."""
    return ["".join(each.itertext()) for each in parts(drawing, "title")]


def boxes(drawing, start="Slot "):
    """Return title -> words of every group whose title begins so."""
    found = {}
    for each in parts(drawing, "g"):
        title = each.find(f"{SVG}title")
        if title is not None and "".join(title.itertext()).startswith(start):
            found["".join(title.itertext())] = [t.text for t in each.iter(f"{SVG}text")]
    return found


def hostile_farm():
    """A farm whose crops and places have names that would break a drawing that trusts them."""
    crops = [make_crop(name, code=f"{name[:2]}Q") for name in HOSTILE]
    farm = make_farm(crops=crops, lanes=len(crops), lane_slots=9)
    new = {place.name: f"{HOSTILE[0]} {HOSTILE[4]} {place.name} {HOSTILE[7]}" for place in farm.places}
    plan = build(
        farm,
        *(
            Batch(crop=name, lane=f"Trough {at + 1}", rafts=(6, 5), cuts=((34, 3), (35, 2)))
            for at, name in enumerate(HOSTILE)
        ),
    )
    owners = {"Shelf": f"Shelf {HOSTILE[0]}", "Trough": f"Trough {HOSTILE[0]}{HOSTILE[3]}"}
    places = tuple(
        replace(place, name=new[place.name], belongs_to=owners[place.belongs_to]) for place in farm.places
    )
    positions = tuple(replace(row, place=new[row.place]) for row in plan.positions)
    return replace(farm, places=places), replace(plan, positions=positions)
