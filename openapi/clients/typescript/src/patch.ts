/** Remedies: a merge patch (RFC 7396) put on a request, and which places of it that changes (RFC 6901). */

type Members = Record<string, unknown>;

function isMembers(value: unknown): value is Members {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}

/** The request with a remedy's patch on it; neither of them is changed. */
export function patched<R extends object>(request: R, patch: object): R {
  return merged(request, patch) as R;
}

function merged(value: unknown, patch: unknown): unknown {
  if (!isMembers(patch)) return patch;
  const result = new Map(Object.entries(isMembers(value) ? value : {}));
  for (const [name, change] of Object.entries(patch)) {
    if (change === null) result.delete(name);
    else result.set(name, merged(result.get(name), change));
  }
  return Object.fromEntries(result);
}

/** Each place that a patch sets, with its value; null where it takes something out. */
export function pointers(patch: object, above = ""): [string, unknown][] {
  return Object.entries(patch).flatMap(([name, value]): [string, unknown][] => {
    const place = `${above}/${name.replaceAll("~", "~0").replaceAll("/", "~1")}`;
    return isMembers(value) && Object.keys(value).length ? pointers(value, place) : [[place, value]];
  });
}
