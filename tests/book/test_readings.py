"""Exports of instruments: what is read in which form, what is doubtful, and what is wrong with the map."""

from datetime import datetime

import pytest
from helpers import write_book

from scheduler.book.book import read_book
from scheduler.book.faults import BookFaults
from scheduler.book.reading_map import reading_map
from scheduler.book.readings import parse_readings

HEAD = "column,measures,unit,place,form,zone\n"
MAP = HEAD + "Time,moment,,,,\nWater,water,C,North trough,,\npH,pH,,,,\n"


def mapped(folder, table=MAP, **settings):
    return reading_map(read_book(write_book(folder, settings, reading_columns=table)))


def read(folder, data, table=MAP, **settings):
    raw = data if isinstance(data, bytes) else data.encode()
    return parse_readings(raw, "log.csv", mapped(folder, table, **settings))


def values(folder, data, table=MAP, **settings):
    readings, doubts = read(folder, data, table, **settings)
    assert doubts == []
    return [(each.when.isoformat(" "), each.measures, each.value) for each in readings]


def test_a_plain_export(tmp_path):
    found = values(tmp_path, "Time,pH,Water\n2026-03-02 10:30,6.4,18.25\n")
    assert found == [("2026-03-02 10:30:00", "water", 18_250), ("2026-03-02 10:30:00", "pH", 6_400)]


@pytest.mark.parametrize(
    "data",
    [
        "\ufeffTime;Water;pH\n2026-03-02T10:30:00;18,25;6,4\n",
        "Time\tWater\tpH\r\n2026-03-02 10:30\t18.25\t6.4\r\n",
        'Time,Water,pH\n2026-03-02 10:30,"18,25","6,4"\n',
        "Logger 7\nserial;123\n\n time ;WATER;pH;other\n2026-03-02 10:30; 18,250 ;6,4;x\n;;;\n",
        "Time|Water|pH|\n2026-03-02 10:30|+18.25|6.4|\n",
        "Time,Water,pH\r2026-03-02 10:30,18.25,6.4\r",
    ],
)
def test_other_delimiters_commas_marks_and_lines_before_the_headings(tmp_path, data):
    found = values(tmp_path, data)
    assert [value for _, _, value in found] == [18_250, 6_400]


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_the_usual_encodings(tmp_path, encoding):
    table = HEAD + "Zeit,moment,,,,\nWasser °C,water,C,,,\n"
    assert values(tmp_path, "Zeit;Wasser °C\n2026-03-02;18\n".encode(encoding), table)[0][2] == 18_000


@pytest.mark.parametrize(
    ("form", "text"),
    [
        ("DD.MM.YYYY hh:mm", "02.03.2026 14:05"),
        ("MM/DD/YYYY hh:mm AM", "03/02/2026 02:05 PM"),
        ("DD-MMM-YY hh:mm:ss", "02-Mar-26 14:05:00"),
        ("YYYYMMDDThhmm", "20260302T1405"),
    ],
)
def test_dates_in_the_form_the_map_tells(tmp_path, form, text):
    table = HEAD + f"Time,moment,,,{form},\nWater,water,C,,,\n"
    assert values(tmp_path, f"Time;Water\n{text};18\n", table)[0][0] == "2026-03-02 14:05:00"


def test_date_and_clock_in_two_columns_in_either_order(tmp_path):
    table = HEAD + "Clock,clock,,,,\nDay,date,,,DD.MM.YYYY,\nWater,water,C,,,\n"
    found = values(tmp_path, "Clock;Day;Water\n14:05;02.03.2026;18\n", table)
    assert found[0][0] == "2026-03-02 14:05:00"


@pytest.mark.parametrize(
    ("unit", "measures", "text", "value"),
    [
        ("F", "water", "68", 20_000),
        ("F", "air", "-40", -40_000),
        ("uS/cm", "conductivity", "1180", 1_180),
        ("mS/cm", "conductivity", "1.18", 1_180),
        ("mg/L", "oxygen", "6.1", 6_100),
    ],
)
def test_units_are_turned_into_one(tmp_path, unit, measures, text, value):
    table = HEAD + f"Time,moment,,,,\nX,{measures},{unit},,,\n"
    assert values(tmp_path, f"Time;X\n2026-03-02;{text}\n", table)[0][2] == value


@pytest.mark.parametrize(
    ("text", "when"),
    [
        ("2026-01-15T12:00:00Z", "2026-01-15 13:00:00"),
        ("2026-07-15T12:00:00+00:00", "2026-07-15 14:00:00"),
        ("2026-03-29T00:30:00", "2026-03-29 01:30:00"),
        ("2026-03-29T01:30:00", "2026-03-29 03:30:00"),
        ("2026-12-31T23:30:00", "2027-01-01 00:30:00"),
    ],
)
def test_times_of_another_zone_are_turned_into_the_farm_s(tmp_path, text, when):
    table = HEAD + "Time,moment,,,,UTC\nWater,water,C,,,\n"
    assert values(tmp_path, f"Time;Water\n{text};18\n", table, time_zone="Europe/Berlin")[0][0] == when


def test_without_a_zone_of_the_farm_times_stay_as_written(tmp_path):
    assert values(tmp_path, "Time;Water;pH\n2026-01-15T12:00:00Z;18;\n")[0][0] == "2026-01-15 12:00:00"


def test_what_cannot_be_read_is_told_by_row_and_the_rest_is_taken(tmp_path):
    data = "Time,Water,pH\nyesterday,18,6\n2026-03-02,warm,6.1\n2026-03-03,---,\n"
    data += '2026-03-04,"1,234",6.2\n2026-03-05,17\n'
    readings, doubts = read(tmp_path, data)
    assert [str(doubt) for doubt in doubts] == [
        "log.csv, row 2: no moment in 'yesterday'",
        "log.csv, row 3: Water: 'warm' is no number",
        "log.csv, row 5: Water: '1,234' is no number",
    ]
    assert [(each.row, each.value) for each in readings] == [(3, 6_100), (5, 6_200), (6, 17_000)]
    assert readings[0].when == datetime(2026, 3, 2)  # noqa: DTZ001


@pytest.mark.parametrize(
    ("data", "found"),
    [
        (b"Zeit;pH\n1;2\n", ["log.csv: found no column 'Time'; expected 'Zeit'?",
                             "log.csv: found no column 'Water'; expected one of 'Zeit', 'pH'"]),
        (b"PK\x03\x04\xff\x00\x01", ["log.csv: found no text; expected a CSV file"]),
    ],
)  # fmt: skip
def test_a_file_that_is_not_the_mapped_one_is_refused(tmp_path, data, found):
    with pytest.raises(BookFaults) as refused:
        read(tmp_path, data)
    assert len(refused.value.faults) == len(found)
    assert str(refused.value.faults[-1]) in found


@pytest.mark.parametrize(
    ("rows", "found"),
    [
        ("", ["reading_columns: found no rows; expected a row for each column of the export, such as Time, "
              "moment"]),
        ("Water,water,C,,,\n", ["reading_columns!B2: found no time; expected one column with the moment, or "
                                "one with the date and perhaps one with the clock"]),
        ("T,moment,C,,,\n", ["reading_columns!C2: found 'C' for a moment; expected a blank cell"]),
        ("T,moment,,,DD of MM,\n", ["reading_columns!E2: found 'DD of MM'; expected a form made of YYYY, YY, "
                                    "MMM, MM, DD, hh, mm, ss and AM, such as DD.MM.YYYY hh:mm"]),
        ("T,moment,,,,Mars\n", ["reading_columns!F2: found 'Mars'; expected a zone of the tz database, such "
                                "as Europe/Berlin or UTC"]),
        ("T,moment,,,,\nX,water,mg/L,,,\n", ["reading_columns!C3: found 'mg/L' for water; expected C or F"]),
        ("T,moment,,,,\nX,pH,C,,,\n", ["reading_columns!C3: found 'C' for pH; expected a blank cell: pH has "
                                       "no unit"]),
        ("T,moment,,,,\nt,pH,,,hh,\n", ["reading_columns!A3: found 't' again; expected each column once "
                                        "(reading_columns!A2 has it)",
                                        "reading_columns!E3: found a form for pH; expected a blank cell"]),
    ],
)  # fmt: skip
def test_what_is_wrong_with_the_map_is_told_with_its_cell(tmp_path, rows, found):
    with pytest.raises(BookFaults) as refused:
        mapped(tmp_path, HEAD + rows)
    assert [str(fault) for fault in refused.value.faults] == found
