# Pourwright from the command line. Every target builds what it needs of .venv first (setup/environment.sh).
SHELL := /bin/sh
.DEFAULT_GOAL := help
.PHONY: help env demo serve keys test faults proof bench load lint lock kernel bucket clean

# What a user has installed for himself must not be seen: only the locks decide what runs.
export PYTHONNOUSERSITE := 1
unexport PYTHONPATH PYTHONHOME

ENVIRONMENT := @sh setup/environment.sh
PYTHON_HERE := .venv/bin/python
TESTS ?= tests
# Two processes more than there are cores, for tests that start stores, workers and browsers wait a quarter of their
# time; four at most. PROCESSES=0 runs all in one.
PROCESSES ?= $(shell echo $$(($$(getconf _NPROCESSORS_ONLN) + 2)))
SPREAD = -n $(PROCESSES) --maxprocesses 4

help: ## List the targets
	@sed -n 's/^\([a-z]*\):.*## \(.*\)/  make \1\t\2/p' Makefile | expand -t 16

env: ## Build the environment that demo and serve run in
	$(ENVIRONMENT) run

demo: ## Build every bait and search every fit of demo_requests over HTTP, into out/, and print a table
	$(ENVIRONMENT) run
	@exec $(PYTHON_HERE) -m service.stack.demo

serve: ## Run store, workers and service in the foreground until Ctrl-C
	$(ENVIRONMENT) run
	@exec $(PYTHON_HERE) -m service.stack.serve

keys: ## List the keys, or make and revoke them (DO="make --caller NAME")
	$(ENVIRONMENT) run
	@exec $(PYTHON_HERE) -m service.keys $(or $(DO),list)

# In the order of the folders: files with few tests are the long ones, those of the browser before all, and would be last.
test: ## The quick tests (TESTS=tests/http picks some)
	$(ENVIRONMENT) run dev
	@exec $(PYTHON_HERE) -m pytest $(SPREAD) --dist loadfile --no-loadscope-reorder $(TESTS)

faults: ## Kill, starve and poison the running thing in every way; writes FAULTS.md
	$(ENVIRONMENT) run dev bucket
	@exec $(PYTHON_HERE) -m pytest -m faults $(SPREAD) --dist loadfile --fault-table=FAULTS.md tests/faults

proof: ## The whole property, fault and brute-force sets; writes PROOF.md and FAULTS.md
	$(ENVIRONMENT) run dev kernel bucket
	@exec $(PYTHON_HERE) -m pytest -vv -m "proof or faults" $(SPREAD) --dist worksteal -o faulthandler_timeout=3600 \
	  --proof-table=PROOF.md --fault-table=FAULTS.md $(TESTS)

bench: ## Measure the numbers that the README states (WRITE=1: into its table; ONLY="styles")
	$(ENVIRONMENT) run dev kernel
	@exec $(PYTHON_HERE) -m tests.bench $(if $(WRITE),--write README.md) $(ONLY)

load: ## Put the running product under load and hold it to its bars (WRITE=1: into the README's table; ONLY="batch")
	$(ENVIRONMENT) run dev
	@exec $(PYTHON_HERE) -m tests.load $(if $(WRITE),--write README.md) $(ONLY)

lint: ## ruff, and mypy in its strict mode
	$(ENVIRONMENT) run dev
	@$(PYTHON_HERE) -m ruff check .
	@$(PYTHON_HERE) -m mypy

kernel: ## Add the reference kernel's bindings, for the tests that compare against it
	$(ENVIRONMENT) run dev kernel

bucket: ## Add the S3 server that tests of buckets run against
	$(ENVIRONMENT) bucket

lock: ## Resolve requirements/*.in into hashed locks (UPGRADE=1 takes the newest versions)
	$(ENVIRONMENT) run tools
	@exec $(PYTHON_HERE) setup/lock.py $(if $(UPGRADE),--upgrade)

clean: ## Remove the environment, the demo's output and every cache
	@rm -rf .venv .venv-bucket out openapi/clients/python/build .pytest_cache .mypy_cache .ruff_cache .hypothesis build *.egg-info
	@find worker service tests setup openapi -name __pycache__ -type d -prune -exec rm -rf {} +
