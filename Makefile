# Two commands: `make demo` and `make test`. Everything else is for developers.
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
READY := $(VENV)/.ready

.PHONY: demo test one test-thorough test-all test-installed lint types check browser benchmark clean

demo: $(READY)
	$(BIN)/lostroot demo demo-course

# Empty, it forbids nothing: a test starts many processes, and each would compile all it imports.
export PYTHONDONTWRITEBYTECODE :=

# One thread a worker: several workers that all use every core wait for each other.
test test-thorough test-all test-installed: export OPENBLAS_NUM_THREADS = 1
test test-thorough test-all test-installed: export OMP_NUM_THREADS = 1

# A worker gets whole files, and makes the courses of each once.
test test-thorough test-all: $(READY) browser
	$(BIN)/pytest --numprocesses auto --dist loadfile --no-loadscope-reorder $(SELECT)

# An answer within minutes; what takes longer is marked `thorough`: killed runs, histories of a
# course, simulated classes, fresh cases.
test: SELECT = -m "not thorough"
test-thorough: SELECT = -m thorough

# What concerns one error or task, in seconds: make one NAME=half-not-squared
one: $(READY)
	$(BIN)/pytest --quiet -k "$(NAME) or test_catalogue or page_of_tasks" $(OF_ONE)

OF_ONE = tests/patterns tests/procedures/test_task_right_paths.py tests/wording/test_questions.py

# The wheel in an environment of its own, tests beside it, no sources: what people install is what is tested.
test-installed: $(READY) browser
	PYTHON=$(BIN)/python sh tests/house/installed_copy.sh $(addprefix --ignore=,$(LEAVE_OUT))

lint: $(READY)
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .

types: $(READY)
	$(BIN)/mypy

check: lint types test-all

browser:
	@sh tests/find_browser.sh

benchmark: $(READY)
	$(BIN)/python -m tests.benchmarks

# Of what the libraries hold little is ever imported: that is compiled then, and the rest never.
$(READY): pyproject.toml constraints.txt
	$(PYTHON) -m venv $(VENV)
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --upgrade --constraint constraints.txt pip
	$(BIN)/python -m pip install --quiet --disable-pip-version-check --no-compile --constraint constraints.txt --group dev --editable .
	@touch $(READY)

clean:
	rm -rf $(VENV) build dist demo-course .mypy_cache .pytest_cache .ruff_cache .hypothesis
