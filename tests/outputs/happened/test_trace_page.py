"""A trace on paper and as a table: complete, calm on a phone, and safe whatever was written into it."""

import csv
import io
from datetime import date

import pytest
from browser import page_of, pdf_texts, to_pdf
from recorded import boarded, cut, rafted, small, sown, tell, told

from scheduler.outputs.happened.trace_page import trace_html
from scheduler.outputs.happened.trace_table import COLUMNS, trace_csv
from scheduler.outputs.happened.words import RULES_DECIDE, entry_in_words, log_lines
from scheduler.records.trace import trace_lot, trace_seed_lot

HOSTILE = '=1+1 <script>alert(1)</script> "x" \u202eright to left'


@pytest.fixture(scope="module")
def farm(tmp_path_factory):
    return small(tmp_path_factory.mktemp("farm"))


@pytest.fixture(scope="module")
def log(farm):
    log = tell(farm, [], sown(seed_lot="S-1", who=HOSTILE), boarded(note=HOSTILE), rafted())
    log = tell(farm, log, told("treated", 40, lot="BUT-260302", product=HOSTILE, days=3), cut())
    log = tell(farm, log, told("delivered", 50, lot="BUT-260302", heads=12, delivery="R1 2026-04-21"))
    return tell(farm, log, told("delivered", 51, lot="BUT-260302", heads=5, customer=HOSTILE))


@pytest.fixture(scope="module")
def page(farm, log):
    return trace_html(farm, trace_lot(farm, log, "BUT-260302"), "2026-04-21T10:11:12Z")


def test_the_page_tells_seed_customers_amounts_and_the_rules(page):
    for text in (
        "Trace of <bdi>lot BUT-260302</bdi>",
        "by the records as last written 21 Apr 2026, 10:11 UTC",
        "<bdi>S-1</bdi>",
        "<bdi>Harbour Table</bdi>",
        "36 plants, 34 heads",
        "21 CFR 112",
        "21 CFR 1 subpart S",
        "MEMORY: remembered, not read; may be wrong",
        RULES_DECIDE,
    ):
        assert text in page


def test_the_same_trace_gives_the_same_page(farm, log, page):
    assert trace_html(farm, trace_lot(farm, log, "BUT-260302"), "2026-04-21T10:11:12Z") == page


def test_a_grower_s_text_never_becomes_markup(page):
    assert "<script>alert" not in page
    assert "&lt;script&gt;alert(1)&lt;/script&gt;" in page
    assert "\u202e" not in page


def test_without_a_delivery_the_page_says_so(farm, log):
    trace = trace_seed_lot(farm, log[:3], "S-1")
    assert "No delivery of these lots is recorded." in trace_html(farm, trace, "2026-03-02T10:11:12Z")
    assert "No treatment is recorded." in trace_html(farm, trace, "2026-03-02T10:11:12Z")


def test_the_table_has_a_row_for_each_entry_and_nothing_that_is_calculated(farm, log):
    rows = list(csv.DictReader(io.StringIO(trace_csv(trace_lot(farm, log, "BUT-260302")).decode())))
    assert [row["what"] for row in rows] == [
        "sown",
        "moved",
        "moved",
        "treated",
        "cut",
        "delivered",
        "delivered",
    ]
    assert list(rows[0]) == list(COLUMNS)
    assert {row["seed_lots"] for row in rows} == {"S-1"}
    assert rows[0]["who"].startswith("'=1+1")
    assert all("\u202e" not in cell for row in rows for cell in row.values())
    assert (rows[5]["customer"], rows[5]["heads"], rows[5]["day"]) == ("Harbour Table", "12", "2026-04-21")


def test_the_log_is_listed_with_what_became_of_each_entry(farm, log):
    longer = tell(farm, log, told("withdrawn", 52, corrects="7"), cut(plants=35, heads=33, corrects="5"))
    lines = log_lines(farm, longer)
    assert [line.split()[0] for line in lines] == [str(number) for number in range(1, 10)]
    assert longer[0].entry.day == date(2026, 3, 2)
    assert lines[0].startswith("    1   2 Mar 2026  sown ")
    assert lines[6].endswith("[withdrawn by entry 8]")
    assert lines[4].endswith("[corrected by entry 9]")
    assert "of entry 7" in lines[7]
    assert "instead of entry 5" in lines[8]
    assert log_lines(farm, longer, "BUT-1") == []


def test_of_trays_cells_are_lost_and_stand_and_of_rafts_plants(farm, log):
    few = tell(
        farm,
        [],
        sown(),
        told("culled", 3, lot="BUT-260302", plants=12),
        told("lost", 4, lot="BUT-260302", plants=1, place="Shelf A 1 slot 1"),
    )
    said = [entry_in_words(farm, each.entry) for each in few]
    assert said[1:] == [
        "culled BUT-260302 Butterhead; 12 cells; in Shelf A 1",
        "lost BUT-260302 Butterhead; 1 cell; in Shelf A 1 slot 1",
    ]
    page = trace_html(farm, trace_lot(farm, few, "BUT-260302"), "2026-04-21T10:11:12Z")
    assert all(f">{number} cells<" in page for number in (12, 13, 85))
    gone = tell(farm, few, told("discarded", 5, place="Shelf A 1"))
    page = trace_html(farm, trace_lot(farm, gone, "BUT-260302"), "2026-04-21T10:11:12Z")
    assert all(f">{number} cells<" in page for number in (85, 98))
    page = trace_html(farm, trace_lot(farm, log, "BUT-260302"), "2026-04-21T10:11:12Z")
    assert ">0 plants<" in page


def test_an_entry_is_one_line_of_plain_text(farm, log):
    said = [entry_in_words(farm, each.entry) for each in log]
    assert all(line.isprintable() for line in said)
    moved = "moved BUT-260302 Butterhead; 70 plants; from North trough boards slot 1; to 2 rafts, "
    assert said[2] == f"{moved}North trough 1"
    assert said[4] == "cut BUT-260302 Butterhead; 36 plants, 34 heads; in North trough 1"


@pytest.mark.chromium
def test_the_page_loads_nothing_and_fits_phone_and_paper(page):
    for width in (360, 1200):
        with page_of(page, width) as opened:
            assert opened.outside == []
            assert opened.errors == []
            assert not opened.is_wider_than_its_window()
    texts = pdf_texts(to_pdf(page))
    assert len(texts) == 1
    assert "Harbour Table" in texts[0]
