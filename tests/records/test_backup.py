"""Backups: whole, checked, and put back without losing what stood there before."""

import sqlite3
from contextlib import closing

import pytest
from recorded import LAST, cut, grown, sown, told

from scheduler.records.backup import back_up, checked, restore
from scheduler.records.complaints import RecordsFailed
from scheduler.records.recording import judge
from scheduler.records.store import Stamp, opened

FARM = "Alder Quay Greens"
AT = "2026-03-02T07:00:00Z"


def append(records, farm, *entries):
    records.append(FARM, lambda log: judge(farm, log, list(entries), LAST), Stamp(written=AT, source="test"))


@pytest.fixture
def records(address, farm):
    records = opened(address, AT)
    append(records, farm, *grown(), cut(), told("withdrawn", 50, corrects="4"))
    yield records
    records.close()


def read(path):
    copy = opened(str(path), AT, make=False)
    log = copy.read()
    copy.close()
    return log


def test_a_backup_is_one_file_with_every_entry(records, tmp_path):
    path = tmp_path / "b.sqlite"
    assert back_up(records, path, AT) == 5
    assert read(path) == records.read()
    assert [each.name for each in tmp_path.glob("*b.sqlite*")] == ["b.sqlite"]


def test_a_backup_is_made_while_others_write(records, tmp_path):
    with records.engine.begin() as connection:
        connection.exec_driver_sql("INSERT INTO writings VALUES (9, 'x', 'x')")
        if records.is_file:
            assert back_up(records, tmp_path / "b.sqlite", AT) == 5


def test_a_disk_without_hard_links_takes_a_backup(records, tmp_path, monkeypatch):
    def no_links(*_):
        raise PermissionError(1, "Operation not permitted")

    monkeypatch.setattr("os.link", no_links)
    assert back_up(records, tmp_path / "b.sqlite", AT) == 5
    assert read(tmp_path / "b.sqlite") == records.read()


def test_a_backup_leaves_no_files_of_the_database_beside_the_log(farm, tmp_path):
    records = opened(str(tmp_path / "r.sqlite"), AT)
    append(records, farm, *grown())
    back_up(records, tmp_path / "b.sqlite", AT)
    records.close()
    assert sorted(each.name for each in tmp_path.iterdir()) == ["b.sqlite", "r.sqlite"]


def test_nothing_is_written_over_by_a_backup(records, tmp_path):
    path = tmp_path / "b.sqlite"
    path.write_text("mine")
    with pytest.raises(RecordsFailed, match="nothing is written over it"):
        back_up(records, path, AT)
    assert path.read_text() == "mine"
    with pytest.raises(RecordsFailed, match="is not a folder"):
        back_up(records, tmp_path / "none" / "b.sqlite", AT)


def test_what_stood_there_is_kept_when_a_backup_comes_back(tmp_path, farm):
    records = opened(str(tmp_path / "a.sqlite"), AT)
    append(records, farm, sown(op="a"))
    back_up(records, tmp_path / "b.sqlite", AT)
    append(records, farm, sown(op="b"))
    done = restore(records, tmp_path / "b.sqlite", FARM)
    assert done.entries == 1
    assert [each.entry.op for each in records.read()] == ["a"]
    assert [each.entry.op for each in read(done.before)] == ["a", "b"]
    # as one leaves it that was killed once the copy had its name; no process has such a number
    left = tmp_path / f".a.sqlite.before-restore-1.new-{2**30}"
    left.mkdir()
    again = restore(records, tmp_path / "b.sqlite", FARM)
    assert again.before == tmp_path / "a.sqlite.before-restore-2"
    assert not left.exists()
    append(records, farm, sown(op="c"))
    with pytest.raises(Exception, match="never changed"), records.engine.begin() as connection:
        connection.exec_driver_sql("DELETE FROM entries")
    records.close()


def test_a_backup_goes_into_an_empty_database_of_either_kind(records, tmp_path, request, address):
    path = tmp_path / "b.sqlite"
    back_up(records, path, AT)
    before = records.read()
    empty = opened(str(tmp_path / "empty.sqlite"), AT)
    assert restore(empty, path, FARM).before is None
    assert empty.read() == before
    empty.close()


@pytest.mark.postgres
def test_a_file_moves_to_postgresql_and_is_written_on_there(postgres, tmp_path, farm):
    records = opened(str(tmp_path / "a.sqlite"), AT)
    append(records, farm, *grown())
    back_up(records, tmp_path / "b.sqlite", AT)
    server = opened(postgres, AT)
    restore(server, tmp_path / "b.sqlite", FARM)
    assert server.read() == records.read()
    append(server, farm, cut())
    assert server.read()[-1].number == 4
    with pytest.raises(RecordsFailed, match="restore into an empty database"):
        restore(server, tmp_path / "b.sqlite", FARM)
    assert len(server.read()) == 4
    server.close()
    records.close()


def test_an_empty_file_is_no_backup(tmp_path, farm):
    records = opened(str(tmp_path / "a.sqlite"), AT)
    append(records, farm, sown())
    (tmp_path / "b.sqlite").touch()
    with pytest.raises(RecordsFailed, match=r"b\.sqlite.* is empty; take another backup"):
        restore(records, tmp_path / "b.sqlite", FARM)
    assert len(records.read()) == 1
    assert (tmp_path / "b.sqlite").stat().st_size == 0
    records.close()


def damage(path, statement):
    with closing(sqlite3.connect(path)) as plain:
        for (name,) in plain.execute("SELECT name FROM sqlite_master WHERE type = 'trigger'").fetchall():
            plain.execute(f"DROP TRIGGER {name}")
        plain.execute(statement)
        plain.commit()


def test_a_damaged_backup_is_refused_and_nothing_changes(tmp_path, farm):
    records = opened(str(tmp_path / "a.sqlite"), AT)
    append(records, farm, *grown())
    path = tmp_path / "b.sqlite"
    for number, statement in enumerate(
        ("UPDATE entries SET writing = 99", "UPDATE entries SET plants = 99 WHERE number = 3")
    ):
        path = tmp_path / f"b{number}.sqlite"
        back_up(records, path, AT)
        damage(path, statement)
        with pytest.raises(RecordsFailed, match="is damaged"):
            restore(records, path, FARM)
    cut_short = tmp_path / "c.sqlite"
    back_up(records, cut_short, AT)
    cut_short.write_bytes(cut_short.read_bytes()[:9000])
    with pytest.raises(RecordsFailed):
        checked(cut_short)
    assert len(records.read()) == 3
    records.close()


def test_only_records_of_the_same_farm_come_back(tmp_path, farm):
    records = opened(str(tmp_path / "a.sqlite"), AT)
    append(records, farm, sown())
    back_up(records, tmp_path / "b.sqlite", AT)
    with pytest.raises(RecordsFailed, match="and the book is of 'Other'"):
        restore(records, tmp_path / "b.sqlite", "Other")
    with pytest.raises(RecordsFailed, match="is not there"):
        restore(records, tmp_path / "none.sqlite", FARM)
    (tmp_path / "text").write_text("text " * 500)
    with pytest.raises(RecordsFailed):
        restore(records, tmp_path / "text", FARM)
    assert len(records.read()) == 1
    records.close()
