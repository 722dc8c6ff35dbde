# make demo      plan the first example and print its summary
# make test      every check that needs Python alone: lint, format, types, layers, tests
# make test-all  the same with a browser, an office and a calendar library, which it installs (as root, by
#                apt-get); no test may be skipped
# make bench     plan invented farms of stated load in several ways and print what is reached (takes minutes;
#                BENCH=--examples plans the examples, BENCH=--help tells the rest)
# make soak      the long tests (hours); RAFTWAY_BOOKS and RAFTWAY_RUNS make them shorter
# make lock      pin every dependency again (needs uv), and list their licences

DEMO ?= examples/alder-quay/book
OUT ?= out/demo
SECONDS ?= 45
RUN := .venv/bin
# what Python has compiled is kept whatever the environment says: tests start many programs
KEEPING := PYTHONDONTWRITEBYTECODE=
LOCK := uv pip compile pyproject.toml --extra test --extra postgres --extra sweep --extra build --extra fuzz --universal --python-version 3.11 \
	--generate-hashes --no-emit-index-url --no-annotate --no-header --upgrade -o requirements.lock

.PHONY: demo test test-all bench soak lock setup clean
.DEFAULT_GOAL := demo

demo: setup
	@mkdir -p $(dir $(OUT))
	$(RUN)/raftway plan $(DEMO) --out $(OUT) --seconds $(SECONDS) || test $$? -eq 3

test: setup
	$(RUN)/ruff check .
	$(RUN)/ruff format --check .
	$(KEEPING) $(RUN)/pytest -n 2 --dist loadfile --no-loadscope-reorder -m "not soak"

test-all:
	@.ci/programs
	RAFTWAY_NO_SKIP=1 $(MAKE) --no-print-directory test

bench: setup
	$(RUN)/python tests/bench/bench.py $(BENCH)

soak: setup
	$(KEEPING) $(RUN)/pytest -n 2 -m soak

lock:
	@command -v uv >/dev/null || { echo "make lock needs uv: install it with pip install uv" >&2; exit 1; }
	$(LOCK) --quiet
	$(MAKE) --no-print-directory setup
	$(RUN)/python tests/docs/licences.py

setup:
	@.ci/setup

clean:
	rm -rf .venv out build dist .mypy_cache .ruff_cache .import_linter_cache .hypothesis
