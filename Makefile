# Two commands: `make run` does the main job on the demo study, `make test` passes all tests.
# Both set everything up first. Needs Python 3.11 with venv, and make.
PYTHON ?= $(shell command -v python3.11 || command -v python3)
VENV := .venv
BIN := $(VENV)/bin
OUT ?= out
export LIDOFF_DATA ?= lidoff-data

.PHONY: run report test check setup lock bench mutate fuzz docs clean

run: report
	@echo
	@echo "The client report and the live workbook are in $(OUT)/"

report: setup
	@$(BIN)/lidoff demo
	@$(BIN)/lidoff check demo
	@$(BIN)/lidoff compare demo --like-for-like
	@$(BIN)/lidoff report demo --out $(OUT) --format html,pdf,xlsx

test: check
	$(BIN)/python -m pytest -n 2

check: setup
	$(BIN)/ruff check src tests benchmarks examples tools
	$(BIN)/ruff format --check src tests benchmarks examples tools
	$(BIN)/mypy
	$(BIN)/lint-imports

setup: $(VENV)/ready

# uv installs in seconds; plain pip does the same where uv cannot be had.
$(VENV)/ready: requirements.lock pyproject.toml
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11))' || { echo "Lidoff needs Python 3.11 or newer."; exit 2; }
	@$(PYTHON) -m venv $(VENV) || { echo "Python's venv is missing; on Debian: apt-get install python3-venv"; exit 2; }
	@$(BIN)/python -m pip install --quiet --disable-pip-version-check uv 2>/dev/null || true
	@if [ -x $(BIN)/uv ]; then \
	    $(BIN)/uv pip install --quiet --python $(BIN)/python --require-hashes -r requirements.lock; \
	else \
	    $(BIN)/python -m pip install --quiet --disable-pip-version-check --require-hashes -r requirements.lock; \
	fi
	@$(BIN)/python -m pip install --quiet --disable-pip-version-check --no-deps --no-build-isolation -e .
	@touch $@

lock: setup
	$(BIN)/uv pip compile pyproject.toml --group dev --generate-hashes --no-emit-index-url --no-annotate --no-header --python-version 3.11 --quiet -o requirements.lock

# Outside `make test`, which runs a short version of both.
mutate: setup
	$(BIN)/python tools/mutate_books.py

fuzz: setup
	$(BIN)/python tools/fuzz.py

docs: setup
	$(BIN)/python tools/make_docs.py

bench: setup
	@for script in benchmarks/*.py; do echo "== $$script"; $(BIN)/python $$script; done

clean:
	rm -rf $(VENV) $(OUT) lidoff-data .mypy_cache .ruff_cache .pytest_cache .hypothesis .import_linter_cache
