# make demo: set everything up and run the main job on the demo costume.   make test: set everything up and pass all tests.
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
PIP := $(BIN)/python -m pip install --disable-pip-version-check --quiet

.PHONY: demo test check lint types pins bench clean

demo: $(VENV)/.ready
	$(BIN)/firsthand demo demo-workroom

test: $(VENV)/.ready-for-tests
	$(BIN)/python -m pytest -n 2

check: lint types test

lint: $(VENV)/.ready-for-tests
	$(BIN)/ruff check . && $(BIN)/ruff format --check .

types: $(VENV)/.ready-for-tests
	$(BIN)/mypy

bench: $(VENV)/.ready-for-tests
	$(BIN)/python -m benchmarks

# The pinned files hold hashes and no addresses; pip-tools is needed only to make them anew.
pins: $(VENV)/.ready
	$(PIP) pip-tools
	for part in requirements requirements-test; do $(BIN)/pip-compile --quiet --upgrade --generate-hashes --no-header \
	  --no-emit-index-url --no-emit-find-links --no-emit-trusted-host --strip-extras --allow-unsafe \
	  --output-file $$part.txt $$part.in; done

$(VENV)/.ready: requirements.txt pyproject.toml
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11))' || \
	  { echo "firsthand needs Python 3.11 or newer; say which with: make PYTHON=python3.12"; exit 1; }
	$(PYTHON) -m venv $(VENV)
	$(PIP) --require-hashes --requirement requirements.txt
	$(PIP) --no-deps --no-build-isolation --editable .
	@touch $@

$(VENV)/.ready-for-tests: $(VENV)/.ready requirements-test.txt
	$(PIP) --require-hashes --requirement requirements-test.txt
	@touch $@

clean:
	rm -rf $(VENV) demo-workroom .pytest_cache .mypy_cache .ruff_cache .hypothesis dist build
