#!/bin/sh
# Orders one bait with curl alone: order_one.sh REQUEST.json FOLDER [SERVICE]
# Waits for it, fetches every file into FOLDER and holds each against its SHA-256.
# POURWRIGHT_KEY, where the service has keys, is the key that is sent.
# Needs curl, sed, grep, and sha256sum or shasum. Exit code 0: all files are there; 1: refused, failed or not whole.
set -eu
[ $# -ge 2 ] || { sed -n '2,4s/^# //p' "$0" >&2; exit 2; }
request=$1
folder=$2
service=${3:-http://127.0.0.1:8080}
answer=$(mktemp -d)
trap 'rm -rf "$answer"' EXIT
# In a file of our own, for others can read a command line.
{ [ -z "${POURWRIGHT_KEY:-}" ] || printf 'header = "Authorization: Bearer %s"\n' "$POURWRIGHT_KEY"; } >"$answer/key"

# call PATH [CURL'S OPTIONS]: leaves $status, $answer/headers and $answer/body. Busy (429, 503): again, when told to.
call() {
    path=$1
    shift
    tries=0
    while :; do
        status=$(curl -sS --max-time 40 -D "$answer/headers" -o "$answer/body" -w '%{http_code}' \
            -K "$answer/key" -H 'Prefer: wait=10' "$@" "$service$path") || exit 1
        tries=$((tries + 1))
        case $status in 429 | 503) [ "$tries" -lt 60 ] || return 0 ;; *) return 0 ;; esac
        pause
    done
}
header() { tr -d '\r' <"$answer/headers" | grep -i "^$1:" | tail -n 1 | sed 's/^[^:]*: *//'; }
pause() {
    seconds=$(header Retry-After)
    case $seconds in '' | *[!0-9]*) seconds=1 ;; esac
    sleep "$seconds"
}
# One JSON member of a line of text. Good for the service's compact JSON and for values without quotes in them.
member() { grep -o "\"$1\":\"[^\"]*\"" | head -n 1 | sed 's/^[^:]*:"//; s/"$//'; }
# Every sentence of a problem document (RFC 9457), and the places in the request that it speaks of.
explain() { grep -oE '"(detail|pointer)": ?"([^"\\]|\\.)*"' "$answer/body" | sed 's/^"\([a-z]*\)": *"/  \1: /; s/"$//; s/\\"/"/g' >&2; }
digest() { if command -v sha256sum >/dev/null; then sha256sum; else shasum -a 256; fi <"$1" | cut -d ' ' -f 1; }

call /v1/baits -H 'Content-Type: application/json' --data-binary "@$request"
case $status in
    200 | 201 | 202) place=$(header Location) ;;
    *) echo "The service refused $request ($status):" >&2; explain; exit 1 ;;
esac
while :; do
    state=$(member status <"$answer/body")
    case $state in
        accepted | running) [ -n "$(header Preference-Applied)" ] || pause ;;
        successful) break ;;
        *) echo "The bait ended as $state:" >&2; explain; exit 1 ;;
    esac
    call "$place"
    [ "$status" = 200 ] || { echo "The service lost sight of $place ($status):" >&2; explain; exit 1; }
done

mkdir -p "$folder"
# One line a file: name, digest, address.
sed 's/.*"files":\[\([^]]*\)\].*/\1/' "$answer/body" | grep -o '{"name":"[^}]*}' >"$answer/files"
while read -r file; do
    name=$(printf '%s' "$file" | member name)
    href=$(printf '%s' "$file" | member href)
    call "$href"
    [ "$status" = 200 ] || { echo "$name could not be fetched ($status):" >&2; explain; exit 1; }
    if [ "$(digest "$answer/body")" != "$(printf '%s' "$file" | member sha256)" ]; then
        echo "$name is not what the service says it is (SHA-256)" >&2
        exit 1
    fi
    mv "$answer/body" "$folder/$name"
    echo "$folder/$name"
done <"$answer/files"
