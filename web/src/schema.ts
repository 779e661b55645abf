// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The JSON Schema of a job, as far as the page reads it: the fields of every form come from here.
import type { Json, JsonObject } from "./json";
import { isObject } from "./json";

export type Field = {
  type?: string | string[];
  enum?: string[];
  minimum?: number;
  exclusiveMinimum?: number;
  maximum?: number;
  minItems?: number;
  maxItems?: number;
  default?: Json;
  format?: string;
  description?: string;
  items?: Field;
  $ref?: string;
  required?: string[];
  properties?: Record<string, Field>;
  "x-unit"?: string;
  "x-table"?: string;
};

export type Schema = Field & { $defs: Record<string, Field> };

export type Kind = "object" | "list" | "choice" | "table" | "switch" | "day" | "number" | "text";

/** The field with what its reference says; its own description wins. */
export function resolve(schema: Schema, field: Field): Field {
  const name = field.$ref?.split("/").pop();
  const target = name === undefined ? undefined : schema.$defs[name];
  return target === undefined ? field : { ...target, ...field, $ref: undefined };
}

export function kindOf(field: Field): Kind {
  const types = Array.isArray(field.type) ? field.type : [field.type];
  if (field.properties !== undefined) return "object";
  if (field.type === "array") return "list";
  if (field.enum !== undefined) return "choice";
  if (field["x-table"] !== undefined) return "table";
  if (field.type === "boolean") return "switch";
  if (field.format === "date") return "day";
  return types.includes("number") || types.includes("integer") ? "number" : "text";
}

export function takesUnits(field: Field): boolean {
  return Array.isArray(field.type) && field.type.includes("string");
}

/** A first value of a new list element or object: its required keys, in a state that can be edited. */
export function blankFor(schema: Schema, field: Field): Json {
  const f = resolve(schema, field);
  switch (kindOf(f)) {
    case "object": {
      const object: JsonObject = {};
      for (const key of f.required ?? []) {
        const part = f.properties?.[key];
        if (part !== undefined) {
          object[key] = blankFor(schema, part);
        }
      }
      return object;
    }
    case "list":
      return Array.from({ length: f.minItems ?? 0 }, () => blankFor(schema, f.items ?? {}));
    case "choice":
      return f.enum?.[0] ?? "";
    case "switch":
      return false;
    case "number":
      return f.default ?? Math.min(f.maximum ?? 1, Math.max(f.minimum ?? f.exclusiveMinimum ?? 0, 1));
    default:
      return "";
  }
}

export function tableName(field: Field): string {
  return (field["x-table"] ?? "").replace(/\.csv$/, "").replaceAll("_", "-");
}

/** Limits as a reader says them: "15 to 300", with the unit added by the caller. */
export function limitsOf(field: Field): [number, number] | null {
  const low = field.minimum ?? field.exclusiveMinimum;
  return low === undefined || field.maximum === undefined ? null : [low, field.maximum];
}

export function hasValue(value: Json | undefined): boolean {
  return value !== undefined && !(isObject(value) && Object.keys(value).length === 0);
}
