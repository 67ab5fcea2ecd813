# The two commands: `make demo` and `make test`. Both set up what they need and are quick the second time.
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
PORT ?= 8750

.PHONY: demo test bench accuracy simulate pages screens logged book kill fuzz load audit matching understanding urgency-words lock clean

demo: $(VENV)/ready
	$(BIN)/standpipe serve --demo --port $(PORT)

test: $(VENV)/ready-dev
	.ci/chromium
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy
	$(BIN)/python -m pytest -n auto --dist loadfile

bench: $(VENV)/ready-dev
	$(BIN)/python bench/measure.py

accuracy: $(VENV)/ready-dev
	$(BIN)/python bench/accuracy.py

simulate: $(VENV)/ready-dev
	$(BIN)/python bench/simulate_rules.py

pages: $(VENV)/ready-dev
	.ci/chromium
	$(BIN)/python bench/pages.py

screens: $(VENV)/ready-dev
	.ci/chromium
	$(BIN)/python bench/screens.py

logged: $(VENV)/ready-dev
	$(BIN)/python bench/logged.py

book: $(VENV)/ready-dev
	$(BIN)/python -m bench.book

kill: $(VENV)/ready-dev
	$(BIN)/python bench/kill.py

fuzz: $(VENV)/ready-dev
	$(BIN)/python bench/fuzz.py

load: $(VENV)/ready-dev
	$(BIN)/python bench/load.py

# Asks the index of published weaknesses about every package in constraints.txt; needs the network.
audit: $(VENV)/ready-dev
	$(BIN)/python -m pip install --quiet --disable-pip-version-check -e ".[audit]"
	$(BIN)/python bench/audit.py

# Beside the simpler ways, scikit-learn and the sentence model are compared: about 300 MB of libraries.
matching: $(VENV)/ready-dev
	$(BIN)/python -m pip install --quiet --disable-pip-version-check -c constraints.txt -e '.[compare]'
	$(BIN)/python bench/matching.py

understanding: $(VENV)/ready-dev
	$(BIN)/python bench/understanding.py

urgency-words: $(VENV)/ready-dev
	PYTHONPATH=. $(BIN)/python -m bench.urgency_words

$(BIN)/python:
	$(PYTHON) -c 'import sys; sys.exit(sys.version_info < (3, 11) and "Standpipe needs Python 3.11 or newer.")'
	$(PYTHON) -m venv $(VENV)

$(VENV)/ready: $(BIN)/python pyproject.toml constraints.txt
	$(BIN)/python -m pip install --quiet --disable-pip-version-check -c constraints.txt -e .
	touch $@

$(VENV)/ready-dev: $(BIN)/python pyproject.toml constraints.txt
	$(BIN)/python -m pip install --quiet --disable-pip-version-check -c constraints.txt -e '.[dev]'
	touch $@ $(VENV)/ready

# Brings constraints.txt up to date with the newest releases that the lower bounds admit.
lock:
	rm -rf $(VENV)/lock && $(PYTHON) -m venv $(VENV)/lock
	$(VENV)/lock/bin/pip install --quiet --upgrade '.[dev]'
	$(VENV)/lock/bin/pip freeze --exclude standpipe > constraints.txt
	rm -rf $(VENV)/lock

clean:
	rm -rf $(VENV) .mypy_cache .ruff_cache .pytest_cache .hypothesis dist build
