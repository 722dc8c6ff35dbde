"""``raftway convert`` carries a book into the other form, whole or not at all."""

import pytest
from helpers import TABLES, rows_of, write_book
from workbooks import put, said, write_workbook

from scheduler.book.book import read_book
from scheduler.cli.main import run


def test_a_folder_becomes_a_workbook_and_again_the_same_folder(tmp_path, capsys):
    folder, workbook, again = write_book(tmp_path), tmp_path / "farm.xlsx", tmp_path / "again"
    assert run(["convert", str(folder), str(workbook)]) == 0
    assert run(["convert", str(workbook), str(again)]) == 0
    assert capsys.readouterr().out == (
        f"Written to {workbook}: 8 tables with 18 rows\nWritten to {again}: 8 tables with 18 rows\n"
    )
    assert sorted(path.name for path in again.iterdir()) == sorted(path.name for path in folder.iterdir())
    for path in folder.iterdir():
        if path.name != "settings.csv":
            assert rows_of(again / path.name) == rows_of(path)
    assert read_book(again).settings.values == read_book(folder).settings.values


def test_the_same_book_gives_the_same_bytes_whichever_form_it_comes_from(tmp_path):
    first, folder, second = tmp_path / "a.xlsx", tmp_path / "folder", tmp_path / "b.xlsx"
    assert run(["convert", str(write_book(tmp_path)), str(first)]) == 0
    assert run(["convert", str(first), str(folder)]) == 0
    assert run(["convert", str(folder), str(second)]) == 0
    assert first.read_bytes() == second.read_bytes()


def test_a_workbook_of_a_grower_becomes_tables(tmp_path):
    def change(workbook):
        workbook.create_sheet("Notes")["A1"] = "mine"
        workbook["orders"]["F1"] = "price (EUR)"
        workbook["orders"]["F2"] = 2.5
        workbook["orders"]["G1"] = "(my remarks)"
        workbook["orders"]["G2"] = "=call before noon"
        workbook["orders"]["G2"].data_type = "s"
        workbook["orders"]["H1"] = "from"

    assert run(["convert", str(write_workbook(tmp_path, change)), str(tmp_path / "folder")]) == 0
    assert (tmp_path / "folder" / "orders.csv").read_text() == (
        "order,customer,product,amount,weekdays,price,(my remarks)\n"
        "R1,Harbour Table,Butterhead head,12,Tue Fri,2.5,'=call before noon\n"
    )
    assert said(tmp_path / "folder") == []


def test_cells_that_a_check_refuses_are_carried_over_and_refused_there_too(tmp_path):
    orders = TABLES["orders"].replace("12", "a dozen")
    folder, workbook = write_book(tmp_path, orders=orders), tmp_path / "farm.xlsx"
    assert run(["convert", str(folder), str(workbook)]) == 0
    assert (
        said(workbook) == said(folder) == ["orders!D2: found 'a dozen'; expected a whole number, such as 24"]
    )


@pytest.mark.parametrize(
    ("tables", "message"),
    [
        (
            {"orders": TABLES["orders"].replace("amount", "amonut")},
            "orders!D1: found unknown column 'amonut'; expected 'amount'?",
        ),
        (
            {"orders": TABLES["orders"].encode("utf-16")},
            "orders: found text in UTF-16; expected UTF-8: save the sheet as 'CSV UTF-8'",
        ),
        (
            {"orders": TABLES["orders"].replace("Harbour Table", "a" * 4001)},
            "orders!B2: found 4001 characters; expected at most 1000",
        ),
        (
            {"zebra_crossing": "a\n", "orders": TABLES["orders"].replace("Tue Fri", "Tue Fri,x")},
            "orders!F2: found 'x'; expected no cell past the last heading (a comma inside text needs "
            "quotation marks round it)",
        ),
    ],
)
def test_a_book_that_cannot_be_read_whole_is_not_converted(tmp_path, capsys, tables, message):
    folder = write_book(tmp_path, **tables)
    assert run(["convert", str(folder), str(tmp_path / "farm.xlsx")]) == 1
    shown = capsys.readouterr()
    assert message in shown.err.splitlines()
    assert shown.out == ""
    assert [path.name for path in tmp_path.iterdir()] == ["book"]


def test_a_formula_without_a_value_is_not_made_a_blank(tmp_path, capsys):
    workbook = write_workbook(tmp_path, put("orders!D2", "=6+6"))
    assert run(["convert", str(workbook), str(tmp_path / "folder")]) == 1
    assert capsys.readouterr().err.startswith("orders!D2: found a formula without a saved value; ")
    assert not (tmp_path / "folder").exists()


def test_one_form_is_not_turned_into_itself(tmp_path, capsys):
    folder, workbook = write_book(tmp_path), write_workbook(tmp_path)
    assert run(["convert", str(folder), str(tmp_path / "other")]) == 2
    assert capsys.readouterr().err.splitlines()[-1] == (
        f"Error: {folder} and {tmp_path / 'other'} are both folders; name a workbook (.xlsx) to turn it "
        "into the other form"
    )
    assert run(["convert", str(workbook), str(tmp_path / "other.xlsx")]) == 2
    assert capsys.readouterr().err.splitlines()[-1] == (
        f"Error: {workbook} and {tmp_path / 'other.xlsx'} are both workbooks; name a folder to turn it into "
        "the other form"
    )


def test_nothing_that_exists_is_written_over(tmp_path, capsys):
    folder = write_book(tmp_path)
    (tmp_path / "farm.xlsx").write_text("mine")
    assert run(["convert", str(folder), str(tmp_path / "farm.xlsx")]) == 2
    assert (tmp_path / "farm.xlsx").read_text() == "mine"
    assert capsys.readouterr().err.splitlines()[-1] == (
        f"Error: {tmp_path / 'farm.xlsx'} is there already; name another, for nothing is written over it"
    )


def test_check_and_build_take_a_workbook_like_a_folder(tmp_path, capsys):
    assert run(["check", str(write_book(tmp_path))]) == 0
    told = capsys.readouterr().out
    assert run(["check", str(write_workbook(tmp_path))]) == 0
    assert capsys.readouterr().out == told


def test_check_tells_the_faults_of_a_workbook_with_sheet_and_cell(tmp_path, capsys):
    path = write_workbook(tmp_path, put("orders!D2", "a dozen"))
    assert run(["check", str(path)]) == 1
    assert capsys.readouterr().err == (
        "orders!D2: found 'a dozen'; expected a whole number, such as 24\n"
        f"1 fault in {path}; mend it and check again, for more may show\n"
    )
