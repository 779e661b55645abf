// SPDX-License-Identifier: Apache-2.0
// SPDX-FileCopyrightText: groundwright contributors
//
// The size of an element, followed as it changes, also when another element takes its place.
import { useLayoutEffect, useState } from "preact/hooks";
import type { Size } from "../geometry/view";

export function useSize<T extends Element>(): [(element: T | null) => void, Size] {
  const [element, setElement] = useState<T | null>(null);
  const [size, setSize] = useState<Size>({ wide: 0, high: 0 });
  useLayoutEffect(() => {
    if (element === null) {
      return;
    }
    const measure = (): void => {
      const box = element.getBoundingClientRect();
      setSize((s) => (s.wide === box.width && s.high === box.height ? s : { wide: box.width, high: box.height }));
    };
    measure();
    const watcher = new ResizeObserver(measure);
    watcher.observe(element);
    return () => watcher.disconnect();
  }, [element]);
  return [setElement, size];
}
