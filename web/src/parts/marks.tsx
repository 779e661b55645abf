// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// Small drawn signs: verdicts by shape (never by colour alone), and text with strong words.
import type { State } from "../design";
import { VERDICT_WORD } from "../words";

/** Ring with a tick: holds. Triangle: look at this. Filled square with a cross: does not hold. */
export function Mark({ state, word }: { state: State; word?: boolean }) {
  return (
    <span class={`mark mark-${state}`}>
      <svg viewBox="0 0 18 18" width="18" height="18" aria-hidden="true">
        {state === "holds" && (
          <>
            <circle cx="9" cy="9" r="7.2" />
            <path d="M5.4 9.3l2.5 2.5 4.7-5.3" />
          </>
        )}
        {state === "caution" && (
          <>
            <path d="M9 2.2l7.2 13H1.8z" />
            <path d="M9 7v4M9 12.6v.9" />
          </>
        )}
        {state === "fails" && (
          <>
            <rect class="solid" x="2" y="2" width="14" height="14" />
            <path class="cross" d="M5.6 5.6l6.8 6.8M12.4 5.6l-6.8 6.8" />
          </>
        )}
      </svg>
      {word === true ? <span>{VERDICT_WORD[state]}</span> : <span class="unseen">{VERDICT_WORD[state]}</span>}
    </span>
  );
}

export function Strong({ text }: { text: string }) {
  return <>{text.split("**").map((part, i) => (i % 2 === 1 ? <strong key={i}>{part}</strong> : part))}</>;
}
