// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Undo and redo over the whole job: each step keeps the document as it was. Keystrokes in one field,
// close together in time, are one step.

export type Step<T> = { doc: T; what: string };
export type History<T> = {
  doc: T;
  past: Step<T>[];
  future: Step<T>[];
  lastKey: string; // of the edit that may still grow
  lastTime: number; // of it, ms
};

const JOIN_MS = 1500;
const MOST_STEPS = 500;

export function startHistory<T>(doc: T): History<T> {
  return { doc, past: [], future: [], lastKey: "", lastTime: 0 };
}

export function pushEdit<T>(h: History<T>, doc: T, edit: { what: string; key: string; time: number }): History<T> {
  const joins = edit.key !== "" && edit.key === h.lastKey && edit.time - h.lastTime < JOIN_MS;
  const past = joins ? h.past : [...h.past, { doc: h.doc, what: edit.what }].slice(-MOST_STEPS);
  return { doc, past, future: [], lastKey: edit.key, lastTime: edit.time };
}

export function undoEdit<T>(h: History<T>): History<T> {
  const step = h.past[h.past.length - 1];
  if (step === undefined) {
    return h;
  }
  const future = [{ doc: h.doc, what: step.what }, ...h.future];
  return { doc: step.doc, past: h.past.slice(0, -1), future, lastKey: "", lastTime: 0 };
}

export function redoEdit<T>(h: History<T>): History<T> {
  const step = h.future[0];
  if (step === undefined) {
    return h;
  }
  const past = [...h.past, { doc: h.doc, what: step.what }];
  return { doc: step.doc, past, future: h.future.slice(1), lastKey: "", lastTime: 0 };
}
