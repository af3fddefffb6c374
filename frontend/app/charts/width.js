/** The width of an element, kept up to date, so that charts draw one unit to one pixel. */
import { useEffect, useRef, useState } from "preact/hooks";

/** @returns {[import("preact").RefObject<HTMLDivElement | null>, number]} */
export function useWidth() {
  const box = useRef(/** @type {HTMLDivElement | null} */ (null));
  const [width, setWidth] = useState(0);
  useEffect(() => {
    if (!box.current) return undefined;
    const observer = new ResizeObserver(([entry]) => setWidth(Math.floor(entry.contentRect.width)));
    observer.observe(box.current);
    return () => observer.disconnect();
  }, []);
  return [box, width];
}
