// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// A job as plain JSON values: reading, changing and removing by path. Nothing here changes its input:
// an edit shares all it did not touch, so that a long undo history is cheap.

export type Json = null | boolean | number | string | Json[] | { [key: string]: Json };
export type JsonObject = { [key: string]: Json };
export type Path = readonly (string | number)[];

export function isObject(value: Json | undefined): value is JsonObject {
  return typeof value === "object" && value !== null && !Array.isArray(value);
}

export function getAt(root: Json | undefined, path: Path): Json | undefined {
  let at: Json | undefined = root;
  for (const key of path) {
    if (Array.isArray(at)) {
      at = typeof key === "number" ? at[key] : undefined;
    } else if (isObject(at)) {
      at = at[String(key)];
    } else {
      return undefined;
    }
  }
  return at;
}

/** A copy of `root` with `value` at `path`; undefined removes the key or the element. Missing parents are made. */
export function setAt(root: Json | undefined, path: Path, value: Json | undefined): Json | undefined {
  const [key, ...rest] = path;
  if (key === undefined) {
    return value;
  }
  if (typeof key === "number") {
    const list = Array.isArray(root) ? root.slice() : [];
    const next = setAt(list[key], rest, value);
    if (next === undefined) {
      list.splice(key, 1);
    } else {
      list[key] = next;
    }
    return list;
  }
  const object: JsonObject = isObject(root) ? { ...root } : {};
  const next = setAt(object[key], rest, value);
  if (next === undefined) {
    delete object[key];
  } else {
    object[key] = next;
  }
  return object;
}

/** `house.envelope[3].area_m2`, as the program writes the place of an error. */
export function pathText(path: Path): string {
  return path.reduce<string>((text, key) => {
    if (typeof key === "number") {
      return `${text}[${key}]`;
    }
    return text === "" ? key : `${text}.${key}`;
  }, "");
}

export function parsePath(text: string): Path {
  const keys: (string | number)[] = [];
  for (const match of text.matchAll(/([^.[\]]+)|\[(\d+)\]/g)) {
    keys.push(match[2] !== undefined ? Number(match[2]) : (match[1] ?? ""));
  }
  return keys;
}

/** Whether the place `text` is `prefix` or lies in it. */
export function isWithin(text: string, prefix: string): boolean {
  return text === prefix || text.startsWith(`${prefix}.`) || text.startsWith(`${prefix}[`);
}
