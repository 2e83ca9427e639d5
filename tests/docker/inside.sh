#!/bin/sh
# Run inside the image: a store beside it, both entry points, one bait; prints what a test then looks at.
set -eu
port=$1
export POURWRIGHT_PORT=$((port + 1)) POURWRIGHT_STORE_URL="redis://127.0.0.1:$port/0" POURWRIGHT_STATE_DIR=/tmp/state
echo "uid $(id -u)"
touch /opt/pourwright/app/written 2>/dev/null && echo "the code can be written to" || echo "the code cannot be written to"
mkdir -p /tmp/store "$POURWRIGHT_STATE_DIR"
server=$(find /opt/pourwright/lib -name 'valkey-server*' -type f | head -n 1)
"$server" --port "$port" --bind 127.0.0.1 --dir /tmp/store --appendonly yes --appendfsync always \
    --maxmemory-policy noeviction --save "" --logfile /tmp/store/log >/dev/null &
store=$!
pourwright worker >/tmp/worker.log 2>&1 &
worker=$!
pourwright service >/tmp/service.log 2>&1 &
service=$!
trap 'kill $service $worker; wait $service $worker || true; kill $store; wait $store || true' EXIT
tries=0
until pourwright service-health 2>/dev/null && pourwright worker-health 2>/dev/null; do
    tries=$((tries + 1))
    [ "$tries" -lt 60 ] || { cat /tmp/worker.log /tmp/service.log; exit 1; }
    sleep 0.5
done
python - <<'PYTHON'
import json, os, urllib.request
address = "http://127.0.0.1:" + os.environ["POURWRIGHT_PORT"]
request = urllib.request.Request(
    address + "/v1/baits", b'{"style": "craw"}', {"Content-Type": "application/json", "Prefer": "wait=25"}
)
bait = json.load(urllib.request.urlopen(request, timeout=40))
stl = urllib.request.urlopen(address + next(f["href"] for f in bait["files"] if f["name"] == "bait.stl")).read()
print("bait", bait["status"], len(bait["files"]), len(stl), bait["metrics"]["triangles"])
PYTHON
