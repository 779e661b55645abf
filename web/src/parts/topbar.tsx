// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The head of the sheet: whose job it is, and what holds for the whole sheet.
import { useState } from "preact/hooks";
import {
  doc,
  edit,
  head,
  jobsOpen,
  mode,
  notice,
  openJob,
  readOnly,
  redo,
  redoWhat,
  save,
  system,
  theme,
  undo,
  undoWhat,
  unsaved,
} from "../state";

export function Topbar() {
  const [conflict, setConflict] = useState(false);
  const onSave = async (over = false): Promise<void> => setConflict((await save(over)) === "conflict");
  const name = String(doc.value["name"] ?? "");
  const state =
    head.value === null
      ? "not saved yet"
      : unsaved.value
        ? `changed since revision ${head.value.revision}`
        : `revision ${head.value.revision}`;
  const nextTheme = { system: "dark", dark: "light", light: "system" } as const;
  const themeWord = { system: "Auto", dark: "Dark", light: "Light" } as const;
  const themeAbout = { system: "Auto: light or dark as the system", dark: "Dark sheet", light: "Light sheet" } as const;
  return (
    <header class="topbar">
      <button type="button" class="jobs-button" onClick={() => (jobsOpen.value = true)}>
        Jobs
      </button>
      <div class="title-block">
        <h1 class="unseen">{name === "" ? "groundwright" : name}</h1>
        <input
          class="job-title"
          aria-label="Name of the job"
          value={name}
          onInput={(e) => edit(["name"], e.currentTarget.value, "Name")}
        />
        <span class="job-state">{state}</span>
      </div>
      <span class="spacer" />
      <div class="tools">
        <button
          type="button"
          class="quiet"
          disabled={undoWhat.value === null}
          title={undoWhat.value === null ? "" : `Undo: ${undoWhat.value} (Ctrl+Z)`}
          onClick={undo}
        >
          Undo
        </button>
        <button
          type="button"
          class="quiet"
          disabled={redoWhat.value === null}
          title={redoWhat.value === null ? "" : `Redo: ${redoWhat.value} (Shift+Ctrl+Z)`}
          onClick={redo}
        >
          Redo
        </button>
        <div class="switch" role="group" aria-label="Units">
          <button type="button" aria-pressed={system.value === "metric"} onClick={() => (system.value = "metric")}>
            metric
          </button>
          <button type="button" aria-pressed={system.value === "imperial"} onClick={() => (system.value = "imperial")}>
            feet
          </button>
        </div>
        <button
          type="button"
          class="quiet"
          aria-label={`${themeAbout[theme.value]}. Change`}
          title={themeAbout[theme.value]}
          onClick={() => (theme.value = nextTheme[theme.value])}
        >
          {themeWord[theme.value]}
        </button>
        <button type="button" class="quiet" onClick={() => print()}>
          Print
        </button>
        <button type="button" class="quiet" onClick={() => (mode.value = "present")}>
          Present
        </button>
        <button
          type="button"
          class="main-button"
          disabled={readOnly.value || (head.value !== null && !unsaved.value)}
          onClick={() => void onSave()}
        >
          Save
        </button>
      </div>
      {conflict && (
        <div class="conflict" role="alertdialog" aria-label="Saved in between">
          <p>This job was saved from another window since you opened it.</p>
          <button type="button" class="quiet" onClick={() => void onSave(true)}>
            Save mine on top
          </button>
          <button
            type="button"
            class="quiet"
            onClick={() => {
              setConflict(false);
              if (head.value !== null) void openJob(head.value.id);
            }}
          >
            Take the other, leave mine
          </button>
          <button
            type="button"
            class="quiet"
            onClick={() => {
              setConflict(false);
              head.value = null;
              void onSave();
            }}
          >
            Save mine as a new job
          </button>
        </div>
      )}
      <p class="notice" role="status">
        {notice.value}
      </p>
    </header>
  );
}
