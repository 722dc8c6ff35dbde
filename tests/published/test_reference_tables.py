"""Every published table carries value, unit, source and evidence in each row."""

import pytest

from crops.library import sources
from crops.published import table
from crops.rows import MARKS
from scheduler.reference import shared_folder

TABLES = sorted(path.stem for path in (shared_folder() / "reference").glob("*.csv"))
SOURCES = {row["source_id"]: row for row in table("sources")}

WORDS = {"cautions", "trace_rules"}
"""Tables of words, not of figures."""


@pytest.mark.parametrize("name", [name for name in TABLES if name not in {"sources"} | WORDS])
def test_every_row_has_value_unit_source_and_evidence(name: str) -> None:
    rows = table(name)
    assert rows
    for row in rows:
        assert row["unit"]
        assert row["source_id"] in SOURCES
        assert row["evidence"] in MARKS
        assert float(row["value"] or 0) >= 0
        assert row["value"] or row["outcome"] in ("none", "not tested")


@pytest.mark.parametrize("name", sorted(WORDS))
def test_every_row_of_words_has_its_source_and_evidence(name: str) -> None:
    rows = table(name)
    assert rows
    for row in rows:
        assert row["text"]
        assert row["source_id"] in SOURCES
        assert row["evidence"] in MARKS


def test_low_typical_and_high_stand_in_order() -> None:
    rows = [row for name in TABLES for row in table(name) if "low" in row]
    assert rows
    for row in rows:
        assert float(row["low"]) <= float(row["value"]) <= float(row["high"]), row


def test_every_source_of_the_tables_is_used() -> None:
    used = {row["source_id"] for name in TABLES if name != "sources" for row in table(name)}
    assert used == set(SOURCES)


def test_a_source_known_to_the_crop_library_too_reads_the_same_there() -> None:
    shared = SOURCES.keys() & sources().keys()
    assert "rutgers_both_lettuce" in shared
    for key in shared:
        here, there = SOURCES[key], sources()[key]
        assert (here["title"], here["address_or_doi"], here["evidence"], here["note"]) == (
            there.title,
            there.address,
            there.evidence,
            there.note,
        )
