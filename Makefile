# Set-up and everyday commands: `make` builds the site, `make help` lists the rest.
# Keeps to GNU make 3.81, which macOS ships. Programs run as modules, since a path with spaces breaks their launchers.

PY = .venv/bin/python
INSTALL = $(PY) -m pip install --quiet --disable-pip-version-check --no-input
SIZES = 100 500 2000
NODES = 20000
PINS = $(PY) -m uv pip compile --quiet --universal --python-version 3.11 --no-header --no-annotate --upgrade

# A command starts faster from kept bytecode, whatever the shell says.
export PYTHONDONTWRITEBYTECODE =

# A virtual environment whose Python was removed or replaced is none: make anew all that depends on it.
$(shell [ -x .venv/bin/python ] || rm -rf .venv)

.PHONY: site test lint soak bench pins words clean help

site: .venv/bin/droplight
	@.venv/bin/droplight build

test: lint
	@$(PY) tests/browser/chromium.py
	@$(PY) tests/browser/scripts/node.py
	@$(PY) -m pytest --numprocesses logical --dist worksteal

lint: .venv/test.stamp
	@$(PY) -m ruff check .
	@$(PY) -m ruff format --check .
	@$(PY) -m mypy

soak: .venv/test.stamp
	@DROPLIGHT_EXAMPLES="$${DROPLIGHT_EXAMPLES:-50}" $(PY) -m pytest --numprocesses logical --dist worksteal -m "hypothesis or soak"

bench: .venv/test.stamp
	@$(PY) tests/bench/measure.py $(SIZES)
	@$(PY) -m tests.bench.order $(NODES)
	@$(PY) -m tests.bench.screens

pins: .venv/bin/python
	@$(INSTALL) uv
	@$(PINS) --extra test --output-file .pins/test.txt pyproject.toml >/dev/null
	@$(PINS) --constraint .pins/test.txt --output-file .pins/runtime.txt pyproject.toml >/dev/null

words: .venv/runtime.stamp
	@$(PY) -m builder.publish.pages.collect

clean:
	@find site -mindepth 1 ! -name .gitignore -delete
	@rm -rf build dist *.egg-info .pytest_cache .mypy_cache .ruff_cache .hypothesis
	@find builder tests -name __pycache__ -prune -exec rm -rf {} +

help:
	@echo "make site   build the site from playbooks/ into site/ (the default)"
	@echo "make test   lint and run every test"
	@echo "make lint   check style and types"
	@echo "make soak   property tests, kills and faults with DROPLIGHT_EXAMPLES (50) times as many examples"
	@echo "make bench  speed and memory beside the bare libraries; SIZES='$(SIZES)' NODES='$(NODES)'"
	@echo "make pins   pin the newest versions of all packages in .pins/"
	@echo "make words  bring the catalogues of messages in theme/locale/ up to date"
	@echo "make clean  remove what the other targets made, except .venv"

.venv/bin/python:
	@PYTHON="$(PYTHON)" sh .ci/venv

.venv/runtime.stamp: .pins/runtime.txt .venv/bin/python
	@$(INSTALL) --requirement .pins/runtime.txt
	@touch $@

.venv/bin/droplight: .venv/runtime.stamp .ci/droplight
	@cp .ci/droplight $@

.venv/test.stamp: .pins/test.txt .venv/runtime.stamp
	@$(INSTALL) --requirement .pins/test.txt
	@touch $@
