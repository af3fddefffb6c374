/** Moving through a long list by pages that have addresses. */
import { html } from "htm/preact";

/**
 * @param {{ page: number, pageSize: number, total: number, hrefOf: (page: number) => string, noun: string, label?: string }} props
 *   label: another one for the second pager of a page
 */
export function Pager({ page, pageSize, total, hrefOf, noun, label = "Pages" }) {
  const last = Math.max(1, Math.ceil(total / pageSize));
  const from = total === 0 ? 0 : (page - 1) * pageSize + 1;
  const text = `${from} to ${Math.min(total, page * pageSize)} of ${total} ${noun}`;
  return html`<nav class="pager" aria-label=${label}>
    ${page > 1 ? html`<a class="button" href=${hrefOf(page - 1)}>Previous</a>` : null}
    <span>${text}</span>
    ${page < last ? html`<a class="button" href=${hrefOf(page + 1)}>Next</a>` : null}
  </nav>`;
}
