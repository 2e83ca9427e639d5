/** Calls a Pourwright service: estimates, baits, fits, batches, files and webhooks. */
export { Client, type Keyed, type Options, type Within } from "./client.js";
export * from "./errors.js";
export { patched, pointers } from "./patch.js";
export * from "./records.js";
export { requireSigned, verify, type Terms, type Told } from "./webhooks.js";
