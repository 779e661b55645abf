// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// What the page knows: the job and its history, the last answer, and what the reader is looking at.
import { batch, computed, effect, signal } from "@preact/signals";
import { api, ApiError, type Answer, type Check, type Fault, type Head, type Row } from "./api";
import { coldestMonth, firstLoop, type Design, type Loop } from "./design";
import { pushEdit, redoEdit, startHistory, undoEdit, type History } from "./history";
import { getAt, isWithin, pathText, setAt, type Json, type JsonObject, type Path } from "./json";
import type { Schema } from "./schema";
import type { System } from "./units";
import { STAGES, type Picture, type StageId } from "./words";

export type Mode = "sheet" | "first" | "present";

const history = signal<History<JsonObject>>(startHistory<JsonObject>({}));

export const schema = signal<Schema | null>(null);
export const lists = signal<Record<string, Row[]>>({});
export const doc = computed(() => history.value.doc);
export const undoWhat = computed(() => history.value.past.at(-1)?.what ?? null);
export const redoWhat = computed(() => history.value.future[0]?.what ?? null);

export const head = signal<Head | null>(null); // of the stored job that is open
const savedDoc = signal<JsonObject | null>(null);
export const unsaved = computed(() => savedDoc.value !== doc.value);
export const readOnly = signal(false);

export const answer = signal<Answer | null>(null);
export const check = signal<Check | null>(null);
export const working = signal(false); // a design has been under way for a while
export const trouble = signal<string | null>(null); // why there is no new answer
export const notice = signal<string | null>(null);

export const system = signal<System>(localStorage.getItem("units") === "imperial" ? "imperial" : "metric");
export const theme = signal<"light" | "dark" | "system">((localStorage.getItem("theme") as "light" | "dark" | null) ?? "system");
const systemDark = matchMedia("(prefers-color-scheme: dark)");
const systemIsDark = signal(systemDark.matches);
systemDark.addEventListener("change", (e) => (systemIsDark.value = e.matches));
export const dark = computed(() => theme.value === "dark" || (theme.value === "system" && systemIsDark.value));
export const stage = signal<StageId | null>(null);
export const picture = signal<Picture>("lot");
export const mode = signal<Mode>("sheet");
export const jobsOpen = signal(false);
export const chosenLoop = signal<number | null>(null);
export const month = signal(0); // of the horizon, from 0

export const design = computed<Design | null>(() => answer.value?.design ?? null);
export const loopIndex = computed(() => {
  const d = design.value;
  if (d === null) return 0;
  const chosen = chosenLoop.value;
  return chosen !== null && chosen < d.loops.length ? chosen : firstLoop(d);
});
export const loop = computed<Loop | null>(() => design.value?.loops[loopIndex.value] ?? null);
export const currency = computed(() => {
  const said = doc.value["currency"];
  return typeof said === "string" && said !== "" ? said : "$";
});
const designFaults = signal<Fault[]>([]); // found only while designing, such as a file that is not there
export const faults = computed<Fault[]>(() => [...(check.value?.errors ?? []), ...designFaults.value]);
export const defaults = computed(() => {
  const checked = check.value?.defaults ?? [];
  return checked.length > 0 ? checked : (design.value?.notes.defaults ?? []);
});
export const stale = computed(() => faults.value.length > 0 || trouble.value !== null);

export function edit(path: Path, value: Json | undefined, what: string): void {
  const next = setAt(doc.value, path, value) as JsonObject;
  history.value = pushEdit(history.value, next, { what, key: pathText(path), time: Date.now() });
}

/** An edit that is a step of its own however soon it follows: adding, removing, choosing. */
export function editStep(path: Path, value: Json | undefined, what: string): void {
  history.value = pushEdit(history.value, setAt(doc.value, path, value) as JsonObject, { what, key: "", time: Date.now() });
}

export function replaceDoc(next: JsonObject, what: string): void {
  history.value = pushEdit(history.value, next, { what, key: "", time: Date.now() });
}

export const turnedBack = signal(0); // counts undo and redo: what is being typed gives way to them

export function undo(): void {
  history.value = undoEdit(history.value);
  turnedBack.value += 1;
}

export function redo(): void {
  history.value = redoEdit(history.value);
  turnedBack.value += 1;
}

export function valueAt(path: Path): Json | undefined {
  return getAt(doc.value, path);
}

let opened = 0; // counts the jobs opened: an answer for the one before is thrown away

export function openDoc(next: JsonObject, from: Head | null): void {
  opened += 1;
  batch(() => {
    history.value = startHistory(next);
    head.value = from;
    savedDoc.value = from === null ? null : next;
    chosenLoop.value = null;
    answer.value = null;
    check.value = null;
    designFaults.value = [];
    trouble.value = null;
    month.value = 0;
    jobsOpen.value = false;
    mode.value = "sheet";
  });
  if (from !== null) {
    localStorage.setItem("last", String(from.id));
  }
}

/** Opens the stage that holds a place of the job, and puts the cursor into its field. */
export function goTo(path: string): void {
  const at = STAGES.find((s) => s.parts.some((p) => isWithin(path, p)));
  if (at === undefined) {
    return;
  }
  stage.value = at.id;
  setTimeout(() => {
    const row = document.querySelector<HTMLElement>(`[data-path="${CSS.escape(path)}"]`);
    for (let up = row?.parentElement ?? null; up !== null; up = up.parentElement) {
      if (up instanceof HTMLDetailsElement) {
        up.open = true;
      }
    }
    row?.scrollIntoView({ block: "center" });
    row?.querySelector<HTMLElement>("input, select, textarea")?.focus();
  }, 60);
}

export async function openJob(id: number): Promise<void> {
  const found = await api.job(id);
  openDoc(found.job, found);
}

/** Saves; with `over` also over a revision that somebody else saved in between. */
export async function save(over = false): Promise<"saved" | "conflict" | "failed"> {
  const what = doc.value;
  try {
    const from = head.value;
    const now = from === null ? await api.create(what) : await api.save(from.id, what, over ? "*" : `"${from.revision}"`);
    batch(() => {
      head.value = now;
      savedDoc.value = what;
      notice.value = `Saved as revision ${now.revision}.`;
    });
    localStorage.setItem("last", String(now.id));
    return "saved";
  } catch (error) {
    if (error instanceof ApiError && error.status === 412) {
      return "conflict";
    }
    notice.value = error instanceof Error ? `Not saved: ${error.message}` : "Not saved.";
    return "failed";
  }
}

export async function loadList(name: string): Promise<void> {
  if (lists.value[name] === undefined) {
    lists.value = { ...lists.value, [name]: [] };
    const found = await api.list(name);
    lists.value = { ...lists.value, [name]: found.rows };
  }
}

const SLOW_MS = 900; // after which the sheet says that it is at work
const PAUSE_MS = 12; // lets edits of one turn come together

/** Checks the job; what is sound is then designed. */
async function runVerify(what: JsonObject): Promise<void> {
  try {
    const found = await api.verify(what);
    if (doc.value !== what) {
      return;
    }
    batch(() => {
      check.value = found;
      designFaults.value = [];
    });
    if (found.valid) {
      redesign(what);
    } else {
      trouble.value = INVALID;
    }
  } catch (error) {
    trouble.value = explain(error);
  }
}

const INVALID = "Some inputs need attention; the answers are those of the last good ones.";

function explain(error: unknown): string {
  if (error instanceof ApiError) {
    return error.message;
  }
  return "The program on this machine does not answer. Is it still running?";
}

async function runDesign(what: JsonObject): Promise<void> {
  const forJob = opened;
  const slow = setTimeout(() => (working.value = true), SLOW_MS);
  try {
    const found = await api.design(what);
    if (forJob !== opened) {
      return;
    }
    batch(() => {
      const first = answer.value === null;
      answer.value = found;
      trouble.value = faults.value.length > 0 ? INVALID : null;
      if (first && loop.value !== null) {
        month.value = coldestMonth(loop.value.entering_water.months_mean_least_greatest_degc);
      }
    });
  } catch (error) {
    if (forJob === opened) {
      batch(() => {
        designFaults.value = error instanceof ApiError && error.status === 422 ? error.faults : [];
        trouble.value = designFaults.value.length > 0 ? INVALID : explain(error);
      });
    }
  } finally {
    clearTimeout(slow);
    working.value = false;
  }
}

/**
 * Runs `work` on the latest document it was given: at once when idle, else when the one under way is done.
 * So typing never queues up, and the last keystroke is always answered.
 */
function latestOnly(work: (what: JsonObject) => Promise<void>): (what: JsonObject) => void {
  let busy = false;
  let next: JsonObject | null = null;
  const turn = async (): Promise<void> => {
    busy = true;
    while (next !== null) {
      const what: JsonObject = next;
      next = null;
      await work(what);
    }
    busy = false;
  };
  return (what) => {
    next = what;
    if (!busy) {
      void turn();
    }
  };
}

const verify = latestOnly(runVerify);
const redesign = latestOnly(runDesign);

/** From now on every change of the job is checked and designed anew. */
export function startWorking(): void {
  let timer = 0;
  effect(() => {
    const what = doc.value;
    if (what["groundwright"] === undefined) {
      return;
    }
    clearTimeout(timer);
    timer = window.setTimeout(() => verify(what), PAUSE_MS);
  });
  effect(() => localStorage.setItem("units", system.value));
  effect(() => {
    if (theme.value === "system") {
      localStorage.removeItem("theme");
      delete document.documentElement.dataset["theme"];
    } else {
      localStorage.setItem("theme", theme.value);
      document.documentElement.dataset["theme"] = theme.value;
    }
  });
}

/** Opens what the program was started with, else the last job of this browser, else an example. */
export async function openFirst(): Promise<void> {
  const [version, found] = await Promise.all([api.version(), api.schema()]);
  schema.value = found;
  readOnly.value = version.read_only;
  const last = Number(localStorage.getItem("last") ?? "0");
  const stored = version.open !== null ? [version.open] : [];
  for (const id of [...stored, ...(last > 0 ? [last] : [])]) {
    try {
      await openJob(id);
      return;
    } catch {
      // Gone: try the next.
    }
  }
  const jobs = await api.jobs("", false).catch(() => ({ jobs: [] as Head[] }));
  const newest = jobs.jobs[0];
  if (newest !== undefined) {
    await openJob(newest.id);
    return;
  }
  openDoc(await api.example("farmhouse").catch(() => api.starter()), null);
}
