#!/bin/sh
# What the image does: `service`, `worker`, or a look at how they are (`service-health`, `worker-health`).
set -eu
case "${1:-service}" in
    service) exec python -m gunicorn -c service/gunicorn_conf.py service.wsgi:app ;;
    worker) exec python -m worker.jobs ;;
    service-health) exec python -c '
import os, urllib.request
urllib.request.urlopen("http://127.0.0.1:" + os.environ["POURWRIGHT_PORT"] + "/healthz", timeout=5)' ;;
    worker-health) exec python -m worker.records.liveness ;;
    *) echo "pourwright: service, worker, service-health or worker-health, not '$1'" >&2; exit 2 ;;
esac
