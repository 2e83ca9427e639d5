#!/bin/sh
# A CI job: starts a service of its own from a checkout, and fails when a bait of FOLDER falls short.
# Usage: ci_job.sh FOLDER      Needs no more than the checkout, make, Python and pip's index; leaves nothing running.
# Exit code 0: every bait holds; 1: one does not; 2: they could not be tried.
set -eu
folder=$(cd "$1" && pwd)
cd "$(dirname "$0")/../.."
aside=$(mktemp -d)
log="$aside/serve.log"
# A free port, named in the log once all is up: nobody else's service can be taken for ours. Any state of the machine
# and any proxy are left out of it.
export POURWRIGHT_PORT=0 POURWRIGHT_HOST=127.0.0.1 POURWRIGHT_STATE_DIR="$aside/state"
export no_proxy="127.0.0.1${no_proxy:+,$no_proxy}"
unset POURWRIGHT_STORE_URL POURWRIGHT_KEYS_FILE
: >"$log" # there before it is read
make --no-print-directory serve >"$log" 2>&1 &
serve=$!
trap 'kill "$serve" 2>/dev/null || true; wait "$serve" 2>/dev/null || true; rm -rf "$aside"' EXIT
trap 'exit 2' INT TERM

tries=0
until service=$(sed -n 's/^Pourwright listens on \(http[^ ]*\).*/\1/p' "$log") && [ -n "$service" ]; do
    tries=$((tries + 1))
    # Ten minutes: the first run of a checkout builds its environment.
    if [ "$tries" -gt 1200 ] || ! kill -0 "$serve" 2>/dev/null; then
        echo "The service did not come up; its log ends so:" >&2
        tail -n 20 "$log" >&2
        exit 2
    fi
    sleep 0.5
done
# The client that judges them is installed beside the state, and goes with it.
POURWRIGHT_URL=$service POURWRIGHT_GATE_ENVIRONMENT=${POURWRIGHT_GATE_ENVIRONMENT:-"$aside/gate"} PYTHON=.venv/bin/python \
    sh openapi/examples/ci/gate.sh "$folder" --build
