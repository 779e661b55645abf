// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The jobs of this machine: open, search, start, copy, hide, earlier revisions, and files in and out.
import { useEffect, useRef, useState } from "preact/hooks";
import { api, type Head, type Revision } from "../api";
import { isObject, type Json } from "../json";
import { fileName, saveFile } from "../csv";
import { doc, head, jobsOpen, mode, notice, openDoc, openJob, unsaved } from "../state";
import { plural } from "../words";

const when = (unix_s: number): string =>
  new Date(unix_s * 1000).toLocaleString("en", { dateStyle: "medium", timeStyle: "short" });

function mayLeave(): boolean {
  return !unsaved.value || head.value === null || confirm("The open job has changes that are not saved. Leave them?");
}

function Revisions({ id, onDone }: { id: number; onDone: () => void }) {
  const [list, setList] = useState<Revision[] | null>(null);
  useEffect(() => void api.revisions(id).then((r) => setList(r.revisions)), [id]);
  const restore = async (n: number): Promise<void> => {
    if (!mayLeave()) return;
    const now = await api.restore(id, n);
    notice.value = `Revision ${n} is back, as revision ${now.revision}.`;
    await openJob(id);
    onDone();
  };
  if (list === null) {
    return <p class="empty">Reading the revisions.</p>;
  }
  return (
    <ul class="revisions">
      {list.map((r, i) => (
        <li key={r.revision}>
          <span>
            Revision {r.revision}, {when(r.saved_unix_s)}
            {r.note === null ? "" : ` (${r.note})`}
          </span>
          {i > 0 ? (
            <button type="button" class="quiet" onClick={() => void restore(r.revision)}>
              Restore
            </button>
          ) : (
            <span class="term">latest</span>
          )}
        </li>
      ))}
    </ul>
  );
}

function JobRow({ h, again }: { h: Head; again: () => void }) {
  const [shown, setShown] = useState(false);
  const copy = async (): Promise<void> => {
    if (!mayLeave()) return;
    const made = await api.copy(h.id);
    await openJob(made.id);
  };
  const hide = async (): Promise<void> => {
    await (h.hidden ? api.restore(h.id) : api.hide(h.id));
    notice.value = h.hidden ? `${h.name} is shown again.` : `${h.name} is hidden. Nothing is lost: look under hidden jobs.`;
    again();
  };
  const take = async (): Promise<void> => {
    const found = await api.job(h.id);
    saveFile(fileName(h.name, ".json"), JSON.stringify(found.job, null, 2) + "\n", "application/json");
  };
  return (
    <li class={head.value?.id === h.id ? "job-row current" : "job-row"}>
      <button
        type="button"
        class="job-name"
        onClick={() => {
          if (mayLeave()) void openJob(h.id);
        }}
      >
        {h.name}
        <span class="term">
          revision {h.revision}, saved {when(h.saved_unix_s)}
        </span>
      </button>
      <span class="job-tools">
        <button type="button" class="quiet" aria-expanded={shown} onClick={() => setShown(!shown)}>
          Revisions
        </button>
        <button type="button" class="quiet" onClick={() => void copy()}>
          Copy
        </button>
        <button type="button" class="quiet" onClick={() => void take()}>
          Export
        </button>
        <button type="button" class="quiet" onClick={() => void hide()}>
          {h.hidden ? "Show again" : "Hide"}
        </button>
      </span>
      {shown && <Revisions id={h.id} onDone={again} />}
    </li>
  );
}

function importFile(file: File): void {
  void file.text().then((text) => {
    try {
      const read = JSON.parse(text) as Json;
      if (!isObject(read)) throw new Error("not an object");
      openDoc(read, null);
      notice.value = `${file.name} is open. Save keeps it here.`;
    } catch {
      notice.value = `${file.name} is not a job file: it is not JSON that this page can read.`;
    }
  });
}

function Begin() {
  const [examples, setExamples] = useState<{ name: string; title: string }[]>([]);
  const picker = useRef<HTMLInputElement>(null);
  useEffect(
    () =>
      void api
        .examples()
        .then((e) => setExamples(e.examples))
        .catch(() => undefined),
    [],
  );
  const start = async (from: Promise<Json>): Promise<void> => {
    const made = await from;
    if (mayLeave() && isObject(made)) openDoc(made, null);
  };
  return (
    <section class="begin">
      <h3>Begin</h3>
      <button
        type="button"
        class="quiet"
        onClick={() => {
          if (mayLeave()) {
            jobsOpen.value = false;
            mode.value = "first";
          }
        }}
      >
        First visit: six questions
      </button>
      <button type="button" class="quiet" onClick={() => void start(api.starter())}>
        New job
      </button>
      {examples.map((e) => (
        <button key={e.name} type="button" class="quiet" onClick={() => void start(api.example(e.name))}>
          Example: {e.title}
        </button>
      ))}
      <button type="button" class="quiet" onClick={() => picker.current?.click()}>
        Import a job file
      </button>
      <input
        ref={picker}
        type="file"
        accept=".json,application/json"
        class="unseen"
        tabIndex={-1}
        aria-label="Job file to import"
        onChange={(e) => {
          const f = e.currentTarget.files?.[0];
          if (f !== undefined && mayLeave()) importFile(f);
        }}
      />
      <button
        type="button"
        class="quiet"
        onClick={() =>
          saveFile(
            fileName(String(doc.value["name"] ?? ""), ".json"),
            JSON.stringify(doc.value, null, 2) + "\n",
            "application/json",
          )
        }
      >
        Export this job as it stands
      </button>
    </section>
  );
}

export function Jobs() {
  const dialog = useRef<HTMLDialogElement>(null);
  const [list, setList] = useState<{ jobs: Head[]; more: boolean } | null>(null);
  const [search, setSearch] = useState("");
  const [hidden, setHidden] = useState(false);
  const again = (): void =>
    void api
      .jobs(search, hidden)
      .then(setList)
      .catch(() => setList({ jobs: [], more: false }));
  useEffect(() => dialog.current?.showModal(), []);
  useEffect(again, [search, hidden, head.value]);
  return (
    <dialog ref={dialog} class="jobs" aria-label="Jobs" onClose={() => (jobsOpen.value = false)}>
      <header>
        <h2>Jobs</h2>
        <span class="spacer" />
        <button type="button" class="quiet" onClick={() => dialog.current?.close()}>
          Close
        </button>
      </header>
      <div class="jobs-body">
        <section class="job-list">
          <div class="search">
            <input
              type="search"
              placeholder="Search by name"
              aria-label="Search jobs by name"
              value={search}
              onInput={(e) => setSearch(e.currentTarget.value)}
            />
            <label class="check">
              <input type="checkbox" checked={hidden} onChange={(e) => setHidden(e.currentTarget.checked)} /> hidden jobs
            </label>
          </div>
          {list === null ? (
            <p class="empty">Reading the list.</p>
          ) : list.jobs.length === 0 ? (
            <p class="empty">
              {search !== ""
                ? `No job has "${search}" in its name.`
                : hidden
                  ? "No job is hidden."
                  : "No job is kept here yet. Begin one beside this, then choose Save on the sheet."}
            </p>
          ) : (
            <ul>
              {list.jobs.map((h) => (
                <JobRow key={h.id} h={h} again={again} />
              ))}
            </ul>
          )}
          {list !== null && list.jobs.length > 0 && (
            <p class="term">
              {plural(list.jobs.length, "job", "jobs")}
              {list.more ? ", and more: search for the rest" : ""}
            </p>
          )}
        </section>
        <Begin />
      </div>
    </dialog>
  );
}
