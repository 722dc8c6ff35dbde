"""Feed one parser with inputs that coverage guides: ``python tests/fuzz/with_atheris.py PARSER RUNS [SEED]``.

Ends with code 0 when nothing but an answer or a refusal came out, and else with the input that broke it.
Needs the extra ``fuzz``.
"""

import sys
import tempfile
from pathlib import Path

import atheris

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests")]

with atheris.instrument_imports(include=["scheduler", "fuzz"]):
    from fuzz.parsers import FUNCTIONS, seeds, words

SECONDS_EACH = 60
"""Of one input; one that takes longer is a fault."""

MEGABYTES = 3000


def _entry(word: bytes) -> str:
    return '"' + "".join(f"\\x{byte:02x}" for byte in word) + '"\n'


def main(name: str, runs: int, seed: int) -> None:
    """Feed a parser so many inputs."""
    folder = Path(tempfile.mkdtemp(prefix="atheris-"))
    corpus, words_file = folder / "corpus", folder / "words"
    corpus.mkdir()
    for number, data in enumerate(seeds(name)):
        (corpus / str(number)).write_bytes(data)
    words_file.write_text("".join(map(_entry, words(name))), encoding="ascii")
    options = [
        f"-runs={runs}",
        f"-seed={seed}",
        "-max_len=2000",
        f"-timeout={SECONDS_EACH}",
        f"-rss_limit_mb={MEGABYTES}",
        f"-dict={words_file}",
        f"-artifact_prefix={folder}/",
        "-print_final_stats=1",
    ]
    atheris.Setup([sys.argv[0], *options, str(corpus)], FUNCTIONS[name])
    atheris.Fuzz()


if __name__ == "__main__":
    main(sys.argv[1], int(sys.argv[2]), int(sys.argv[3]) if len(sys.argv) > 3 else 1)
