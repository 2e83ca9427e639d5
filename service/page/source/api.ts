// Calls of our own service. A call that is overtaken is given up; one that failed says in words why.

import type { Fault } from "./types.ts";

export class Problem extends Error {
  constructor(
    readonly status: number,
    detail: string,
    readonly faults: Fault[] = [],
    readonly retryAfter = 0,
  ) {
    super(detail);
  }

  /** Whether something stands in the way that is not the request's fault. */
  get passing(): boolean {
    return !this.faults.length && this.status !== 400 && this.status !== 422;
  }

  /** Whether it may be otherwise in a moment. */
  get brief(): boolean {
    return this.status === 0 || this.status === 429 || this.status >= 500;
  }
}

export async function call<T>(method: string, path: string, body?: unknown, options: { wait?: number; signal?: AbortSignal } = {}): Promise<T> {
  const response = await send(method, path, body, options);
  return (await response.json()) as T;
}

export async function fetchBytes(path: string, signal?: AbortSignal): Promise<ArrayBuffer> {
  return (await send("GET", path, undefined, { signal })).arrayBuffer();
}

async function send(method: string, path: string, body: unknown, { wait, signal }: { wait?: number; signal?: AbortSignal }): Promise<Response> {
  const headers: Record<string, string> = {};
  if (method !== "GET") headers["X-Pourwright-Page"] = "try";
  if (body !== undefined) headers["Content-Type"] = "application/json";
  if (wait) headers["Prefer"] = `wait=${wait}`;
  const ask = (): Promise<Response> => fetch(path, { method, headers, body: body === undefined ? undefined : JSON.stringify(body), signal, credentials: "same-origin" });
  let response: Response;
  try {
    response = await ask();
    if (response.status === 401) {
      // The page's session has run out: the page, asked for again, brings another.
      await fetch("/try", { credentials: "same-origin", cache: "reload", signal });
      response = await ask();
    }
  } catch (reason) {
    if (signal?.aborted) throw reason;
    throw new Problem(0, "The service does not answer.");
  }
  if (response.ok) return response;
  let told: { detail?: string; title?: string; errors?: Fault[] } = {};
  try {
    told = (await response.json()) as typeof told;
  } catch {
    // a proxy's own page, perhaps
  }
  const after = Number(response.headers.get("Retry-After")) || 0;
  throw new Problem(response.status, told.detail ?? told.title ?? `The service answered ${response.status}.`, told.errors ?? [], after);
}

/** Runs one task at a time; of those that come meanwhile, the newest. What runs longer than `patience` ms is given up for it. */
export class Newest<In> {
  private running: AbortController | null = null;
  private began = 0;
  private waiting: { input: In } | null = null;
  private timer = 0;

  constructor(
    private readonly task: (input: In, signal: AbortSignal) => Promise<void>,
    private readonly patience: number,
  ) {}

  offer(input: In): void {
    this.waiting = { input };
    if (!this.running) void this.next();
    else if (!this.timer) {
      const left = Math.max(0, this.patience - (performance.now() - this.began));
      this.timer = window.setTimeout(() => {
        this.timer = 0;
        if (this.waiting) this.running?.abort();
      }, left);
    }
  }

  private async next(): Promise<void> {
    while (this.waiting) {
      const { input } = this.waiting;
      this.waiting = null;
      this.running = new AbortController();
      this.began = performance.now();
      try {
        await this.task(input, this.running.signal);
      } catch (reason) {
        if (!this.running.signal.aborted) throw reason;
      } finally {
        this.running = null;
      }
    }
  }
}
