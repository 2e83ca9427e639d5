#!/bin/sh
# What the image does: `service`, `worker`, `courier`, `keys`, `check-config`, or a look at how they are (`service-health`, `worker-health`).
set -eu
case "${1:-service}" in
    service) exec python -m gunicorn -c service/gunicorn_conf.py service.wsgi:app ;;
    worker) exec python -m worker.jobs ;;
    courier) exec python -m worker.hooks ;;
    check-config) exec python -m service.stack.serve --check-config ;;
    keys) shift; exec python -m service.keys "$@" ;;
    # Not by urllib: it would ask a proxy that the engine's own configuration puts into every container.
    service-health) exec python -c '
import http.client, os, sys
there = http.client.HTTPConnection("127.0.0.1", int(os.environ["POURWRIGHT_PORT"]), timeout=5)
there.request("GET", "/healthz")
sys.exit(there.getresponse().status != 200)' 2>/dev/null ;;
    worker-health) exec python -m worker.records.liveness ;;
    courier-health) exec python -m worker.records.liveness courier ;;
    *) echo "pourwright: service, worker, courier, keys, check-config, service-health, worker-health or courier-health, not '$1'" >&2; exit 2 ;;
esac
