"""``raftway readings``: told, drawn, and put into a new book from which pace follows."""

import re

from helpers import write_book

from scheduler.book.book import read_book
from scheduler.cli.main import run
from scheduler.farm.build import build_farm
from scheduler.outputs.screen import WIDTH

MAP = "column,measures,unit,place\nTime,moment,,\nWater,water,F,North trough\npH,pH,,\n"
TEMPERATURES = "place,month,date,water,air\nNorth trough,,2026-03-02,9,11\nNorth trough,3,,12,\n"
CROPS = (
    "crop,card,days_tray,wait_tray,days_board,wait_board,days_raft,harvest_window,plants_per_raft\n"
    "Butterhead,lettuce_butterhead,14,3,14,3,21,7,18\n"
)


def export(folder):
    hours = range(72)
    rows = [f"2026-03-0{2 + hour // 24} {hour % 24:02}:00,50,{7.4 if hour > 47 else 6.2}" for hour in hours]
    path = folder / "log.csv"
    path.write_text("\n".join(["Time,Water,pH", *rows]) + "\n", encoding="utf-8")
    return path


def test_readings_are_told_drawn_and_written_into_a_new_book(tmp_path, capsys):
    book = write_book(tmp_path, reading_columns=MAP, temperatures=TEMPERATURES, crops=CROPS)
    before = {path.name: path.read_bytes() for path in book.iterdir()}
    log, new, svg = export(tmp_path), tmp_path / "new", tmp_path / "water.svg"
    assert run(["readings", str(book), str(log), "--out", str(new), "--svg", str(svg)]) == 0
    told = capsys.readouterr().out
    assert max(len(line) for line in told.splitlines() if not line.startswith("Written")) <= WIDTH
    text = " ".join(told.split())
    assert "water of North trough: 72 values on 3 days" in text
    assert "on 3 days, 2 Mar 2026 00:00 to 4 Mar 2026 23:00; 10 to 10 °C, mean 10 °C" in text
    assert "pH above 7 (Butterhead; card, MEMORY) on 1 day, the first 4 Mar 2026" in text
    assert "water of North trough below 18 °C (Butterhead; card, COMMON PRACTICE) on 3 days" in text
    assert svg.read_text(encoding="utf-8").count("<svg") == 1
    assert {path.name: path.read_bytes() for path in book.iterdir()} == before
    rows = read_book(new).rows("temperatures")
    found = [
        (row.date_or_none("date"), row.number_or_none("water"), row.number_or_none("air")) for row in rows
    ]
    assert [(str(day), water, air) for day, water, air in found] == [
        ("2026-03-02", 10, 11),
        ("None", 12, None),
        ("2026-03-03", 10, None),
        ("2026-03-04", 10, None),
    ]


def test_water_that_was_read_slows_the_farm_of_the_new_book(tmp_path):
    book = write_book(tmp_path, reading_columns=MAP, crops=CROPS)
    new = tmp_path / "new.xlsx"
    assert run(["readings", str(book), str(export(tmp_path)), "--out", str(new)]) == 0
    slow = build_farm(read_book(new)).pace
    # 10 C lies 6 of 14 degrees above 4: three sevenths of the growth at 18
    assert build_farm(read_book(book)).pace.on("North trough", 1) == 1000
    assert 420 <= slow.on("North trough", 1) <= 435


def test_days_of_a_new_book_are_counted_once_for_water_and_air(tmp_path, capsys):
    book = write_book(tmp_path, reading_columns=MAP + "Air,air,C,North trough\n", crops=CROPS)
    log = tmp_path / "log.csv"
    log.write_text("Time,Water,pH,Air\n2026-03-02 08:00,50,6,11\n", encoding="utf-8")
    assert run(["readings", str(book), str(log), "--out", str(tmp_path / "new")]) == 0
    assert capsys.readouterr().out.endswith("temperatures of 1 day\n")


def test_nothing_is_written_over_and_a_book_without_a_map_is_told(tmp_path, capsys):
    book = write_book(tmp_path, reading_columns=MAP, crops=CROPS)
    assert run(["readings", str(book), str(export(tmp_path)), "--out", str(book)]) == 2
    assert run(["readings", str(write_book(tmp_path / "b")), str(export(tmp_path))]) == 1
    assert "reading_columns: found no rows" in capsys.readouterr().err


def test_the_faults_of_all_files_are_told_at_once(tmp_path, capsys):
    book = write_book(tmp_path, reading_columns=MAP, crops=CROPS)
    files = [tmp_path / name for name in ("one.csv", "two.csv")]
    for path in files:
        path.write_text("Time,Light\n2026-03-02 08:00,5\n", encoding="utf-8")
    assert run(["readings", str(book), *map(str, files)]) == 1
    told = capsys.readouterr().err
    assert "one.csv" in told
    assert "two.csv" in told


def test_no_line_is_drawn_over_a_gap_and_a_reading_alone_is_a_dot(tmp_path):
    book = write_book(tmp_path, reading_columns="column,measures,unit\nTime,moment,\nWater,water,C\n")
    moments = [f"2026-03-02 {hour:02}:00" for hour in range(6)]
    drawn = []
    for number, more in enumerate(([], ["2026-03-03 08:00"], ["2026-03-03 08:00", "2026-03-03 09:00"])):
        log, svg = tmp_path / f"{number}.csv", tmp_path / f"{number}.svg"
        rows = [f"{moment},{18 + at % 2}" for at, moment in enumerate([*moments, *more])]
        log.write_text("\n".join(["Time,Water", *rows]) + "\n", encoding="utf-8")
        assert run(["readings", str(book), str(log), "--svg", str(svg)]) == 0
        text = svg.read_text("utf-8")
        (line, *_) = re.findall(r'<path[^>]* d="([^"]*)"[^>]*stroke: #0072b2', text)
        drawn.append((line.count("M"), len(re.findall("<use[^>]*stroke: #0072b2", text))))
    # a dot on the line and one beside its name
    assert drawn == [(1, 0), (2, 2), (2, 0)]


def test_crops_that_bear_the_same_are_told_in_one_line(tmp_path, capsys):
    crops = f"{CROPS}Second,{CROPS.splitlines()[1].split(',', 1)[1]}\n"
    book = write_book(tmp_path, reading_columns=MAP, crops=crops)
    assert run(["readings", str(book), str(export(tmp_path))]) == 0
    text = " ".join(capsys.readouterr().out.split())
    assert "pH above 7 (Butterhead, Second; card, MEMORY) on 1 day" in text
