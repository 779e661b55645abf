// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Bars drawn in a table: the number always stands beside its bar, and the table reads without the drawing.
import type { ComponentChildren } from "preact";

export function Bar({ part, kind }: { part: number; kind?: "own" | "plain" | "present" | "negative" }) {
  return (
    <span class={`bar bar-${kind ?? "plain"}`} aria-hidden="true">
      <i style={{ width: `${Math.max(0, Math.min(1, part)) * 100}%` }} />
    </span>
  );
}

/** Line from low to high with a mark at the typical value, all as parts of the greatest. */
export function Whisker({ low, typical, high }: { low: number; typical: number; high: number }) {
  return (
    <span class="whisker" aria-hidden="true">
      <i class="span" style={{ left: `${low * 100}%`, width: `${Math.max(0, high - low) * 100}%` }} />
      <i class="typical" style={{ left: `${typical * 100}%` }} />
    </span>
  );
}

export function Picture({
  title,
  note,
  tools,
  children,
}: {
  title: ComponentChildren;
  note?: ComponentChildren;
  tools?: ComponentChildren;
  children: ComponentChildren;
}) {
  return (
    <div class="picture">
      <div class="picture-head">
        <h2>{title}</h2>
        <span class="spacer" />
        {tools}
      </div>
      {note !== undefined && <p class="picture-note">{note}</p>}
      {children}
    </div>
  );
}
