// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// First visit: six big questions with a good guess in each, and an estimate with its honest spread.
import { useEffect, useState } from "preact/hooks";
import { api, type Answer } from "../api";
import { comparedWith } from "../answers";
import { firstLoop, type Loop } from "../design";
import { ERAS, GROUNDS, jobOf, LANDS, type GroundId, type LandId, type LossFromBill, type Variant, type Visit } from "../guess";
import { workOf } from "../plans";
import { currency, lists, loadList, mode, openDoc, system } from "../state";
import { fieldText, printMoney, printQuantity, toSi, unitOf } from "../units";

const VARIANTS: Variant[] = ["hopeful", "likely", "cautious"];

type Spread = Partial<Record<Variant, Answer>>;

/** Design loss scaled by the bill over the cost that the program finds for the present heating. */
function lossFromBill(likely: Answer, v: Visit): LossFromBill | null {
  const now = comparedWith(likely.design, v.present);
  if (v.bill === null || v.bill <= 0 || now === undefined || now.energy_cost_cents <= 0) {
    return null;
  }
  return { loss_w: (likely.design.house.design_loss_w * v.bill * 100) / now.energy_cost_cents };
}

async function estimate(v: Visit): Promise<{ spread: Spread; bill: LossFromBill | null }> {
  const likely = await api.design(jobOf(v, "likely", null));
  const bill = lossFromBill(likely, v);
  const found = await Promise.all(
    VARIANTS.map((x) => (x === "likely" && bill === null ? likely : api.design(jobOf(v, x, bill)))),
  );
  return { spread: Object.fromEntries(VARIANTS.map((x, i) => [x, found[i]])) as Spread, bill };
}

const loopOf = (a: Answer | undefined): Loop | undefined => (a === undefined ? undefined : a.design.loops[firstLoop(a.design)]);

function SpreadRow({
  title,
  spread,
  of,
  print,
}: {
  title: string;
  spread: Spread;
  of: (a: Answer) => number | null;
  print: (x: number) => string;
}) {
  const values = VARIANTS.map((x) => spread[x])
    .map((a) => (a === undefined ? null : of(a)))
    .filter((x): x is number => x !== null);
  if (values.length === 0) {
    return null;
  }
  const likely = spread.likely === undefined ? null : of(spread.likely);
  const [low, high] = [Math.min(...values), Math.max(...values)];
  const top = Math.max(high * 1.15, 1e-9);
  return (
    <div class="spread-row">
      <h3>{title}</h3>
      <p class="sentence">
        <strong>{likely === null ? "not known" : print(likely)}</strong>
      </p>
      <span class="whisker wide" aria-hidden="true">
        <i class="span" style={{ left: `${(low / top) * 100}%`, width: `${((high - low) / top) * 100}%` }} />
        {likely !== null && <i class="typical" style={{ left: `${(likely / top) * 100}%` }} />}
      </span>
      <p class="spread-range">
        between {print(low)} and {print(high)}
      </p>
    </div>
  );
}

function Question({ n, title, children }: { n: number; title: string; children: preact.ComponentChildren }) {
  return (
    <fieldset class="question">
      <legend>
        <span class="question-number">{n}</span>
        {title}
      </legend>
      {children}
    </fieldset>
  );
}

function Options<T extends string>({
  value,
  all,
  onPick,
  name,
}: {
  value: T;
  all: [T, string][];
  onPick: (x: T) => void;
  name: string;
}) {
  return (
    <div class="options">
      {all.map(([id, text]) => (
        <label key={id} class={value === id ? "option picked" : "option"}>
          <input type="radio" name={name} checked={value === id} onChange={() => onPick(id)} />
          {text}
        </label>
      ))}
    </div>
  );
}

const START: Visit = {
  station: "halifax",
  floor_area_m2: 185,
  storeys: 2,
  era: "unsure",
  present: "oil_old",
  bill: null,
  land: "garden",
  ground: "unsure",
};

function Questions({ v, set }: { v: Visit; set: (part: Partial<Visit>) => void }) {
  const unit = unitOf("area", system.value);
  return (
    <div class="questions">
      <Question n={1} title="Where is it? The nearest climate station">
        <select aria-label="Climate station" value={v.station} onChange={(e) => set({ station: e.currentTarget.value })}>
          {(lists.value["stations"] ?? []).map((r) => (
            <option key={String(r["id"])} value={String(r["id"])}>{`${r["name"]}, ${r["region"]}`}</option>
          ))}
        </select>
      </Question>
      <Question n={2} title="How large is it, with its heated basement?">
        <span class="with-unit">
          <input
            type="text"
            inputMode="decimal"
            aria-label="Heated floor area"
            value={fieldText(v.floor_area_m2, unit)}
            onChange={(e) => {
              const x = toSi(Number(e.currentTarget.value), unit);
              if (x >= 30 && x <= 2000) set({ floor_area_m2: x });
            }}
          />
          <span class="unit">{unit.label}</span>
        </span>
        <Options
          name="storeys"
          value={String(v.storeys)}
          all={[
            ["1", "one storey"],
            ["2", "two storeys"],
            ["3", "three storeys"],
          ]}
          onPick={(x) => set({ storeys: Number(x) })}
        />
      </Question>
      <Question n={3} title="When was it built?">
        <Options
          name="era"
          value={String(v.era)}
          all={[...ERAS.map((e, i): [string, string] => [String(i), e.label]), ["unsure", "not sure"]]}
          onPick={(x) => set({ era: x === "unsure" ? "unsure" : Number(x) })}
        />
      </Question>
      <Question n={4} title="What heats it now, and what did last year cost?">
        <select aria-label="Present heating" value={v.present} onChange={(e) => set({ present: e.currentTarget.value })}>
          {(lists.value["alternatives"] ?? [])
            .filter((r) => r["key"] !== "ground_source")
            .map((r) => (
              <option key={String(r["key"])} value={String(r["key"])}>
                {String(r["name"])}
              </option>
            ))}
        </select>
        <span class="with-unit">
          <span class="unit">{currency.value}</span>
          <input
            type="text"
            inputMode="decimal"
            aria-label="Last year's bill, if known"
            placeholder="not known"
            value={v.bill === null ? "" : String(v.bill)}
            onChange={(e) => {
              const x = Number(e.currentTarget.value.replace(/[, ]/g, ""));
              set({ bill: e.currentTarget.value.trim() !== "" && x > 0 ? x : null });
            }}
          />
          <span class="unit">a year</span>
        </span>
      </Question>
      <Question n={5} title="How much land is free?">
        <Options
          name="land"
          value={v.land}
          all={Object.entries(LANDS).map(([k, x]): [LandId, string] => [k as LandId, x.label])}
          onPick={(x) => set({ land: x })}
        />
      </Question>
      <Question n={6} title="What is the ground?">
        <Options
          name="ground"
          value={v.ground}
          all={[
            ...Object.entries(GROUNDS).map(([k, x]): [GroundId | "unsure", string] => [k as GroundId, x.label]),
            ["unsure", "not sure"],
          ]}
          onPick={(x) => set({ ground: x })}
        />
      </Question>
    </div>
  );
}

export function FirstVisit() {
  const [v, setVisit] = useState<Visit>(START);
  const [result, setResult] = useState<{ spread: Spread; bill: LossFromBill | null } | null>(null);
  const [fault, setFault] = useState<string | null>(null);
  const [busy, setBusy] = useState(false);
  useEffect(() => {
    void loadList("stations");
    void loadList("alternatives");
  }, []);
  useEffect(() => {
    let current = true;
    setBusy(true);
    estimate(v)
      .then((r) => {
        if (current) {
          setResult(r);
          setFault(null);
        }
      })
      .catch((e: unknown) => {
        if (current) setFault(e instanceof Error ? e.message : "No answer.");
      })
      .finally(() => {
        if (current) setBusy(false);
      });
    return () => {
      current = false;
    };
  }, [v]);
  const s = system.value;
  const c = currency.value;
  const likely = result?.spread.likely;
  const best = loopOf(likely);
  const open = (): void => {
    if (result !== null) openDoc(jobOf(v, "likely", result.bill), null);
  };
  return (
    <main class="visit" aria-label="First visit">
      <header class="visit-head">
        <h1>First visit</h1>
        <p>Six questions. Each guess can stay; each answer you know narrows the estimate.</p>
        <span class="spacer" />
        <button type="button" class="quiet" onClick={() => (mode.value = "sheet")}>
          Back to the sheet
        </button>
      </header>
      <Questions v={v} set={(part) => setVisit({ ...v, ...part })} />
      <section
        class={busy && result !== null ? "estimate-side stale" : "estimate-side"}
        aria-label="Estimate"
        aria-live="polite"
        aria-busy={busy}
      >
        <h2>The estimate so far</h2>
        {fault !== null && <p class="fault">{fault}</p>}
        {result === null ? (
          <p class="empty">Working out the first estimate.</p>
        ) : (
          <>
            <SpreadRow
              title="Heat loss on the coldest day (design load)"
              spread={result.spread}
              of={(a) => a.design.house.design_loss_w}
              print={(x) => printQuantity(x, "heat", s)}
            />
            <SpreadRow
              title={best?.plan.kind === "trench" ? "Trench to dig" : "Drilling"}
              spread={result.spread}
              of={(a) => {
                const l = loopOf(a);
                return l === undefined || l.plan.kind !== best?.plan.kind ? null : workOf(l.plan).length_m;
              }}
              print={(x) => printQuantity(x, "length", s, 0)}
            />
            <SpreadRow
              title="Installed"
              spread={result.spread}
              of={(a) => loopOf(a)?.estimate.total.typical_cents ?? null}
              print={(x) => printMoney(Math.round(x / 10000) * 10000, c)}
            />
            <SpreadRow
              title="Energy for a year"
              spread={result.spread}
              of={(a) => loopOf(a)?.electricity_year_cents ?? null}
              print={(x) => printMoney(x, c)}
            />
            <SpreadRow
              title="Now, by the same loads"
              spread={result.spread}
              of={(a) => comparedWith(a.design, v.present)?.energy_cost_cents ?? null}
              print={(x) => printMoney(x, c)}
            />
            {result.bill !== null && (
              <p class="hint">The house is scaled so that last year's bill comes out; the guess by age is no longer used.</p>
            )}
            {likely?.stands === false && (
              <p class="fault">No loop holds its limits with these guesses: {likely.because ?? "see the checks on the sheet"}.</p>
            )}
          </>
        )}
        <button type="button" class="main-button" disabled={result === null} onClick={open}>
          Open it on the sheet
        </button>
        <p class="aid">
          Guesses by age and kind of ground: common practice, no source. Prices are for demonstration until you name your own
          price book.
        </p>
      </section>
    </main>
  );
}
