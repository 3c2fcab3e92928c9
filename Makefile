# `make demo` sets up everything and runs the whole job once; `make check` sets up everything and passes the tests.
# Needed beforehand: Python 3.11 or newer with its venv module, make, git. On Debian:
#   apt-get install -y --no-install-recommends python3 python3-venv make git

PYTHON ?= python3
WORKERS ?= 2
OUT ?= build/demo

BIN := .venv/bin
UV := $(BIN)/uv
READY := .venv/.ready
PIN := $(UV) pip compile --quiet --universal --generate-hashes --no-header --no-annotate

.DEFAULT_GOAL := help
.PHONY: help setup demo check lint types layers docs docs-check test slow bench site requirements clean

help:  ## list the targets
	@sed -nE 's/^([a-z-]+):[^#]*## (.*)/  make \1\t\2/p' Makefile | expand -t 24

setup: $(READY)  ## make .venv with every pinned tool and the package itself

$(READY): pyproject.toml requirements/uv.txt requirements/build.txt requirements/dev.txt
	@$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11))' \
	  || { echo "Python 3.11 or newer is needed; name one with PYTHON=..., as in: make setup PYTHON=python3.13"; exit 2; }
	test -x $(BIN)/python || $(PYTHON) -m venv .venv
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --require-hashes -r requirements/uv.txt
	$(UV) pip install --quiet --python $(BIN)/python --require-hashes -r requirements/dev.txt
	$(UV) pip install --quiet --python $(BIN)/python --no-deps --build-constraints requirements/build.txt --editable .
	@touch $@

demo: $(READY)  ## run the whole chain on the invented plants; OUT=folder says where
	$(BIN)/brinewright demo --out $(OUT) --force

check: lint types layers docs-check test  ## everything that must pass before a change is shared

lint: $(READY)  ## style and formatting
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .

types: $(READY)  ## static types
	$(BIN)/mypy

layers: $(READY)  ## imports point down only
	$(BIN)/lint-imports

docs: $(READY)  ## write the reference pages from the code
	$(BIN)/python -m tools.make_docs

docs-check: $(READY)  ## fail if the reference pages differ from the code
	$(BIN)/python -m tools.make_docs --check

test: $(READY)  ## the first suite, in parallel
	$(BIN)/pytest -n $(WORKERS)

slow: $(READY)  ## the second suite: long runs, whole days, wide sweeps
	$(BIN)/pytest -n $(WORKERS) -m slow

bench: $(READY)  ## time the engine against its baseline, both in turns
	$(BIN)/python -m benchmarks.run

site: docs  ## build the documentation as pages in site/
	NO_MKDOCS_2_WARNING=1 $(BIN)/mkdocs build --strict --quiet

requirements: $(READY)  ## pin every dependency anew, with hashes
	$(PIN) --python-version 3.11 requirements/uv.in -o requirements/uv.txt
	$(PIN) --python-version 3.11 requirements/build.in -o requirements/build.txt
	$(PIN) --all-extras --group dev pyproject.toml -o requirements/dev.txt
	! grep -rnE 'https?://' requirements

clean:  ## remove what the targets above made, the environment included
	rm -rf .venv build dist site
