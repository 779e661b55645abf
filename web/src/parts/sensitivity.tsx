// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// What moves the answer most: the program is asked for the design again with one input changed at a time.
// Nothing is estimated here; each number is the difference of two whole designs.
import { useState } from "preact/hooks";
import { api } from "../api";
import { getAt, setAt, type Json, type JsonObject, type Path } from "../json";
import { doc, loopIndex, system } from "../state";
import type { Loop } from "../design";
import { printQuantity, readQuantity } from "../units";

type Trial = { label: string; path: Path; values: [Json, Json] };
type Effect = { label: string; length_m: number; coldest_k: number };

function trialsFor(job: JsonObject, l: number): Trial[] {
  const number = (path: Path, otherwise: number): number => readQuantity(getAt(job, path)) ?? otherwise;
  const around = (label: string, path: Path, otherwise: number, by: number): Trial => {
    const at = number(path, otherwise);
    return { label, path, values: [at - by, at + by] };
  };
  const kind = getAt(job, ["loops", l, "kind"]) === "trench" ? "trench" : "bores";
  const place = kind === "trench" || getAt(job, ["ground", "rock"]) === undefined ? "soil" : "rock";
  const base = kind === "trench" ? { spacing: 3 } : { spacing: 6 };
  return [
    { label: "Ground at the low or high end of its class", path: ["ground", place, "level"], values: ["low", "high"] },
    around("Coldest water allowed, 1 °C (1.8 °F) either way", ["limits", "min_entering_degc"], -1, 1),
    around("Share of the heat loss met, 0.1 either way", ["plant", "share_of_design_loss"], 0.9, 0.1),
    around("Indoors in winter, 1 °C (1.8 °F) either way", ["house", "heating_setpoint_degc"], 21, 1),
    around(
      kind === "trench" ? "Trenches 1 m (3 ft) nearer or farther" : "Bores 1 m (3 ft) nearer or farther",
      ["loops", l, kind, "spacing_m"],
      base.spacing,
      1,
    ),
  ];
}

async function tryAll(job: JsonObject, index: number, report: (done: number, all: number) => void): Promise<Effect[]> {
  const trials = trialsFor(job, index);
  const loopOf = async (what: JsonObject): Promise<Loop | null> =>
    await api
      .design(what)
      .then((a) => a.design.loops[index] ?? null)
      .catch(() => null);
  const found: Effect[] = [];
  for (const [i, trial] of trials.entries()) {
    report(i, trials.length);
    const low = await loopOf(setAt(job, trial.path, trial.values[0]) as JsonObject);
    const high = await loopOf(setAt(job, trial.path, trial.values[1]) as JsonObject);
    if (low !== null && high !== null) {
      found.push({
        label: trial.label,
        length_m: Math.abs(high.length_m - low.length_m) / 2,
        coldest_k: Math.abs(high.entering_water.coldest.degc - low.entering_water.coldest.degc) / 2,
      });
    }
  }
  return found.sort((a, b) => b.length_m - a.length_m || b.coldest_k - a.coldest_k);
}

export function Sensitivity() {
  const [state, setState] = useState<{ job: JsonObject; text: string; effects: Effect[] } | null>(null);
  const job = doc.value;
  const s = system.value;
  const ask = async (): Promise<void> => {
    setState({ job, text: "Asking", effects: [] });
    const effects = await tryAll(job, loopIndex.value, (done, all) =>
      setState({ job, text: `Trying input ${done + 1} of ${all}`, effects: [] }),
    );
    setState({ job, text: "", effects });
  };
  const current = state !== null && state.job === job ? state : null;
  const most = Math.max(1e-9, ...(current?.effects ?? []).map((e) => e.length_m));
  if (current === null) {
    return (
      <button type="button" class="quiet" onClick={() => void ask()}>
        What moves it most?
      </button>
    );
  }
  return (
    <div class="effects" role="status">
      {current.text !== "" && <p>{current.text}</p>}
      {current.effects.slice(0, 3).map((e) => (
        <div key={e.label} class="effect">
          <span>{e.label}</span>
          <span class="bar" aria-hidden="true">
            <i style={{ width: `${(e.length_m / most) * 100}%` }} />
          </span>
          <b>
            {[
              e.length_m >= 0.5 ? `±${printQuantity(e.length_m, "length", s, 0)} of loop` : "",
              e.coldest_k >= 0.05 ? `±${printQuantity(e.coldest_k, "difference", s)} of coldest water` : "",
            ]
              .filter((x) => x !== "")
              .join(", ") || "hardly anything"}
          </b>
        </div>
      ))}
    </div>
  );
}
