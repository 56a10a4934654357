# Bitewright: the one door for people and for continuous integration.
#
# Needs Python 3.11 or newer, git and make; everything else goes into .venv here.
#   make demo    set up, then plan, film and assess in a mouth made for showing
#   make test    set up, then run the default tests
# `make help` lists the rest.

VENV := .venv
BIN := $(VENV)/bin
PY := $(BIN)/python

# The newest tested Python that can make a virtual environment; any newer one if there is none.
PYTHON ?= $(shell for p in python3.13 python3.12 python3.11 python3 python; do \
  $$p -c 'import sys, ensurepip; sys.exit(sys.version_info < (3, 11))' 2>/dev/null \
  && echo $$p && break; done)

# uv where there is one (quicker), pip otherwise or if uv fails.
PIP := $(PY) -m pip --quiet --disable-pip-version-check
UV := $(shell command -v uv 2>/dev/null)
install = $(if $(UV),$(UV) pip install --quiet --python $(PY) $(1) ||) $(PIP) install $(1)

# As the command line has it: its matrices are small, further threads only wait for one another.
export OPENBLAS_NUM_THREADS ?= 1

# What Python has translated is kept: else each process of the tests translates everything anew.
unexport PYTHONDONTWRITEBYTECODE

# Tests run in a process for each core, four at most, for each may take 2 GB. WORKERS=0: in one.
WORKERS ?= auto
PYTEST := $(PY) -m pytest --numprocesses $(WORKERS) --maxprocesses 4 --dist worksteal --durations=10

# What `make test` leaves to `make test-rest`: no test is run by both.
LEFT := slow or realdata or browser

.DEFAULT_GOAL := help
.PHONY: help demo serve sheet setup fmt lint test test-rest mutants docs weights bench lock clean clean-all

help: ## list these commands
	@grep -E '^[a-z-]+:.*## ' $(firstword $(MAKEFILE_LIST)) | sed -E 's/:.*## /	/' | expand -t 12

demo: $(VENV)/ready ## set up, then run the whole loop on demo data into demo-out/
	$(BIN)/bitewright demo --out demo-out $(REAL_FILM)

serve: $(VENV)/ready ## set up, then open the bench and the light box in the browser
	$(BIN)/bitewright serve

sheet: $(VENV)/ready ## set up, then film everything there is on one contact sheet, demo-out/sheet.png
	@mkdir -p demo-out
	$(BIN)/bitewright sheet --out demo-out/sheet.png

# The real film of the shared data, where that folder is there.
SHARED := $(or $(BITEWRIGHT_SHARED),../shared)
REAL_IMAGE := $(wildcard $(SHARED)/real/bitewing_single_mit/bitewing.png)
REAL_FILM := $(if $(REAL_IMAGE),--real-image $(REAL_IMAGE) \
  --real-marks tests/realdata/open-bitewing.marks.json)

setup: $(VENV)/ready-dev ## the environment with all development tools

fmt: $(VENV)/ready-dev ## format the code and mend what can be mended by rule
	$(BIN)/ruff format .
	$(BIN)/ruff check --fix .

lint: $(VENV)/ready-dev ## format, style, types and the import contracts; changes nothing
	$(BIN)/ruff format --check .
	$(BIN)/ruff check .
	$(BIN)/mypy --strict src trials
	$(BIN)/lint-imports

test: $(VENV)/ready-dev ## the default tests, a few minutes
	$(PYTEST) -m "not ($(LEFT))"

test-rest: $(VENV)/ready-dev ## every other test: slow, real data, browser, examples in docstrings
	$(PY) -m pytest --doctest-modules src
	$(PYTEST) -m "$(LEFT)"

mutants: $(VENV)/ready-dev ## plant bugs and see whether the tests catch them; an hour at most
	$(PY) -m trials.mutants $(PACKAGES)

docs: $(VENV)/ready-dev ## write the generated pages: accuracy, commands, glossary, interface, log fields, packages
	$(PY) -m builders.accuracy_page
	$(PY) -m builders.commands_page
	$(PY) -m builders.glossary_terms
	$(PY) -m builders.interface_page
	$(PY) -m builders.log_fields
	$(PY) -m builders.package_map

# Films first (hours on few cores), then the training itself; needs PyTorch, ONNX and OpenCV beside
# the development tools, and a GPU to be done in minutes.
# Some mouths carry crowns of a population of real people where the shared data is there.
FILMS := out/training-films
BITEWRIGHT_SHARED ?= ../shared
REAL_CROWNS := $(if $(wildcard $(BITEWRIGHT_SHARED)/real/crown_population_mit),0.4,0)
weights: $(VENV)/ready-dev ## train the network that proposes marks from nothing: films, then training
	$(PY) -m builders.training_films --out $(FILMS) --mouths 700 --films 32 --processes $(CORES) \
	  --real-crowns $(REAL_CROWNS)
	$(PY) -m builders.train_network --films $(FILMS) --out out/network --seconds 420
	cp out/network/network.onnx src/bitewright/network/weights/marks.onnx

CORES = $(shell $(PY) -c 'import os; print(os.cpu_count())')

bench: $(VENV)/ready-dev ## time what has to be quick; prints figures, judges nothing
	@set -e; for script in benchmarks/[a-z]*.py; do \
	  echo "$$script"; $(PY) -m "benchmarks.$$(basename "$$script" .py)"; done

lock: ## resolve pyproject.toml afresh into the two lock files (needs uv)
	uv pip compile pyproject.toml builders/lock.in --extra web --extra sheets --extra practice --extra propose $(LOCK_FLAGS) -o requirements.lock
	uv pip compile pyproject.toml builders/lock.in --all-extras $(LOCK_FLAGS) -o requirements-dev.lock

LOCK_FLAGS := --quiet --universal --python-version 3.11 --fork-strategy fewest --generate-hashes \
  --no-emit-index-url --no-annotate --custom-compile-command "make lock"

clean: ## remove what was built, drawn or cached here, but not the environment
	rm -rf build dist demo-out .pytest_cache .mypy_cache .ruff_cache .hypothesis .import_linter_cache
	find src tests builders benchmarks -name __pycache__ -type d -prune -exec rm -rf {} +

clean-all: clean ## and the environment
	rm -rf $(VENV) src/*.egg-info

# ------------------------------------------------------------------------------- set-up
# One stamp for running, one more for developing. Each is renewed when what it was made from changes.

$(PY):
	@test -n "$(PYTHON)" || { echo "Bitewright needs Python 3.11 or newer with venv and pip" \
	  "(on Debian and Ubuntu: apt-get install python3 python3-venv), or name one:" \
	  "make demo PYTHON=/path/to/python3" >&2; exit 1; }
	$(PYTHON) -m venv $(VENV)

$(VENV)/ready: pyproject.toml requirements.lock | $(PY)
	@echo "Setting up in $(VENV) (a minute or two, the first time)"
	@$(call install,--require-hashes -r requirements.lock)
	@$(call install,--no-build-isolation --no-deps --editable .)
	@touch $@

$(VENV)/ready-dev: requirements-dev.lock $(VENV)/ready
	@echo "Adding the development tools"
	@$(call install,--require-hashes -r requirements-dev.lock)
	@touch $@
