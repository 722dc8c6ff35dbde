"""Crops that are cut in their trays: grams, cells sold as they stand, tiers kept, and what is refused."""

from pathlib import Path

import pytest
from helpers import TABLES, farm_of, faults_of

from scheduler.farm.crops import Crop, StageKind
from scheduler.farm.farm import Farm
from scheduler.farm.places import Keeps

OPEN = "open tray,tray,1,,10,1\n"
POTS = "12-pot tray,tray,12,4,10,1\n"
EQUIPMENT = TABLES["equipment"] + OPEN + POTS
OPEN_ALONE = TABLES["equipment"].replace("98-cell tray,tray,98,14,40,1\n", OPEN)


def greens_farm(
    folder: Path,
    row: str,
    product: str = "mass_per_unit\nCress bag,Cress,0.1",
    settings: dict[str, str | None] | None = None,
    **more: str | None,
) -> Farm:
    head, _, cells = product.partition("\n")
    tables = {
        "equipment": EQUIPMENT,
        "crops": f"crop,{row}",
        "products": f"product,crop,{head}\n{cells}\n",
        "orders": "order,customer,product,amount,weekdays\nR1,Inn,Cress bag,4,Tue\n",
    }
    return farm_of(folder, settings, **(tables | more))


def cress(folder: Path, row: str, **more: str | None) -> Crop:
    return greens_farm(folder, row, **more).crops["Cress"]


def test_a_card_of_microgreens_is_cut_in_open_trays_and_weighed(tmp_path: Path) -> None:
    crop = cress(tmp_path, "card,tray,margin_percent\nCress,micro_radish,open tray,0\n")
    assert [(s.kind, s.unit, s.days, s.wait) for s in crop.route] == [(StageKind.TRAY, "open tray", 8, 2)]
    assert (crop.grams, crop.sown_by_mass, crop.handling.seeds_per_cell) == (230, True, 40)
    # 230 g a tray, of which 95 percent is sold
    assert crop.heads_share == 9_500 * 230
    assert crop.lanes == frozenset()


def test_the_one_open_tray_of_a_farm_is_taken_where_none_is_named(tmp_path: Path) -> None:
    """Beside it stands one with cells, for what goes on: each crop takes the only one that fits it."""
    farm = greens_farm(
        tmp_path,
        "card,code\nCress,micro_radish,CRE\nCos,lettuce_romaine,COS\n",
        equipment=TABLES["equipment"] + OPEN,
    )
    assert {name: crop.tray.unit for name, crop in farm.crops.items()} == {
        "Cress": "open tray",
        "Cos": "98-cell tray",
    }


def test_seed_by_mass_takes_the_open_tray_too(tmp_path: Path) -> None:
    row = "card,yield_per_tray,seed_per_tray\nCress,micro_pea,0,0.2\n"
    farm = greens_farm(tmp_path, row, "plants_per_unit\nCress bag,Cress,1")
    assert farm.crops["Cress"].tray.unit == "open tray"


def test_a_farm_of_one_kind_of_tray_needs_no_name_of_it(tmp_path: Path) -> None:
    assert cress(tmp_path, "card\nCress,micro_radish\n", equipment=OPEN_ALONE).tray.unit == "open tray"


def test_a_margin_is_taken_off_the_yield(tmp_path: Path) -> None:
    crop = cress(tmp_path, "card,tray,margin_percent,saleable_percent\nCress,micro_radish,open tray,25,100\n")
    assert crop.heads_share == 8_000 * 230


@pytest.mark.parametrize(("unit", "grams", "seed"), [("kg", 150, 31), ("lb", 68, 14)])
def test_masses_are_in_the_unit_of_the_book(tmp_path: Path, unit: str, grams: int, seed: int) -> None:
    """0.15 lb are 68.04 g and 0.0305 lb 13.83 g, a pound being 453.59237 g."""
    row = "card,tray,yield_per_tray,seed_per_tray\nCress,micro_radish,open tray,0.15,0.0305\n"
    farm = greens_farm(tmp_path, row, settings={"mass_unit": unit})
    crop = farm.crops["Cress"]
    assert (crop.grams, crop.handling.seeds_per_cell) == (grams, seed)
    assert farm.products["Cress bag"].sources["Cress"] == {"kg": 100_000, "lb": 45_360}[unit]


def test_weighed_seed_costs_by_mass(tmp_path: Path) -> None:
    row = "card,tray,seed_cost\nCress,micro_radish,open tray,12\n"
    assert cress(tmp_path, row).handling.seed_cost == 1200


def test_a_herb_in_pots_is_counted_by_the_cell(tmp_path: Path) -> None:
    row = (
        "card,tray,finish,days_tray,harvest_window,germination_percent,survival_tray_percent,"
        "seeds_per_cell,margin_percent,saleable_percent\n"
        "Cress,basil_genovese,12-pot tray,tray,28,7,90,100,1,0,100\n"
    )
    farm = greens_farm(tmp_path, row, "plants_per_unit\nCress bag,Cress,1")
    crop = farm.crops["Cress"]
    assert [(s.kind, s.plants_per_unit, s.days, s.wait) for s in crop.route] == [(StageKind.TRAY, 12, 28, 7)]
    assert (crop.cuts, crop.grams, crop.sown_by_mass, crop.heads_share) == (1, 0, False, 9_000)


def test_whole_open_trays_are_sold_where_the_yield_is_0(tmp_path: Path) -> None:
    row = "card,tray,yield_per_tray,margin_percent,saleable_percent\nCress,micro_pea,open tray,0,0,100\n"
    farm = greens_farm(tmp_path, row, "plants_per_unit\nCress bag,Cress,1")
    crop = farm.crops["Cress"]
    assert (crop.grams, crop.sown_by_mass, crop.heads_share) == (0, True, 10_000)


def test_a_farm_of_trays_alone_needs_no_trough(tmp_path: Path) -> None:
    row = "card,tray\nCress,micro_radish,open tray\n"
    farm = greens_farm(tmp_path, row, troughs=None, board_zones=None)
    assert [place.name for place in farm.places] == ["Shelf A 1", "Shelf A 2"]


def test_tiers_are_kept_as_the_shelf_says(tmp_path: Path) -> None:
    shelves = "shelf,tiers,trays_per_tier,nursery_tiers,greens_tiers\nShelf A,4,6,1;2,4\n"
    farm = greens_farm(tmp_path, "card,tray\nCress,micro_radish,open tray\n", shelves=shelves)
    kept = [place.keeps for place in farm.places if place.belongs_to == "Shelf A"]
    assert kept == [Keeps.NURSERY, Keeps.NURSERY, Keeps.ALL, Keeps.GREENS]


WRONG = [
    (
        "a crop sold by mass in cells",
        {"crops": "crop,card,tray\nCress,micro_radish,98-cell tray\n"},
        [
            (
                "crops!C2: found 98 cells in '98-cell tray' for 'Cress', which is sold by mass; expected a "
                "tray "
                "of 1 cell (an open tray), or yield_per_tray 0 to sell it by the cell"
            )
        ],
    ),
    (
        "no tray named where two have cells",
        {
            "crops": "crop,card\nCress,lettuce_romaine\n",
            "products": "product,crop\nCress bag,Cress\n",
        },
        ["crops!A2: found no tray named for 'Cress'; expected '98-cell tray' or '12-pot tray'"],
    ),
    (
        "no tray named where any will do",
        {
            "crops": "crop,card,yield_per_tray\nCress,micro_radish,0\n",
            "products": "product,crop\nCress bag,Cress\n",
        },
        [
            "crops!A2: found no tray named for 'Cress'; expected '98-cell tray' or 'open tray' or "
            "'12-pot tray'"
        ],
    ),
    (
        "no open tray where one is needed",
        {"crops": "crop,card\nCress,micro_radish\n", "equipment": TABLES["equipment"] + POTS},
        [
            "crops!A2: found no tray of 1 cell in equipment for 'Cress'; expected a tray of 1 cell (an open "
            "tray), or a tray named and yield_per_tray 0"
        ],
    ),
    (
        "no mass of a unit",
        {"products": "product,crop,plants_per_unit\nCress bag,Cress,2\n"},
        [
            (
                "products!A2: found no mass_per_unit, and 'Cress' is sold by mass; expected the mass of one "
                "unit, or yield_per_tray 0 of the crop where whole trays are sold"
            )
        ],
    ),
    (
        "plants beside a mass",
        {"products": "product,crop,plants_per_unit,mass_per_unit\nCress bag,Cress,2,0.1\n"},
        [
            (
                "products!C2: found plants_per_unit for 'Cress', which is sold by mass; expected a blank "
                "cell: "
                "mass_per_unit says it"
            )
        ],
    ),
    (
        "a mass of what is counted",
        {"crops": "crop,card,tray,yield_per_tray\nCress,micro_radish,open tray,0\n"},
        [
            "products!C2: found mass_per_unit for 'Cress', of which plants are counted; expected "
            "plants_per_unit"
        ],
    ),
    (
        "days of a card that moves on",
        {
            "crops": "crop,card,tray,finish\nCress,basil_genovese,12-pot tray,tray\n",
            "products": "product,crop\nCress bag,Cress\n",
        },
        [
            (
                "crops!A2: found no days_tray, and card basil_genovese has those of a crop that moves on; "
                "expected days from sowing to the first cut or sale of 'Cress' in its trays"
            )
        ],
    ),
    (
        "a yield of a crop that goes onto rafts",
        {
            "crops": "crop,card,tray,yield_per_tray\nCress,lettuce_romaine,98-cell tray,0.2\n",
            "products": "product,crop\nCress bag,Cress\n",
        },
        [
            (
                "crops!D2: found yield_per_tray of 'Cress', which goes on from its trays; expected a blank "
                "cell, "
                "or finish tray"
            )
        ],
    ),
    (
        "rows of a trough for trays",
        {"crops": "crop,card,tray,lanes\nCress,micro_radish,open tray,North trough\n"},
        ["crops!D2: found rows for 'Cress', which is cut in its trays; expected a blank cell"],
    ),
    (
        "no tier left",
        {"shelves": "shelf,tiers,trays_per_tier,nursery_tiers\nShelf A,2,6,1;2\n"},
        ["shelves!D2: found no tier left for the trays of 'Cress'; expected a tier that is not kept"],
    ),
    (
        "a tier that is not there, and one kept twice",
        {"shelves": "shelf,tiers,trays_per_tier,nursery_tiers,greens_tiers\nShelf A,3,6,1;4,1;2\n"},
        [
            "shelves!D2: found '4'; expected tier numbers from 1 to 3 with ; between",
            "shelves!E2: found tier 1 again; expected each tier kept for one of the two",
        ],
    ),
    (
        "trays that grow on a tier kept for others",
        {
            "shelves": "shelf,tiers,trays_per_tier,nursery_tiers\nShelf A,3,6,1\n",
            "growing": "crop,stage,place,since,plants,units\nCress,tray,Shelf A 1,2026-03-01,1,1\n",
        },
        [
            (
                "growing!C2: found 'Shelf A 1' for a tray; expected a tier that is not kept for other "
                "trays than "
                "those of 'Cress'"
            )
        ],
    ),
    (
        "trays that grow somewhere on a shelf of which tiers are kept",
        {
            "shelves": "shelf,tiers,trays_per_tier,nursery_tiers\nShelf A,3,6,1\n",
            "growing": "crop,stage,place,since,plants,units\nCress,tray,Shelf A,2026-03-01,1,1\n",
        },
        [
            (
                "growing!C2: found 'Shelf A' for a tray; expected one of its tiers, such as 'Shelf A 1', "
                "for some "
                "of them are kept"
            )
        ],
    ),
]


@pytest.mark.parametrize(("case", "tables", "expected"), WRONG, ids=[case[0] for case in WRONG])
def test_what_cannot_be_is_refused_at_its_cell(
    tmp_path: Path, case: str, tables: dict[str, str], expected: list[str]
) -> None:
    sound = {
        "equipment": EQUIPMENT,
        "crops": "crop,card,tray\nCress,micro_radish,open tray\n",
        "products": "product,crop,mass_per_unit\nCress bag,Cress,0.1\n",
        "orders": "order,customer,product,amount,weekdays\nR1,Inn,Cress bag,4,Tue\n",
    }
    assert faults_of(tmp_path, None, **(sound | tables)) == expected
