// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Every request of the page. Nothing but what docs/api.md describes.
import type { Design } from "./design";
import type { Json, JsonObject } from "./json";
import type { Schema } from "./schema";

export type Fault = { path: string; line: number; column: number; text: string };
export type Head = { id: number; name: string; revision: number; created_unix_s: number; saved_unix_s: number; hidden: boolean };
export type Revision = { revision: number; saved_unix_s: number; name: string; bytes: number; note: string | null };
export type Answer = { stands: boolean; because: string | null; warnings: Fault[]; design: Design };
export type Check = {
  valid: boolean;
  errors: Fault[];
  more: number;
  warnings: Fault[];
  defaults: { path: string; value: string }[];
};
export type Version = { version: string; read_only: boolean; open: number | null };
export type Row = Record<string, string | number | null>;

export class ApiError extends Error {
  constructor(
    readonly status: number,
    readonly faults: Fault[],
  ) {
    super(faults[0]?.text ?? `The program answered with status ${status}.`);
  }
}

async function request<T>(
  method: string,
  path: string,
  options: { body?: string; match?: string; signal?: AbortSignal } = {},
): Promise<T> {
  const headers: Record<string, string> = {};
  if (options.body !== undefined) headers["Content-Type"] = "application/json";
  if (options.match !== undefined) headers["If-Match"] = options.match;
  const reply = await fetch(path, { method, headers, body: options.body, signal: options.signal });
  if (!reply.ok) {
    const said = (await reply.json().catch(() => ({}))) as { errors?: Fault[] };
    throw new ApiError(reply.status, said.errors ?? []);
  }
  return (await reply.json()) as T;
}

const get = <T>(path: string): Promise<T> => request<T>("GET", path);
const post = <T>(path: string, body: string, signal?: AbortSignal): Promise<T> => request<T>("POST", path, { body, signal });

export function jobText(doc: Json): string {
  return JSON.stringify(doc, null, 2) + "\n";
}

export const api = {
  version: () => get<Version>("/api/version"),
  schema: () => get<Schema>("/api/schema"),
  starter: () => get<JsonObject>("/api/starter"),
  examples: () => get<{ examples: { name: string; title: string; notes: string }[] }>("/api/examples"),
  example: (name: string) => get<JsonObject>(`/api/examples/${name}`),
  list: (name: string) => get<{ columns: string[]; rows: Row[] }>(`/api/lists/${name}`),
  design: (doc: Json, signal?: AbortSignal) => post<Answer>("/api/design", jobText(doc), signal),
  verify: (doc: Json, signal?: AbortSignal) => post<Check>("/api/verify", jobText(doc), signal),
  jobs: (search: string, hidden: boolean) =>
    get<{ jobs: Head[]; more: boolean }>(
      `/api/jobs?${new URLSearchParams({ ...(search === "" ? {} : { search }), ...(hidden ? { hidden: "1" } : {}) })}`,
    ),
  job: (id: number) => get<Head & { job: JsonObject }>(`/api/jobs/${id}`),
  create: (doc: Json) => post<Head>("/api/jobs", jobText(doc)),
  save: (id: number, doc: Json, match: string) => request<Head>("PUT", `/api/jobs/${id}`, { body: jobText(doc), match }),
  revisions: (id: number) => get<{ revisions: Revision[] }>(`/api/jobs/${id}/revisions`),
  revision: (id: number, n: number) => get<{ job: JsonObject }>(`/api/jobs/${id}/revisions/${n}`),
  restore: (id: number, revision?: number) =>
    post<Head>(`/api/jobs/${id}/restore`, JSON.stringify(revision === undefined ? {} : { revision })),
  copy: (id: number) => post<Head>(`/api/jobs/${id}/copy`, "{}"),
  async putFile(file: File): Promise<{ name: string }> {
    const name = file.name
      .replace(/[^A-Za-z0-9._-]+/g, "-")
      .replace(/^\.+/, "")
      .slice(-80);
    const reply = await fetch(`/api/files/${name}`, {
      method: "PUT",
      headers: { "Content-Type": "application/octet-stream" },
      body: file,
    });
    if (!reply.ok) {
      const said = (await reply.json().catch(() => ({}))) as { errors?: Fault[] };
      throw new ApiError(reply.status, said.errors ?? []);
    }
    return (await reply.json()) as { name: string };
  },
  hide: (id: number) => request<Head>("DELETE", `/api/jobs/${id}`),
};
