"""The library that draws charts, loaded so that it leaves nothing in the folders of who runs it.

Left alone, matplotlib makes a folder for settings and one for its list of all fonts of the system in the
home folder. Charts use a font that comes with it, so a list of that one is enough, and takes no looking.
"""

import json
import os
import sys
from importlib import import_module
from pathlib import Path
from tempfile import TemporaryDirectory

MANAGER = "matplotlib.font_manager"
SETTING = "MPLCONFIGDIR"
KNOWN = "3.11.0"
"""Form of the list of fonts; a matplotlib of another form lists all fonts of the system, and forgets them."""


def load_charts() -> None:
    """Load matplotlib, the first time, with settings and list of fonts in a folder that goes again."""
    if MANAGER in sys.modules:
        return
    before = os.environ.get(SETTING)
    with TemporaryDirectory(prefix="raftway-") as folder:
        os.environ[SETTING] = folder
        try:
            _list_fonts(Path(folder))
            import_module(MANAGER)
        finally:
            if before is None:
                del os.environ[SETTING]
            else:
                os.environ[SETTING] = before


def _list_fonts(folder: Path) -> None:
    weights = {"DejaVuSans.ttf": 400, "DejaVuSans-Bold.ttf": 700}
    fonts = [
        {
            "fname": f"fonts/ttf/{name}",
            "index": 0,
            "name": "DejaVu Sans",
            **dict.fromkeys(("style", "variant", "stretch"), "normal"),
            "weight": weight,
            "size": "scalable",
            "__class__": "FontEntry",
        }
        for name, weight in weights.items()
    ]
    told = {
        "_version": KNOWN,
        "_FontManager__default_weight": "normal",
        "default_size": None,
        "defaultFamily": {"ttf": "DejaVu Sans", "afm": "Helvetica"},
        "afmlist": [],
        "ttflist": fonts,
        "__class__": "FontManager",
    }
    (folder / f"fontlist-v{KNOWN}.json").write_text(json.dumps(told), encoding="utf-8")
