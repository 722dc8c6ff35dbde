"""Mixes of a book: parts by weight, whole plants, and every fault with its cell."""

from pathlib import Path

import pytest
from helpers import TABLES, farm_of, faults_of

OAKLEAF = TABLES["crops"].splitlines()[1].replace("Butterhead", "Oakleaf")
CROPS = "\n".join(f"{line},{card}" for line, card in zip(
    [*TABLES["crops"].splitlines(), OAKLEAF], ["card", "lettuce_butterhead", ""], strict=True
)) + "\n"  # fmt: skip
HEAD = "product,pack,grams,crop,percent,least_percent,most_percent,grams_per_plant\n"
MIX = "Salad mix,bag,150,Butterhead,60,50,70,120\nSalad mix,,,Oakleaf,40,,60,90.5\n"


def told(tmp_path: Path, rows: str) -> list[str]:
    return faults_of(tmp_path, None, crops=CROPS, recipes=HEAD + rows)


def test_a_mix_has_its_weight_and_the_shares_and_grams_of_its_parts(tmp_path: Path) -> None:
    farm = farm_of(tmp_path, crops=CROPS, recipes=HEAD + MIX)
    mix = farm.products["Salad mix"]
    assert (mix.pack, mix.weight) == ("bag", 150_00)
    assert [(p.crop, p.least, p.usual, p.most, p.grams) for p in mix.parts] == [
        ("Butterhead", 50_00, 60_00, 70_00, 120_00),
        ("Oakleaf", 40_00, 40_00, 60_00, 90_50),
    ]
    # 70 percent of 150 g are 105 g of 120 g heads; 60 percent are 90 g of 90.5 g heads
    assert mix.sources == {"Butterhead": 875, "Oakleaf": 995}


def test_grams_come_from_the_card_where_the_row_has_none(tmp_path: Path) -> None:
    rows = "Salad mix,,150,Butterhead,60,,,\nSalad mix,,,Oakleaf,40,,,90\n"
    mix = farm_of(tmp_path, crops=CROPS, recipes=HEAD + rows).products["Salad mix"]
    assert mix.parts[0].grams == 142_00
    assert mix.pack == "bag"


def test_orders_and_substitutes_may_name_a_mix(tmp_path: Path) -> None:
    orders = "order,customer,product,amount,weekdays\nR1,Inn,Salad mix,5,Tue\n"
    substitutes = "product,substitute\nSalad mix,Butterhead head\n"
    farm = farm_of(tmp_path, crops=CROPS, recipes=HEAD + MIX, orders=orders, substitutes=substitutes)
    assert farm.demands[0].products == ("Salad mix", "Butterhead head")


@pytest.mark.parametrize(
    ("rows", "expected"),
    [
        ("Salad mix,,150,Butterhead,60,,,9\nSalad mix,,,Oakleaf,30,,,9\n",
         ["recipes!E2: found parts of 'Salad mix' that come to 90 percent; expected 100"]),
        ("Salad mix,,,Butterhead,100,,,9\n",
         ["recipes!C2: found a blank cell; expected the weight of one unit of 'Salad mix'"]),
        ("Salad mix,,150,Oakleaf,100,,,\n",
         ["recipes!H2: found a blank cell; expected what one plant of Oakleaf gives: the crop has no card"]),
        ("Salad mix,,150,Butterhead,60,61,59,9\nSalad mix,,,Oakleaf,40,,,9\n",
         ["recipes!F2: found 61; expected at most 60, its usual share",
          "recipes!G2: found 59; expected at least 60, its usual share"]),
        ("Salad mix,,150,Butterhead,60,,,9\nSalad mix,,,Butterhead,40,,,9\n",
         ["recipes!D3: found 'Butterhead' again for 'Salad mix'; expected each part once",
          "recipes!E2: found parts of 'Salad mix' that come to 60 percent; expected 100"]),
        ("Salad mix,bag,150,Butterhead,60,,,9\nSalad mix,case,160,Oakleaf,40,,,9\n",
         ["recipes!C3: found another grams; expected that of the first row of 'Salad mix' (recipes!C2), or a "
          "blank cell",
          "recipes!B3: found another pack; expected that of the first row of 'Salad mix' (recipes!B2), or a "
          "blank cell"]),
        ("Butterhead head,,150,Butterhead,100,,,9\n",
         ["recipes!A2: found 'Butterhead head', which is in products; expected another name"]),
    ],
)  # fmt: skip
def test_faults_are_told_with_their_cells(tmp_path: Path, rows: str, expected: list[str]) -> None:
    assert sorted(told(tmp_path, rows)) == sorted(expected)
