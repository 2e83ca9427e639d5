#!/bin/sh
# A step of a pipeline: fails where a request in FOLDER falls short. Usage: gate.sh [FOLDER [OPTION ...]]
# FOLDER is bodies/ unless told; the options are pourwright-gate's, such as --build.
# POURWRIGHT_URL and POURWRIGHT_KEY say which service is asked; PYTHON which interpreter, CPython 3.11 or later.
# The client is installed from this checkout into a folder of its own, once.
# Exit code 0: every bait holds; 1: one falls short or is refused; 2: they could not be tried.
set -eu
here=$(cd "$(dirname "$0")" && pwd)
folder=${1:-bodies}
[ $# -eq 0 ] || shift
environment=${POURWRIGHT_GATE_ENVIRONMENT:-.gate}
if ! [ -x "$environment/bin/pourwright-gate" ]; then
    { "${PYTHON:-python3}" -m venv "$environment" &&
        "$environment/bin/python" -m pip install --quiet "$here/../../clients/python"; } >&2 || exit 2
fi
set -- "$folder"/*.json "$@"
if ! [ -e "$1" ]; then
    echo "$folder has no request (*.json)" >&2
    exit 2
fi
"$environment/bin/pourwright-gate" "$@"
