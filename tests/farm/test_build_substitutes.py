"""What may stand in for what was ordered, for whom, in what order and at what price."""

from pathlib import Path

import pytest
from helpers import TABLES, farm_of, faults_of

CROPS = TABLES["crops"] + TABLES["crops"].splitlines()[1].replace("Butterhead", "Oakleaf") + "\n"
PRODUCTS = "product,crop\nButterhead head,Butterhead\nOakleaf head,Oakleaf\nLeaf bag,Oakleaf\n"
ORDERS = (
    "order,customer,product,amount,weekdays,price\n"
    "R1,Harbour Table,Butterhead head,12,Tue,2.40\n"
    "R2,Lantern Inn,Butterhead head,5,Tue,2\n"
)
BOOK = {"crops": CROPS, "products": PRODUCTS, "orders": ORDERS}


def found(tmp_path: Path, table: str, **more: str) -> dict[str, list[tuple[str, int, int]]]:
    """Return order -> (substitute, rank, price) of its first delivery."""
    farm = farm_of(tmp_path, substitutes=table, **(BOOK | more))
    listed: dict[str, list[tuple[str, int, int]]] = {}
    for demand in farm.demands:
        listed.setdefault(demand.order, [(s.product, s.rank, s.price) for s in demand.substitutes])
    return listed


def test_a_row_without_a_name_holds_for_all_and_a_blank_price_is_that_of_the_order(tmp_path: Path) -> None:
    table = "product,substitute\nButterhead head,Oakleaf head\n"
    targets = "target,product,amount,price\nMarket,Butterhead head,7,1.5\n"
    assert found(tmp_path, table, targets=targets) == {
        "R1": [("Oakleaf head", 1, 240)],
        "R2": [("Oakleaf head", 1, 200)],
        "Market": [("Oakleaf head", 1, 150)],
    }


def test_the_lowest_rank_stands_first_and_rows_of_one_rank_in_the_order_of_the_book(tmp_path: Path) -> None:
    table = "product,substitute,rank\nButterhead head,Leaf bag,2\nButterhead head,Oakleaf head,1\n"
    assert [name for name, _, _ in found(tmp_path, table)["R1"]] == ["Oakleaf head", "Leaf bag"]
    table = "product,substitute\nButterhead head,Leaf bag\nButterhead head,Oakleaf head\n"
    assert [name for name, _, _ in found(tmp_path, table)["R1"]] == ["Leaf bag", "Oakleaf head"]


def test_a_row_of_one_order_goes_before_one_of_its_customer_and_that_before_one_of_all(
    tmp_path: Path,
) -> None:
    table = (
        "product,substitute,rank,customer,order,price\n"
        "Butterhead head,Oakleaf head,3,,R1,1.10\n"
        "Butterhead head,Oakleaf head,2,Harbour Table,,1.20\n"
        "Butterhead head,Oakleaf head,2,Lantern Inn,,1.30\n"
        "Butterhead head,Oakleaf head,1,,,1.40\n"
    )
    assert found(tmp_path, table) == {"R1": [("Oakleaf head", 3, 110)], "R2": [("Oakleaf head", 2, 130)]}


@pytest.mark.parametrize(
    ("rows", "told"),
    [
        (
            "Butterhead head,Butterhead head,,\n",
            "B2: found 'Butterhead head' for itself; expected another product than the one it stands in for",
        ),
        ("Butterhead head,Oakleav head,,\n", "B2: found 'Oakleav head', which is not in products; expected "
         "'Oakleaf head'?"),
        ("Butterhead head,Oakleaf head,Lantern In,\n",
         "C2: found 'Lantern In', who has no order or delivery; expected 'Lantern Inn'?"),
        ("Butterhead head,Oakleaf head,,R3\n",
         "D2: found 'R3', which is no order, delivery or target; expected one of 'R1', 'R2'"),
        ("Butterhead head,Oakleaf head,,\nButterhead head,Oakleaf head,,\n",
         "B3: found 'Oakleaf head' for 'Butterhead head' again; expected each substitute once for a product, "
         "customer and order (substitutes!B2 has it)"),
    ],
)  # fmt: skip
def test_faults_are_told_with_their_cell(tmp_path: Path, rows: str, told: str) -> None:
    table = "product,substitute,customer,order\n" + rows
    (fault,) = faults_of(tmp_path, None, substitutes=table, **BOOK)
    assert fault.removeprefix("substitutes!").removeprefix("substitutes.csv!") == told


def test_a_late_product_is_no_reason_for_a_note_where_a_substitute_is_in_reach(tmp_path: Path) -> None:
    farm = farm_of(tmp_path, substitutes="product,substitute\nButterhead head,Leaf bag\n", **BOOK)
    assert {demand.products for demand in farm.demands} == {("Butterhead head", "Leaf bag")}
