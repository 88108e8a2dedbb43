# make demo   sets everything up, builds the invented tract, plans its year, writes the packet;
#             at a terminal it ends by opening the pages, until Ctrl-C
# make test   sets everything up and runs every check
# make release  the wheel and the sdist, tried as in make test, built a second time to the same bytes,
#             with their checksums
# make pages  builds the pages that fencerow serve answers with (needs the network the first time)
# make audit  asks what is known against every locked package, and what each is licensed under
#             (needs the network; before a release, not part of make test)
# make lock   pins the dependencies anew (needs uv)
# make schemas  writes the documents that are made from the code anew
PYTHON ?= python3
VENV := .venv
BIN := $(VENV)/bin
PIP := $(BIN)/python -m pip --disable-pip-version-check -q
READY := $(VENV)/.ready
# what is built bears the time of the last commit, so that the same code gives the same bytes
EPOCH = $(shell git log -1 --format=%ct 2>/dev/null || echo 1767225600)
# what is once compiled is kept, even where the shell says otherwise: each process would do it again
export PYTHONDONTWRITEBYTECODE :=
BUILD = SOURCE_DATE_EPOCH=$(EPOCH) $(BIN)/python -m build -q --no-isolation

.PHONY: demo test nightly fuzz pages pages-built lint types rooms unit package release lock schemas clean
.PHONY: audit audit-python audit-pages audit-licences

demo: $(READY)
	$(BIN)/python hatch_build.py
	$(BIN)/fencerow warm
	$(BIN)/fencerow demo demo

# all side by side, the tests and the package once the pages are built. The tests take every
# processor and one worker more, because those of the pages wait for a browser as much as they work
test: $(READY)
	$(MAKE) -j6 lint types rooms pages package unit

nightly: $(READY)
	HYPOTHESIS_PROFILE=nightly $(BIN)/python -m pytest -n auto
	$(MAKE) fuzz

# a million hostile inputs through every door; atheris guides them where it can be had
fuzz: $(READY)
	if [ "$$(uname)" = Linux ]; then \
	  $(PIP) install --no-build-isolation -c requirements/versions.txt -e '.[fuzz]'; fi
	$(BIN)/python -W ignore tests/fuzz/fuzz_run.py --inputs 1000000

pages: pages-built
	$(BIN)/python hatch_build.py test

pages-built: $(READY)
	$(BIN)/python hatch_build.py

lint: $(READY)
	$(BIN)/ruff check .
	$(BIN)/ruff format --check .

types: $(READY)
	$(BIN)/mypy

rooms: $(READY)
	$(BIN)/lint-imports

unit: pages-built
	$(BIN)/python -m pytest -n $$(( $$($(BIN)/python -c "import os; print(os.cpu_count())") + 1 )) \
	  --dist worksteal

# the wheel and the sdist, each installed on its own and run as a newcomer would
package: pages-built
	rm -rf dist build/wheel build/sdist
	$(BUILD) --outdir dist .
	$(PYTHON) -m venv build/wheel
	build/wheel/bin/python -m pip --disable-pip-version-check -q install --no-compile -c requirements/versions.txt dist/*.whl
	cd build && wheel/bin/fencerow demo wheel-demo > wheel-demo.txt
	build/wheel/bin/python -m pip --disable-pip-version-check -q uninstall -y fencerow
	build/wheel/bin/python -m pip --disable-pip-version-check -q install --no-compile -c requirements/versions.txt dist/*.tar.gz
	build/wheel/bin/fencerow verify > build/verify.txt
	tail -n 1 build/verify.txt

release: package
	rm -rf build/again
	$(BUILD) --outdir build/again .
	cd dist && for file in *; do cmp "$$file" "../build/again/$$file" || exit 1; done
	cd dist && sha256sum *.whl *.tar.gz > SHA256SUMS && cat SHA256SUMS

# each of the three says what it found even where another could not be asked; --strict, because a
# package that is not found would otherwise pass as one against which nothing is known
audit: $(READY)
	$(MAKE) -k audit-python audit-pages audit-licences

audit-python:
	$(PYTHON) -m venv build/audit
	build/audit/bin/python -m pip --disable-pip-version-check -q install pip-audit
	build/audit/bin/pip-audit --strict --require-hashes --disable-pip --progress-spinner off \
	  -r requirements/lock.txt

audit-pages:
	$(BIN)/python hatch_build.py audit

audit-licences:
	$(BIN)/python -m pytest -p no:xdist tests/test_licences.py

lock: $(READY)
	uv pip compile pyproject.toml --extra dev --universal --python-version 3.11 \
	  --generate-hashes --no-header --no-emit-index-url -q -o requirements/lock.txt
	uv pip compile pyproject.toml --extra dev --extra fuzz --universal --python-version 3.11 \
	  --no-annotate --no-header --no-emit-index-url -q -o requirements/versions.txt

$(READY): pyproject.toml requirements/lock.txt
	$(PYTHON) -m venv $(VENV)
	$(PIP) install --no-compile --require-hashes -r requirements/lock.txt
	$(PIP) install --no-build-isolation --no-deps -e .
	touch $@

# the documents that are made from the code: the forms of plan JSON and of the API
schemas: $(READY)
	$(BIN)/python -m fencerow.web.schemas docs

clean:
	rm -rf $(VENV) build dist demo ui/node_modules src/fencerow/web/static
