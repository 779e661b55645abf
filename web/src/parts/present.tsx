// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// For the client: the same drawings without inputs, one thought at a time. Arrow keys step.
import { useEffect, useState } from "preact/hooks";
import { comparedWith, printMoment } from "../answers";
import { isDig, type Design, type Loop } from "../design";
import { currency, design, doc, loop, mode, system } from "../state";
import { printMoney, printNumber, printQuantity } from "../units";
import { compareKey } from "./answer";
import { YearBars } from "./costs";
import { planSentence } from "../plans";
import { LossBars, PART_NAME } from "./house";
import { LotPlan } from "./lot";
import { Section } from "./section";
import { Strip } from "./strip";

type Slide = { title: string; text: string; body: preact.ComponentChildren };

function slidesFor(d: Design, l: Loop): Slide[] {
  const s = system.value;
  const m = (x: number): string => printQuantity(x, "length", s, 0);
  const top = [...d.house.components].sort((a, b) => b.loss_w - a.loss_w)[0];
  const other = comparedWith(d, compareKey());
  const money = (x: number): string => printMoney(x, currency.value);
  const water = l.entering_water;
  const p = l.plan;
  const what = planSentence(p, s).replaceAll("**", "");
  const ground = l.land_length_m > 0 ? ` It takes ${m(l.land_length_m)} by ${m(l.land_width_m)} of ground.` : "";
  const after = {
    bores: " Each is closed with grout over its full length.",
    trench: " Afterwards you see grass.",
    coil: " Afterwards you see grass.",
    mixed: " Afterwards you see grass.",
    pond: "",
    well: "",
  }[p.kind];
  return [
    {
      title: "Your house",
      text: `On the coldest day it needs ${printQuantity(d.house.design_loss_w, "heat", s)} of heat. Most of it is lost through: ${PART_NAME[top?.name ?? ""] ?? top?.name ?? "the walls"}.`,
      body: <LossBars />,
    },
    {
      title: "Your lot",
      text: `${what}${ground}${after}`,
      body: (
        <div class={`lot-picture lot-${isDig(p) ? "trench" : "bores"}`}>
          <LotPlan />
          <Section />
        </div>
      ),
    },
    {
      title: "What happens in the ground",
      text: `The water that comes back from the ground is ${printQuantity(water.coldest.degc, "temperature", s)} at its coldest, in ${printMoment(water.coldest)}. Every summer the ground warms up again.`,
      body: <Strip />,
    },
    {
      title: "What it costs, against what you burn now",
      text:
        other === undefined
          ? `Energy costs ${money(l.electricity_year_cents)} a year.`
          : `Energy costs ${money(l.electricity_year_cents)} a year instead of ${money(other.energy_cost_cents)}. Each unit of electricity brings ${printNumber(l.heating_spf, 1)} units of heat.`,
      body: <YearBars plain />,
    },
    {
      title: "What happens next",
      text: `Installing it costs about ${money(Math.round(l.estimate.total.typical_cents / 10000) * 10000)}; the offer will say exactly.`,
      body: (
        <ol class="next">
          <li>We measure the house and the lot, and look for buried pipes and cables.</li>
          <li>A designer answers for the design; the town gets the drawings and gives the permit.</li>
          <li>
            We{" "}
            {
              {
                bores: "drill and grout",
                trench: "dig and lay the pipe",
                coil: "dig and lay the pipe",
                mixed: "drill, dig and lay the pipe",
                pond: "sink the pipe",
                well: "make the well ready",
              }[p.kind]
            }
            , test it with water under pressure, and fill it.
          </li>
          <li>The heat pump is set and started; electrical and refrigerant work is for licensed trades.</li>
          <li>You get a record of what is in the ground and where, for the next fifty years.</li>
        </ol>
      ),
    },
  ];
}

export function Present() {
  const [at, setAt] = useState(0);
  const d = design.value;
  const l = loop.value;
  const slides = d === null || l === null ? [] : slidesFor(d, l);
  const go = (by: number): void => setAt((i) => Math.min(slides.length - 1, Math.max(0, i + by)));
  useEffect(() => {
    const onKey = (e: KeyboardEvent): void => {
      if (e.key === "Escape") mode.value = "sheet";
      if (e.target instanceof Element && e.target.closest("[role=slider]") !== null) return;
      if (e.key === "ArrowRight" || e.key === "PageDown" || e.key === " ") {
        e.preventDefault();
        go(1);
      }
      if (e.key === "ArrowLeft" || e.key === "PageUp") {
        e.preventDefault();
        go(-1);
      }
    };
    addEventListener("keydown", onKey);
    return () => removeEventListener("keydown", onKey);
  });
  const slide = slides[at];
  return (
    <main class="present" aria-label="Presentation">
      <header class="present-head">
        <p>{String(doc.value["name"] ?? "")}</p>
        <span class="spacer" />
        <button type="button" class="quiet" onClick={() => (mode.value = "sheet")}>
          Close
        </button>
      </header>
      {slide === undefined ? (
        <p class="empty">There is no answer to show yet. Close this and mend the inputs first.</p>
      ) : (
        <section class="slide" aria-live="polite">
          <h1>{slide.title}</h1>
          <p class="slide-text">{slide.text}</p>
          <div class="slide-body">{slide.body}</div>
        </section>
      )}
      <footer class="present-foot">
        <button type="button" class="quiet" disabled={at === 0} onClick={() => go(-1)}>
          Back
        </button>
        <ol class="dots">
          {slides.map((x, i) => (
            <li key={x.title}>
              <button type="button" aria-current={i === at ? "step" : undefined} onClick={() => setAt(i)}>
                {x.title}
              </button>
            </li>
          ))}
        </ol>
        <button type="button" class="quiet" disabled={at >= slides.length - 1} onClick={() => go(1)}>
          Next
        </button>
      </footer>
    </main>
  );
}
