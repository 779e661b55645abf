// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The whole sheet: the work in order, the drawing, the answer, and the years at its foot.
import { useEffect } from "preact/hooks";
import { jobsOpen, loadList, loop, mode, notice, picture, redo, save, stage, trouble, undo } from "./state";
import { isDig } from "./design";
import { PICTURES } from "./words";
import { Answer } from "./parts/answer";
import { CostPicture } from "./parts/costs";
import { FirstVisit } from "./parts/firstvisit";
import { HousePicture } from "./parts/house";
import { Jobs } from "./parts/jobs";
import { ChecksPicture, LoopsPicture } from "./parts/loops";
import { LotPlan } from "./parts/lot";
import { Present } from "./parts/present";
import { Section } from "./parts/section";
import { Inputs, Stages } from "./parts/stages";
import { Strip } from "./parts/strip";
import { Topbar } from "./parts/topbar";
import { WaterPicture } from "./parts/water";

function Drawing() {
  const shown = picture.value;
  return (
    <main class="drawing" aria-label="Drawing">
      <div class="picture-tabs" role="group" aria-label="What is drawn">
        {PICTURES.map((p) => (
          <button key={p.id} type="button" aria-pressed={shown === p.id} onClick={() => (picture.value = p.id)}>
            {p.title}
          </button>
        ))}
      </div>
      {shown === "lot" &&
        (loop.value === null ? (
          <p class="empty">{trouble.value ?? "Drawing the lot."}</p>
        ) : (
          <div class={`lot-picture lot-${isDig(loop.value.plan) ? "trench" : "bores"}`}>
            <LotPlan />
            <Section />
          </div>
        ))}
      {shown !== "lot" && (
        <div class="pictures" tabIndex={0} role="region" aria-label={PICTURES.find((p) => p.id === shown)?.title}>
          {shown === "loops" && <LoopsPicture />}
          {shown === "water" && <WaterPicture />}
          {shown === "house" && <HousePicture />}
          {shown === "cost" && <CostPicture />}
          {shown === "checks" && <ChecksPicture />}
        </div>
      )}
    </main>
  );
}

function onKey(e: KeyboardEvent): void {
  if (!(e.ctrlKey || e.metaKey) || mode.value !== "sheet") {
    return;
  }
  const key = e.key.toLowerCase();
  if (key === "z") {
    e.preventDefault();
    (e.shiftKey ? redo : undo)();
  } else if (key === "y") {
    e.preventDefault();
    redo();
  } else if (key === "s") {
    e.preventDefault();
    void save();
  }
}

export function App() {
  useEffect(() => {
    void loadList("soils");
    addEventListener("keydown", onKey);
    return () => removeEventListener("keydown", onKey);
  }, []);
  const said = notice.value;
  useEffect(() => {
    const timer = setTimeout(() => (notice.value = null), 6000);
    return () => clearTimeout(timer);
  }, [said]);
  if (mode.value === "first") {
    return <FirstVisit />;
  }
  if (mode.value === "present") {
    return <Present />;
  }
  return (
    <div class={stage.value === null ? "sheet" : "sheet with-inputs"}>
      <Topbar />
      <Stages />
      <Inputs />
      <Drawing />
      <Answer />
      <Strip />
      {jobsOpen.value && <Jobs />}
    </div>
  );
}
