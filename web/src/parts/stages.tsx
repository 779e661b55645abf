// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The work in order: each stage says in words how far it is; choosing one opens its inputs beside the drawing.
import { useEffect, useRef } from "preact/hooks";
import { check, defaults, design, doc, faults, picture, stage } from "../state";
import { isWithin } from "../json";
import { plural, STAGES, type Stage } from "../words";
import { Part } from "./fields";
import { Mark } from "./marks";

export function stageStatus(s: Stage): { text: string; state: "holds" | "caution" | "fails" | null } {
  const inside = (path: string): boolean => s.parts.some((p) => isWithin(path, p));
  const wrong = faults.value.filter((f) => inside(f.path)).length;
  if (wrong > 0) {
    return { text: `${wrong} to settle`, state: "fails" };
  }
  if (s.id === "loops" && design.value !== null && design.value.best === null) {
    return { text: "none holds its limits", state: "fails" };
  }
  const odd = (check.value?.warnings ?? []).filter((w) => inside(w.path)).length;
  if (odd > 0) {
    return { text: `${odd} to look at`, state: "caution" };
  }
  const own = defaults.value.filter((d) => inside(d.path)).length;
  if (s.id !== "job" && s.parts.every((p) => doc.value[p] === undefined)) {
    return { text: "all defaults", state: null };
  }
  return own > 0 ? { text: `${plural(own, "default", "defaults")} in use`, state: null } : { text: "all stated", state: "holds" };
}

export function Stages() {
  const pick = (s: Stage): void => {
    stage.value = stage.value === s.id ? null : s.id;
    picture.value = s.picture;
  };
  return (
    <nav class="stages" aria-label="The work in order">
      <ol>
        {STAGES.map((s) => {
          const status = stageStatus(s);
          return (
            <li key={s.id}>
              <button type="button" class="stage" aria-expanded={stage.value === s.id} onClick={() => pick(s)}>
                <span class="stage-title">{s.title}</span>
                <span class={`stage-status${status.state === null ? "" : ` ${status.state}`}`}>
                  {status.state !== null && <Mark state={status.state} />}
                  {status.text}
                </span>
              </button>
            </li>
          );
        })}
      </ol>
    </nav>
  );
}

export function Inputs() {
  const open = STAGES.find((s) => s.id === stage.value);
  const panel = useRef<HTMLElement>(null);
  const at = STAGES.findIndex((s) => s.id === stage.value);
  useEffect(() => {
    panel.current?.scrollTo(0, 0);
    panel.current?.focus({ preventScroll: true });
  }, [stage.value]);
  if (open === undefined) {
    return null;
  }
  const go = (by: number): void => {
    const next = STAGES[at + by];
    if (next !== undefined) {
      stage.value = next.id;
      picture.value = next.picture;
    }
  };
  return (
    <section
      class="inputs"
      aria-label={`Inputs: ${open.title}`}
      ref={panel}
      tabIndex={-1}
      onKeyDown={(e) => {
        if (e.key === "Escape") stage.value = null;
      }}
    >
      <header>
        <h2>{open.title}</h2>
        <span class="spacer" />
        <button type="button" class="quiet" onClick={() => (stage.value = null)}>
          Close
        </button>
      </header>
      <p class="inputs-about">{open.about}</p>
      {open.parts.map((p) => (
        <Part key={`${open.id}-${p}`} name={p} />
      ))}
      <footer>
        <button type="button" class="quiet" disabled={at === 0} onClick={() => go(-1)}>
          {at > 0 ? `Back: ${STAGES[at - 1]?.title}` : "Back"}
        </button>
        <button type="button" class="quiet" disabled={at === STAGES.length - 1} onClick={() => go(1)}>
          {at < STAGES.length - 1 ? `Next: ${STAGES[at + 1]?.title}` : "Next"}
        </button>
      </footer>
    </section>
  );
}
