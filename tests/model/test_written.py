"""A model read back as rows is the same by whatever way its bytes came, and where no file takes them."""

import errno
import os
import tempfile

import numpy as np
import pytest
from model.test_optimum import any_farm
from model.test_part import built_of
from ortools.sat.python.cp_model import CpModel

from scheduler.model.solver import exported
from scheduler.model.solver.written import Written, read_model


def as_lists(written):
    told = {name: getattr(written, name) for name in Written.__slots__}
    return {name: each.tolist() if isinstance(each, np.ndarray) else each for name, each in told.items()}


def no_memory(patch):
    def full(_name):
        raise OSError(errno.EMFILE, os.strerror(errno.EMFILE))

    patch.setattr(os, "memfd_create", full, raising=False)


def another_system(patch):
    patch.delattr(os, "memfd_create", raising=False)


def gone(patch):
    patch.setattr(tempfile, "tempdir", "/nowhere/at/all")


def takes_no_byte(patch):
    patch.setattr(CpModel, "export_to_file", lambda _model, _name: False)


@pytest.mark.parametrize(
    "without",
    [(no_memory,), (another_system,), (no_memory, gone), (another_system, gone), (takes_no_byte,)],
    ids=lambda ways: " ".join(way.__name__ for way in ways),
)
def test_a_model_is_the_same_by_memory_by_disk_and_where_neither_takes_it(monkeypatch, without):
    model = built_of(any_farm(601)).model
    before = as_lists(read_model(model))
    assert before["switched"]
    for way in without:
        way(monkeypatch)
    assert as_lists(read_model(model)) == before


def test_a_file_on_the_disk_is_needed_only_where_the_system_has_none_in_memory(monkeypatch, tmp_path):
    model = built_of(any_farm(601)).model
    another_system(monkeypatch)
    monkeypatch.setattr(tempfile, "tempdir", str(tmp_path))
    contents = exported.exported(model)
    assert contents
    gone(monkeypatch)
    assert exported.exported(model) is None
    monkeypatch.undo()
    assert exported.exported(model) == contents
    assert list(tmp_path.iterdir()) == []


@pytest.mark.parametrize("way", [lambda _patch: None, takes_no_byte])
def test_a_constraint_of_another_kind_is_refused(monkeypatch, way):
    model = CpModel()
    model.add_all_different(model.new_int_var(0, 3, "a"), model.new_int_var(0, 3, "b"))
    way(monkeypatch)
    with pytest.raises(ValueError, match="neither linear nor an implication"):
        read_model(model)
