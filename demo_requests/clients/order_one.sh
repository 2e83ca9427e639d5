#!/bin/sh
# Orders one bait with curl alone: order_one.sh REQUEST.json FOLDER [SERVICE]
# Waits for it, fetches every file into FOLDER and holds each against its SHA-256. Needs curl, sed, grep, sha256sum.
set -eu
request=$1
folder=$2
service=${3:-http://127.0.0.1:8080}
mkdir -p "$folder"

# One JSON member of one line of text; the service writes compact JSON, and these values hold no quotes.
member() { sed -n "s/.*\"$1\":\"\([^\"]*\)\".*/\1/p" | head -n 1; }

answer=$(curl -sS --max-time 40 -H 'Content-Type: application/json' -H 'Prefer: wait=10' \
    --data-binary "@$request" "$service/v1/baits")
status=$(printf '%s' "$answer" | sed -n 's/^{"id":"[0-9a-f]*","status":"\([a-z]*\)".*/\1/p')
bait=$(printf '%s' "$answer" | sed -n 's/^{"id":"\([0-9a-f]*\)".*/\1/p')
if [ -z "$bait" ]; then
    echo "The service took no bait from $request. It said:" >&2
    printf '%s\n' "$answer" >&2
    exit 1
fi
while [ "$status" = accepted ] || [ "$status" = running ]; do
    answer=$(curl -sS --max-time 40 -H 'Prefer: wait=10' "$service/v1/baits/$bait")
    status=$(printf '%s' "$answer" | sed -n 's/^{"id":"[0-9a-f]*","status":"\([a-z]*\)".*/\1/p')
done
if [ "$status" != successful ]; then
    echo "The bait ended as $status:" >&2
    printf '%s\n' "$answer" >&2
    exit 1
fi
# One line a file: name, digest, address.
printf '%s' "$answer" | grep -o '{"name":"[^}]*}' | while read -r file; do
    name=$(printf '%s' "$file" | member name)
    digest=$(printf '%s' "$file" | member sha256)
    href=$(printf '%s' "$file" | member href)
    curl -sS --fail --max-time 60 -o "$folder/$name" "$service$href"
    printf '%s  %s\n' "$digest" "$folder/$name" | sha256sum -c --quiet -
    echo "$folder/$name"
done
