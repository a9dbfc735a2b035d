#!/bin/sh
# Builds the wheel, installs it where no source of ours lies, and runs the tests on it.
set -eu
top=$(cd "$(dirname "$0")/../.." && pwd)
place=$(mktemp -d)
trap 'rm -rf "$place"' EXIT
python=${PYTHON:-python3}

"$python" -m build --wheel --no-isolation --outdir "$place/wheel" "$top" >"$place/build.log" 2>&1 || {
  cat "$place/build.log"; exit 1; }
"$python" -m venv "$place/venv"
"$place/venv/bin/python" -m pip install --quiet --disable-pip-version-check --upgrade \
  --constraint "$top/constraints.txt" pip
cp -r "$top/tests" "$top/pyproject.toml" "$top/constraints.txt" "$top/README.md" \
  "$top/DEVELOPERS.md" "$top/PRIVACY.md" "$top/Makefile" "$place/"
cd "$place"
venv/bin/python -m pip install --quiet --disable-pip-version-check \
  --constraint constraints.txt --group dev wheel/*.whl
venv/bin/python - <<'PY'
import pipeline, reports, sql, synthetic_data
for package in (pipeline, reports, sql, synthetic_data):
    assert "site-packages" in package.__file__, package.__file__
PY
PATH="$place/venv/bin:$PATH" venv/bin/pytest -q --numprocesses auto --dist worksteal "$@"
