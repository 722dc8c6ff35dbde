"""DEPENDENCIES.md lists every package of the lock, in its version, with the licence the package states."""

import re
import sys
from importlib.metadata import PackageNotFoundError, distribution
from importlib.util import module_from_spec, spec_from_file_location
from pathlib import Path

import pytest

HERE = Path(__file__).resolve().parent


@pytest.fixture(scope="module")
def licences():
    spec = spec_from_file_location("licences", HERE / "licences.py")
    module = module_from_spec(spec)
    sys.modules["licences"] = module
    spec.loader.exec_module(module)
    return module


@pytest.fixture(scope="module")
def listed(licences):
    rows = re.findall(
        r"^\| ([a-z0-9.-]+) \| (\S.*?) \| (.+?) \| (.+?) \|$", licences.PAGE.read_text(), re.MULTILINE
    )
    return {
        name: (versions, licence, needed)
        for name, versions, licence, needed in rows
        if name[0].isalnum() and name != "package"
    }


def test_the_packages_and_versions_are_those_of_the_lock(licences, listed):
    assert {name: row[0] for name, row in listed.items()} == {
        name: ", ".join(versions) for name, versions in licences.locked().items()
    }
    assert len(listed) > 50


def test_the_licences_are_those_the_packages_state(licences, listed):
    told = {}
    for name in listed:
        try:
            package = distribution(name)
        except PackageNotFoundError:
            assert name in licences.ELSEWHERE or not licences.belongs_here(name)
            continue
        # of two versions the page has what the one for older versions of Python states
        if package.version == licences.locked()[name][0]:
            told[name] = licences.licence_of(package)
    assert {name: listed[name][1] for name in told} == told
    assert len(told) > 50


def test_packages_for_other_versions_of_python_are_told_by_the_lock(licences):
    assert licences.belongs_here("ortools")
    assert not licences.belongs_here("no-such-package")
    older = sys.version_info < (3, 12)
    assert licences.belongs_here("importlib-metadata") is older


def test_what_raftway_runs_with_is_told_apart_from_what_tests_it(listed):
    assert listed["ortools"][2] == listed["protobuf"][2] == "to run"
    assert listed["pytest"][2] == "test"


def test_no_package_is_without_a_licence(listed):
    assert [name for name, row in listed.items() if "not known" in row[1] or "there is none" in row[1]] == []


def test_no_licence_forbids_any_use(listed):
    forbids = re.compile(r"\bnc\b|non-?commercial|proprietary|no.?derivatives", re.IGNORECASE)
    assert forbids.search("cc_by_nc; BSD License".replace("_", " "))
    assert [name for name, row in listed.items() if forbids.search(row[1].replace("_", " "))] == []
