"""Files that are small and would grow, nest or count without end are refused in a line, with little memory.

What is refused of a workbook as a file stands in tests/book/test_xlsx_guard.py.
"""

import json
import tracemalloc
import zipfile

import pytest
from helpers import TABLES, write_book

from scheduler.cli.main import run
from scheduler.outputs import everything

DEEP = 100_000


def said(capsys, *words):
    code = run([str(word) for word in words])
    return code, capsys.readouterr().err


@pytest.fixture(scope="module")
def workbook(tmp_path_factory):
    folder = tmp_path_factory.mktemp("bombs")
    assert run(["convert", str(write_book(folder)), str(folder / "b.xlsx")]) == 0
    return folder / "b.xlsx"


def changed(workbook, path, part, change):
    """Write a workbook again with one part changed."""
    with zipfile.ZipFile(workbook) as old, zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as new:
        for each in old.namelist():
            data = old.read(each)
            new.writestr(each, change(data) if each == part else data)
    return path


def orders_part(workbook):
    with zipfile.ZipFile(workbook) as archive:
        return next(
            name
            for name in archive.namelist()
            if name.startswith("xl/worksheets/sheet") and b"Harbour Table" in archive.read(name)
        )


def test_entities_that_multiply_are_refused(workbook, tmp_path, capsys):
    laughs = "".join(f'<!ENTITY l{n} "{f"&l{n - 1};" * 10}">' for n in range(1, 12))
    bomb = f'<!DOCTYPE x [<!ENTITY l0 "ha">{laughs}]>'.encode()
    path = changed(
        workbook,
        tmp_path / "b.xlsx",
        orders_part(workbook),
        lambda data: data.replace(b"<worksheet", bomb + b"<worksheet", 1),
    )
    code, err = said(capsys, "check", path)
    assert code == 1
    assert "a workbook with a document type in xl/worksheets/" in err
    assert len(err.splitlines()) == 2


@pytest.mark.parametrize(
    "row",
    [
        pytest.param(b'<row r="{}"></row>', id="rows", marks=pytest.mark.soak),
        pytest.param(b'<row r="{}"><c r="A{}" s="1"/></row>', id="cells"),
    ],
)
def test_rows_that_hold_nothing_cost_nothing(workbook, tmp_path, capsys, row):
    rows = b"".join(row.replace(b"{}", str(n).encode()) for n in range(100, 100_000))
    path = changed(
        workbook,
        tmp_path / "b.xlsx",
        orders_part(workbook),
        lambda data: data.replace(b"</sheetData>", rows + b"</sheetData>"),
    )
    tracemalloc.start()
    code, err = said(capsys, "check", path)
    most = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert (code, err) == (0, "") or "unpacks to" in err
    assert most < 60_000_000


def test_a_cell_that_says_it_stands_at_the_end_of_the_sheet_is_refused_and_not_filled_up_to(
    workbook, tmp_path, capsys
):
    cell = b'<row r="1048576"><c r="XFD1048576" t="inlineStr"><is><t>x</t></is></c></row>'
    path = changed(
        workbook,
        tmp_path / "b.xlsx",
        orders_part(workbook),
        lambda data: data.replace(b"</sheetData>", cell + b"</sheetData>"),
    )
    tracemalloc.start()
    code, err = said(capsys, "check", path)
    most = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert code == 1
    assert "orders" in err
    assert most < 60_000_000


@pytest.mark.parametrize(
    ("table", "text"),
    [
        ("orders", 'order,customer\n"' + "x" * 200_000 + '",y\n'),
        ("orders", TABLES["orders"] + '"unclosed' + "x" * 200_000),
        ("orders", TABLES["orders"] + "R2," + "x" * 2_000 + ",Butterhead head,1,Tue\n"),
        ("orders", "order," * 20_000 + "\n"),
    ],
    ids=["long cell", "unclosed quotation", "long text", "wide heading"],
)
def test_long_cells_and_wide_tables_are_refused(tmp_path, capsys, table, text):
    code, err = said(capsys, "check", write_book(tmp_path, **{table: text}))
    assert code == 1
    assert table in err
    assert max(map(len, err.splitlines())) < 2_000


@pytest.mark.parametrize(
    "number",
    [
        "9" * 400,
        "1e999",
        "-1e999",
        "inf",
        "nan",
        "0x7fffffff",
        "1" + "0" * 5_000,
        "\u0661\u0662",
        "1_000",
        "9" * 12,
    ],
    ids=lambda text: text[:12],
)
def test_numbers_beyond_all_measure_are_refused_with_their_cell(tmp_path, capsys, number):
    orders = f"order,customer,product,amount,weekdays\nR1,Harbour Table,Butterhead head,{number},Tue\n"
    code, err = said(capsys, "check", write_book(tmp_path, orders=orders))
    assert code == 1
    assert err.startswith("orders!D2: found ")
    code, err = said(capsys, "check", write_book(tmp_path, settings={"weeks": number}))
    assert code == 1
    assert err.startswith("settings!B")


def test_a_scenario_that_nests_or_counts_without_end_is_refused(tmp_path, capsys):
    book = write_book(tmp_path)
    for text in ("a = " + "[" * DEEP, "a = " + "9" * 5_000, "[" + "a." * 20_000 + "a]", "x" * 1_100_000):
        (tmp_path / "s.toml").write_text(text)
        code, err = said(capsys, "compare", book, "--with", tmp_path / "s.toml")
        assert code in (1, 2)
        assert "fault of its own" not in err


def test_a_note_of_a_plan_or_a_line_of_a_sweep_that_nests_without_end_is_refused(
    tmp_path, capsys, monkeypatch
):
    book = write_book(tmp_path)
    plan = tmp_path / "plan"
    plan.mkdir()
    monkeypatch.setattr(everything, "PAGES", {})
    (plan / "plan.json").write_text("[" * DEEP)
    code, err = said(capsys, "publish", plan)
    assert code == 1
    damaged = (
        f"plan.json: found text that is not JSON; expected the note that raftway wrote: {plan} is damaged"
    )
    assert err.startswith(damaged)
    code, err = said(capsys, "plan", book, "--out", plan)
    assert code == 2
    assert f"{plan / 'plan.json'} is damaged, so nothing tells which files are the plan's; put back" in err
    (tmp_path / "s.toml").write_text('name = "E"\n[[change]]\ndo = "add trough"\ntrough = "E"\n')
    (tmp_path / "s.jsonl").write_text("[" * DEEP + "\n")
    code, err = said(capsys, "sweep", book, "--with", tmp_path / "s.toml", "--results", tmp_path / "s.jsonl")
    assert code == 2
    assert "found no answer of a sweep" in err


def test_readings_with_an_endless_cell_are_refused(tmp_path, capsys):
    book = write_book(
        tmp_path, reading_columns="column,measures,unit,place\nTime,moment,,\nW,water,C,North trough\n"
    )
    log = tmp_path / "log.csv"
    log.write_text('Time,W\n2026-03-02 00:00,"' + "9" * 200_000)
    code, err = said(capsys, "readings", book, log)
    assert code == 1
    assert err.startswith("log.csv: found a line that cannot be split into cells")


def test_entries_from_another_program_that_nest_or_run_on_are_refused(tmp_path, capsys):
    book = write_book(tmp_path)
    lines = tmp_path / "lines.jsonl"
    for text in ('{"what": ' + "[" * DEEP, json.dumps({"what": "sown", "plants": 10**400}), "x" * 2_000_000):
        lines.write_text(text + "\n")
        code, err = said(capsys, "record", book, "lines", lines, "--records", tmp_path / "r.sqlite")
        assert code in (1, 2)
        assert "fault of its own" not in err
        assert max(map(len, err.splitlines())) < 2_000
