/** Calls a Pourwright service: estimates, baits, fits, batches, files and webhooks. */
export { Client } from "./client.js";
export * from "./errors.js";
export { patched, pointers } from "./patch.js";
export * from "./records.js";
export { requireSigned, verify } from "./webhooks.js";
