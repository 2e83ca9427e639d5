#!/bin/sh
# Builds the image with docker or, where no engine runs, with buildah: docker/build.sh [TAG]
# BASE=IMAGE takes another base; BUILD_FLAGS are handed on (for buildah as root without an engine:
# BUILD_FLAGS='--isolation chroot' STORAGE='--storage-driver vfs').
set -eu
cd "$(dirname "$0")/.."
tag=${1:-pourwright}
if docker info >/dev/null 2>&1; then
    # shellcheck disable=SC2086
    exec docker build ${BASE:+--build-arg BASE="$BASE"} ${BUILD_FLAGS:-} -f docker/Dockerfile -t "$tag" .
elif command -v buildah >/dev/null; then
    # shellcheck disable=SC2086
    exec buildah ${STORAGE:-} bud ${BASE:+--build-arg BASE="$BASE"} ${BUILD_FLAGS:-} -f docker/Dockerfile -t "$tag" .
fi
echo "Neither a Docker engine nor buildah is here; on Debian: apt-get install buildah" >&2
exit 1
