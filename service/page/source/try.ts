// The page: one request, what the service makes of it, and all that shows it.

import { call, Newest, Problem } from "./api.ts";
import { Axis } from "./axis.ts";
import { byId, el, tell } from "./dom.ts";
import { Front } from "./front.ts";
import { drawPulls, weakestInWords } from "./pulls.ts";
import { Questions } from "./questions.ts";
import { drawRule } from "./rule.ts";
import { Sentence } from "./sentence.ts";
import { Asked, Files, Slip } from "./slip.ts";
import { Stage } from "./stage.ts";
import { State } from "./state.ts";
import type { Bait, Fault, Request, Style, Words } from "./types.ts";

const AGAIN_MS = 2000;
const SETTLED_MS = 160;
const REFINED_MS = 900;

async function start(): Promise<void> {
  const axis = new Axis(byId("bench"));
  const stage = new Stage(axis, () => solids.offer(state.request));
  // Begun only once the first questions are on their way: to open a canvas takes a moment that they need not wait for.
  let begin = (): void => {};
  const drawing = new Promise<void>((resolve) => (begin = resolve)).then(() => stage.open());
  drawRule(byId("rule"), axis);
  axis.onChange(() => drawRule(byId("rule"), axis));
  const [{ styles }, words] = await patiently(() => Promise.all([call<{ styles: Style[] }>("GET", "/v1/styles"), call<Words>("GET", "/try/words.json")]));
  const state = new State(styles, words);
  const sentence = new Sentence(state, byId("sentence"), byId("rest"));
  const questions = new Questions(state, byId("questions"));
  const front = new Front(state, byId("front"));
  const slip = new Slip(byId("slip"), () => sentence.text);
  const files = new Files(state, byId("files"));
  new Asked(state, byId("request"));
  let stale = false;
  let answered: Request | null = null;

  const drawBench = (): void => {
    if (state.bait) drawPulls(byId("pulls"), axis, state.bait, stale);
  };
  axis.onChange(drawBench);

  const showFaults = (faults: Fault[]): void => {
    for (const old of document.querySelectorAll(".fault")) old.remove();
    const values = [...sentence.values, questions.asked];
    for (const fault of faults) {
      const at = values.find((one) => fault.pointer === one.pointer) ?? values.find((one) => fault.pointer.startsWith(`${one.pointer}/`));
      const words = el("span", { class: "fault" }, ` ${fault.detail}`);
      if (at) at.element.append(words);
      else byId("sentence").append(words);
      if (at && byId("rest").contains(at.element)) (byId("also") as HTMLDetailsElement).open = true;
    }
  };

  const estimates = new Newest<Request>(async (request, signal) => {
    const asked = performance.now();
    try {
      const bait = await call<Bait>("POST", "/v1/estimates", request, { signal });
      if (signal.aborted) return;
      state.bait = bait;
      const wasStale = stale;
      answered = request;
      stale = false;
      document.body.dataset["estimateMs"] = (performance.now() - asked).toFixed(1);
      document.body.dataset["bait"] = bait.id;
      news(state.unread);
      showFaults([]);
      show(bait);
      if (wasStale) settled();
    } catch (reason) {
      if (!(reason instanceof Problem)) throw reason;
      stale = true;
      drawBench();
      window.clearTimeout(settling);
      if (reason.passing) {
        away(reason, () => state.request === request && estimates.offer(request));
        return;
      }
      showFaults(reason.faults.length ? reason.faults : [{ pointer: "", detail: reason.message }]);
      news(state.bait ? "Such a bait cannot be; the figures and the bait shown are those of the last that could." : "The bait in the address cannot be; change what is marked.");
      tell(reason.message);
    }
  }, 250);

  const show = (bait: Bait): void => {
    stage.figures(bait.metrics);
    drawBench();
    byId("weakest").textContent = weakestInWords(bait.metrics);
    sentence.refresh();
    questions.show(bait);
    front.show(bait);
    slip.show(bait);
    files.show(bait);
    byId("cautions").replaceChildren(...bait.cautions.map((one) => el("li", {}, one)));
    byId("judgement").replaceChildren(el("details", {}, el("summary", {}, "how far these numbers can be trusted"), ...bait.metrics.judgement.map((one) => el("p", {}, one))));
  };

  // Coarse at once, in full once nothing has changed for a while: the outline of a bead is then round.
  let finer = 0;
  const refine = (request: Request): void => {
    window.clearTimeout(finer);
    finer = window.setTimeout(async () => {
      try {
        const bait = await call<Bait>("POST", "/v1/baits", { ...request, outputs: ["glb"] }, { wait: 20 });
        if (state.request === request && bait.status === "successful") await stage.show(bait, new AbortController().signal);
      } catch {
        // The coarse one stays; the next change asks again.
      }
    }, REFINED_MS);
  };

  const solids = new Newest<Request>(async (request, signal) => {
    // Not waited for at first: a browser that draws nothing is found out while the solid is made.
    const { flat } = stage;
    const outputs = flat ? ["thumbnail"] : ["glb"];
    try {
      stage.say(byId("stage").dataset["shows"] ? "" : "The solid is being made …");
      let bait = await call<Bait>("POST", "/v1/baits", { ...request, detail: "coarse", outputs }, { wait: 20, signal });
      while (bait.status === "accepted" || bait.status === "running") bait = await call<Bait>("GET", bait.links.self, undefined, { wait: 20, signal });
      if (signal.aborted) return;
      if (bait.status !== "successful") {
        stage.say(bait.problem?.detail ?? `The solid ended ${bait.status}.`);
        return;
      }
      await drawing;
      await stage.show(bait, signal);
      if (stage.flat) {
        if (!flat) solids.offer(state.request);
        return;
      }
      stage.say("");
      refine(request);
    } catch (reason) {
      if (!(reason instanceof Problem)) throw reason;
      if (reason.passing) {
        stage.say("The solid is of an earlier bait: the service is away or busy.");
        window.setTimeout(() => state.request === request && solids.offer(request), Math.max(AGAIN_MS, reason.retryAfter * 1000));
      }
    }
  }, 1500);

  let settling = 0;
  // No solid is asked for of a bait that cannot be: its estimate says so first.
  const settled = (): void => {
    if (answered === state.request) solids.offer(state.request);
    else if (!stale) settling = window.setTimeout(settled, SETTLED_MS / 4);
  };
  const ask = (): void => {
    estimates.offer(state.request);
    window.clearTimeout(settling);
    window.clearTimeout(finer);
    settling = window.setTimeout(settled, SETTLED_MS);
  };
  state.onChange(ask);
  sentence.refresh();
  estimates.offer(state.request);
  solids.offer(state.request);
  begin();
}

function news(sentence: string): void {
  const line = byId("news");
  line.textContent = sentence;
  line.hidden = !sentence;
}

function away(problem: Problem, again: () => void): void {
  const after = Math.max(AGAIN_MS, problem.retryAfter * 1000);
  const why = problem.status === 429 ? "That was as much as may be asked in a minute." : problem.status === 503 ? "The service is busy or not ready." : problem.brief ? "The service is away." : problem.message;
  news(`${why} What is shown is from before; asking again every ${Math.round(after / 1000)} seconds.`);
  window.setTimeout(again, after);
}

/** The same call until it is answered. */
async function patiently<T>(ask: () => Promise<T>): Promise<T> {
  for (;;) {
    try {
      const answer = await ask();
      news("");
      return answer;
    } catch (reason) {
      if (!(reason instanceof Problem) || !reason.brief) {
        news(reason instanceof Problem ? reason.message : "The page met a fault of its own.");
        throw reason;
      }
      await new Promise<void>((resolve) => away(reason, resolve));
    }
  }
}

// Another address put in by hand is another bait; what the page writes itself does not come here.
window.addEventListener("hashchange", () => location.reload());
void start();
