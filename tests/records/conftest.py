"""For the tests of the records: the small farm, PostgreSQL, and addresses of databases new in each test."""

import os
import pwd
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from itertools import count
from pathlib import Path

import pytest
import sqlalchemy as sa
from programs import needed
from recorded import small

NUMBERS = count(1)


@pytest.fixture(scope="module")
def farm(tmp_path_factory):
    """The small farm, built once for each file."""
    return small(tmp_path_factory.mktemp("farm"))


def _servants() -> dict[str, str]:
    """Return who the server runs as: it refuses to run as root."""
    if os.getuid() != 0:
        return {}
    names = {entry.pw_name for entry in pwd.getpwall()}
    return {"user": "postgres" if "postgres" in names else "nobody"}


@pytest.fixture(scope="session")
def server() -> Iterator[str]:
    """A PostgreSQL server of its own, reached through a socket in its folder only."""
    programs, servants = Path(needed("postgres")), _servants()
    folder = Path(tempfile.mkdtemp(prefix="raftway-pg-"))
    if servants:
        shutil.chown(folder, servants["user"])

    def run(*command: str) -> None:
        subprocess.run(command, cwd=folder, check=True, timeout=60, stdout=subprocess.DEVNULL, **servants)

    data = str(folder / "data")
    control = str(programs / "pg_ctl")
    try:
        run(str(programs / "initdb"), "-D", data, "-A", "trust", "-U", "raftway", "--no-sync", "-E", "UTF8")
        options = f"-k {folder} -c listen_addresses='' -c fsync=off"
        run(control, "-D", data, "-w", "-l", str(folder / "log"), "-o", options, "start")
        yield str(folder)
        run(control, "-D", data, "-m", "immediate", "stop")
    finally:
        shutil.rmtree(folder, ignore_errors=True)


@pytest.fixture
def postgres(request) -> Iterator[str]:
    """Address of an empty database."""
    folder = request.getfixturevalue("server")
    name = f"farm_{next(NUMBERS)}"
    engine = sa.create_engine(
        f"postgresql+psycopg://raftway@/postgres?host={folder}", isolation_level="AUTOCOMMIT"
    )
    with engine.connect() as connection:
        connection.exec_driver_sql(f"CREATE DATABASE {name}")
    yield f"postgresql://raftway@/{name}?host={folder}"
    with engine.connect() as connection:
        connection.exec_driver_sql(f"DROP DATABASE {name} WITH (FORCE)")
    engine.dispose()


@pytest.fixture(params=["file", pytest.param("postgres", marks=pytest.mark.postgres)])
def address(request, tmp_path) -> str:
    """Address of an empty log: a file, then PostgreSQL."""
    if request.param == "file":
        return str(tmp_path / "farm.records.sqlite")
    return request.getfixturevalue("postgres")
