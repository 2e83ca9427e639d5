/** Remedies: a merge patch (RFC 7396) put on a request, and which places of it that changes (RFC 6901). */
/** The request with a remedy's patch on it; neither of them is changed. */
export declare function patched<R extends object>(request: R, patch: object): R;
/** Each place that a patch sets, with its value; null where it takes something out. */
export declare function pointers(patch: object, above?: string): [string, unknown][];
