"""Whatever a grower wrote stays text: no formula, no markup, no sign that breaks the file, not too long."""

import io
import zipfile
from dataclasses import replace
from xml.etree.ElementTree import fromstring

import pytest
from opened import opened, table
from samples import demand, small_farm, small_plan, task

from scheduler.outputs.workbook import plan_workbook
from scheduler.outputs.workbook.cells import LONGEST, print_text, safe_text, text_width
from scheduler.plan.rows import FigureRow

HOSTILE = [
    "=1+1",
    '=HYPERLINK("x","y")',
    "+1",
    "-1+2",
    "@SUM(A1)",
    "'quoted",
    "\t=1+1",
    " =1+1",
    "\r\n=cmd|' /C calc'!A0",
    '<b>&amp;"x"</b>]]>',
    "\u202eright to left",
    "{=1}",
    "3-4",
    "007",
    "日本のレタス",
    "🥬 leaf",
]


@pytest.mark.parametrize("text", HOSTILE)
def test_text_stays_text_on_every_sheet(text):
    plan = small_plan(
        tasks=(task("k", 0, "sow", lot=text, crop=text, unit_kind=text, where=text, to=text, note=text),),
        demands=(
            demand("a", 1, state="short", filled=0, customer=text, product=text, order=text, reason=text),
        ),
        own_figures=(FigureRow(crop=text, figure=text, value=text),),
    )
    farm = replace(small_farm(name=text), currency=text)
    workbook = opened(farm, replace(plan, made={text: text}))
    said = [cell for sheet in workbook for row in sheet.iter_rows() for cell in row if cell.value is not None]
    assert {cell.data_type for cell in said} <= {"s", "n", "d"}
    risky = [cell for cell in said if isinstance(cell.value, str) and cell.value.lstrip()[:1] in set("=+-@'")]
    assert all(cell.quotePrefix for cell in risky)
    (row,) = table(workbook, "tasks")
    assert row["note"] == row["lot"] == row["from"] == safe_text(text)
    heading = [cell.value for cell in workbook["deliveries"][1]]
    assert heading == [
        column.name for column in workbook["deliveries"].tables["plan_deliveries"].tableColumns
    ]


@pytest.mark.parametrize(
    "text", [*HOSTILE, "\x00\x01\x0b\x1f\ufffe\uffff", "a\x00b", "\ud800 alone", "\x85\xa0\u2028"]
)
def test_every_part_of_the_file_is_sound(text):
    plan = small_plan(tasks=(task("k", 0, "sow", note=text, lot=text),))
    farm = replace(small_farm(name=text), currency=text)
    with zipfile.ZipFile(io.BytesIO(plan_workbook(farm, plan))) as archive:
        for name in archive.namelist():
            root = fromstring(archive.read(name))  # our own file
            assert not root.findall(".//{*}sheetData//{*}f"), name


def test_control_signs_are_taken_off_and_lines_become_one():
    assert safe_text("a\x00b\nc\td\u202ee") == "a b c d e"


def test_what_looks_like_an_escape_of_the_format_is_spelt_out():
    assert safe_text("_x0041_") == "_x005F_x0041_"


@pytest.mark.parametrize("text", ["a" * 40_000, "🥬" * 40_000, "_x0041_" * 9_000, "=" * 33_000])
def test_text_is_cut_to_what_a_cell_may_hold(text):
    said = safe_text(text)
    assert len(said.encode("utf-16-le")) // 2 <= LONGEST
    assert len(said) > LONGEST // 4
    plan = small_plan(tasks=(task("k", 0, "sow", note=text),))
    assert table(opened(small_farm(), plan), "tasks")[0]["note"] == said


def test_no_column_and_no_row_grows_beyond_what_can_be_read():
    plan = small_plan(tasks=(task("k", 0, "sow", note="word " * 3_000, crop="c" * 500),))
    sheet = opened(small_farm(), plan)["tasks"]
    assert max(dimension.width for dimension in sheet.column_dimensions.values()) < 60
    assert max(dimension.height or 0 for dimension in sheet.row_dimensions.values()) < 409


def test_codes_of_printed_pages_stay_text_and_the_head_of_a_page_stays_short():
    assert print_text("Tom & Ann &P") == "Tom && Ann &&P"
    assert len(print_text("&" * 500)) == 80
    assert len(print_text("x" * 500)) == 80


def test_wide_signs_count_twice():
    assert text_width("レタス") == 6
    assert text_width("émondé") == 6
