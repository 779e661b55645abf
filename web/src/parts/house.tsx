// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Where the house loses its heat on the coldest design day, part by part.
import { csvText, fileName, saveFile } from "../csv";
import { design, system } from "../state";
import { printQuantity } from "../units";
import { KIND_WORD } from "../words";
import { Bar, Picture } from "./bars";

export const PART_NAME: Record<string, string> = { infiltration: "air leaks (infiltration)" };

/** What a part is, unless its name says so already. */
function kindWord(name: string, kind: string): string {
  const word = KIND_WORD[kind] ?? kind.replaceAll("_", " ");
  const said = name.toLowerCase();
  return said.includes(word) || /attic|basement|slab|infiltration|ventilation/.test(said) ? "" : word;
}

export function LossBars() {
  const d = design.value;
  if (d === null) {
    return null;
  }
  const rows = d.house.components.filter((c) => Math.abs(c.loss_w) >= 0.5).sort((a, b) => b.loss_w - a.loss_w);
  const most = Math.max(...rows.map((c) => Math.abs(c.loss_w)), 1);
  const s = system.value;
  return (
    <table class="losses">
      <thead class="unseen">
        <tr>
          <th scope="col">Part</th>
          <th scope="col">Heat loss</th>
          <th scope="col">Share</th>
        </tr>
      </thead>
      <tbody>
        {rows.map((c, i) => (
          <tr key={i}>
            <th scope="row">
              {PART_NAME[c.name] ?? c.name} <span class="term">{kindWord(c.name, c.kind)}</span>
            </th>
            <td>
              <Bar part={Math.abs(c.loss_w) / most} kind={i === 0 ? "own" : c.loss_w < 0 ? "negative" : "plain"} />
              <span class="figure">{printQuantity(c.loss_w, "heat", s)}</span>
            </td>
            <td class="right figure">{printQuantity(c.loss_w / d.house.design_loss_w, "share", s)}</td>
          </tr>
        ))}
      </tbody>
    </table>
  );
}

export function HousePicture() {
  const d = design.value;
  if (d === null) {
    return (
      <Picture title="Heat loss of the house">
        <p class="empty">No answer yet. Mend the inputs marked in the list on the left.</p>
      </Picture>
    );
  }
  const s = system.value;
  const save = (): void =>
    saveFile(
      fileName(d.job, "-losses.csv"),
      csvText(
        ["part", "kind", "loss W", "gain W"],
        d.house.components.map((c) => [c.name, c.kind, c.loss_w, c.gain_w]),
      ),
    );
  return (
    <Picture
      title={
        <>
          Heat loss <span class="term">(design load)</span>: <b>{printQuantity(d.house.design_loss_w, "heat", s)}</b>
        </>
      }
      note={`At ${printQuantity(d.house.heating_outdoor_degc, "temperature", s)} outside. Over a year the house takes ${printQuantity(d.house.heating_j, "energy", s, 0)} of heat and ${printQuantity(d.house.cooling_j, "energy", s, 0)} of cooling.`}
      tools={
        <button type="button" class="quiet" onClick={save}>
          CSV
        </button>
      }
    >
      <LossBars />
      <p class="hint">The longest bar is where insulation or air-sealing pays first: a smaller loss is a smaller loop.</p>
    </Picture>
  );
}
