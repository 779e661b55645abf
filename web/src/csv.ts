// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Tables as CSV (RFC 4180), and handing a text to the user as a file.

export type Cell = string | number | null;

function quote(cell: Cell): string {
  const text = cell === null ? "" : String(cell);
  return /[",\r\n]/.test(text) ? `"${text.replaceAll('"', '""')}"` : text;
}

export function csvText(header: string[], rows: Cell[][]): string {
  return [header, ...rows].map((row) => row.map(quote).join(",")).join("\r\n") + "\r\n";
}

export function saveFile(name: string, text: string, type = "text/csv"): void {
  const url = URL.createObjectURL(new Blob([text], { type }));
  const link = document.createElement("a");
  link.href = url;
  link.download = name;
  link.click();
  setTimeout(() => URL.revokeObjectURL(url), 1000);
}

export function fileName(title: string, ending: string): string {
  const plain = title
    .toLowerCase()
    .replace(/[^a-z0-9]+/g, "-")
    .replace(/^-|-$/g, "");
  return `${plain === "" ? "job" : plain}${ending}`;
}
