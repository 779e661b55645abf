// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Every input of a job, made from its schema: unit, range, default and one sentence each, errors beside it.
import { createContext } from "preact";
import { useContext, useEffect, useId, useState } from "preact/hooks";
import { check, edit, editStep, faults, lists, loadList, schema, system, turnedBack, valueAt } from "../state";
import { getAt, isObject, isWithin, pathText, type Json, type JsonObject, type Path } from "../json";
import { blankFor, hasValue, kindOf, limitsOf, resolve, tableName, takesUnits, type Field } from "../schema";
import { fieldText, fieldValue, fromSi, quantityOf, readQuantity, trimNumber, unitOf } from "../units";
import { choiceLabel, fieldLabel, plural } from "../words";
import { api } from "../api";
import { Mark } from "./marks";

const Required = createContext(false);

type Props = { path: Path; field: Field };

const keyOf = (path: Path): string => {
  const last = path[path.length - 1];
  return typeof last === "string" ? last : String(path[path.length - 2] ?? "");
};

function unitFor(path: Path, field: Field) {
  return unitOf(takesUnits(field) ? quantityOf(field["x-unit"], keyOf(path)) : "plain", system.value);
}

function Faults({ path, id }: { path: Path; id: string }) {
  const at = pathText(path);
  const own = faults.value.filter((f) => f.path === at);
  const odd = (check.value?.warnings ?? []).filter((w) => w.path === at);
  return (
    <>
      {own.length > 0 && (
        <p class="fault" id={id}>
          {own.map((f) => f.text).join(" ")}
        </p>
      )}
      {odd.length > 0 && (
        <p class="odd">
          <Mark state="caution" /> {odd.map((w) => w.text).join(" ")}
        </p>
      )}
    </>
  );
}

function rangeText(path: Path, field: Field): string {
  const limits = limitsOf(field);
  if (limits === null) {
    return "";
  }
  const unit = unitFor(path, field);
  const [low, high] = limits.map((x) => trimNumber(Number(fromSi(x, unit).toPrecision(4))));
  return unit.prefix === true
    ? `${unit.label} ${low} to ${high}`
    : `${low} to ${high}${unit.label === "" ? "" : ` ${unit.label}`}`;
}

function defaultText(path: Path, field: Field): string {
  const value = field.default;
  if (value === undefined || value === null) {
    return "";
  }
  const si = takesUnits(field) ? readQuantity(value) : null;
  return si === null ? choiceLabel(String(value)) : fieldText(si, unitFor(path, field));
}

function NumberField({ path, field, id, describe }: Props & { id: string; describe: string }) {
  const value = valueAt(path);
  const unit = unitFor(path, field);
  const si = takesUnits(field) ? readQuantity(value) : null;
  const shown = value === undefined ? "" : si !== null && unit.label !== "" ? fieldText(si, unit) : String(value);
  const [draft, setDraft] = useState<string | null>(null);
  const invalid = faults.value.some((f) => f.path === pathText(path));
  const type = (text: string): void => {
    setDraft(text);
    edit(path, takesUnits(field) ? fieldValue(text, unit) : plainNumber(text), fieldLabel(keyOf(path)));
  };
  // Undo, redo and another unit take the place of what is being typed.
  useEffect(() => setDraft(null), [system.value, turnedBack.value]);
  return (
    <span class="with-unit">
      {unit.prefix === true && (
        <span class="unit" aria-hidden="true">
          {unit.label === "R" ? "R-" : "RSI"}
        </span>
      )}
      <input
        id={id}
        type="text"
        inputMode={takesUnits(field) ? "text" : "decimal"}
        autocomplete="off"
        spellcheck={false}
        value={draft ?? shown}
        placeholder={defaultText(path, field)}
        aria-invalid={invalid}
        aria-describedby={describe}
        onInput={(e) => type(e.currentTarget.value)}
        onBlur={() => setDraft(null)}
      />
      {unit.prefix !== true && unit.label !== "" && (
        <span class="unit" aria-hidden="true">
          {unit.label}
        </span>
      )}
    </span>
  );
}

function plainNumber(text: string): Json | undefined {
  const trimmed = text.trim();
  if (trimmed === "") {
    return undefined;
  }
  const number = Number(trimmed.replace(",", "."));
  return Number.isFinite(number) ? number : trimmed;
}

function useTable(field: Field): { id: string; name: string }[] {
  const name = tableName(field);
  useEffect(() => void (name !== "" && loadList(name)), [name]);
  const seen = new Map<string, string>();
  for (const row of lists.value[name] ?? []) {
    const id = String(row["id"] ?? row["key"] ?? "");
    if (id !== "" && !seen.has(id)) {
      seen.set(id, String(row["name"] ?? row["region"] ?? choiceLabel(id)));
    }
  }
  return [...seen].map(([id, text]) => ({ id, name: text }));
}

const LOOP_OBJECTS = ["bores", "trench", "coil", "pond", "well", "parts"];
const LOOP_KINDS = ["bores", "trench", "coil", "pond", "well", "mixed"];
const objectOf = (kind: string): string => (kind === "mixed" ? "parts" : kind);

/** What a loop of that kind begins with: the least that can be designed, to be edited. */
function firstObject(kind: string): Json {
  const begun: JsonObject = {
    bores: { count: 4 },
    trench: { count: 4 },
    coil: { count: 4 },
    pond: { area_m2: 2000, depth_m: 4, bundles: 4 },
    well: { yield_m3_s: "10 gpm", static_level_m: 8, pump_depth_m: 30 },
    mixed: [
      { kind: "bores", free: "length", bores: { count: 2 } },
      { kind: "trench", trench: { count: 1, length_m: 30 } },
    ],
  };
  return begun[kind] ?? {};
}

/** Another kind of loop brings its own object in place of the other one. */
function choose(path: Path, value: string | undefined): void {
  const owner = path.slice(0, -1);
  const loop = valueAt(owner);
  const isLoopKind = (kind: unknown): kind is string => typeof kind === "string" && LOOP_KINDS.includes(kind);
  if (path[0] === "loops" && keyOf(path) === "kind" && isObject(loop) && isLoopKind(value)) {
    const rest = Object.fromEntries(Object.entries(loop).filter(([key]) => !LOOP_OBJECTS.includes(key)));
    const key = objectOf(value);
    editStep(owner, { ...rest, kind: value, [key]: loop[key] ?? firstObject(value) }, "Kind of loop");
    return;
  }
  editStep(path, value, fieldLabel(keyOf(path)));
}

function ChoiceField({ path, field, id, describe }: Props & { id: string; describe: string }) {
  const table = useTable(field);
  const value = valueAt(path);
  const options = field.enum !== undefined ? field.enum.map((x) => ({ id: x, name: choiceLabel(x) })) : table;
  const known = typeof value !== "string" || value === "" || options.some((o) => o.id === value);
  const fallback =
    field.default === undefined
      ? "not stated"
      : `${options.find((o) => o.id === field.default)?.name ?? choiceLabel(String(field.default))} (default)`;
  return (
    <select
      id={id}
      aria-describedby={describe}
      aria-invalid={faults.value.some((f) => f.path === pathText(path))}
      value={typeof value === "string" ? value : ""}
      onChange={(e) => choose(path, e.currentTarget.value === "" ? undefined : e.currentTarget.value)}
    >
      <option value="">{fallback}</option>
      {!known && <option value={String(value)}>{String(value)}</option>}
      {options.map((o) => (
        <option key={o.id} value={o.id}>
          {o.name}
        </option>
      ))}
    </select>
  );
}

function SwitchField({ path, field, id, describe }: Props & { id: string; describe: string }) {
  const value = valueAt(path);
  const text = value === true ? "yes" : value === false ? "no" : "";
  const yes = field.default === true;
  return (
    <select
      id={id}
      aria-describedby={describe}
      value={text}
      onChange={(e) =>
        editStep(path, e.currentTarget.value === "" ? undefined : e.currentTarget.value === "yes", fieldLabel(keyOf(path)))
      }
    >
      <option value="">{yes ? "yes (default)" : "no (default)"}</option>
      <option value="yes">yes</option>
      <option value="no">no</option>
    </select>
  );
}

function TextField({ path, field, id, describe }: Props & { id: string; describe: string }) {
  const value = valueAt(path);
  const type = (text: string): void =>
    edit(path, text === "" && !["name", "notes"].includes(keyOf(path)) ? undefined : text, fieldLabel(keyOf(path)));
  const common = {
    id,
    value: typeof value === "string" ? value : "",
    "aria-describedby": describe,
    placeholder: field.format === "date" ? "2026-11-25" : defaultText(path, field),
    "aria-invalid": faults.value.some((f) => f.path === pathText(path)),
  };
  return keyOf(path) === "notes" ? (
    <textarea rows={7} {...common} onInput={(e) => type(e.currentTarget.value)} />
  ) : (
    <>
      <input type="text" autocomplete="off" {...common} onInput={(e) => type(e.currentTarget.value)} />
      {FILES.has(keyOf(path)) && <Upload path={path} />}
    </>
  );
}

const FILES = new Set(["weather_file", "price_book"]);

/** A weather file or price book is kept by the program under its name, and the job names it. */
function Upload({ path }: { path: Path }) {
  const [said, setSaid] = useState("");
  const take = async (file: File): Promise<void> => {
    setSaid(`Sending ${file.name}`);
    try {
      const kept = await api.putFile(file);
      editStep(path, kept.name, fieldLabel(keyOf(path)));
      setSaid(`${kept.name} is kept with the jobs.`);
    } catch (error) {
      setSaid(error instanceof Error ? error.message : "Not sent.");
    }
  };
  return (
    <label class="upload quiet">
      Take it from this computer
      <input
        type="file"
        class="unseen"
        onChange={(e) => {
          const f = e.currentTarget.files?.[0];
          if (f !== undefined) void take(f);
        }}
      />
      <span class="term" role="status">
        {said}
      </span>
    </label>
  );
}

function Leaf({ path, field }: Props) {
  const id = useId();
  const required = useContext(Required);
  const kind = kindOf(field);
  const range = kind === "number" ? rangeText(path, field) : "";
  const Input =
    kind === "number"
      ? NumberField
      : kind === "choice" || kind === "table"
        ? ChoiceField
        : kind === "switch"
          ? SwitchField
          : TextField;
  const bad = faults.value.some((f) => f.path === pathText(path));
  return (
    <div class={bad ? "field-row bad" : "field-row"} data-path={pathText(path)}>
      <label for={id}>
        {fieldLabel(keyOf(path))}
        {required && <span class="required"> needed</span>}
      </label>
      <Input path={path} field={field} id={id} describe={`${id}-about ${id}-fault`} />
      <Faults path={path} id={`${id}-fault`} />
      <p class="about" id={`${id}-about`}>
        {field.description}
        {range !== "" && <span class="range"> {range}.</span>}
      </p>
    </div>
  );
}

function MonthsField({ path, field }: Props) {
  const value = valueAt(path);
  const label = fieldLabel(keyOf(path));
  if (!Array.isArray(value)) {
    return (
      <div class="field-row">
        <button
          type="button"
          class="quiet"
          onClick={() =>
            editStep(
              path,
              Array.from({ length: field.minItems ?? 1 }, () => 0),
              `add ${label}`,
            )
          }
        >
          State: {label.toLowerCase()}
        </button>
      </div>
    );
  }
  return (
    <fieldset class="group">
      <legend>{label}</legend>
      <div class="months">
        {value.map((_, i) => (
          <MonthCell key={i} path={[...path, i]} field={field.items ?? {}} index={i} />
        ))}
      </div>
      <Faults path={path} id={pathText(path)} />
      <button type="button" class="quiet" onClick={() => editStep(path, undefined, `leave out ${label}`)}>
        Leave out
      </button>
    </fieldset>
  );
}

function MonthCell({ path, field, index }: Props & { index: number }) {
  const id = useId();
  return (
    <div>
      <label for={id}>{"JanFebMarAprMayJunJulAugSepOctNovDec".slice(index * 3, index * 3 + 3)}</label>
      <NumberField path={path} field={field} id={id} describe={`${id}-fault`} />
      <Faults path={path} id={`${id}-fault`} />
    </div>
  );
}

function itemTitle(item: Json, i: number, label: string): string {
  for (const key of ["name", "fuel", "class"]) {
    const said = getAt(item, [key]);
    if (typeof said === "string" && said !== "") {
      return choiceLabel(said);
    }
  }
  const soil = getAt(item, ["soil", "class"]);
  const named = (lists.value["soils"] ?? []).find((row) => row["id"] === soil)?.["name"];
  return typeof named === "string" ? named : `${label} ${i + 1}`;
}

const ONE_OF: Record<string, string> = {
  envelope: "part",
  loops: "loop",
  layers: "layer",
  programs: "grant or credit",
  fuel_prices: "fuel price",
  places: "bore",
  heating: "point",
  cooling: "point",
  heating_low: "point",
  cooling_low: "point",
  blocks: "block",
  periods: "period",
  features: "thing on the lot",
  boundary: "corner",
  points: "corner",
  parts: "part",
  lanes: "trench",
  setbacks: "distance",
  analysis: "value",
};

function ListField({ path, field }: Props) {
  const whole = schema.value;
  const value = valueAt(path);
  const label = fieldLabel(keyOf(path));
  const one = ONE_OF[keyOf(path)] ?? "entry";
  if (whole === null) {
    return null;
  }
  const items = resolve(whole, field.items ?? {});
  if (kindOf(items) !== "object") {
    return <MonthsField path={path} field={field} />;
  }
  const list = Array.isArray(value) ? value : [];
  const add = (): void => {
    const blank = blankFor(whole, items);
    const made = isObject(blank) && "name" in blank ? { ...blank, name: `${one} ${list.length + 1}` } : blank;
    const ready = keyOf(path) === "loops" && isObject(made) ? { ...made, bores: { count: 4 } } : made;
    editStep(path, [...list, ready], `add ${one}`);
  };
  const copy = (i: number): void => {
    const item = list[i] ?? null;
    const named = isObject(item) && typeof item["name"] === "string" ? { ...item, name: `${item["name"]} (copy)` } : item;
    editStep(path, [...list.slice(0, i + 1), named, ...list.slice(i + 1)], `copy ${one}`);
  };
  const leaveOut = (i: number): void =>
    editStep(
      path,
      list.length === 1 && (field.minItems ?? 0) >= 1 && keyOf(path) !== "loops" ? undefined : list.filter((_, k) => k !== i),
      `remove ${one}`,
    );
  return (
    <fieldset class="group">
      <legend>{label}</legend>
      <p class="about">{field.description}</p>
      <Faults path={path} id={pathText(path)} />
      {list.map((item, i) => {
        const at = [...path, i];
        const bad = faults.value.filter((f) => isWithin(f.path, pathText(at))).length;
        return (
          <details key={i} class={bad > 0 ? "item bad" : "item"} open={bad > 0 || (keyOf(path) === "loops" && list.length < 3)}>
            <summary>
              {itemTitle(item, i, one)}
              {bad > 0 && <span class="count"> {plural(bad, "thing", "things")} to settle</span>}
            </summary>
            <ObjectFields path={at} field={items} />
            <p class="item-tools">
              <button type="button" class="quiet" onClick={() => copy(i)}>
                Copy
              </button>{" "}
              <button type="button" class="quiet" onClick={() => leaveOut(i)}>
                Remove this {one}
              </button>
            </p>
          </details>
        );
      })}
      {list.length < (field.maxItems ?? Infinity) && (
        <button type="button" class="quiet add" onClick={add}>
          Add a {one}
        </button>
      )}
    </fieldset>
  );
}

/** Keys that stand in view even when they are left out; the others wait under "more". */
const IN_VIEW =
  /^(station|usable_|entry_distance|floor_area|storeys|heat_pump|share_of_design_loss|hot_water|soil|rock|kind|count|depth_m|length_m|spacing_m|pipe|free|min_entering|max_entering|years|electricity_price|compare_with|fuel_prices|programs|class|level|leakage|envelope|tightness|ach50|header_pipe|freeze_point)/;

/** What the choice of kind rules out is not asked for. */
function ruledOut(key: string, object: Json | undefined): boolean {
  const kind = getAt(object, ["kind"]);
  return typeof kind === "string" && LOOP_KINDS.includes(kind) && LOOP_OBJECTS.includes(key) && key !== objectOf(kind);
}

function ObjectFields({ path, field }: Props) {
  const whole = schema.value;
  const value = valueAt(path);
  if (whole === null) {
    return null;
  }
  const required = field.required ?? [];
  const entries = Object.entries(field.properties ?? {}).filter(
    ([key]) => !ruledOut(key, value) || hasValue(getAt(value, [key])),
  );
  const inView = ([key]: [string, Field]): boolean =>
    required.includes(key) ||
    getAt(value, [key]) !== undefined ||
    IN_VIEW.test(key) ||
    faults.value.some((f) => isWithin(f.path, pathText([...path, key])));
  const rest = entries.filter((e) => !inView(e));
  const draw = ([key, part]: [string, Field]) => (
    <Required.Provider key={key} value={required.includes(key)}>
      <AnyField path={[...path, key]} field={resolve(whole, part)} />
    </Required.Provider>
  );
  return (
    <div class="fields">
      <Faults path={path} id={`${pathText(path)}-fault`} />
      {entries.filter(inView).map(draw)}
      {rest.length > 0 && (
        <details class="more">
          <summary>{rest.length} more that can be stated</summary>
          <div class="fields">{rest.map(draw)}</div>
        </details>
      )}
    </div>
  );
}

function ObjectField({ path, field }: Props) {
  const whole = schema.value;
  const value = valueAt(path);
  const label = fieldLabel(keyOf(path));
  if (whole === null) {
    return null;
  }
  if (!isObject(value)) {
    return (
      <div class="field-row">
        <button type="button" class="quiet add" onClick={() => editStep(path, blankFor(whole, field), `state ${label}`)}>
          State: {label.toLowerCase()}
        </button>
        <p class="about">{field.description}</p>
        <Faults path={path} id={`${pathText(path)}-fault`} />
      </div>
    );
  }
  return (
    <fieldset class="group">
      <legend>{label}</legend>
      <p class="about">{field.description}</p>
      <ObjectFields path={path} field={field} />
      <button type="button" class="quiet" onClick={() => editStep(path, undefined, `leave out ${label}`)}>
        Leave out: {label.toLowerCase()}
      </button>
    </fieldset>
  );
}

function AnyField({ path, field }: Props) {
  const kind = kindOf(field);
  return kind === "object" ? (
    <ObjectField path={path} field={field} />
  ) : kind === "list" ? (
    <ListField path={path} field={field} />
  ) : (
    <Leaf path={path} field={field} />
  );
}

/** Inputs of one top-level key of the job. */
export function Part({ name }: { name: string }) {
  const whole = schema.value;
  const field = whole?.properties?.[name];
  if (whole === null || field === undefined) {
    return null;
  }
  const full = resolve(whole, field);
  return kindOf(full) === "object" ? <ObjectFields path={[name]} field={full} /> : <AnyField path={[name]} field={full} />;
}
