// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The answer column: five sentences, each opening what stands behind it.
import { useState } from "preact/hooks";
import { answersOf, mattersOf, printVerdictNumber, verdictLimit, type AnswerLine, type Context, type Matter } from "../answers";
import type { Design, Loop, Verdict } from "../design";
import { getAt, isWithin } from "../json";
import {
  answer,
  chosenLoop,
  currency,
  defaults,
  design,
  doc,
  faults,
  goTo,
  loop,
  loopIndex,
  picture,
  stage,
  stale,
  system,
  trouble,
  working,
} from "../state";
import type { System } from "../units";
import { pathLabel, plural, STAGES, type Picture } from "../words";
import { Mark, Strong } from "./marks";
import { Sensitivity } from "./sensitivity";

export function compareKey(): string {
  const said = getAt(doc.value, ["money", "compare_with"]);
  return typeof said === "string" ? said : "oil_old";
}

export function contextOf(d: Design, l: Loop): Context & { compareKey: string } {
  return {
    design: d,
    loop: l,
    index: loopIndex.value,
    system: system.value,
    currency: currency.value,
    openFaults: faults.value.length,
    compareKey: compareKey(),
  };
}

export function currentMatters(c: Context): Matter[] {
  return mattersOf(c, faults.value, [...(answer.value?.warnings ?? []), ...c.design.notes.warnings]);
}

const isInput = (path: string): boolean => STAGES.some((s) => s.parts.some((p) => isWithin(path, p)));

export function VerdictRow({ v, s }: { v: Verdict; s: System }) {
  return (
    <li class="verdict">
      <span class="verdict-what">
        <Mark state={v.state} word /> {v.what.charAt(0).toUpperCase() + v.what.slice(1)}:{" "}
        <b>{printVerdictNumber(v, v.found, s)}</b>
        {verdictLimit(v, s) === "" ? "" : `, ${verdictLimit(v, s)}`}
      </span>
      {v.because !== null && <span class="because">{v.because}</span>}
    </li>
  );
}

function Defaults({ under }: { under: string[] }) {
  const own = defaults.value.filter((d) => under.some((p) => isWithin(d.path, p)));
  if (own.length === 0) {
    return null;
  }
  return (
    <details class="defaults">
      <summary>{plural(own.length, "default", "defaults")} under it</summary>
      <ul>
        {own.map((d) => (
          <li key={d.path}>
            <button type="button" class="link" onClick={() => goTo(d.path)}>
              {pathLabel(d.path)}
            </button>{" "}
            {d.value.replaceAll('"', "")}
          </li>
        ))}
      </ul>
    </details>
  );
}

function Matters({ list }: { list: Matter[] }) {
  if (list.length === 0) {
    return <p class="why-text">All limits hold, and nothing unusual was found in the job.</p>;
  }
  return (
    <ul class="matters">
      {list.map((m, i) => {
        return (
          <li key={i}>
            <Mark state={m.state} />
            <span>
              {m.path !== "" && <b>{pathLabel(m.path)}: </b>}
              {m.path === "" ? <b>{m.text.charAt(0).toUpperCase() + m.text.slice(1)}. </b> : m.text} {m.detail}
              {m.path !== "" && isInput(m.path) && (
                <>
                  {" "}
                  <button type="button" class="link" onClick={() => goTo(m.path)}>
                    Go there
                  </button>
                </>
              )}
            </span>
          </li>
        );
      })}
    </ul>
  );
}

function Why({ line, matters, cautions, d }: { line: AnswerLine; matters: Matter[]; cautions: string[]; d: Design }) {
  return (
    <div class="why">
      {line.id === "loop" && d.loops.length > 1 && (
        <div class="loop-choice" role="group" aria-label="Loop shown">
          {d.loops.map((x, i) => (
            <button key={x.name} type="button" aria-pressed={i === loopIndex.value} onClick={() => (chosenLoop.value = i)}>
              {x.name}
              {i === d.best ? " (best)" : ""}
            </button>
          ))}
        </div>
      )}
      {line.id === "settle" && <Matters list={matters} />}
      {line.verdicts.length > 0 && (
        <ul class="verdicts">
          {line.verdicts.map((v) => (
            <VerdictRow key={v.what} v={v} s={system.value} />
          ))}
        </ul>
      )}
      <dl class="numbers">
        {line.numbers.map(([k, v]) => (
          <div key={k}>
            <dt>{k}</dt>
            <dd>{v}</dd>
          </div>
        ))}
      </dl>
      <p class="why-text">
        {line.method} <span class="source">{line.source}</span>
      </p>
      {(line.id === "loop" || line.id === "water") && <Sensitivity />}
      <Defaults under={line.defaultsUnder} />
      {line.id === "settle" && (
        <>
          <h3>Cautions</h3>
          <ul class="cautions">
            {cautions.map((c) => (
              <li key={c}>{c}</li>
            ))}
          </ul>
        </>
      )}
    </div>
  );
}

const PICTURE_OF: Record<AnswerLine["id"], Picture | null> = {
  loop: "lot",
  water: "water",
  year: "cost",
  price: "cost",
  settle: null,
};

export function Answer() {
  const [open, setOpen] = useState<AnswerLine["id"] | null>(null);
  const [folded, setFolded] = useState(false);
  const d = design.value;
  const l = loop.value;
  if (d === null || l === null) {
    return (
      <aside class="answer" aria-label="The answer">
        <p class="empty">{trouble.value ?? "Working out the first answer."}</p>
        {faults.value.length > 0 && (
          <Matters list={faults.value.map((f) => ({ state: "fails", text: f.text, detail: "", path: f.path }))} />
        )}
      </aside>
    );
  }
  const c = contextOf(d, l);
  const matters = currentMatters(c);
  const lines = answersOf(c, matters);
  return (
    <aside class={`answer${stale.value ? " stale" : ""}${folded ? " folded" : ""}`} aria-label="The answer">
      <button type="button" class="fold quiet" aria-expanded={!folded} onClick={() => setFolded(!folded)}>
        {folded ? "Show all answers" : "Fold the answers"}
      </button>
      <div class="answer-state" role="status">
        {trouble.value !== null ? (
          <p class="stale-note">{trouble.value}</p>
        ) : working.value ? (
          <p class="working">Working it out anew</p>
        ) : null}
      </div>
      {lines.map((line) => {
        const shown = open === line.id;
        return (
          <section key={line.id} class={`line line-${line.id}`}>
            <h2>
              <button
                type="button"
                aria-expanded={shown}
                onClick={() => {
                  setOpen(shown ? null : line.id);
                  const p = PICTURE_OF[line.id];
                  if (!shown && p !== null && stage.value === null) picture.value = p;
                }}
              >
                <span class="line-title">
                  {line.state !== null && <Mark state={line.state} />}
                  {line.title}
                  <span class="why-word">{shown ? "close" : "why"}</span>
                </span>
                <span class="sentence">
                  <Strong text={line.sentence} />
                </span>
              </button>
            </h2>
            {shown && <Why line={line} matters={matters} cautions={d.notes.cautions} d={d} />}
          </section>
        );
      })}
      <p class="aid">Design aid, not a sealed design. Local codes overrule every default.</p>
    </aside>
  );
}
