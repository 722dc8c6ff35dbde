"""A small book in which every name is hostile, and a run of every command on it, watched from outside."""

import csv
import hashlib
import io
import json
import os
import subprocess
import sys
from dataclasses import dataclass
from pathlib import Path
from time import monotonic, sleep

from helpers import settings_csv

ROOT = Path(__file__).resolve().parents[1]
HERE = ROOT / "tests" / "hostile"

MARK = "EVIL"
"""Stands in whatever would do harm as markup, so that it can be looked for."""

NAMES = {
    "farm": f"../../<script>{MARK}(1)</script>&'\"",
    "crop": f"=1+1|<b onmouseover={MARK}>",
    "crop2": f"@SUM(A1)</style><style>*{{background:url(//{MARK})}}",
    "variety": f"{{{{ {MARK} }}}}{{% {MARK} %}}\u202egnp.exe",
    "product": f"-1+1\\nBEGIN:VEVENT\\n;,{MARK}:1",
    "product2": f"+1]]>&#60;{MARK}&#62;",
    "trough": f"'\"><svg onload={MARK}()>",
    "shelf": f"--><!-- {MARK} /etc/passwd",
    "customer": f"</td></table><img src=x onerror={MARK}()>",
    "customer2": "con",
    "customer3": "..\\..\\nul/../../aux.\u2066",
    "order": f'\uff1dHYPERLINK("//{MARK}","x")',
    "order2": f"{MARK} " + "W" * 900,
    "scenario": f"=2+2\u202e</style><script>{MARK}",
    "words": f"=3+3\u202e</td><script>{MARK}</script>",
    "note": f"=3+3\u001b[31m\u202e\r\nBEGIN:VEVENT\r\nUID:{MARK}\r\nEND:VEVENT\r\n<script>{MARK}\x85",
}


CROP_FIGURES = ("days_raft", "harvest_window", "germination_percent") + tuple(
    f"survival_{stage}_percent" for stage in ("tray", "board", "raft")
)


def csv_table(*rows: tuple[object, ...]) -> str:
    """Return rows as they stand in a file, unguarded as an attacker would write them."""
    text = io.StringIO()
    csv.writer(text, lineterminator="\n").writerows(rows)
    return text.getvalue()


def tables() -> dict[str, str]:
    """Return the tables of the book by name."""
    n = NAMES
    return {
        "settings": settings_csv(farm=n["farm"].replace('"', '""'), currency="=1"),
        "shelves": csv_table(("shelf", "tiers", "trays_per_tier"), (n["shelf"], 2, 4)),
        "troughs": csv_table(
            ("trough", "width", "length", "raft_width", "raft_length", "lie"),
            (n["trough"], 4, 24, 2, 4, "along"),
        ),
        "board_zones": csv_table(("trough", "slots_per_row"), (n["trough"], 2)),
        "equipment": csv_table(
            ("name", "item", "holes", "rows", "owned", "wash_days", "(my remarks)"),
            (f"=tray {MARK}", "tray", 98, 14, 40, 1, n["note"]),
            (f"@board {MARK}", "board", 72, "", 20, 1, ""),
            (f"-raft {MARK}", "raft", 36, "", 40, 1, ""),
        ),
        "crops": csv_table(
            (
                *("crop", "code", "variety", "days_tray", "wait_tray", "days_board", "wait_board"),
                *CROP_FIGURES,
            ),
            (n["crop"], "AAA", n["variety"], 14, 3, 14, 3, 21, 7, 95, 90, 97, 97),
            (n["crop2"], "BBB", n["variety"], 14, 3, 14, 3, 21, 7, 95, 90, 97, 97),
        ),
        "products": csv_table(("product", "crop"), (n["product"], n["crop"]), (n["product2"], n["crop2"])),
        "orders": csv_table(
            ("order", "customer", "product", "amount", "weekdays", "from", "to"),
            (n["order"], n["customer"], n["product"], 12, "Fri", "2026-04-24", "2026-04-24"),
            (n["order2"], n["customer2"], n["product2"], 6, "Fri", "2026-04-24", "2026-04-24"),
            ("late", n["customer3"], n["product"], 6, "Fri", "2026-03-06", "2026-03-06"),
        ),
        "reading_columns": csv_table(
            ("column", "measures", "unit", "place"),
            ("Time", "moment", "", ""),
            (f"=Water {MARK}", "water", "C", n["trough"]),
        ),
    }


def log_file() -> str:
    """Return an export of readings."""
    rows = [(f"2026-03-{2 + hour // 24:02} {hour % 24:02}:00", 18) for hour in range(0, 72, 6)]
    return csv_table(("Time", f"=Water {MARK}"), *rows, ("x\u001b[2J", f"<script>{MARK}"))


@dataclass(frozen=True)
class Ran:
    """What a run of every command came to.

    Attributes:
        folder: the sandbox; ``work/out`` is where the commands were to write.
        said: call -> code, out, err.
        tried: tries to reach the network, one a line.
        changed: files outside ``work/out`` that are new, gone or other than before.
    """

    folder: Path
    said: dict[str, dict[str, str | int]]
    tried: str
    changed: list[str]

    @property
    def files(self) -> list[Path]:
        """Every file that was written."""
        return sorted(path for path in (self.folder / "work" / "out").rglob("*") if path.is_file())


def ran(base: Path) -> Ran:
    """Return what a run came to; of several workers of one test session only the first runs it."""
    folder = base / "hostile"
    try:
        folder.mkdir()
    except FileExistsError:
        began = monotonic()
        while not (folder / "ran.json").exists() and monotonic() - began < 900:
            sleep(0.2)
    else:
        _run(folder)
    told = json.loads((folder / "ran.json").read_text(encoding="utf-8"))
    said = json.loads((folder / "said.json").read_text(encoding="utf-8"))
    return Ran(folder=folder, said=said, tried=told["tried"], changed=told["changed"])


def _run(folder: Path) -> None:
    book = folder / "work" / "book"
    for made in (book, folder / "work" / "out", folder / "home", folder / "tmp"):
        made.mkdir(parents=True)
    for name, text in tables().items():
        (book / f"{name}.csv").write_text(text, encoding="utf-8")
    scenario = f'name = {json.dumps(NAMES["scenario"])}\n[[change]]\ndo = "add trough"\ntrough = "=new"\n'
    (folder / "work" / "east.toml").write_text(scenario, encoding="utf-8")
    (folder / "work" / "log.csv").write_text(log_file(), encoding="utf-8")
    (folder / "names.json").write_text(json.dumps(NAMES), encoding="utf-8")
    before = _snapshot(folder)
    environment = {
        **{
            name: value
            for name, value in os.environ.items()
            if not name.startswith(("RAFTWAY", "XDG", "MPL"))
        },
        "HOME": str(folder / "home"),
        "TMPDIR": str(folder / "tmp"),
        "PYTHONPATH": os.pathsep.join([str(HERE / "no_network"), str(ROOT)]),
        "PYTHONDONTWRITEBYTECODE": "1",
        "RAFTWAY_TRIED": str(folder / "tried.txt"),
    }
    program = [sys.executable, str(HERE / "every_command.py"), str(folder)]
    done = subprocess.run(program, env=environment, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    after = _snapshot(folder)
    changed = sorted(name for name in {*before, *after} if before.get(name) != after.get(name))
    tried = folder / "tried.txt"
    told = {"tried": tried.read_text() if tried.exists() else "", "changed": changed}
    (folder / "ran.part").write_text(json.dumps(told), encoding="utf-8")
    (folder / "ran.part").rename(folder / "ran.json")


def _snapshot(folder: Path) -> dict[str, str]:
    """Return what stands in the sandbox, but for the folder of outputs and what the run itself tells."""
    found = {}
    for path in folder.rglob("*"):
        name = path.relative_to(folder).as_posix()
        if name.startswith("work/out") or name in ("said.json", "tried.txt"):
            continue
        found[name] = hashlib.sha256(path.read_bytes()).hexdigest() if path.is_file() else "folder"
    return found
