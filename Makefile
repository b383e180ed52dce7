# The commands of the house. Each makes .venv and installs what it needs, once.
#   make demo    read a dictated note and show what comes out   (NOTE=path for another)
#   make test    the tests
#   make lint    ruff and mypy
#   make score   read corpus/dev and compare with its gold records
#   make bench   measure speed, memory and growth; renews docs/benchmarks.md (3 minutes)
#   make fuzz    look for inputs that break a law, SECONDS=1200 for the readers and as many for
#                the whole reading; what it finds is in findings/
#   make soak    the long forms: 20,000 notes in one process, hundreds of kills, hanging workers
#   make scale   measure what docs/scale.md reckons with, and renew it
#   make train   train the learned parts anew   (DATA=folder with risec/)
#   make readme  print the README's example and the outputs in docs/ anew
#   make docs    build the documentation as a site, build/site/index.html
#   make wheel   build the wheel and the source archive into dist/
#   make audit   look the locked versions up in the list of known weaknesses (needs the network)
#   make lock    renew requirements.lock from what pyproject.toml asks for, and docs/licences.md

SHELL := /bin/bash
.SHELLFLAGS := -euo pipefail -c
.DEFAULT_GOAL := demo

# The first Python of 3.11 or newer that can make a virtual environment.
PROBE = import sys, venv, ensurepip; sys.exit(sys.version_info < (3, 11))
PYTHON ?= $(shell for p in python3.11 python3.12 python3.13 python3.14 python3 python; do \
	if $$p -c '$(PROBE)' >/dev/null 2>&1; then echo $$p; break; fi; done)

BIN := .venv/bin
INSTALLED := .venv/installed
JOBS ?= 2
DATA ?= ../shared/data
SECONDS ?= 1200
SOAK ?= 20000
NOTE ?= corpus/demo/regatta-porridge.txt
PIP := --quiet --disable-pip-version-check

.PHONY: demo test lint score bench fuzz soak scale train readme docs wheel audit lock clean

demo: $(INSTALLED)
	@echo "Reading $(NOTE)"; echo
	@$(BIN)/hobnote read $(NOTE)

test: $(INSTALLED)
	$(BIN)/python -m pytest -n $(JOBS) --dist loadfile

lint: $(INSTALLED)
	$(BIN)/ruff check .
	$(BIN)/mypy

score: $(INSTALLED)
	$(BIN)/hobnote score corpus/dev --no-misses

bench: $(INSTALLED)
	$(BIN)/python -W ignore scripts/bench.py --write --data $(DATA)
	$(BIN)/python scripts/bench_planner.py --count 10

fuzz: $(INSTALLED)
	$(BIN)/python -m pip install $(PIP) -c requirements.lock -e '.[fuzz]'
	$(BIN)/python scripts/fuzz_readers.py --seconds $(SECONDS)
	$(BIN)/python scripts/fuzz_reading.py --seconds $(SECONDS)

# The short forms of all of these are among the tests.
soak: $(INSTALLED)
	HOBNOTE_KILLS=1000 HOBNOTE_CUTS=40 HOBNOTE_CLUSTER_NOTES=5000 HOBNOTE_LONG=1 \
		$(BIN)/python -m pytest tests/keeping tests/batch
	$(BIN)/python scripts/soak.py --notes $(SOAK)

scale: $(INSTALLED)
	$(BIN)/python -W ignore scripts/scale.py --write

# The weights are the same on every machine: seeds and settings are in models/.
train: $(INSTALLED)
	$(BIN)/python scripts/train_boundaries.py --data $(DATA)
	$(BIN)/python scripts/train_asides.py --data $(DATA)

readme: $(INSTALLED)
	$(BIN)/python docs/excerpt.py
	$(BIN)/python scripts/make_docs.py

# Any warning fails: a page that is not there, an anchor that is gone.
docs: $(INSTALLED)
	NO_MKDOCS_2_WARNING=1 $(BIN)/python -m mkdocs build --strict --quiet
	@echo "build/site/index.html"

wheel: $(INSTALLED)
	$(BIN)/python -m build --no-isolation
	@ls dist

# In an environment of its own: the auditor's packages are not ours.
audit: $(INSTALLED)
	$(BIN)/python -m venv .venv-audit
	.venv-audit/bin/python -m pip install $(PIP) pip-audit
	found=0; .venv-audit/bin/python scripts/audit.py || found=$$?; rm -rf .venv-audit; exit $$found

$(INSTALLED): pyproject.toml requirements.lock
	@test -n "$(PYTHON)" || { echo "Hobnote needs Python 3.11 or newer with venv." >&2; exit 1; }
	@test -x $(BIN)/python || { echo "Making .venv with $(PYTHON)"; $(PYTHON) -m venv .venv; }
	@echo "Installing what Hobnote needs (some minutes the first time)"
	@$(BIN)/python -m pip install $(PIP) -c requirements.lock -e '.[test,docs]'
	@touch $@

# A fresh environment, so that nothing that merely lies about gets into the lock.
lock:
	rm -rf .venv-lock
	$(PYTHON) -m venv .venv-lock
	.venv-lock/bin/python -m pip install $(PIP) '.[test,docs]'
	{ echo '# Versions that are known to work together; made by "make lock".'; \
	  .venv-lock/bin/python -m pip freeze --exclude hobnote; } > requirements.lock
	.venv-lock/bin/python scripts/licences.py
	rm -rf .venv-lock

clean:
	rm -rf .venv .venv-lock .venv-audit build dist .mypy_cache .ruff_cache .pytest_cache .hypothesis findings
