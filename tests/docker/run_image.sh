#!/bin/sh
# Runs inside.sh in an image as compose.yaml would run it: the image's own user, without any capability, over a
# read-only root with /tmp and the state in memory.
# run_image.sh IMAGE PORT       with a Docker engine; else with buildah, as root (STORAGE: its options)
# The image is removed afterwards: it was built to be tried.
set -eu
here=$(cd "$(dirname "$0")" && pwd)
image=$1
port=$2
if docker info >/dev/null 2>&1; then
    trap 'docker image rm "$image" >/dev/null' EXIT
    docker run --rm --init --read-only --tmpfs /tmp --tmpfs /state:uid=10001,gid=10001 --cap-drop ALL \
        --security-opt no-new-privileges --volume "$here:/mnt:ro" --entrypoint sh "$image" /mnt/inside.sh "$port"
    exit
fi
# buildah alone runs nothing over a read-only root, so what an engine does is done here by hand.
# shellcheck disable=SC2086
{
    container=$(buildah ${STORAGE:-} from "$image")
    trap 'buildah ${STORAGE:-} rm "$container" >/dev/null; buildah ${STORAGE:-} rmi "$image" >/dev/null' EXIT
    config() { buildah ${STORAGE:-} inspect --format "{{$1}}" "$container"; }
    export ROOT HERE="$here" PORT="$port" OWNER FOLDER VARIABLES
    ROOT=$(buildah ${STORAGE:-} mount "$container")
    OWNER=$(config .OCIv1.Config.User)
    FOLDER=$(config .OCIv1.Config.WorkingDir)
    VARIABLES=$(config 'range .OCIv1.Config.Env}}{{.}} {{end')
}
unshare --mount --pid --fork --kill-child --propagation private sh -eu -c '
    mount --bind "$ROOT" "$ROOT"
    mount -o remount,bind,ro "$ROOT"
    mount -t proc proc "$ROOT/proc"
    mount --rbind /dev "$ROOT/dev"
    mount -t tmpfs -o mode=1777,nosuid,nodev,noexec tmpfs "$ROOT/tmp"
    mount -t tmpfs -o "uid=${OWNER%:*},gid=${OWNER#*:},nosuid,nodev,noexec" tmpfs "$ROOT/state"
    mount --bind "$HERE" "$ROOT/mnt"
    mount -o remount,bind,ro "$ROOT/mnt"
    # The variables of the image hold no spaces.
    exec chroot "$ROOT" setpriv --reuid "${OWNER%:*}" --regid "${OWNER#*:}" --clear-groups --no-new-privs \
        --bounding-set=-all --inh-caps=-all env -i $VARIABLES sh -c "cd $FOLDER && exec sh /mnt/inside.sh $PORT"
'
