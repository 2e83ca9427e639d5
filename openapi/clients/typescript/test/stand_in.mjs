// A service that is busy, slow or wrong on purpose: answers a path from its script, the last answer again and again.
import { createServer } from "node:http";

/** @typedef {{ status: number, body?: unknown, headers?: Record<string, string>, cut?: number }} Scripted */

/**
 * Runs `use` against it; what was asked is in `asked`. With `cut` the line breaks after so many bytes.
 * @param {Record<string, Scripted[]>} script
 * @param {(url: string, asked: { method: string, path: string, headers: import("node:http").IncomingHttpHeaders, at: number }[]) => Promise<void>} use
 */
export async function standIn(script, use) {
  /** @type {Parameters<typeof use>[1]} */
  const asked = [];
  const server = createServer(async (request, response) => {
    for await (const _ of request);
    const path = request.url ?? "";
    asked.push({ method: request.method ?? "", path, headers: request.headers, at: performance.now() });
    const answers = script[path] ?? [];
    const scripted = (answers.length > 1 ? answers.shift() : answers[0]) ?? { status: 404, body: {} };
    const content = Buffer.isBuffer(scripted.body) ? scripted.body : Buffer.from(JSON.stringify(scripted.body ?? {}));
    response.writeHead(scripted.status, { "Content-Length": content.length, ...scripted.headers });
    if (scripted.cut === undefined) response.end(content);
    else response.write(content.subarray(0, scripted.cut), () => response.destroy());
  });
  await new Promise((resolve) => server.listen(0, "127.0.0.1", () => resolve(undefined)));
  const address = /** @type {import("node:net").AddressInfo} */ (server.address());
  try {
    await use(`http://127.0.0.1:${address.port}`, asked);
  } finally {
    server.close();
    server.closeAllConnections();
  }
}
