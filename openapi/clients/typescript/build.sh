#!/bin/sh
# Builds types/ from ../../openapi.json and dist/ from src/: after a change of either. Needs npm and its registry.
set -eu
cd "$(dirname "$0")"
npm ci --no-audit --no-fund
rm -rf dist build
npm run build
rm -rf build
