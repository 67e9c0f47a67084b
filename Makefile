# Two commands are enough. ARGS go on: make test ARGS="tests/views -q", make demo ARGS=9000
PYTHON ?= python3
BIN = .venv/bin

.PHONY: demo start tour test lint bench

demo:
	@$(PYTHON) dev.py demo $(ARGS)

start:
	@$(PYTHON) dev.py start $(ARGS)

tour:
	@$(PYTHON) dev.py tour

test:
	@$(PYTHON) dev.py test $(ARGS)

lint:
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .
	$(BIN)/mypy .
	$(BIN)/lint-imports
	$(BIN)/djlint templates --lint
	$(BIN)/python -m law.check

# Needs the package index: 0 nothing is known, 1 something is, 2 it could not be asked.
advisories:
	@$(PYTHON) dev.py advisories

bench:
	@for file in benchmarks/*.py; do \
	  ! grep -q __main__ $$file || $(BIN)/python -m benchmarks.$$(basename $$file .py) || exit 1; \
	done
