"""LibreOffice opens the workbook, keeps its values, and shows the words that stand beside the colours."""

import csv
from dataclasses import replace
from datetime import date, datetime

import pytest
from farms import EVER
from office import office_to
from openpyxl import load_workbook
from samples import demand, small_farm, small_plan, task

from scheduler.farm.places import Place, PlaceKind, Steps
from scheduler.outputs.workbook import plan_workbook
from scheduler.plan.rows import UseRow

pytestmark = pytest.mark.office


@pytest.fixture(scope="module")
def written(tmp_path_factory):
    places = (Place(name="Row", belongs_to="Trough", kind=PlaceKind.LANE, slots=Steps(((EVER, 9), (7, 0)))),)
    farm = replace(small_farm(name="=1+1 & Söhne"), places=places)
    plan = small_plan(
        demands=(demand("a", 1, state="short", filled=20, customer="@SUM(A1)"),),
        tasks=(task("k", 0, "sow", note="=1+1", lot="-x", crop="_x0041_"),),
        positions=(),
        use=(
            UseRow(place="Row", day=0, used=9, slots=9),
            UseRow(place="Row", day=7, used=0, slots=0),
            UseRow(place="Row", day=14, used=8, slots=9),
        ),
    )
    path = tmp_path_factory.mktemp("office") / "plan.xlsx"
    path.write_bytes(plan_workbook(farm, plan))
    return path


def values(path):
    def plain(value):
        if isinstance(value, (datetime, date)):
            return value.isoformat()[:10]
        return round(value, 9) if isinstance(value, float) else value

    return {
        sheet.title: {
            cell.coordinate: plain(cell.value)
            for row in sheet.iter_rows()
            for cell in row
            if cell.value not in (None, "")
        }
        for sheet in load_workbook(path)
    }


def test_every_value_is_the_same_after_it_was_saved_there(written):
    (saved,) = office_to(written, "xlsx")
    ours, theirs = values(written), values(saved)
    # what is spelt out for the format is read as it was written
    assert ours["tasks"].pop("D2") == "_x005F_x0041_"
    assert theirs["tasks"].pop("D2") in {"_x0041_", "_x005F_x0041_"}
    assert theirs == ours


def test_it_shows_the_words_beside_the_colours_and_no_formula(written):
    shown = {path.stem.removeprefix("plan-"): path for path in office_to(written, "csv")}
    rows = {
        name: list(csv.reader(path.read_text(encoding="utf-8").splitlines())) for name, path in shown.items()
    }
    assert rows["places"][1][5:9] == ["9 full", "closed", "8", ""]
    heading, first, *_ = rows["weeks"]
    week = dict(zip(heading, first, strict=True))
    assert (week["week from"], week["short (units)"], week["rows in use"]) == (
        "Mon 2 Mar 2026",
        "4 short",
        "full",
    )
    assert dict(zip(*rows["tasks"][:2], strict=True))["note"] == "=1+1"
    assert rows["summary"][0][0] == "=1+1 & Söhne"


def test_it_prints(written):
    (printed,) = office_to(written, "pdf")
    assert printed.read_bytes().startswith(b"%PDF")
