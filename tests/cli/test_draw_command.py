"""``raftway draw``: one drawing of a plan folder as a file, nothing over what is there, names told."""

import xml.etree.ElementTree as ET

import pytest
from folders import planned

from scheduler.cli.main import run
from scheduler.outputs.everything import Edition, write_plan


@pytest.fixture(scope="module")
def plan(tmp_path_factory):
    folder = tmp_path_factory.mktemp("draw")
    made = planned(folder)
    write_plan(folder / "plan", made.farm, made.plan, made.copy, Edition())
    return str(folder / "plan")


def names(plan, capsys, what):
    """Ask for a name that is not there, and return those that are."""
    day = ["--day", "2026-04-10"] if what in ("trough", "shelf") else []
    assert run(["draw", plan, what, "nothing so", *day, "--out", "never.svg"]) == 2
    said = capsys.readouterr().err
    return [part.strip("'") for part in said.rsplit("there is ", 1)[1].strip().split(", ")]


@pytest.mark.parametrize("what", ["trough", "shelf", "flow", "chart"])
def test_each_kind_is_written_as_svg_and_as_png(plan, tmp_path, capsys, what):
    day = ["--day", "2026-04-10"] if what in ("trough", "shelf") else []
    name = names(plan, capsys, what)[0]
    out = tmp_path / "drawn.svg"
    assert run(["draw", plan, what, name, *day, "--out", str(out)]) == 0
    assert capsys.readouterr().out == f"Written to {out}\n"
    assert ET.parse(out).getroot().get("role") == "img"
    assert run(["draw", plan, what, name, *day, "--out", str(tmp_path / "drawn.PNG")]) == 0
    assert (tmp_path / "drawn.PNG").read_bytes().startswith(b"\x89PNG")


def refused(plan, capsys, *arguments):
    assert run(["draw", plan, *arguments]) == 2
    return capsys.readouterr().err


def test_nothing_is_written_over_what_is_there(plan, tmp_path, capsys):
    out = tmp_path / "kept.svg"
    out.write_text("mine")
    name = names(plan, capsys, "flow")[0]
    assert "there already" in refused(plan, capsys, "flow", name, "--out", str(out))
    assert out.read_text() == "mine"


def test_a_wrong_name_is_told_with_those_there_are_the_most_alike_first(plan, tmp_path, capsys):
    name = names(plan, capsys, "trough")[0]
    said = refused(plan, capsys, "trough", name[:-1], "--day", "2026-04-10", "--out", str(tmp_path / "a.svg"))
    assert f"no trough is called '{name[:-1]}'; there is '{name}'" in said
    assert list(tmp_path.iterdir()) == []


def test_without_a_name_those_there_are_get_told(plan, capsys):
    for what in ("trough", "shelf", "flow", "chart"):
        said = refused(plan, capsys, what)
        assert f"Error: name the {what}: '{names(plan, capsys, what)[0]}'" in said
    assert "such as --out chart.svg" in refused(plan, capsys, "chart", "harvest")


def test_a_day_is_asked_for_where_it_is_needed_refused_elsewhere_and_must_lie_in_the_plan(
    plan, tmp_path, capsys
):
    out = ["--out", str(tmp_path / "a.svg")]
    trough, place = names(plan, capsys, "trough")[0], names(plan, capsys, "flow")[0]
    assert "add --day" in refused(plan, capsys, "trough", trough, *out)
    assert "leave --day out" in refused(plan, capsys, "flow", place, "--day", "2026-04-10", *out)
    said = refused(plan, capsys, "trough", trough, "--day", "2020-01-01", *out)
    assert "2020-01-01 lies outside the plan, 2026-03-02 to " in said


def test_another_kind_of_file_is_refused(plan, capsys):
    said = refused(plan, capsys, "chart", "harvest", "--out", "a.pdf")
    assert "a.pdf: name a file that ends in .svg or .png for the drawing" in said


def test_a_folder_that_is_no_plan_ends_with_code_1(tmp_path, capsys):
    assert run(["draw", str(tmp_path), "chart", "harvest", "--out", str(tmp_path / "a.svg")]) == 1
    assert "a folder that raftway plan wrote" in capsys.readouterr().err
