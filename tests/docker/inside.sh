#!/bin/sh
# Run inside the image: a store beside it, both entry points, one bait; prints what a test then looks at.
# inside.sh PORT       takes that port of loopback and the next one
set -eu
port=$1
export POURWRIGHT_HOST=127.0.0.1 POURWRIGHT_PORT=$((port + 1)) POURWRIGHT_STORE_URL="redis://127.0.0.1:$port/0"
echo "uid $(id -u)"
echo "rights $(sed -n 's/^\(CapEff\|CapBnd\|NoNewPrivs\):[[:space:]]*/\1=/p' /proc/self/status | tr '\n' ' ')"
for place in / /opt/pourwright/app /usr /tmp "$POURWRIGHT_STATE_DIR"; do
    if touch "$place/written" 2>/dev/null; then echo "writable $place"; fi
done
mkdir /tmp/store
server=$(find /opt/pourwright/lib -name 'valkey-server*' -type f | head -n 1)
"$server" --port "$port" --bind 127.0.0.1 --dir /tmp/store --appendonly yes --appendfsync always \
    --maxmemory-policy noeviction --save "" --logfile /tmp/store/log >/dev/null &
store=$!
pourwright worker >/tmp/worker.log 2>&1 &
worker=$!
pourwright service >/tmp/service.log 2>&1 &
service=$!
tries=0
until pourwright service-health && pourwright worker-health 2>/dev/null; do
    tries=$((tries + 1))
    [ "$tries" -lt 120 ] || { cat /tmp/worker.log /tmp/service.log; exit 1; }
    sleep 0.5
done
python - <<'PYTHON'
import hashlib, http.client, json, os

def call(method, path, body=None):
    there = http.client.HTTPConnection("127.0.0.1", int(os.environ["POURWRIGHT_PORT"]), timeout=60)
    there.request(method, path, body, {"Content-Type": "application/json", "Prefer": "wait=25"})
    return there.getresponse().read()

bait = json.loads(call("POST", "/v1/baits", b'{"style": "craw"}'))
print("bait", bait["status"], bait["id"])
for file in bait["files"]:
    print("file", file["name"], hashlib.sha256(call("GET", file["href"])).hexdigest())
PYTHON
kill -TERM "$service" "$worker"
wait "$service" && echo "stopped service"
wait "$worker" && echo "stopped worker"
kill -TERM "$store"
wait "$store" && echo "stopped store"
