#!/bin/sh
# A CI job: starts a service of its own from a checkout, and fails when a bait of FOLDER falls short.
# Usage: ci_job.sh FOLDER      (run from the checkout's root)
set -eu
folder=$1
state=$(mktemp -d)
log="$state/serve.log"
export POURWRIGHT_STATE_DIR="$state/state" POURWRIGHT_PORT="${POURWRIGHT_PORT:-8099}"
make --no-print-directory serve >"$log" 2>&1 &
serve=$!
trap 'kill "$serve" 2>/dev/null || true; wait "$serve" 2>/dev/null || true; rm -rf "$state"' EXIT

service="http://127.0.0.1:$POURWRIGHT_PORT"
tries=0
until curl -sf -o /dev/null "$service/readyz"; do
    tries=$((tries + 1))
    if [ "$tries" -gt 600 ] || ! kill -0 "$serve" 2>/dev/null; then
        echo "The service did not come up; its log says:" >&2
        tail -n 20 "$log" >&2
        exit 2
    fi
    sleep 0.5
done
python3 demo_requests/clients/gate.py "$folder" --service "$service"
