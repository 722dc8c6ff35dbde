"""Files that are no workbook, and workbooks that would do harm: one clear line each, and quickly."""

import io
import tempfile
import tracemalloc
import zipfile
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from workbooks import part_of, replace_part, said, write_workbook

from scheduler.book.from_xlsx_guard import MOST_PARTS, MOST_RATIO

WORKBOOK = "an .xlsx workbook with a sheet for each table"
SAVED_ANEW = f"{WORKBOOK}: open it in a spreadsheet program and save it as .xlsx"
PROTECTED = "found a workbook with a password; expected one without: open it and save it without the password"
DAMAGED = (
    "found a damaged workbook; expected a whole one: copy it again, or open it, repair it and save it anew"
)
TEXT = f"found a text file; expected {WORKBOOK}, or the folder in which the CSV tables lie"
OLD = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"


def archive(**parts: str) -> bytes:
    data = io.BytesIO()
    with zipfile.ZipFile(data, "w") as file:
        for name, text in parts.items():
            file.writestr(name.replace("__", "/").replace("_dot_", "."), text)
    return data.getvalue()


NOT_WORKBOOKS = [
    ("an empty file", b"", f"found an empty file; expected {WORKBOOK}"),
    ("an .xls", OLD + bytes(2000), f"found a workbook of the old kind (.xls); expected {SAVED_ANEW}"),
    ("a password", OLD + bytes(500) + "EncryptedPackage".encode("utf-16-le"), PROTECTED),
    ("a web page", b"\xef\xbb\xbf\n<!DOCTYPE html><table>", f"found a web page; expected {SAVED_ANEW}"),
    ("an XML file", b'<?xml version="1.0"?><Workbook/>', f"found an XML file; expected {SAVED_ANEW}"),
    ("a CSV file", b"order,customer\nR1,Harbour Table\n", TEXT),
    ("a CSV file in UTF-16", "order,customer\n".encode("utf-16"), TEXT),
    ("a CSV file in another encoding", b"order,customer\nR1,Caf\xe9\n", TEXT),
    ("a PDF", b"%PDF-1.7\n\x00", f"found a PDF; expected {WORKBOOK}"),
    ("a picture", b"\x89PNG\r\n\x1a\n\x00\x00\x00", f"found a file of another kind; expected {WORKBOOK}"),
    (
        "an .ods",
        archive(mimetype="application/vnd.oasis.opendocument.spreadsheet", content_dot_xml="<a/>"),
        f"found an OpenDocument file (.ods); expected {SAVED_ANEW}",
    ),
    (
        "an .xlsb",
        archive(xl__workbook_dot_bin="", _rels__dot_rels="<a/>"),
        f"found a binary workbook (.xlsb); expected {SAVED_ANEW}",
    ),
    (
        "a .docx",
        archive(word__document_dot_xml="<a/>"),
        f"found a text document (.docx); expected {WORKBOOK}",
    ),
    (
        "a Numbers document",
        archive(Index__Document_dot_iwa="x"),
        f"found a Numbers document; expected {WORKBOOK}: export it as .xlsx",
    ),
    ("a zip file", archive(orders_dot_csv="a"), f"found a zip file that is no workbook; expected {WORKBOOK}"),
    ("half a zip file", b"PK\x03\x04" + bytes(100), DAMAGED),
]


@pytest.mark.parametrize("case", NOT_WORKBOOKS, ids=[case[0] for case in NOT_WORKBOOKS])
def test_a_file_that_is_no_workbook_is_told_in_one_line(tmp_path, case):
    _, data, message = case
    path = tmp_path / "book.xlsx"
    path.write_bytes(data)
    assert said(path) == [f"{path}: {message}"]


def test_the_mark_of_an_open_workbook_is_not_the_workbook(tmp_path):
    path = tmp_path / "~$book.xlsx"
    path.write_bytes(b"\x05Alder" + bytes(160))
    assert said(path) == [
        f"{path}: found the mark a spreadsheet program leaves while a workbook is open; expected the "
        "workbook itself"
    ]


def test_a_workbook_cut_short_is_damaged(tmp_path):
    path = write_workbook(tmp_path)
    path.write_bytes(path.read_bytes()[:-200])
    assert said(path) == [f"{path}: {DAMAGED}"]


@pytest.mark.parametrize("part", ["xl/worksheets/sheet1.xml", "xl/workbook.xml", "xl/styles.xml"])
@pytest.mark.parametrize("data", [b"", b"<worksheet><sheetData>", b"no XML at all"])
def test_a_workbook_with_a_damaged_part_is_damaged(tmp_path, part, data):
    path = replace_part(write_workbook(tmp_path), part, data)
    assert said(path) == [f"{path}: {DAMAGED}"]


def test_a_cell_that_points_to_no_text_is_damage(tmp_path):
    path = write_workbook(tmp_path)
    name = "xl/worksheets/sheet1.xml"
    data = part_of(path, name).replace(b'<c r="B2" t="inlineStr">', b'<c r="B2" t="s"><v>99</v>')
    replace_part(path, name, data)
    assert said(path) == [f"{path}: {DAMAGED}"]


def test_the_strict_form_is_told_by_name(tmp_path):
    path = write_workbook(tmp_path)
    name = "xl/workbook.xml"
    usual, strict = (
        b"schemas.openxmlformats.org/spreadsheetml/2006/main",
        b"purl.oclc.org/ooxml/spreadsheetml/main",
    )
    replace_part(path, name, part_of(path, name).replace(usual, strict))
    assert said(path) == [
        f"{path}: found a workbook in the strict form of .xlsx; expected the usual form: save it as 'Excel "
        "Workbook (.xlsx)'"
    ]


ENTITIES = (
    b'<?xml version="1.0"?>' + b" " * 70_000 + b"<!-- a long beginning -->"
    b'<!DOCTYPE x [<!ENTITY a "aaaaaaaaaa"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;">]>'
)


@pytest.mark.parametrize(
    "part", ["xl/worksheets/sheet1.xml", "xl/workbook.xml", "docProps/core.xml", "_rels/.rels"]
)
@pytest.mark.parametrize("encoding", ["utf-8", "utf-16"])
def test_a_document_type_is_refused_wherever_and_however_it_is_written(tmp_path, part, encoding):
    data = ENTITIES.decode().replace("?>", f' encoding="{encoding}"?>', 1) + "<x/>"
    path = replace_part(write_workbook(tmp_path), part, data.encode(encoding))
    assert said(path) == [
        f"{path}: found a workbook with a document type in {part}; expected one as a spreadsheet "
        "program writes it"
    ]


def test_a_sheet_that_unpacks_to_far_more_than_it_weighs_is_refused_without_being_unpacked(tmp_path):
    path = replace_part(
        write_workbook(tmp_path), "xl/worksheets/sheet1.xml", b"<worksheet>" + b" " * 15_000_000
    )
    tracemalloc.start()
    (line,) = said(path)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert line.startswith(f"{path}: found a workbook whose part xl/worksheets/sheet1.xml unpacks to ")
    assert line.endswith(f" times its size; expected at most {MOST_RATIO} times")
    assert peak < 5_000_000


def test_a_workbook_of_too_many_parts_is_refused(tmp_path):
    path = write_workbook(tmp_path)
    with zipfile.ZipFile(path, "a") as file:
        for number in range(MOST_PARTS):
            file.writestr(f"xl/media/{number}.png", b"")
        count = len(file.namelist())
    assert said(path) == [f"{path}: found a workbook of {count} parts; expected at most {MOST_PARTS}"]


def stored(path, name, size):
    with zipfile.ZipFile(path, "a", zipfile.ZIP_DEFLATED) as file:
        file.writestr(name, bytes(range(256)) * (size // 256) if size < 2**20 else b"\0" * size)
    return path


@pytest.mark.parametrize(
    ("name", "size", "message"),
    [
        (
            "xl/worksheets/x.xml",
            20_000_001,
            "20.0 million bytes in xl/worksheets/x.xml; expected at most 20 million",
        ),
        ("xl/theme/x.bin", 5_000_001, "5.0 million bytes in xl/theme/x.bin; expected at most 5 million"),
    ],
)
def test_a_part_larger_than_any_farm_needs_is_refused(tmp_path, name, size, message):
    path = stored(write_workbook(tmp_path), name, size)
    assert said(path) == [f"{path}: found a workbook that unpacks to {message}"]


def test_parts_that_are_too_much_together_are_refused(tmp_path):
    path = write_workbook(tmp_path)
    for number in range(4):
        stored(path, f"xl/media/{number}.png", 19_000_000)
    (line,) = said(path)
    assert line.startswith(f"{path}: found a workbook that unpacks to 76.")
    assert line.endswith(" million bytes; expected at most 60 million")


def test_a_file_larger_than_any_book_is_refused_unread(tmp_path):
    path = tmp_path / "book.xlsx"
    with path.open("wb") as file:
        file.truncate(20_000_001)
    assert said(path) == [f"{path}: found a file of 20.0 million bytes; expected at most 20 million"]


PARTS = ["xl/worksheets/sheet1.xml", "xl/workbook.xml", "xl/styles.xml", "xl/_rels/workbook.xml.rels"]


@settings(max_examples=60, deadline=None)
@given(st.sampled_from(PARTS), st.floats(0, 1), st.integers(0, 40), st.binary(max_size=12))
def test_any_damage_gives_a_book_or_faults(part, where, taken, put_in):
    with tempfile.TemporaryDirectory() as folder:
        path = write_workbook(Path(folder))
        data = part_of(path, part)
        at = int(where * len(data))
        said(replace_part(path, part, data[:at] + put_in + data[at + taken :]))


@settings(max_examples=60, deadline=None)
@given(st.binary(max_size=300), st.sampled_from([b"", b"PK", b"PK\x03\x04", OLD, b"<"]))
def test_any_bytes_as_a_file_give_faults(data, start):
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "book.xlsx"
        path.write_bytes(start + data)
        (line,) = said(path)
        assert line.startswith(f"{path}: found ")
