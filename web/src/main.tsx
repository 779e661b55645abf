// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Starts the page.
import { render } from "preact";
import "@fontsource/source-sans-3/latin-400.css";
import "@fontsource/source-sans-3/latin-600.css";
import "uplot/dist/uPlot.min.css";
import "./page.css";
import { App } from "./app";
import { openFirst, startWorking, unsaved, head } from "./state";

const host = document.getElementById("sheet");

async function start(into: HTMLElement): Promise<void> {
  try {
    await openFirst();
  } catch {
    into.textContent = "The program on this machine does not answer. Start it again with: groundwright serve";
    return;
  }
  into.textContent = "";
  startWorking();
  render(<App />, into);
  addEventListener("beforeunload", (e) => {
    if (head.value !== null && unsaved.value) {
      e.preventDefault();
    }
  });
}

if (host !== null) {
  void start(host);
}
